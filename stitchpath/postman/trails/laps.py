"""Laps: closed rounds that are walked whole, put into the trails where they first arrive."""

from collections.abc import Sequence
from itertools import chain

import numpy as np
from numpy.typing import ArrayLike, NDArray

from stitchpath.postman.trails.lap_removal import loose_laps
from stitchpath.postman.trails.pairing import HalfEdges, pair_costs
from stitchpath.postman.trails.trail import Trail, from_departures, rotate_closed, vertices_of
from stitchpath.postman.trails.walks import trace

__all__ = ["insert_laps", "loose_laps"]

Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]


def insert_laps(
    trails: Sequence[Trail],
    *,
    tails: ArrayLike,
    heads: ArrayLike,
    laps_edges: Sequence[ArrayLike],
    headings: ArrayLike | None = None,
) -> tuple[Trail, ...]:
    """Walk each lap in one unbroken round where the trails, in their order, first come to it.

    A trail's first vertex counts. Of the two directions it takes the one that turns less, in and out. A lap
    that no trail comes to is put in where another lap comes to it, and breaks that one; as few are broken as
    a greedy choice finds.

    Parameters
    ----------
    trails
        In walking order.
    tails, heads, headings
        As for `stitchpath.postman.trails.walks.trace`.
    laps_edges
        Each lap's edges, in any order.

    Raises
    ------
    ValueError
        If a lap's edges are no closed round, or nothing comes to it.

    Examples
    --------
    >>> tails, heads = np.array([0, 1, 2, 0]), np.array([1, 2, 0, 3])
    >>> (trail,) = insert_laps([Trail([3], [True], 0, 3)], tails=tails, heads=heads, laps_edges=[[0, 1, 2]])
    >>> trail.edges.tolist()
    [0, 1, 2, 3]
    >>> insert_laps([], tails=tails, heads=heads, laps_edges=[])
    ()
    """
    tail, head = np.asarray(tails, dtype=np.intp), np.asarray(heads, dtype=np.intp)
    angle = np.zeros((2, len(tail))) if headings is None else np.asarray(headings, dtype=np.float64)
    sides = HalfEdges(np.stack((tail, head), axis=1).ravel(), np.arange(2 * len(tail)), angle.T.ravel())
    rounds = _rounds([np.asarray(edges, dtype=np.intp) for edges in laps_edges], tail, head, angle)
    result = tuple(trails)
    left = dict(enumerate(vertices_of(r, tails=tail, heads=head)[:-1] for r in rounds))
    size = 1 + max((int(sides.at.max(initial=-1)), *(trail.first for trail in trails)))
    hangs_on = np.ones(size, dtype=np.bool_)
    while left:
        places = _arrivals(result, left, hangs_on, tail, head)
        if not places:
            raise ValueError(f"nothing comes to lap {min(left)}; leave it among the edges to trace")
        result = tuple(
            from_departures(
                _laid(trail, places[number], rounds, sides), tails=tail, heads=head, first=trail.first
            )
            if number in places
            else trail
            for number, trail in enumerate(result)
        )
        now = {lap: left.pop(lap) for _, laps in chain.from_iterable(places.values()) for lap in laps}
        hangs_on = _carriers(now, left, size)
    return result


def _rounds(laps: list[Ints], tails: Ints, heads: Ints, angle: Floats) -> list[Trail]:
    """Return each lap as one closed trail."""
    if not laps:
        return []
    edges = np.concatenate(laps)
    of = np.repeat(np.arange(len(laps)), [len(lap) for lap in laps])
    spots = np.stack((of, tails[edges], of, heads[edges]), axis=1).reshape(-1, 2)
    known, own = np.unique(spots, axis=0, return_inverse=True)
    own = own.reshape(-1, 2)
    odd = np.flatnonzero(np.bincount(own.ravel(), minlength=len(known)) & 1)
    if len(odd):
        lap, vertex = known[odd[0]]
        raise ValueError(f"lap {lap} does not close at vertex {vertex}; give a closed round")
    found = trace(
        size=len(known),
        tails=own[:, 0],
        heads=own[:, 1],
        times=np.ones(len(edges), np.intp),
        ends=np.zeros(len(known), np.intp),
        headings=angle[:, edges],
    )
    if [int(of[trail.edges[0]]) for trail in found] != list(range(len(laps))):
        raise ValueError("a lap is empty or falls apart; give the edges of one closed round for each")
    return [
        from_departures(2 * edges[trail.edges] + ~trail.forward, tails=tails, heads=heads) for trail in found
    ]


