"""A network with nothing in it that no cheapest plan needs one by one.

Between the vertices that matter, optional edges make long chains: each becomes one edge. What leads nowhere
is left out, and so is an optional edge that a cheaper way goes round, over edges that may be taken twice.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.chains import dominated
from stitchpath.postman.problem import Problem

__all__ = ["Run", "condensed"]


@dataclass(frozen=True, slots=True)
class Run:
    """Edges that are taken one after another or not at all: from `tail` to `head`, each forwards or not."""

    tail: int
    head: int
    edges: tuple[int, ...]
    forward: tuple[bool, ...]

    def then(self, other: "Run", at: int) -> "Run":
        """Return this run and another one that meets it at a vertex."""
        one = self if self.head == at else self.turned()
        two = other if other.tail == at else other.turned()
        return Run(one.tail, two.head, one.edges + two.edges, one.forward + two.forward)

    def turned(self) -> "Run":
        """Return the run the other way round."""
        back = tuple(not way for way in reversed(self.forward))
        return Run(self.head, self.tail, self.edges[::-1], back)


def condensed(problem: Problem, kept: NDArray[np.bool_]) -> tuple[Run, ...]:
    """Return the runs that a problem's edges make.

    Parameters
    ----------
    problem
        The problem.
    kept
        (n,) vertices that stay whatever meets there: where trails may end or be run on from.

    Returns
    -------
    tuple of Run
        Required edges by themselves, in their order; then optional ones, by their least edge.

    Examples
    --------
    >>> path = np.arange(4), np.arange(1, 5), np.ones(4, int), np.arange(4) == 0, np.full(4, 2)
    >>> line = Problem(5, *path, np.full(5, 3))
    >>> [run.edges for run in condensed(line, np.arange(5) == 4)]
    [(0,), (1, 2, 3)]
    >>> [run.edges for run in condensed(line, np.zeros(5, bool))]
    [(0,)]
    >>> condensed(Problem(0, *[np.array([])] * 5, None), np.zeros(0, bool))
    ()
    """
    stays = kept.copy()
    stays[problem.tails[problem.required]] = stays[problem.heads[problem.required]] = True
    required = np.flatnonzero(problem.required).tolist()
    optional = np.flatnonzero(_needed(problem)).tolist()
    joined = _joined([_single(problem, edge) for edge in optional], stays.tolist())
    return (*(_single(problem, edge) for edge in required), *sorted(joined, key=lambda run: min(run.edges)))


def _needed(problem: Problem) -> NDArray[np.bool_]:
    """Tell which optional edges no cheaper way goes round."""
    able = (problem.extra > 0) & (problem.tails != problem.heads)
    twice = np.flatnonzero(able & (problem.extra >= np.where(problem.required, 1, 2)))
    out = dominated(problem.size, problem.tails[twice], problem.heads[twice], problem.cost[twice])
    needed: NDArray[np.bool_] = able & ~problem.required
    needed[twice[out]] = False
    return needed


def _single(problem: Problem, edge: int) -> Run:
    return Run(int(problem.tails[edge]), int(problem.heads[edge]), (edge,), (True,))


def _joined(runs: Sequence[Run], stays: Sequence[bool]) -> list[Run]:
    """Join runs at vertices where just two meet, and leave out those that end where nothing else begins."""
    at: dict[int, set[int]] = {}
    alive = dict(enumerate(runs))
    for number, run in alive.items():
        for vertex in (run.tail, run.head):
            at.setdefault(vertex, set()).add(number)
    open_ends = sorted(vertex for vertex in at if not stays[vertex])
    while open_ends:
        vertex = open_ends.pop()
        here = sorted(at[vertex])
        loops = [n for n in here if alive[n].tail == alive[n].head]
        if loops or len(here) == 1:
            for number in loops or here:
                run = alive.pop(number)
                for end in {run.tail, run.head}:
                    at[end].discard(number)
                    open_ends += [] if stays[end] else [end]
        elif len(here) == 2:
            one, two = here
            joined = alive[one].then(alive.pop(two), vertex)
            alive[one] = joined
            at[vertex] = set()
            for end in {joined.tail, joined.head}:
                at[end] = (at[end] - {two}) | {one}
                open_ends += [] if stays[end] else [end]
    return [run for run in alive.values() if run.tail != run.head]
