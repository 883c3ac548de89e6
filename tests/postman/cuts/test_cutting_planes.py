"""Cutting planes and the integer program, each alone, against networkx and an exact program of the tests'."""

from dataclasses import replace

import numpy as np
import pytest
from cutting_cases import first_cost, islands, problems
from postman_oracle import optimum, random_candidates, random_problem, run_on_optimum

from stitchpath.postman.cuts.cut_sets import (
    CONNECTED,
    Cuts,
)
from stitchpath.postman.cuts.cutting_planes import Task, raise_bound, relaxed_at
from stitchpath.postman.cuts.whole_rows import cut_rows
from stitchpath.postman.model.net import NO_DOORS, is_plan, make_net, price
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.search import dive
from stitchpath.postman.solve import solve

NEAR = 1e-6


def test_bounds_are_none_above_an_optimum():
    higher = 0
    for problem, best, _ in problems(150):
        task = Task(problem, None, NO_DOORS)
        plain = raise_bound(task.net, most=best + 5, rounds=60)
        higher_value = raise_bound(task.net, most=best + 5, rounds=60, halves=10)
        assert plain.value <= higher_value.value + NEAR <= best + 2 * NEAR
        for raised in (plain, higher_value):
            assert relaxed_at(task, raised.certificate).bound <= best
        higher += (
            relaxed_at(task, plain.certificate).bound
            > relaxed_at(task, replace(plain.certificate, pay=0 * plain.certificate.pay)).bound
        )
    assert higher > 5


@pytest.mark.parametrize("seed", range(40))
def test_bounds_with_a_start_and_with_doors(seed):
    problem = random_problem(seed, hub=True)
    start = seed % problem.size
    tasks = [(Task(problem, start, NO_DOORS), optimum(problem, start=start))]
    if (problem.end_cost >= 0).any():
        doors = np.unique(random_candidates(problem, seed))
        tasks.append((Task(problem, None, doors), run_on_optimum(problem, doors)))
    for task, best in tasks:
        if best is not None:
            spare = best - first_cost(problem)
            raised = raise_bound(task.net, most=spare + 5, rounds=60, halves=10)
            assert raised.value <= spare + NEAR
            assert relaxed_at(task, raised.certificate).bound <= spare


def test_a_dive_keeps_the_gate_of_a_plan_or_drops_it():
    """From a plan without one, or with a poor one, to the best with that gate or none, most times."""
    met = better = 0
    for seed in range(20):
        problem = islands(seed, end_cost=15)
        side = round(problem.size**0.5)
        doors = np.sort(np.random.default_rng(seed).permutation(problem.size - 1)[: 2 * side])
        net, costs = make_net(problem, doors=doors), []
        raised = raise_bound(net, most=10**9, rounds=20)
        for start in (-1, int(doors[0])):
            first, best = (
                solve(problem, start=None if start < 0 else start, effort=effort)
                for effort in ("quick", "proof")
            )
            assert best.optimal
            costs.append(best.cost - first_cost(problem) - 15 * (start >= 0))
            plan = np.zeros(len(net.tails), np.int8)
            plan[: net.asked] = first.copies
            plan[net.asked : net.choices.start - 1] = first.ends[problem.end_cost >= 0]
            plan[net.choices.start + (start >= 0)] = 1
            assert is_plan(net, plan)
            assert is_plan(net, dive._without_gate(net, plan))
            found = dive.dived_plan(net, plan, known=raised.known, taken=raised.taken)
            assert is_plan(net, found)
            assert min(costs) <= price(net, found) <= price(net, plan)
            met += min(costs) == price(net, found)
            better += price(net, found) < price(net, plan)
    assert met > 36
    assert better > 15


def test_a_walk_that_would_have_to_come_back_costs_what_it_does():
    """Two required edges u-v and two islands on a way from v to u: passing once leaves u and v odd."""
    tails, heads = np.array([0, 0, 1, 2, 1, 2, 3]), np.array([3, 3, 1, 2, 0, 1, 2])
    required = np.array([True] * 4 + [False] * 3)
    problem = Problem(4, tails, heads, np.ones(7, int), required, np.where(required, 1, 2), None)
    net = make_net(problem)
    assert raise_bound(net, most=9, rounds=50).value == pytest.approx(3)
    islands_both = cut_rows(net, Cuts(np.array([0, 1, 1, 0]), np.array([1]), CONNECTED))
    assert raise_bound(net, most=9, rounds=50, halves=5, base=islands_both).value == pytest.approx(4)
    assert optimum(problem) - 4 == 4
