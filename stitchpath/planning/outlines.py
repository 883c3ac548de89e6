"""Closed outlines as rounds of edges: which ones may be sewn in one lap, and which ones were.

An outline is sewn in one round where that costs nothing (`stitchpath.postman.trails.lap_removal`). With laps
"always", outlines that another required line meets are taken out of the problem, and stay in it only as lines
that may be travelled.
"""

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.lines import Role
from stitchpath.plan import Laps
from stitchpath.planning.network import Network

__all__ = ["Rings", "closed_outlines", "count_laps", "lap_ids", "reachable"]

Rings = Sequence[NDArray[np.intp]]


def closed_outlines(network: Network) -> tuple[NDArray[np.intp], ...]:
    """Return the edges of each closed outline, in the order of its round; an edge is on one of them only."""
    flags = [x.closed and x.role is Role.OUTLINE for x in network.lines]
    pick = np.array(flags, dtype=bool)[network.line_of]
    edge, line = network.edge_of[pick], network.line_of[pick]
    order = np.lexsort((_along(network, edge, line), line))
    claimed = np.zeros(len(network.tails), dtype=bool)
    rings = []
    for edges in _split(edge[order], line[order]):
        if not claimed[edges].any():
            claimed[edges] = True
            rings.append(edges)
    return tuple(rings)


def _along(network: Network, edge: NDArray[np.intp], line: NDArray[np.intp]) -> NDArray[np.float64]:
    """Return how far along its line the middle of each edge lies."""
    if not len(edge):
        return np.empty(0)
    used, place = np.unique(line, return_inverse=True)
    whole = np.array([shapely.LineString(network.lines[i].points_mm) for i in used], dtype=object)
    middles = shapely.points(network.middles_mm(edge))
    along: NDArray[np.float64] = shapely.line_locate_point(whole[place], middles)
    return along


def _split(values: NDArray[np.intp], by: NDArray[np.intp]) -> list[NDArray[np.intp]]:
    return np.split(values, np.flatnonzero(np.diff(by)) + 1) if len(values) else []


def lap_ids(rings: Rings, count: int) -> NDArray[np.intp]:
    """Return (count,) for each edge the ring that it is on, or -1."""
    ids = np.full(count, -1, dtype=np.intp)
    for i, ring in enumerate(rings):
        ids[ring] = i
    return ids


def reachable(network: Network, rings: Rings, required: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return for each ring whether a required edge that is on no ring ends at it."""
    ids = lap_ids(rings, len(network.tails))
    other = required & (ids < 0)
    touched = np.zeros(len(network.junctions_mm), dtype=bool)
    touched[network.tails[other]] = True
    touched[network.heads[other]] = True
    on = np.flatnonzero(ids >= 0)
    reached = np.zeros(len(rings), dtype=bool)
    hit = touched[network.tails[on]] | touched[network.heads[on]]
    reached[ids[on[hit]]] = True
    return reached


def count_laps(network: Network, rings: Rings, walks: Sequence[NDArray[np.intp]]) -> Laps:
    """Count the outlines that another line touches, and those of them that were sewn in one unbroken round.

    Parameters
    ----------
    walks
        The edges of each path, in order.
    """
    ids = lap_ids(rings, len(network.tails))
    degree = np.bincount(np.concatenate((network.tails, network.heads)), minlength=len(network.junctions_mm))
    junctions = [np.union1d(network.tails[ring], network.heads[ring]) for ring in rings]
    touched = np.array([bool((degree[at] > 2).any()) for at in junctions], dtype=bool)
    seen = np.zeros(len(network.tails), dtype=bool)
    whole = np.zeros(len(rings), dtype=bool)
    for walk in walks:
        for ring in _first_rounds(walk, ids, seen):
            whole[ring] = True
    return Laps(int(touched.sum()), int((whole & touched).sum()))


def _first_rounds(walk: NDArray[np.intp], ids: NDArray[np.intp], seen: NDArray[np.bool_]) -> Iterator[int]:
    """Yield each ring whose edges are all sewn for the first time in one run; mark the edges seen."""
    _, first_at = np.unique(walk, return_index=True)
    first = np.zeros(len(walk), dtype=bool)
    first[first_at] = True
    key = np.where(first & ~seen[walk], ids[walk], -1)
    seen[walk] = True
    sizes = np.bincount(ids[ids >= 0], minlength=1)
    for run in _split(np.arange(len(key)), key):
        ring = int(key[run[0]])
        if ring >= 0 and len(run) == sizes[ring]:
            yield ring
