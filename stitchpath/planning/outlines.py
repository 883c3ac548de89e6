"""Closed outlines as rounds of edges: which ones may be sewn in one lap, and which ones were.

By default, with laps "always", outlines that another required line meets are taken out of the problem, and
stay in it only as lines that may be travelled. Each is sewn in one round when the needle first comes by, and
so before most of the fill that stops at it. With laps "free" an outline is sewn in one round only where that
costs nothing (`stitchpath.postman.trails.lap_removal`): fewer tie-offs, but more fill before its outline.
"""

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.lines import Role
from stitchpath.plan import Laps
from stitchpath.planning.network import Network
from stitchpath.postman.graphs import components

__all__ = [
    "Rings", "closed_outlines", "count_laps", "lap_ids", "own_outlines", "reachable", "untouched",
]  # fmt: skip

Rings = Sequence[NDArray[np.intp]]


def closed_outlines(network: Network) -> tuple[NDArray[np.intp], ...]:
    """Return the edges of each closed outline, in the order of its round; an edge is on one of them only.

    Examples
    --------
    >>> from stitchpath import Drawing, Line
    >>> from stitchpath.planning.network import build_network
    >>> ring = Line([(0, 0), (9, 0), (9, 9), (0, 0)], Role.OUTLINE)
    >>> [edges.tolist() for edges in closed_outlines(build_network(Drawing((ring,))))]
    [[0]]
    >>> closed_outlines(build_network(Drawing(())))
    ()
    """
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


def own_outlines(network: Network, stage: NDArray[np.intp]) -> tuple[NDArray[np.intp], ...]:
    """Return the closed outlines that are to be sewn all round: those left to others are not.

    Parameters
    ----------
    network
        What is asked for.
    stage
        (m,) the stage of each edge, -1 where it is not to be sewn.

    Examples
    --------
    >>> from stitchpath import Drawing, Line
    >>> from stitchpath.planning.network import build_network
    >>> network = build_network(Drawing((Line([(0, 0), (9, 0), (9, 9), (0, 0)], Role.OUTLINE),)))
    >>> len(own_outlines(network, np.array([0]))), own_outlines(network, np.array([-1]))
    (1, ())
    """
    return tuple(ring for ring in closed_outlines(network) if (stage[ring] >= 0).all())


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
    """Return (count,) for each edge the ring that it is on, or -1.

    Examples
    --------
    >>> lap_ids((np.array([2, 0]),), 4).tolist(), lap_ids((), 2).tolist()
    ([0, -1, 0, -1], [-1, -1])
    """
    ids = np.full(count, -1, dtype=np.intp)
    for i, ring in enumerate(rings):
        ids[ring] = i
    return ids


def reachable(network: Network, rings: Rings, required: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return for each ring whether a required edge that is on no ring ends at it.

    Parameters
    ----------
    network
        With the rings' edges.
    rings
        As from `closed_outlines`.
    required
        (m,) which edges are to be sewn.

    Returns
    -------
    ndarray
        A bool for each ring.

    Examples
    --------
    >>> from stitchpath import Drawing, Line
    >>> from stitchpath.planning.network import build_network
    >>> ring, spoke = Line([(0, 0), (9, 0), (9, 9), (0, 0)], Role.OUTLINE), Line([(9, 0), (20, 0)])
    >>> for lines in ((ring, spoke), (ring,)):
    ...     network = build_network(Drawing(lines))
    ...     print(reachable(network, closed_outlines(network), np.ones(len(network.tails), bool)))
    [ True]
    [False]
    """
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

    Examples
    --------
    >>> from stitchpath import Drawing, Line
    >>> from stitchpath.planning.network import build_network
    >>> ring, spoke = Line([(0, 0), (9, 0), (9, 9), (0, 0)], Role.OUTLINE), Line([(9, 0), (20, 0)])
    >>> network = build_network(Drawing((ring, spoke)))
    >>> rings = closed_outlines(network)
    >>> count_laps(network, rings, [rings[0]]), count_laps(network, (), [])
    (Laps(touched=1, in_one_lap=1), Laps(touched=0, in_one_lap=0))
    """
    ids = lap_ids(rings, len(network.tails))
    lines = ~network.is_step
    ends = np.concatenate((network.tails[lines], network.heads[lines]))
    degree = np.bincount(ends, minlength=len(network.junctions_mm))
    junctions = [np.union1d(network.tails[ring], network.heads[ring]) for ring in rings]
    touched = np.array([bool((degree[at] > 2).any()) for at in junctions], dtype=bool)
    seen = np.zeros(len(network.tails), dtype=bool)
    whole = np.zeros(len(rings), dtype=bool)
    for walk in walks:
        for ring in _first_rounds(walk, ids, seen):
            whole[ring] = True
    return Laps(int(touched.sum()), int((whole & touched).sum()))


def untouched(network: Network) -> NDArray[np.bool_]:
    """Return (m,) which edges lie on a line that no other line touches: inside outlines, and ovals alone.

    Examples
    --------
    >>> from stitchpath import Drawing, Line
    >>> from stitchpath.planning.network import build_network
    >>> ring, spoke = Line([(0, 0), (9, 0), (9, 9), (0, 0)], Role.OUTLINE), Line([(9, 0), (20, 0)])
    >>> for lines in ((ring, spoke), (ring,), ()):
    ...     print(untouched(build_network(Drawing(lines))).tolist())
    [False, False]
    [True]
    []
    """
    every = np.arange(len(network.tails))
    label = components(len(network.junctions_mm), network.tails, network.heads, every)[1]
    of = label[network.tails[network.edge_of]]
    pairs = np.unique(np.stack((of, network.line_of)), axis=1)
    alone: NDArray[np.bool_] = np.bincount(pairs[0], minlength=len(label))[label[network.tails]] == 1
    return alone


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
