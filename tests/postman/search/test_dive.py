"""Plans by diving, against an exact program of the tests'."""

from dataclasses import replace
from importlib import import_module

import numpy as np
from cutting_cases import islands, parts, problems, worsened
from postman_oracle import optimum, run_on_optimum

from stitchpath.postman.cuts.columns import no_cuts
from stitchpath.postman.cuts.cutting_planes import raise_bound
from stitchpath.postman.model.net import NO_DOORS, is_plan, make_net, price
from stitchpath.postman.search import connect, dive
from stitchpath.postman.search.limits import Budget
from stitchpath.postman.solve import solve


def test_a_dive_is_never_worse_and_mostly_finds_the_best():
    better = exact = bad = 0
    for problem, best, copies in problems(150):
        net = make_net(problem)
        worse = worsened(net, copies)
        raised = raise_bound(net, most=best + 5, rounds=3)
        plan = dive.dived_plan(net, worse, known=raised.known, taken=raised.taken)
        assert is_plan(net, plan)
        assert best <= price(net, plan) <= price(net, worse)
        if price(net, worse) > best:
            bad += 1
            better += price(net, plan) < price(net, worse)
            exact += price(net, plan) == best
    assert bad > 60
    assert better > 0.9 * bad
    assert exact > 0.8 * bad
    stopped = dive.dived_plan(net, worse, known=raised.known, taken=raised.taken, go_on=lambda: False)
    assert (stopped == worse).all()


def test_a_dive_that_ends_in_a_dearer_plan_is_left(monkeypatch):
    left = 0
    for problem, best, copies in problems(60):
        net = make_net(problem)
        worse = worsened(net, copies)
        monkeypatch.setattr(dive, "_dived_in", lambda *_, worse=worse, **__: worse)
        kept = dive.dived_plan(net, copies, known=no_cuts(net), taken=parts(net, copies))
        assert price(net, kept) == best
        left += price(net, worse) > best
    assert left > 20


def test_plans_and_bounds_with_dives_against_an_exact_program(monkeypatch):
    """Small networks go the way of large ones here, and have so few cuts that dives pay; some run on."""
    monkeypatch.setattr(connect, "ROUNDS", replace(connect.ROUNDS, standard=Budget(1, 1)))
    whole = import_module("stitchpath.postman.solve")
    monkeypatch.setattr(whole, "_SMALL", 0)
    monkeypatch.setattr(whole, "_TRAILS_SMALL", 0)
    dives, dived = [], connect.dived_plan
    monkeypatch.setattr(connect, "dived_plan", lambda *of, **by: dives.append(1) or dived(*of, **by))
    ran = 0
    for seed, end_cost in [*((seed, None) for seed in range(8)), (0, 20), (9, 20), (11, 20)]:
        problem = islands(seed, end_cost=end_cost)
        doors = (
            NO_DOORS if end_cost is None else np.random.default_rng(seed).permutation(problem.size - 1)[:6]
        )
        answer = solve(problem, candidates=doors, effort="proof")
        best = run_on_optimum(problem, doors) if len(doors) else optimum(problem)
        assert answer.bound <= best <= answer.cost
        ran += answer.start >= 0
    assert ran > 1
    assert len(dives) > 4
