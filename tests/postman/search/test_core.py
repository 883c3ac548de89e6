"""The integer program over some edges, against an exact program of the tests'."""

import numpy as np
from cutting_cases import problems, worsened

from stitchpath.postman.cuts.columns import Columns, known_cuts, no_cuts
from stitchpath.postman.cuts.cut_sets import first_cuts
from stitchpath.postman.model.net import is_plan, make_net, price
from stitchpath.postman.search.core import Core, core_plan, regional_plan


def test_a_core_of_all_edges_is_exact_and_a_small_one_never_worse():
    better = 0
    for seed, (problem, best, copies) in enumerate(problems(120)):
        net = make_net(problem)
        limits = {"known": no_cuts(net), "nodes": 10_000, "work": 100_000}
        everything = np.ones(len(net.tails), bool)
        whole = core_plan(net, None, free=everything, **limits)
        assert whole.ended
        assert price(net, whole.plan) == best
        worse = worsened(net, copies)
        free = np.random.default_rng(seed).random(len(net.tails)) < 0.5
        for search in (core_plan, lambda *a, **k: regional_plan(*a, **k, goal=-1)):
            some = search(net, worse, free=free, **limits)
            assert is_plan(net, some.plan)
            assert best <= price(net, some.plan) <= price(net, worse)
            assert (some.plan == worse)[~free].all() or price(net, some.plan) < price(net, worse)
        better += price(net, some.plan) < price(net, worse)
    assert better > 10


def without_loops(net, plans):
    """Leave out plans with copies of loops, which no search makes or takes away."""
    return plans[(plans[:, net.tails == net.heads] == 0).all(axis=1)]


def test_a_core_of_all_edges_finds_the_best_of_all_plans(every_plan):
    """From none, from the worst, or from the best: which ends the search, and is what the bound comes to."""
    for *_, net, plans in every_plan[:40]:
        able = without_loops(net, plans)
        costs = [price(net, plan) for plan in able]
        limits = {"known": no_cuts(net), "nodes": 10_000, "work": 100_000}
        for begun in (None, able[int(np.argmax(costs))]):
            found = core_plan(net, begun, free=np.ones(len(net.tails), bool), **limits)
            assert found.ended
            assert is_plan(net, found.plan)
            assert price(net, found.plan) == min(costs)
            assert found.bound <= min(costs) + 1e-6


def test_what_is_not_free_stays_as_it_is(every_plan):
    """The best of the plans that agree with the first one on all kept edges, but for pairs stripped."""
    fewer = 0
    for number, (*_, net, plans) in enumerate(every_plan[:40]):
        free = np.random.default_rng(number).random(len(net.tails)) < 0.6
        able = without_loops(net, plans)
        plan = able[-1]
        agree = able[(able[:, ~free] == plan[~free]).all(axis=1)]
        found = core_plan(net, plan, free=free, known=no_cuts(net), nodes=10_000, work=100_000)
        assert price(net, found.plan) <= min(price(net, one) for one in agree)
        fewer += len(agree) < len(able)
    assert fewer > 20


def test_a_search_told_to_stop_keeps_the_plan(every_plan):
    *_, net, plans = every_plan[0]
    limits = {"known": no_cuts(net), "nodes": 9, "work": 99, "go_on": lambda _: False}
    for search, more in ((core_plan, {}), (regional_plan, {"goal": -99})):
        found = search(net, plans[-1], free=np.ones(len(net.tails), bool), **limits, **more)
        assert (found.plan == plans[-1]).all()
        assert not found.ended


def test_a_program_s_columns_are_a_plan_s_copies(every_plan):
    """Each plan's columns are within all limits and cost what it costs; and give back its copies."""
    for *_, net, plans in every_plan[:40]:
        core = Core(Columns.of(net, np.ones(len(net.tails), bool)), np.zeros(len(net.tails), np.int8))
        program = core.program(known_cuts(net, first_cuts(net)))
        for plan in plans[:: max(1, len(plans) // 10)]:
            values = core.of_plan(plan)
            rows = program.rows @ values
            assert (values <= program.upper).all()
            assert (program.least <= rows).all()
            assert (rows <= program.most).all()
            links = np.isin(np.arange(len(plan)), net.links)
            assert program.costs @ values == int(net.cost[links] @ plan[links])
            assert (core.copies(values)[links] == plan[links]).all()
