"""The same problem with fewer vertices: those that no required edge touches are bypassed.

A walk only passes through such a vertex, from one neighbour to another. So the vertex is left out, and each
two of its neighbours are joined by an edge that costs as much as the way through it, unless there is a way
that is no longer. (Christofides et al. 1981 do so for all vertices at once, by shortest paths; taking one
after another, those with the fewest neighbours first, keeps the graph sparse, as in elimination.) It may be
done where all edges at the vertex may be taken twice: then any number of passes is as good as one or two. It
is done where it spares at least a fifth of the vertices.

Cutting planes and plans gain by it. On 1,000 random points with three or four neighbours each, a quarter of
the edges required, plan and bound were 2.4 and 1.3 % apart after 46 and 67 s; now they are 0.3 and 0.1 %
apart after 14 and 5. Of ten jobs of fills sewn last, in rows of a 10 x 10 top, most came nearer to their
bound in half the time. On Winter Orchard, whose outlines may only be taken once and so keep their vertices,
less than a fifth is spared, and nothing is gained (measured 2026-11-27).

The bound is proven for the smaller graph. Its cuts prove half as much in the whole one, whichever side a
bypassed vertex is put on, and growing new cuts in the whole graph took longer than everything else. So a
result says what the smaller graph is, and `stitchpath.postman.proof.smaller_graph` checks by distances that
it costs no more.
"""

from dataclasses import dataclass
from heapq import heapify, heappop, heappush

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.model.problem import Problem

__all__ = ["Bypassed", "bypassed"]

_MOST_NEIGHBOURS = 6
"""With more a vertex stays: in place of seven edges there might be one for each of 21 pairs of neighbours."""

_Ints = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Bypassed:
    """A smaller problem with the same optimum, and the way back.

    Attributes
    ----------
    problem
        The smaller problem.
    vertices
        (its size,) which vertex of the first problem each of its vertices is.
    nearest
        (first size,) the vertex of the smaller problem that each is, or hung on by the cheapest edge.
    """

    problem: Problem
    vertices: _Ints
    nearest: _Ints
    _edges: _Ints
    _parts: tuple[tuple[int, int], ...]
    _out: dict[int, tuple[int, int]]
    _asked: int

    def times(self, copies: NDArray[np.int8], ends: NDArray[np.int64]) -> tuple[_Ints, _Ints]:
        """Return how often copies and trail ends of the smaller problem take each edge and end of the first.

        Pairs of copies that come together on an edge are not dropped.
        """
        often = np.zeros(self._asked + len(self._parts), np.intp)
        often[self._edges] = copies
        stops = np.zeros(len(self.nearest), np.intp)
        for vertex, count in zip(self.vertices[ends > 0].tolist(), ends[ends > 0].tolist(), strict=True):
            at = vertex
            while at in self._out:
                edge, at = self._out[at]
                often[edge] += count
            stops[at] += count
        for number in range(len(self._parts) - 1, -1, -1):
            often[list(self._parts[number])] += often[self._asked + number]
        return often[: self._asked], stops


def bypassed(problem: Problem, kept: NDArray[np.bool_]) -> Bypassed:
    """Leave out vertices that can be passed by.

    Parameters
    ----------
    problem
        The problem.
    kept
        (n,) vertices that stay in any case, with what an end there costs: a start, or where trails may be run
        on from.

    Examples
    --------
    >>> path = np.arange(4), np.arange(1, 5), np.arange(1, 5), np.arange(4) % 3 == 0, np.full(4, 2)
    >>> small = bypassed(Problem(5, *path, None), np.zeros(5, bool))
    >>> small.problem.cost, small.vertices, small.nearest
    (array([1, 4, 5]), array([0, 1, 3, 4]), array([0, 1, 1, 2, 3]))
    >>> small.times(np.array([1, 1, 2]), np.zeros(4, int))[0]
    array([1, 2, 2, 1])
    >>> bypassed(Problem(0, *[np.array([])] * 5, None), np.zeros(0, bool)).vertices
    array([], dtype=int64)
    """
    rest = _Rest(problem, kept)
    rest.leave_out()
    return rest.close()


