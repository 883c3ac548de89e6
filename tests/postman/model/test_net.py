"""The network that plans are made on, against every plan there is and an exact program of the tests'."""

import numpy as np
import pytest
from cutting_cases import first_cost
from postman_oracle import optimum, run_on_optimum

from stitchpath.postman.model.net import (
    NO_DOORS,
    capped,
    complete,
    is_plan,
    make_net,
    price,
    pruned,
    stripped,
)
from stitchpath.postman.model.problem import Problem


def test_a_plan_is_what_trying_all_copies_finds(every_plan):
    rng = np.random.default_rng(0)
    refused = 0
    for *_, net, plans in every_plan:
        assert all(is_plan(net, plan) for plan in plans)
        known = set(map(tuple, plans.tolist()))
        for copies in rng.integers(0, net.most + 1, (20, len(net.tails))).astype(np.int8):
            assert is_plan(net, copies) == (tuple(copies.tolist()) in known)
            refused += tuple(copies.tolist()) not in known
        over = plans[0] + 2 * (np.arange(len(net.tails)) == 0).astype(np.int8)
        assert is_plan(net, over) == bool(over[0] <= net.extra[0])
    assert refused > 100


def test_the_cheapest_plan_costs_what_an_exact_program_comes_to(every_plan):
    """A closed walk, trails, or doors of which at most one is run on from: all are plans on a net."""
    for problem, doors, net, plans in every_plan[::3] + every_plan[2::3]:
        best = run_on_optimum(problem, doors) if len(doors) else optimum(problem)
        assert min(price(net, plan) for plan in plans) == best - first_cost(problem)


def test_a_free_start_is_one_more_edge(every_plan):
    problem, *_ = every_plan[1]
    net = make_net(problem, start=1)
    assert (net.tails[-1], net.heads[-1], net.cost[-1], net.required[-1]) == (1, net.hub, 0, True)
    plans = np.indices(net.most + 1).reshape(len(net.tails), -1).T.astype(np.int8)
    costs = [price(net, copies) for copies in plans if is_plan(net, copies)]
    assert min(costs) == optimum(problem, start=1) - first_cost(problem)


def test_ends_gates_and_the_way_back_are_edges():
    edge = (np.array([x]) for x in (0, 1, 4, True, 1))
    net = make_net(Problem(2, *edge, np.array([3, 5])), doors=np.array([1]))
    assert list(zip(net.tails.tolist(), net.heads.tolist(), net.cost.tolist(), strict=True)) == [
        (0, 1, 4), (0, 2, 3), (1, 2, 5), (3, 2, 0), (3, 2, 0), (1, 3, -5),
    ]  # fmt: skip
    assert (net.hub, net.yard, net.anchor, net.asked) == (2, 3, 2, 1)
    assert net.required.tolist() == [True, False, False, True, False, False]
    assert net.inner.tolist() == [True] + [False] * 5
    assert np.arange(6)[net.choices].tolist() == [4, 5]
    assert net.ways.tolist() == [0, 1, 2, 4]
    plain = make_net(Problem(2, *(np.array([x]) for x in (0, 1, 4, True, 1)), None))
    assert (plain.hub, plain.yard, plain.anchor, len(plain.aside)) == (-1, -1, -1, 0)


def test_copies_are_capped_in_pairs():
    problem = Problem(2, [0, 0], [1, 1], [1, 1], np.array([True, False]), [2, 2], None)
    net = make_net(problem)
    for times, kept in (((0, 0), (0, 0)), ((1, 2), (1, 2)), ((2, 3), (0, 1)), ((3, 4), (1, 2))):
        assert capped(net, np.array(times)).tolist() == list(kept)


def test_stripped_plans_stay_plans_and_cost_no_more(every_plan):
    """None of what is left can be dropped pair by pair."""
    less = 0
    for *_, net, plans in every_plan:
        for plan in plans[:: max(1, len(plans) // 30)]:
            kept = stripped(net, plan)
            assert is_plan(net, kept)
            assert ((kept == plan) | (kept == 0)).all()
            less += price(net, kept) < price(net, plan)
            for twice in np.flatnonzero((kept == 2) & ~net.required):
                assert not is_plan(net, np.where(np.arange(len(kept)) == twice, 0, kept).astype(np.int8))
    assert less > 50


def test_a_plan_s_edges_are_completed_to_a_plan_no_dearer(every_plan):
    """What the plan takes of them beyond once makes the rest even, and a least join is no dearer."""
    made = 0
    for *_, net, plans in every_plan:
        for plan in plans[:: max(1, len(plans) // 10)]:
            if plan[net.choices.start + 1 : net.choices.stop].any():
                continue
            whole = complete(net, np.flatnonzero(~net.required & (plan > 0)))
            assert is_plan(net, whole)
            assert price(net, whole) <= price(net, plan)
            made += 1
    assert made > 50


def test_a_bridge_that_may_be_taken_once_only_completes_nothing():
    rings = Problem(2, [0, 1, 0], [0, 1, 1], [1, 1, 1], [True, True, False], [0, 0, 1], None)
    assert complete(make_net(rings), np.array([2])) is None
    twice = Problem(2, [0, 1, 0], [0, 1, 1], [1, 1, 1], [True, True, False], [0, 0, 2], None)
    assert complete(make_net(twice), np.array([2])).tolist() == [0, 0, 2]


def test_twigs_that_reach_nothing_are_cut():
    """A star of three paths: those stay that lead to a vertex wanted; with none nothing is left."""
    tails, heads = np.array([0, 1, 0, 3, 0, 5]), np.array([1, 2, 3, 4, 5, 6])
    must = np.isin(np.arange(7), [2, 3])
    assert pruned(tails, heads, np.arange(6), must).tolist() == [0, 1, 2]
    assert pruned(tails, heads, np.arange(6), np.zeros(7, bool)).tolist() == []


@pytest.mark.parametrize("doors", [NO_DOORS, np.array([0])])
def test_without_ends_there_is_no_hub(doors):
    problem = Problem(1, [0], [0], [2], [True], [0], None)
    assert make_net(problem, doors=doors).hub == -1