_Places = dict[int, list[tuple[int, list[int]]]]


def _arrivals(
    trails: Sequence[Trail], visits: dict[int, Ints], hangs_on: Bools, tails: Ints, heads: Ints
) -> _Places:
    """Return, by trail, the places where laps are first come to, ascending, with the laps."""
    through = [vertices_of(trail, tails=tails, heads=heads) for trail in trails]
    begins = np.cumsum([0, *map(len, through)])
    walked = np.concatenate((np.zeros(0, np.intp), *through))
    first = np.full(len(hangs_on), len(walked), dtype=np.intp)
    at = np.flatnonzero(hangs_on[walked])[::-1]
    first[walked[at]] = at
    found: dict[int, list[int]] = {}
    for lap, vertices in visits.items():
        found.setdefault(int(first[vertices].min()), []).append(lap)
    found.pop(len(walked), None)
    places: _Places = {}
    for place in sorted(found):
        trail = int(np.searchsorted(begins, place, side="right")) - 1
        places.setdefault(trail, []).append((place - int(begins[trail]), found[place]))
    return places


def _laid(
    trail: Trail, places: list[tuple[int, list[int]]], rounds: list[Trail], sides: HalfEdges
) -> list[int]:
    """Return the steps of a trail with laps put in at places."""
    steps: list[int] = trail.departures().tolist()
    result: list[int] = []
    done = 0
    for place, laps in places:
        result += steps[done:place]
        done = place
        vertex = int(sides.at[steps[place]]) if place < len(steps) else trail.last
        for lap in laps:
            result += _smoother(rounds[lap], vertex, result[-1:], steps[place : place + 1], sides)
    return result + steps[done:]


def _smoother(lap: Trail, vertex: int, before: list[int], after: list[int], sides: HalfEdges) -> list[int]:
    """Return a lap's steps from a vertex, in the direction that costs less between these steps, if any."""
    tails, heads = sides.at[0::2], sides.at[1::2]
    ahead = rotate_closed(lap, vertex, tails=tails, heads=heads).departures()
    back = (ahead ^ 1)[::-1]
    came = np.array(before, dtype=np.intp) ^ 1
    going = np.array(after, dtype=np.intp)

    def cost(steps: Ints) -> float:
        into = pair_costs(sides, came, steps[:1][: len(came)])
        out = pair_costs(sides, steps[-1:][: len(going)] ^ 1, going)
        return float(into.sum() + out.sum())

    chosen: list[int] = (ahead if cost(ahead) <= cost(back) else back).tolist()
    return chosen


def _carriers(laid: dict[int, Ints], left: dict[int, Ints], size: int) -> Bools:
    """Return the vertices of those laps, of the ones just laid, that are to be broken for laps left over.

    Greedily, those to which most are come that no other carries.
    """
    waiting: dict[int, list[int]] = {}
    for lap, vertices in left.items():
        for vertex in vertices.tolist():
            waiting.setdefault(vertex, []).append(lap)
    reach = {
        lap: {other for vertex in vertices.tolist() for other in waiting.get(vertex, ())}
        for lap, vertices in laid.items()
    }
    chosen = np.zeros(size, dtype=np.bool_)
    carried: set[int] = set()
    for lap in sorted(reach, key=lambda lap: (-len(reach[lap]), lap)):
        if not reach[lap] <= carried:
            carried |= reach[lap]
            chosen[laid[lap]] = True
    return chosen
