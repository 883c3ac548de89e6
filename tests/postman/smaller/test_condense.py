"""What is left out of a problem before it is solved changes nothing: held against exact programs."""

import numpy as np
import pytest
from postman_oracle import optimum, random_candidates, random_problem, run_on_optimum

from stitchpath.postman.model.problem import Problem
from stitchpath.postman.smaller.condense import condensed
from stitchpath.postman.smaller.vicinity import vicinity


def lessened(problem, doors):
    """The problem without what no cheapest plan goes to, chains as edges; and the doors in it."""
    kept, ends = vicinity(problem, doors)
    near = kept[problem.tails] & kept[problem.heads]
    assert near[problem.required].all()
    arrays = (problem.tails, problem.heads, problem.cost, problem.required, problem.extra)
    inner = Problem(problem.size, *(array[near] for array in arrays), np.where(ends, problem.end_cost, -1))
    stays = ends.copy()
    stays[doors] = True
    runs = condensed(inner, stays)
    chains = np.split(runs.edges, runs.first[1:-1])
    ways = np.split(runs.forward, runs.first[1:-1])
    for tail, head, chain, forward in zip(runs.tails, runs.heads, chains, ways, strict=True):
        begins = np.where(forward, inner.tails[chain], inner.heads[chain])
        ends = np.where(forward, inner.heads[chain], inner.tails[chain])
        assert (np.append(begins, head) == np.append(tail, ends)).all()
    small = Problem(
        problem.size,
        runs.tails,
        runs.heads,
        np.array([inner.cost[chain].sum() for chain in chains]),
        np.array([inner.required[chain[0]] for chain in chains]),
        np.array([inner.extra[chain].min() for chain in chains]),
        inner.end_cost,
    )
    return small, chains


@pytest.mark.parametrize("block", range(4))
def test_the_optimum_stays_what_it_was(block):
    fewer = chains = 0
    for seed in range(75 * block, 75 * block + 75):
        problem = random_problem(seed, hub=True)
        best = optimum(problem)
        if best is None:
            continue
        small, runs = lessened(problem, np.zeros(0, int))
        assert optimum(small) == best, seed
        fewer += len(runs) < len(problem.tails)
        chains += any(len(run) > 1 for run in runs)
    assert fewer > 10
    assert chains > 1


def test_the_optimum_stays_where_trails_may_be_run_on_from():
    compared = 0
    for seed in range(120):
        problem = random_problem(seed, hub=True)
        if not (problem.end_cost >= 0).any():
            continue
        doors = np.unique(random_candidates(problem, seed))
        best = run_on_optimum(problem, doors)
        if best is None:
            continue
        small, _ = lessened(problem, doors)
        assert run_on_optimum(small, doors) == best, seed
        compared += 1
    assert compared > 50


def test_loops_rings_and_what_leads_to_them_are_left_out():
    """Beside the required edge: a way to a loop, a loop at its end, and a ring that hangs on nothing."""
    tails = np.array([0, 1, 2, 3, 4, 1, 5, 6, 7, 8, 9])
    heads = np.array([1, 2, 3, 4, 2, 5, 6, 1, 8, 9, 7])
    required = np.arange(11) == 0
    problem = Problem(10, tails, heads, np.full(11, 5), required, np.full(11, 2), np.full(10, 3))
    assert condensed(problem, np.zeros(10, bool)).edges.tolist() == [0]
    kept = condensed(problem, np.isin(np.arange(10), [4, 8]))
    assert [part.tolist() for part in np.split(kept.edges, kept.first[1:-1])] == [[0], [1], [2, 3], [4]]
