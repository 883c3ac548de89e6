"""Where a cheapest plan can go: no farther from required edges than it costs to end there and start anew.

Between two visits of required edges, at u and at v, a walk over optional edges can be replaced by ending at u
and beginning again at v. So no cheapest plan passes a vertex w that is farther from every u than the cheapest
way from u to an end: dist(u, w) + dist(w, v) would be more than both ways together. The ways themselves only
use edges that may be taken twice, so that they fit in beside whatever else is taken there.

Nor does a trail end anywhere but where the cheapest way from something required leads, or where earlier
trails ended, unless a way that may only be taken once is cheaper still. Tests against exact programs found
that exception: dropping every end but the cheapest is wrong where a way that may be taken once leads to a
cheaper one (2026-11-26).

What it gains (measured 2026-11-30; edges and ends of a job on average, seconds of CPU of all 15):

                           size without    with  s without   with
    jobs of blocks, 4 x 4         2,712     348       35.1    5.6

Without it no chain is made one edge either (`condense`), since a trail might end anywhere on it.
"""

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.graphs import Ways, shortest
from stitchpath.postman.model.problem import Problem

__all__ = ["vicinity", "ways_out"]


def vicinity(problem: Problem, doors: NDArray[np.intp]) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Tell which vertices some cheapest plan keeps to, and at which of them its trails end.

    Parameters
    ----------
    problem
        With ends; every vertex may be one or not.
    doors
        Vertices that may be run on from, their ends paid for.

    Returns
    -------
    kept, ends : (n,) bool
        All others can be left out, and their edges, and all other ends: neither the least cost nor what is
        proven changes. Doors stay ends.

    Examples
    --------
    A path of four edges, the first required; an end costs 3 everywhere.

    >>> path = np.arange(4), np.arange(1, 5), np.array([2, 2, 2, 2]), np.arange(4) == 0
    >>> line = Problem(5, *path, np.array([1, 2, 2, 2]), np.full(5, 3))
    >>> kept, ends = vicinity(line, np.zeros(0, int))
    >>> kept.tolist(), ends.tolist()
    ([True, True, True, False, False], [True, True, False, False, False])
    >>> vicinity(line, np.array([4]))[0].tolist()
    [True, True, True, True, True]
    >>> vicinity(Problem(0, *[np.array([])] * 5, np.array([])), np.zeros(0, int))[0].tolist()
    []
    """
    everything = np.ones(problem.size, bool)
    if problem.end_cost is None:
        return everything, everything
    ends, required = problem.end_cost, problem.required
    outward = _outward(problem, ends)
    touched = np.zeros(problem.size, bool)
    touched[problem.tails[required]] = touched[problem.heads[required]] = True
    if (outward.distance[:-1][touched] < 0).any():
        return everything, ends >= 0
    spare = np.where(touched, outward.distance[:-1], -1)
    spare[doors] = np.maximum(spare[doors], ends[doors])
    most = int(spare.max(initial=0))
    near = _ways(problem, required | (problem.extra > 0), np.flatnonzero(spare >= 0), most - spare)
    inside = (near.distance[:-1] >= 0) & (near.distance[:-1] <= most)
    chosen = np.zeros(problem.size, bool)
    chosen[_firsts(outward, problem.size)[:-1][spare >= 0]] = True
    chosen |= _cheaper_once(problem, np.where(touched, outward.distance[:-1], -1))
    chosen &= ends >= 0
    chosen[doors] = True
    return inside, chosen


def _cheaper_once(problem: Problem, out: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Tell at which ends a trail costs less than `out`, (n,), by a way that may be taken once only."""
    ends = np.full(problem.size, -1) if problem.end_cost is None else problem.end_cost
    anyhow = _ways(problem, problem.extra > 0, np.flatnonzero(ends >= 0), ends).distance[:-1]
    from_here = np.flatnonzero(anyhow < out)
    most = int(out.max(initial=0))
    far = _ways(problem, problem.extra > 0, from_here, most - out).distance[:-1]
    cheaper: NDArray[np.bool_] = (far >= 0) & (far + ends < most)
    return cheaper


def ways_out(problem: Problem) -> NDArray[np.int64]:
    """Return (n,) what the cheapest way from each vertex to an end costs, that end included; -1 if none is.

    Examples
    --------
    >>> path = np.arange(2), np.arange(1, 3), np.array([2, 2]), np.array([True, False]), np.array([1, 2])
    >>> ways_out(Problem(3, *path, np.array([9, -1, 3])))
    array([7, 5, 3])
    >>> ways_out(Problem(0, *[np.array([])] * 5, np.array([], int)))
    array([], dtype=int64)
    """
    ends = np.full(problem.size, -1) if problem.end_cost is None else problem.end_cost
    return _outward(problem, ends).distance[:-1]


def _outward(problem: Problem, ends: NDArray[np.int64]) -> Ways:
    """Return the cheapest ways to ends, over what can be taken beside anything else."""
    twice = problem.extra >= np.where(problem.required, 1, 2)
    return _ways(problem, twice, np.flatnonzero(ends >= 0), ends)


def _ways(
    problem: Problem, able: NDArray[np.bool_], first: NDArray[np.intp], begin: NDArray[np.int64]
) -> Ways:
    """Return the cheapest ways to every vertex from one more, which leads to some, each at a cost."""
    size = problem.size
    tails = np.append(problem.tails, np.full(len(first), size))
    heads = np.append(problem.heads, first)
    cost = np.append(problem.cost, begin[first])
    index = np.append(np.flatnonzero(able), len(problem.tails) + np.arange(len(first)))
    return shortest(size + 1, tails, heads, cost, index=index, sources=np.array([size]))


def _firsts(ways: Ways, source: int) -> NDArray[np.intp]:
    """Return for each vertex the first one on its way from the source; itself where no way leads."""
    before = np.where(ways.before < 0, np.arange(len(ways.before)), ways.before)
    on = np.where(before == source, np.arange(len(before)), before)
    while (on[on] != on).any():
        on = on[on]
    return on
