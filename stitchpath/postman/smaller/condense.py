"""A network reduced to the edges that some cheapest plan may need; the rest is merged or left out.

Between the vertices that matter, optional edges make long chains: each becomes one edge. Dead ends are left
out, and so is an optional edge if a way round it, over edges that may be taken twice, is cheaper. This is
exact. With `stitchpath.postman.smaller.vicinity` before it, a block's job of 680 to 940 edges and ends
becomes one of 160 to 390. On 15 jobs the plans of the whole network cost the same, but for a single unit on
one of them (measured 2026-11-26).

What it gains (measured 2026-11-30; edges and ends of a job on average, seconds of CPU of all 15):

                           size without    with  s without   with
    jobs of blocks, 4 x 4           896     348        7.9    5.6
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.graphs import Halves
from stitchpath.postman.joins.chains import dominated
from stitchpath.postman.model.net import pruned
from stitchpath.postman.model.problem import Problem

__all__ = ["Runs", "condensed"]

_Ints = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Runs:
    """Runs of edges that are taken one after another or not at all.

    Attributes
    ----------
    edges, forward
        (k,) the edges of all runs, one run after another, and whether each is gone along forwards.
    first
        (count + 1,) where each run begins among them, and where the last one ends.
    tails, heads
        (count,) the vertices that each run leads from and to.
    """

    edges: _Ints
    forward: NDArray[np.bool_]
    first: _Ints
    tails: _Ints
    heads: _Ints


def condensed(problem: Problem, kept: NDArray[np.bool_]) -> Runs:
    """Return the runs that a problem's edges make.

    Parameters
    ----------
    problem
        The problem.
    kept
        (n,) vertices that stay whatever meets there: where trails may end or be run on from.

    Returns
    -------
    Runs
        Required edges by themselves, in their order; then optional ones, by their least edge.

    Examples
    --------
    >>> path = np.arange(4), np.arange(1, 5), np.ones(4, int), np.arange(4) == 0, np.full(4, 2)
    >>> line = Problem(5, *path, np.full(5, 3))
    >>> runs = condensed(line, np.arange(5) == 4)
    >>> runs.edges, runs.first, runs.tails, runs.heads
    (array([0, 1, 2, 3]), array([0, 1, 4]), array([0, 1]), array([1, 4]))
    >>> condensed(line, np.zeros(5, bool)).edges
    array([0])
    >>> condensed(Problem(0, *[np.array([])] * 5, None), np.zeros(0, bool)).first
    array([0])
    """
    stays = kept.copy()
    stays[problem.tails[problem.required]] = stays[problem.heads[problem.required]] = True
    required = np.flatnonzero(problem.required)
    halves, at = _chained(problem, np.flatnonzero(_needed(problem)), stays)
    half, first = np.append(2 * required, halves), np.append(np.arange(len(required)), len(required) + at)
    ends = np.stack([problem.tails, problem.heads], axis=1).ravel()
    return Runs(half >> 1, half & 1 == 0, first, ends[half[first[:-1]]], ends[half[first[1:] - 1] ^ 1])


def _needed(problem: Problem) -> NDArray[np.bool_]:
    """Tell which optional edges no cheaper way goes round."""
    able = (problem.extra > 0) & (problem.tails != problem.heads)
    twice = np.flatnonzero(able & (problem.extra >= np.where(problem.required, 1, 2)))
    out = dominated(problem.size, problem.tails[twice], problem.heads[twice], problem.cost[twice])
    needed: NDArray[np.bool_] = able & ~problem.required
    needed[twice[out]] = False
    return needed


def _chained(problem: Problem, edges: _Ints, stays: NDArray[np.bool_]) -> tuple[_Ints, _Ints]:
    """Join edges at vertices where just two meet, and leave out what comes back or leads nowhere.

    Returns
    -------
    half, first
        The half-edges of all chains, each in the direction of its least edge, by which they are ordered; and
        where each begins, and the last one ends.
    """
    while True:
        edges = pruned(problem.tails, problem.heads, edges, stays)
        half, chain = _followed(problem, edges, stays)
        begins = np.flatnonzero(np.diff(chain, prepend=-1))
        first = np.append(begins, len(chain))
        ends = np.stack([problem.tails, problem.heads], axis=1).ravel()
        onward = ends[half[begins]] != ends[half[first[1:] - 1] ^ 1]
        if onward.all():
            break
        edges = np.unique(half[np.repeat(onward, np.diff(first))] >> 1)
    least = np.minimum.reduceat(half, begins) if len(begins) else begins
    chosen = np.flatnonzero(least & 1 == 0)
    chosen = chosen[np.argsort(least[chosen])]
    count = np.diff(first)[chosen]
    new = np.append(0, np.cumsum(count))
    place = np.arange(new[-1]) - np.repeat(new[:-1], count)
    return half[np.repeat(begins[chosen], count) + place], new


def _followed(problem: Problem, edges: _Ints, stays: NDArray[np.bool_]) -> tuple[_Ints, _Ints]:
    """Follow all chains at once from where they begin, each from both its ends.

    Returns
    -------
    half, chain
        (k,) the half-edges of the problem one after another, and the number of the chain each belongs to.
    """
    halves = Halves(problem.size, problem.tails[edges], problem.heads[edges])
    through = ~stays & (np.bincount(halves.tail, minlength=problem.size) == 2)
    now = np.flatnonzero(~through[halves.tail])
    chain = np.arange(len(now))
    gone = [(now, chain)]
    while len(going := np.flatnonzero(through[halves.head(now)])):
        now, chain = halves.onward(now[going]), chain[going]
        gone.append((now, chain))
    half, chain = (np.concatenate(part) for part in zip(*gone, strict=True))
    order = np.argsort(chain, kind="stable")
    half = half[order]
    return 2 * edges[half >> 1] + (half & 1), chain[order]
