"""A network with nothing in it that no cheapest plan needs one by one.

Between the vertices that matter, optional edges make long chains: each becomes one edge. What leads nowhere
is left out, and so is an optional edge that a cheaper way goes round, over edges that may be taken twice.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.chains import dominated
from stitchpath.postman.net import pruned
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
    optional = np.flatnonzero(_needed(problem))
    joined = _joined(problem, optional, stays)
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


def _joined(problem: Problem, edges: NDArray[np.intp], stays: NDArray[np.bool_]) -> list[Run]:
    """Join edges at vertices where just two meet, and leave out those that end where nothing else begins."""
    kept = pruned(problem.tails, problem.heads, edges, stays)
    runs = [_single(problem, edge) for edge in kept.tolist()]
    while True:
        ends = np.array([(run.tail, run.head) for run in runs], np.intp).reshape(-1, 2).T
        through = ~stays & (np.bincount(ends.ravel(), minlength=problem.size) == 2)
        inside = (through[ends[0]] | through[ends[1]]).tolist()
        if not any(inside):
            return runs
        chains = _chained([run for run, is_inside in zip(runs, inside, strict=True) if is_inside], through)
        runs = [run for run, is_inside in zip(runs, inside, strict=True) if not is_inside]
        runs += [run for run in chains if run.tail != run.head]
        ends = np.array([(run.tail, run.head) for run in runs], np.intp).reshape(-1, 2).T
        runs = [runs[number] for number in pruned(ends[0], ends[1], np.arange(len(runs)), stays).tolist()]


def _chained(runs: Sequence[Run], through: NDArray[np.bool_]) -> list[Run]:
    """Join runs at all vertices that they lead through."""
    at: dict[int, set[int]] = {}
    alive = dict(enumerate(runs))
    for number, run in alive.items():
        for vertex in (run.tail, run.head):
            at.setdefault(vertex, set()).add(number)
    for vertex in sorted(vertex for vertex in at if through[vertex]):
        if len(at[vertex]) == 2:
            one, two = sorted(at[vertex])
            joined = alive[one].then(alive.pop(two), vertex)
            alive[one] = joined
            for end in {joined.tail, joined.head}:
                at[end] = (at[end] - {two}) | {one}
    return list(alive.values())
