"""Solved on fewer vertices, and told of the whole."""

import numpy as np
from postman_oracle import optimum

from stitchpath.postman.cuts.columns import no_cuts
from stitchpath.postman.cuts.cutting_planes import Task
from stitchpath.postman.model.net import NO_DOORS, is_plan
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.relaxed.outset import make_outset
from stitchpath.postman.search import fewer_vertices
from stitchpath.postman.search.connect import Held
from stitchpath.postman.smaller.bypass import bypassed


def test_copies_that_come_together_are_dropped_in_pairs():
    """Three rings around a vertex: two ways there and back past it are four copies of an edge they share."""
    rings = np.arange(1, 4)
    tails, heads = np.append(rings, np.zeros(3, int)), np.append(rings, rings)
    required = np.arange(6) < 3
    problem = Problem(4, tails, heads, np.array([1, 1, 1, 5, 5, 5]), required, 2 - required, None)
    small = bypassed(problem, np.zeros(4, bool))
    assert len(small.problem.tails) == 6
    task = Task(problem, None, NO_DOORS)
    less = make_outset(small.problem)
    twice = np.where((small.problem.tails == 1) | (small.problem.heads == 1), 2, 0) * ~small.problem.required
    times, _ = small.times(twice, np.zeros(3, int))
    assert sorted(times[3:].tolist()) == [2, 2, 4]
    held = Held(less, twice.astype(np.int8), 0, no_cuts(less.net))
    found = fewer_vertices.restored(task, make_outset(problem), small, held)
    assert found.plan.tolist() == [0, 0, 0, 2, 2, 2]


def test_a_start_that_gains_nothing_is_paid_for_where_it_is():
    """The only other end lies behind a dear edge, with vertices between that are passed by."""
    line = np.arange(8), np.arange(1, 9), np.full(8, 50), np.arange(8) == 0, np.full(8, 2)
    problem = Problem(9, *line, np.where(np.arange(9) % 7 == 1, 2, np.where(np.arange(9) == 0, 2, -1)))
    task = Task(problem, 8, NO_DOORS)
    small = fewer_vertices.fewer(task)
    less = fewer_vertices.on_fewer(task, small)
    assert len(small.vertices) == 3
    outset = make_outset(less.problem, start=less.start)
    plan = np.zeros(len(outset.net.tails), np.int8)
    plan[(outset.net.heads == outset.net.hub) & ~outset.net.required] = 1
    found = fewer_vertices.restored(
        task, make_outset(problem, start=8), small, Held(outset, plan, 0, no_cuts(outset.net))
    )
    assert is_plan(found.outset.net, found.plan)
    assert 50 + found.cost == optimum(problem, start=8) == 50 + 2 + 2 + 2


def path_task(size, *, start=None, doors=NO_DOORS):
    """Make the task of a path whose first edge is required; ends cost the same everywhere."""
    ends = np.full(size, 50)
    edges = np.arange(size - 1), np.arange(1, size), np.full(size - 1, 5), np.arange(size - 1) == 0
    return Task(Problem(size, *edges, np.full(size - 1, 2), ends), start, doors)


def test_where_few_can_be_passed_by_nothing_is_made_smaller():
    """A share of four in five may be left; starts and doors stay."""
    ring = np.arange(4), np.roll(np.arange(4), 1), np.ones(4, int), np.ones(4, bool), np.ones(4, int)
    assert fewer_vertices.fewer(Task(Problem(4, *ring, None), None, NO_DOORS)) is None
    task = path_task(9, start=8)
    smaller = fewer_vertices.fewer(task)
    assert 8 in smaller.vertices
    less = fewer_vertices.on_fewer(task, smaller)
    assert smaller.vertices[less.start] == 8
    doors = np.array([4, 7])
    task = path_task(9, doors=doors)
    smaller = fewer_vertices.fewer(task)
    less = fewer_vertices.on_fewer(task, smaller)
    assert smaller.vertices[less.doors].tolist() == doors.tolist()
    assert less.start is None


def test_what_is_known_of_fewer_is_told_of_the_whole():
    """A closed walk there and back along a path: copies, bound and cost are the whole problem's."""
    edges = np.arange(8), np.arange(1, 9), np.full(8, 5), np.isin(np.arange(8), [0, 7])
    problem = Problem(9, *edges, np.where(np.isin(np.arange(8), [0, 7]), 1, 2), None)
    task = Task(problem, None, NO_DOORS)
    smaller = fewer_vertices.fewer(task)
    less = fewer_vertices.on_fewer(task, smaller)
    outset = make_outset(less.problem)
    plan = np.where(less.problem.required, 1, 2).astype(np.int8)
    held = Held(outset, plan, 70, no_cuts(outset.net))
    found = fewer_vertices.restored(task, make_outset(problem), smaller, held)
    assert found.plan.tolist() == [1, 2, 2, 2, 2, 2, 2, 1]
    assert found.cost == held.cost == optimum(problem) - 10
    assert found.bound == 70
    assert found.certificate.smaller is smaller
