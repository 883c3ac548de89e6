"""What a job needs of the network: what hangs together with its lines, and what a cheapest plan can use."""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.planning.sides import Sides
from stitchpath.planning.weights import Weights
from stitchpath.postman.graphs import components
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.smaller.condense import condensed
from stitchpath.postman.smaller.vicinity import vicinity
from stitchpath.postman.trails.walks import Trail

__all__ = ["Part", "part_of", "usable_part"]


@dataclass(frozen=True, eq=False)
class Part:
    """What a job needs of the network, renumbered from 0; chains of edges that it travels are one edge each.

    Attributes
    ----------
    sides
        The network, cut by faces or not.
    chain, forward, first
        Edge e of the part is a chain of the edges of `sides`, ``chain[first[e]:first[e + 1]]``, each taken
        forwards or not.
    vertices
        Their numbers in `sides`, ascending.
    tails, heads, required, extra
        The edges of the part; a required one is one edge of the network.
    ends
        (n,) where a path may pay to end.
    """

    sides: Sides
    chain: NDArray[np.intp]
    forward: NDArray[np.bool_]
    first: NDArray[np.intp]
    vertices: NDArray[np.intp]
    tails: NDArray[np.intp]
    heads: NDArray[np.intp]
    required: NDArray[np.bool_]
    extra: NDArray[np.int8]
    ends: NDArray[np.bool_]

    @property
    def edges(self) -> NDArray[np.intp]:
        """The network's edge that each of its own is, or begins with; -1 for a crossing."""
        return self.sides.edge[self.chain[self.first[:-1]]]

    @property
    def junctions(self) -> NDArray[np.intp]:
        """The network's junction of each vertex."""
        return self.sides.junction[self.vertices]

    @property
    def headings(self) -> NDArray[np.float64]:
        """(2, k) the direction in which each edge leaves its tail, and its head."""
        ends = np.stack([self.first[:-1], self.first[1:] - 1])
        back = self.forward[ends] ^ np.array([[True], [False]])
        headings: NDArray[np.float64] = self.sides.headings[back.astype(np.intp), self.chain[ends]]
        return headings

    @property
    def crossings(self) -> NDArray[np.int64]:
        """(k,) how many crossings each edge makes."""
        across = self.sides.crossing[self.chain].astype(np.int64)
        return np.add.reduceat(across, self.first[:-1]) if len(across) else across

    def times(self, often: NDArray[np.int64]) -> NDArray[np.int64]:
        """Return (M,) how often each edge of `sides` is sewn if those of the part are as often as told."""
        each = np.repeat(often, np.diff(self.first))
        return np.bincount(self.chain, each, len(self.sides.edge)).astype(np.int64)

    def holds(self, sides: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """Tell which of its edges hold some of (M,) the edges of `sides`."""
        return np.add.reduceat(sides[self.chain], self.first[:-1], dtype=np.int64) > 0

    @cached_property
    def world(self) -> NDArray[np.intp]:
        """Which of its junctions hang together."""
        return components(len(self.vertices), self.tails, self.heads, np.arange(len(self.tails)))[1]

    def end_cost(self, weights: Weights, *, open_ends: bool = True) -> NDArray[np.int64]:
        """Return what an end at each junction costs, -1 where none may be.

        Parameters
        ----------
        open_ends
            False: in seams only, wherever what hangs together has any.
        """
        cost, seam = weights.end[self.junctions], weights.seam[self.junctions]
        kept = self.ends if open_ends else self.ends & (seam | ~np.isin(self.world, self.world[seam]))
        return np.where(kept, cost, -1)

    def travel(self, weights: Weights) -> NDArray[np.int64]:
        """Return (k,) what travel over each edge costs, and leaving blocks on the way."""
        cost = np.append(weights.travel, weights.leaving)[self.sides.edge[self.chain]]
        return np.add.reduceat(cost, self.first[:-1]) if len(cost) else cost

    def problem(self, weights: Weights, *, open_ends: bool = True) -> Problem:
        """Return the rural postman problem on it."""
        return Problem(
            size=len(self.vertices),
            tails=self.tails,
            heads=self.heads,
            cost=self.travel(weights),
            required=self.required,
            extra=self.extra,
            end_cost=self.end_cost(weights, open_ends=open_ends),
            unit=weights.unit_s,
        )

    def own(self, junctions: NDArray[np.intp]) -> NDArray[np.intp]:
        """Return the part's own numbers of those of the network's junctions that it has."""
        return np.flatnonzero(np.isin(self.junctions, junctions))

    def whole(self, trail: Trail) -> Trail:
        """Return a trail of the part as one of the network."""
        count = np.diff(self.first)[trail.edges]
        begin = np.where(trail.forward, self.first[trail.edges], self.first[trail.edges + 1] - 1)
        place = np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count)
        along = np.repeat(trail.forward, count)
        at = np.repeat(begin, count) + np.where(along, place, -place)
        edge = self.sides.edge[self.chain[at]]
        return replace(
            trail,
            edges=edge[edge >= 0],
            forward=(self.forward[at] == along)[edge >= 0],
            first=int(self.junctions[trail.first]),
            last=int(self.junctions[trail.last]),
        )


