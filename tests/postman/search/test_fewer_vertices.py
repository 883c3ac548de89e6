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
