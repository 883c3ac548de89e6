"""Problems for tests of cutting planes, and what copies are in columns."""

from functools import cache

import numpy as np
from postman_oracle import even_problem, optimum, random_problem

from stitchpath.postman.cuts.columns import Columns
from stitchpath.postman.errors import NoPlanError
from stitchpath.postman.model.net import is_plan
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.solve import solve


def problems(count):
    """Problems with a solution, what they cost beyond first traversals, and copies that do."""
    return solved()[:count]


@cache
def solved():
    found = []
    for seed in range(160):
        problem = (random_problem, even_problem)[seed % 2](seed)
        try:
            answer = solve(problem, effort="proof")
        except NoPlanError:
            continue
        ends = np.zeros(0, int) if problem.end_cost is None else answer.ends[problem.end_cost >= 0]
        copies = np.append(answer.copies, ends)
        found.append((problem, optimum(problem) - first_cost(problem), copies))
    return found


def first_cost(problem):
    return int(problem.cost[problem.required].sum())


def parts(net, copies):
    """What copies are in singles and pairs."""
    columns = Columns.of(net, np.ones(len(net.tails), bool))
    return columns.taken(columns.of_copies(copies))


def both(taken):
    return np.append(taken.single, taken.pair)


def worsened(net, copies):
    """Add pairs to a plan where it stays one."""
    worse = np.minimum(copies + 2 * (np.arange(len(copies)) % 3 == 0), net.extra)
    worse = np.where((copies - worse) % 2 == 0, worse, copies).astype(np.int8)
    return worse if is_plan(net, worse) else copies


def islands(seed, end_cost=None):
    """Make a problem on a grid: a fourth of the edges is required, in many parts; ends cost all the same."""
    rng = np.random.default_rng(seed)
    side = int(rng.integers(5, 8))
    at = np.arange(side * side).reshape(side, side)
    tails, heads = np.append(at[:, :-1], at[:-1]), np.append(at[:, 1:], at[1:])
    required = rng.random(len(tails)) < 0.25
    required[0] = True
    cost = rng.integers(1, 20, len(tails))
    ends = None if end_cost is None else np.full(side * side, end_cost)
    return Problem(side * side, tails, heads, cost, required, np.where(required, 1, 2), ends)