class _Rest:
    """What is left of a problem: edges that may be taken twice, by their ends; all others stay."""

    def __init__(self, problem: Problem, kept: NDArray[np.bool_]) -> None:
        self._problem, self._kept = problem, kept
        loop = problem.tails == problem.heads
        self._stays = problem.required | ((problem.extra == 1) & ~loop)
        self._near: list[dict[int, tuple[int, int]]] = [{} for _ in range(problem.size)]
        self._parts: list[tuple[int, int]] = []
        self._ends = None if problem.end_cost is None else problem.end_cost.tolist()
        self._out: dict[int, tuple[int, int]] = {}
        self._hung: dict[int, int] = {}
        for edge in np.flatnonzero(~problem.required & (problem.extra > 1) & ~loop).tolist():
            self._join(int(problem.tails[edge]), int(problem.heads[edge]), int(problem.cost[edge]), edge)

    def _join(self, one: int, other: int, cost: int, edge: int) -> None:
        if other not in self._near[one] or cost < self._near[one][other][0]:
            self._near[one][other] = self._near[other][one] = cost, edge

    def leave_out(self) -> None:
        """Leave out vertices, fewest neighbours first."""
        stays = self._kept.copy()
        stays[self._problem.tails[self._stays]] = stays[self._problem.heads[self._stays]] = True
        near = self._near
        waiting = [(len(near[vertex]), vertex) for vertex in np.flatnonzero(~stays).tolist()]
        heapify(waiting)
        while waiting:
            count, vertex = heappop(waiting)
            if vertex in self._hung or count != len(near[vertex]) or count > _MOST_NEIGHBOURS:
                continue
            if self._pass_by(vertex):
                for neighbour in near[vertex]:
                    if not stays[neighbour]:
                        heappush(waiting, (len(near[neighbour]), neighbour))
                near[vertex] = {}

    def _pass_by(self, vertex: int) -> bool:
        """Join a vertex's neighbours past it, unless an end at a kept one would cost less by it."""
        around = list(self._near[vertex].items())
        if not self._ended_past(vertex):
            return False
        for neighbour, _ in around:
            del self._near[neighbour][vertex]
        for place, (one, (cost, edge)) in enumerate(around):
            for other, (more, next_edge) in around[:place]:
                if not self._goes_round(one, other, cost + more):
                    self._parts.append((edge, next_edge))
                    self._join(one, other, cost + more, len(self._problem.tails) + len(self._parts) - 1)
        self._hung[vertex] = min(around, key=lambda pair: pair[1])[0] if around else -1
        return True

    def _ended_past(self, vertex: int) -> bool:
        """Let ends at a vertex be reached from its neighbours, unless one of them is to keep its own cost."""
        ends = self._ends
        if ends is None or ends[vertex] < 0:
            return True
        cheaper = [
            (neighbour, cost + ends[vertex], edge)
            for neighbour, (cost, edge) in self._near[vertex].items()
            if not 0 <= ends[neighbour] <= cost + ends[vertex]
        ]
        if any(self._kept[neighbour] for neighbour, _, _ in cheaper):
            return False
        for neighbour, cost, edge in cheaper:
            ends[neighbour], self._out[neighbour] = cost, (edge, vertex)
        return True

    def _goes_round(self, one: int, other: int, cost: int) -> bool:
        """Tell whether another way of one or two edges is no longer."""
        few, many = sorted((self._near[one], self._near[other]), key=len)
        return (other in self._near[one] and self._near[one][other][0] <= cost) or any(
            middle in many and way + many[middle][0] <= cost for middle, (way, _) in few.items()
        )

    def close(self) -> Bypassed:
        """Return what is left, without edges that others go round."""
        near = self._near
        edges = [(c, u, v, e) for u in range(len(near)) for v, (c, e) in near[u].items() if u < v]
        left = []
        for cost, one, other, edge in sorted(edges, reverse=True):
            del near[one][other], near[other][one]
            if not self._goes_round(one, other, cost):
                near[one][other] = near[other][one] = cost, edge
                left.append((one, other, cost, edge))
        return self._closed(np.array(sorted(left), np.int64).reshape(-1, 4))

    def _closed(self, free: NDArray[np.int64]) -> Bypassed:
        problem, stays = self._problem, np.flatnonzero(self._stays)
        vertices = np.setdiff1d(np.arange(problem.size), np.array(list(self._hung), np.intp))
        nearest = np.zeros(problem.size, np.intp)
        nearest[vertices] = np.arange(len(vertices))
        for vertex, on in reversed(self._hung.items()):
            nearest[vertex] = nearest[on] if on >= 0 else 0
        smaller = Problem(
            len(vertices),
            nearest[np.append(problem.tails[stays], free[:, 0])],
            nearest[np.append(problem.heads[stays], free[:, 1])],
            np.append(problem.cost[stays], free[:, 2]),
            np.append(problem.required[stays], np.zeros(len(free), bool)),
            np.append(problem.extra[stays], np.full(len(free), 2)),
            None if self._ends is None else np.array(self._ends, np.int64)[vertices],
            problem.unit,
        )
        edges = np.append(stays, free[:, 3])
        return Bypassed(smaller, vertices, nearest, edges, tuple(self._parts), self._out, len(problem.tails))
