"""Zero-half cuts, against exact programs of the tests' and every plan there is."""

from dataclasses import replace

import numpy as np
import pytest
from cutting_cases import both, first_cost, islands, parts, problems
from postman_oracle import optimum

from stitchpath.postman.cuts import zero_half as halves
from stitchpath.postman.cuts.cut_sets import Taken, first_cuts
from stitchpath.postman.cuts.cutting_planes import raise_bound
from stitchpath.postman.cuts.whole_rows import cut_rows, no_rows, spread_rows
from stitchpath.postman.cuts.zero_half import half_rows
from stitchpath.postman.model.net import make_net
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.solve import solve

NEAR = 1e-6


def halves_of(problem, rounds, seed=0):
    """What zero-half cuts a linear program's answer misses, as rows of copies, and that answer."""
    net = make_net(problem)
    most = solve(problem, effort="quick").cost - first_cost(problem)
    raised = raise_bound(net, most=most, rounds=rounds)
    rows, least = spread_rows(net, half_rows(net, raised.taken, raised.base, seed=seed))
    return rows.toarray(), least, [both(raised.taken)] * len(least)


@pytest.fixture(params=["whole", "windows"])
def windowed(request, monkeypatch):
    """Whether zero-half cuts are sought in windows also where the whole network would do."""
    if request.param == "windows":
        monkeypatch.setattr(halves, "_MOST_VERTICES", 1)
        monkeypatch.setattr(halves, "_WINDOW", 30)
    return request.param == "windows"


def test_zero_half_cuts_hold_for_every_walk(windowed):
    """The least that copies can come to, by an exact program of its own, is what a cut says, or more."""
    found = tight = 0
    for seed in range(120):
        problem = islands(seed)
        for row, least, taken in zip(*halves_of(problem, rounds=10), strict=True):
            assert row @ taken < least
            if row.min() < 0:
                continue
            single, pair = np.split(row, 2)
            exact = optimum(replace(problem, cost=single), pairs=pair) - int(single[problem.required].sum())
            assert exact >= least
            found += 1
            tight += exact == least
    assert found > (10 if windowed else 15)
    assert tight > 0.9 * found


def test_zero_half_cuts_hold_for_the_cheapest_trails():
    """With ends of trails and limits, none cuts off a plan of least cost, nor lifts a bound above that."""
    found = 0
    for problem, best, copies in problems(160):
        rows, least, _ = halves_of(problem, rounds=10)
        assert (rows @ both(parts(make_net(problem), copies)) >= least).all()
        found += len(least)
        raised = raise_bound(make_net(problem), most=best + 5, rounds=60, halves=10)
        assert raised.value <= best + NEAR
    assert found > 10


def test_zero_half_cuts_hold_for_good_trails(windowed):
    """None cuts off a plan that costs little more than the least, where trails may end everywhere."""
    found = 0
    for seed in range(20):
        problem = islands(seed, end_cost=20)
        rows, least, _ = halves_of(problem, rounds=30)
        answer = solve(problem)
        plan = parts(make_net(problem), np.append(answer.copies, answer.ends))
        assert (rows @ both(plan) >= least).all()
        found += len(least)
    assert found > (1 if windowed else 5)


def test_no_answer_misses_one_where_there_is_nothing_to_reach():
    problem = Problem(2, np.array([0]), np.array([1]), np.array([3]), np.array([True]), np.array([1]), None)
    net = make_net(problem)
    assert len(half_rows(net, Taken(np.zeros(1), np.zeros(1)), no_rows(net)).least) == 0


def test_they_hold_for_every_plan_there_is(every_plan):
    """Made of any valid rows, whatever the answer that misses them."""
    found = 0
    for seed, (*_, net, plans) in enumerate(every_plan):
        base = cut_rows(net, *first_cuts(net))
        single = np.random.default_rng(seed).choice([0, 0.5, 0.5, 1], (3, len(net.tails)))
        for row in np.where(net.extra > 0, single, 0):
            taken = Taken(row, np.zeros(len(row)))
            spread, least = spread_rows(net, half_rows(net, taken, base))
            assert (spread @ both(taken) < least).all()
            for plan in plans[:: max(1, len(plans) // 40)]:
                assert (spread @ both(parts(net, plan)) >= least).all()
            found += len(least)
    assert found > 30
