"""Bounds and plans bettered in turn: what is called proven is proven."""

from dataclasses import replace

import numpy as np
from cutting_cases import first_cost, islands

from stitchpath.postman.cuts.certificate import NO_CUTS
from stitchpath.postman.cuts.columns import no_cuts
from stitchpath.postman.cuts.cutting_planes import Task, raise_bound
from stitchpath.postman.model.net import NO_DOORS, is_plan, price
from stitchpath.postman.relaxed.outset import make_outset
from stitchpath.postman.search import connect
from stitchpath.postman.search.connect import Held, _searched_in
from stitchpath.postman.search.first_plan import first_plan
from stitchpath.postman.search.limits import Budget
from stitchpath.postman.solve import solve


def test_a_search_of_some_edges_proves_nothing():
    """The bound is that of before, whatever it finds; the search of all edges proves the cheapest plan."""
    ended = 0
    for seed in range(12):
        problem = islands(seed, end_cost=15)
        best = solve(problem, effort="proof").cost - first_cost(problem)
        task, outset = Task(problem, None, NO_DOORS), make_outset(problem)
        raised = raise_bound(task.net, most=10**9, rounds=1)
        plan = first_plan(outset.net, outset.relaxed, goal=outset.goal)
        held = Held(outset, plan, outset.goal, raised.known)
        some, _ = _searched_in(task, held, raised, lambda _cost, _bound: True, nodes=20, work=1_500)
        assert some.bound == held.bound
        assert best <= some.cost <= held.cost
        every, found = _searched_in(
            task, some, raised, lambda _cost, _bound: True, nodes=1_000, work=20_000, whole=True
        )
        assert every.bound <= best <= every.cost
        assert every.cost == best or not found.ended
        ended += found.ended and every.bound > held.bound
    assert ended > 5


def test_a_part_that_took_long_is_no_proof_of_the_whole(monkeypatch):
    """The whole is left out then; none but a plan that meets its bound is called the cheapest."""
    monkeypatch.setattr(connect, "SMALL", replace(connect.SMALL, rounds=1, halves=1, work=Budget(1, 1)))
    left = 0
    for seed in range(12):
        problem = islands(seed, end_cost=15)
        task, outset = Task(problem, None, NO_DOORS), make_outset(problem)
        plan = first_plan(outset.net, outset.relaxed, goal=outset.goal)
        held, ended = connect.searched(
            task, Held(outset, plan, outset.goal, no_cuts(outset.net)), lambda _cost, _bound: True
        )
        assert ended == (held.cost == held.bound)
        left += not ended
    assert left > 3


def starts(every_plan):
    """Give tasks of small problems, what the best plan costs, and the worst plan without loops as known."""
    for problem, doors, net, plans in every_plan:
        able = plans[(plans[:, net.tails == net.heads] == 0).all(axis=1)]
        if len(doors) or not len(able):
            continue
        costs = [price(net, plan) for plan in able]
        outset = make_outset(problem)
        held = Held(outset, able[int(np.argmax(costs))], outset.goal, no_cuts(net))
        yield Task(problem, None, NO_DOORS), min(costs), held, able[int(np.argmin(costs))]


def test_from_the_worst_plan_to_a_proven_best(every_plan):
    """Of all plans that there are; never is a bound above, nor a plan worse than it was."""
    proven = tried = 0
    for task, best, held, _ in list(starts(every_plan))[::5]:
        found = connect.connect(task, held, proof=True, seed=0, watch=lambda _cost, _bound: True)
        assert is_plan(found.outset.net, found.plan)
        assert held.bound <= found.bound <= best <= found.cost <= held.cost
        tried += 1
        proven += found.cost == found.bound
    assert tried > 5
    assert proven > 0.8 * tried


def test_what_falls_short_by_rounding_only_is_settled_and_nothing_else(every_plan):
    settled = 0
    for task, best, held, plan in list(starts(every_plan))[::3]:
        known = raise_bound(task.net, most=10**9, rounds=20).known
        near = replace(held, plan=plan, bound=best - 1, known=known)
        assert near.cost == best
        settled += connect.settled(task, near).bound == best
        assert connect.settled(task, near).bound in (best - 1, best)
        far = replace(near, bound=best - 10)
        assert connect.settled(task, far) is far
    assert settled > 8


def test_a_plan_that_is_not_the_cheapest_is_not_settled(every_plan):
    """However near its bound is."""
    tried = 0
    for problem, doors, net, plans in every_plan:
        costs = np.array([price(net, plan) for plan in plans])
        dearer = np.flatnonzero((costs > costs.min()) & (costs <= costs.min() + 3))
        if len(doors) or not len(dearer):
            continue
        task, known = Task(problem, None, NO_DOORS), raise_bound(net, most=10**9, rounds=20).known
        held = Held(make_outset(problem), plans[dearer[0]], int(costs.min()), known)
        assert connect.settled(task, held).bound == costs.min()
        tried += 1
    assert tried > 5


def test_a_bound_only_rises(every_plan):
    _, _, held, _ = next(starts(every_plan))
    assert held.at_least(held.bound, NO_CUTS) is held
    assert held.at_least(held.bound - 1, NO_CUTS) is held
    assert held.at_least(held.bound + 1, NO_CUTS).bound == held.bound + 1


def test_told_to_stop_the_best_so_far_stays(every_plan):
    task, best, held, _ = next(starts(every_plan))
    found = connect.connect(task, held, proof=True, seed=0, watch=lambda _cost, _bound: False)
    assert held.bound <= found.bound <= best
    assert found.cost == held.cost