def usable_part(
    sides: Sides,
    weights: Weights,
    required: NDArray[np.bool_],
    sewn: NDArray[np.int64],
    reached: NDArray[np.intp] | None = None,
    *,
    shut: NDArray[np.bool_] | None = None,
    kept: NDArray[np.int64] | None = None,
) -> Part:
    """Return what a job may use of the network: the worlds that hold a required edge.

    Parameters
    ----------
    sides
        The network, cut by faces or not.
    weights
        What its edges cost, and how often each may be sewn.
    required
        (m,) what the job must sew.
    sewn
        (m,) how often each edge was sewn before, or will be besides. Sewn edges and hidden seams may be
        travelled, within what is left of their most times.
    reached
        The edges in reach, ascending; None: all.
    shut
        (M,) sides that may not be travelled; None: none.
    kept
        (m,) how often each edge must be left to later jobs; None: never.

    Examples
    --------
    >>> from stitchpath import CostSettings, Drawing, Line, MachineSettings, ScheduleSettings
    >>> from stitchpath.planning.network import build_network
    >>> from stitchpath.planning.sides import whole_sides
    >>> from stitchpath.planning.weights import weigh
    >>> network = build_network(Drawing((Line([(0, 0), (9, 0)]), Line([(9, 0), (9, 9)]))))
    >>> weights = weigh(network, cost=CostSettings(), machine=MachineSettings(), schedule=ScheduleSettings())
    >>> sides, required = whole_sides(network), np.array([True, False])
    >>> [len(usable_part(sides, weights, required, np.array([0, sewn])).tails) for sewn in (0, 1)]
    [1, 2]
    """
    edge, across = sides.edge, sides.crossing
    asked = required[edge] & sides.required & ~across
    taken = sewn + required if kept is None else sewn + required + kept
    left = np.where(across, 2, np.clip(weights.most - taken, 0, 2)[edge])
    if shut is not None:
        left[shut & ~asked] = 0
    able = across | ((weights.stage < 0) | (sewn > 0) | required)[edge]
    usable = asked | (able & (left > 0))
    if reached is not None:
        usable &= _in_reach(sides, reached, len(required))
    usable &= ~sides.spared(usable, asked)
    chosen = np.flatnonzero(usable)
    part = _numbered(sides, chosen, asked[chosen], left[chosen])
    holds = np.zeros(int(part.world.max(initial=-1)) + 1, dtype=bool)
    holds[part.world[part.tails[part.required]]] = True
    kept = holds[part.world[part.tails]]
    return _numbered(sides, part.chain[kept], part.required[kept], part.extra[kept])


def _in_reach(sides: Sides, reached: NDArray[np.intp], size: int) -> NDArray[np.bool_]:
    """Tell what of a network's sides lies in reach; a crossing does if a side that meets it does."""
    inside = np.zeros(size, dtype=bool)
    inside[reached] = True
    near = inside[sides.edge] & ~sides.crossing
    touched = np.zeros(len(sides.junction), dtype=bool)
    touched[sides.tails[near]] = touched[sides.heads[near]] = True
    return near | (sides.crossing & (touched[sides.tails] | touched[sides.heads]))


def part_of(weights: Weights, usable: Part, doors: NDArray[np.intp], *, open_ends: bool = True) -> Part:
    """Return the part of the network that a job needs: where a cheapest plan can go, with chains as one edge.

    Parameters
    ----------
    weights
        What edges and ends cost.
    usable
        What `usable_part` returns.
    doors
        Junctions that may be run on from.
    open_ends
        As for `Part.end_cost`.
    """
    within, ends = vicinity(usable.problem(weights, open_ends=open_ends), usable.own(doors))
    kept = within[usable.tails] & within[usable.heads]
    near = _numbered(
        usable.sides,
        usable.chain[kept],
        usable.required[kept],
        usable.extra[kept],
        ends=usable.vertices[ends],
    )
    return _condensed(near, near.problem(weights))


def _numbered(
    sides: Sides,
    edges: NDArray[np.intp],
    required: NDArray[np.bool_],
    left: NDArray[Any],
    *,
    ends: NDArray[np.intp] | None = None,
) -> Part:
    """Return a part of the network edge by edge."""
    vertices, place = np.unique((sides.tails[edges], sides.heads[edges]), return_inverse=True)
    tails, heads = place.reshape(2, -1)
    every, able = np.ones(len(edges), dtype=bool), np.ones(len(vertices), dtype=bool)
    if ends is not None:
        able = np.isin(vertices, ends)
    first = np.arange(len(edges) + 1)
    return Part(sides, edges, every, first, vertices, tails, heads, required, left.astype(np.int8), able)


def _condensed(part: Part, problem: Problem) -> Part:
    """Make one edge of each chain that a part's edges make."""
    runs = condensed(problem, part.ends)
    used, place = np.unique((runs.tails, runs.heads), return_inverse=True)
    tails, heads = place.reshape(2, -1)
    edges, begins = runs.edges, runs.first[:-1]
    return Part(
        part.sides,
        part.chain[edges],
        runs.forward,
        runs.first,
        part.vertices[used],
        tails,
        heads,
        part.required[edges[begins]],
        np.minimum.reduceat(part.extra[edges], begins) if len(begins) else part.extra[:0],
        part.ends[used],
    )
