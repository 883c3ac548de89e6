"""What is known before any plan is sought, against exact programs."""

import numpy as np
import pytest
from cutting_cases import first_cost
from postman_oracle import optimum, random_candidates, random_problem, run_on_optimum

from stitchpath.postman.errors import NoPlanError
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.relaxed.outset import make_outset


def test_a_goal_bounds_every_plan_and_is_met_where_worlds_hang_together():
    for seed in range(30):
        tame = seed % 2 == 0
        problem = random_problem(seed, tame=tame)
        best = optimum(problem)
        if best is not None:
            goal = make_outset(problem).goal
            assert goal <= best - first_cost(problem)
            assert not tame or goal == best - first_cost(problem)


def test_a_start_inside_or_outside_of_all_worlds():
    outside = 0
    for seed in range(30):
        problem = random_problem(seed, hub=True, tame=True)
        start = int(np.random.default_rng(seed).integers(problem.size))
        outset = make_outset(problem, start=start)
        assert outset.goal == optimum(problem, start=start) - first_cost(problem), seed
        assert outset.start == start
        assert outset.net.tails[-1] == start
        assert int(outset.relaxed @ outset.net.cost) == outset.goal
        outside += outset.worlds.of[start] < 0
    assert outside > 1


def test_the_door_that_gains_most_is_run_on_from():
    """The goal less what running on gives back: what the exact program comes to with any door or none."""
    ran = stayed = 0
    for seed in range(30):
        problem = random_problem(seed, hub=True, tame=True)
        doors = random_candidates(problem, seed)
        outset = make_outset(problem, doors=doors)
        best = run_on_optimum(problem, doors) - first_cost(problem)
        assert outset.goal - outset.refund == best, seed
        if outset.start < 0:
            assert outset.refund == 0
            stayed += 1
            continue
        assert outset.start in doors
        assert outset.refund == problem.end_cost[outset.start]
        assert best < outset.without.goal == make_outset(problem).goal
        ran += 1
    assert ran > 8
    assert stayed > 1


def test_what_worlds_force_by_hand():
    """Two edges apart, ends at 1, 2 and 3, 4: two ends each at the cheaper side; run into one, one there."""
    ends = np.array([0, 2]), np.array([1, 3])
    two = Problem(4, *ends, np.ones(2, int), np.ones(2, bool), np.ones(2, int), np.arange(1, 5))
    assert make_outset(two).forced == 2 * 1 + 2 * 3
    assert make_outset(two, start=3).forced == 2 * 1 + 3
    closed = Problem(2, [0], [1], [3], np.array([True]), [1], None)
    assert make_outset(closed).forced == 0
    assert make_outset(closed).goal == 3


def test_what_running_on_gives_back_may_be_told():
    one = Problem(2, [0], [1], [3], np.array([True]), [1], np.array([4, 5]))
    doors = np.array([0, 1])
    assert make_outset(one, doors=doors).start == 1
    outset = make_outset(one, doors=doors, paid=np.array([7, 5]))
    assert (outset.start, outset.refund, outset.goal) == (0, 7, 5)


def test_required_edges_out_of_reach_are_refused():
    ends = np.array([0, 2]), np.array([1, 3])
    two = Problem(4, *ends, np.ones(2, int), np.ones(2, bool), np.ones(2, int), None)
    with pytest.raises(NoPlanError, match="vertex 2"):
        make_outset(two)
