"""What a linear program begins with, its branches, and the search that follows it."""

import numpy as np
from cutting_cases import first_cost, islands
from postman_oracle import run_on_optimum

from stitchpath.postman.cuts.cutting_planes import Task, raise_bound
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.solve import solve

NEAR = 1e-6


def test_half_of_each_of_two_gates_is_no_way_to_run_on():
    """Gates that led to the hub, whose degree is free, would be taken by halves, for 49 less."""
    ends = np.array([0, 1, 2]), np.array([1, 2, 3])
    kind = np.array([True, False, False]), np.array([1, 2, 2])
    problem = Problem(4, *ends, np.array([10, 200, 1]), *kind, np.full(4, 50))
    doors = np.array([2, 3])
    best = run_on_optimum(problem, doors) - first_cost(problem)
    net = Task(problem, None, doors).net
    assert raise_bound(net, most=best + 10, rounds=20).value == best
    assert solve(problem, candidates=doors).cost == best + first_cost(problem)


def run_on_problems(count):
    """Problems on grids with several gates, and what each way of running on costs at least."""
    for seed in range(count):
        problem = islands(seed, end_cost=15)
        side = round(problem.size**0.5)
        doors = int(np.random.default_rng(seed).integers(0, problem.size - side - 1)) + np.array([0, 1, side])
        plans = [solve(problem, start=int(door), effort="proof") for door in doors]
        assert all(plan.optimal for plan in plans)
        yield problem, doors, plans


def test_what_a_program_comes_to_and_leaves_out_holds_for_every_gate():
    """No plan through any gate costs less than the value, nor less than what any edge it takes costs more."""
    apart = reduced = 0
    for problem, doors, plans in run_on_problems(24):
        net = Task(problem, None, doors).net
        raised = raise_bound(net, most=10**9, rounds=8, halves=1)
        costs = [plan.cost - first_cost(problem) - 15 for plan in plans]
        assert raised.value <= min(costs) + NEAR
        for gate, (plan, cost) in enumerate(zip(plans, costs, strict=True)):
            gates = np.arange(len(doors)) == gate
            taken = np.concatenate([plan.copies, plan.ends[problem.end_cost >= 0], [0, 0], gates]) > 0
            assert (raised.value + raised.reduced[taken] <= cost + NEAR).all()
            reduced += (raised.reduced[taken] > NEAR).any()
        apart += max(costs) > min(costs)
    assert reduced > 5
    assert apart > 3
