"""What trails come to, for tests and benchmarks: laps in one round, passages that go straight on."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from stitchpath.postman.trails.pairing import STRAIGHT, by_degree, turning
from stitchpath.postman.trails.trail import Trail


def whole_laps(trails: Sequence[Trail], laps_edges: Sequence[ArrayLike]) -> NDArray[np.bool_]:
    """Say which laps the trails walk in one unbroken round, before they come over any of its edges again.

    Returns
    -------
    (number of laps,) bool, read-only

    Examples
    --------
    >>> trail = Trail([3, 0, 1, 2, 0], [True] * 5, 3, 1)
    >>> whole_laps([trail], [[2, 0, 1], [3, 1]]).tolist()
    [True, False]
    >>> whole_laps([], []).tolist()
    []
    """
    edges = np.concatenate((np.zeros(0, np.intp), *(trail.edges for trail in trails)))
    trail_of = np.repeat(np.arange(len(trails)), [len(trail) for trail in trails])
    known, first = np.unique(edges, return_index=True)
    result = np.zeros(len(laps_edges), dtype=np.bool_)
    for number, lap in enumerate(laps_edges):
        wanted = np.asarray(lap, dtype=np.intp)
        if len(wanted) and np.isin(wanted, known).all():
            at = first[np.searchsorted(known, wanted)]
            low, high = at.min(), at.max()
            result[number] = bool(high - low == len(wanted) - 1 and trail_of[low] == trail_of[high])
    result.setflags(write=False)
    return result


def straight_share(
    trails: Sequence[Trail],
    *,
    size: int,
    tails: ArrayLike,
    heads: ArrayLike,
    headings: ArrayLike,
) -> tuple[int, int]:
    """Count the passages that go straight on, and those that could if each junction stood alone.

    Counted at junctions of four or more half-edges, trails' ends left out. *Could* is the most passages under
    15 degrees that a pairing of one junction's half-edges and ends can have.

    Returns
    -------
    went_straight, could_go_straight

    Examples
    --------
    >>> straight_share([], size=0, tails=[], heads=[], headings=np.zeros((2, 0)))
    (0, 0)
    """
    tail, head = np.asarray(tails, dtype=np.intp), np.asarray(heads, dtype=np.intp)
    angle = np.asarray(headings, dtype=np.float64).T.ravel()
    vertex = np.stack((tail, head), axis=1).ravel()
    departs = [trail.departures() for trail in trails]
    key = np.concatenate((np.zeros(0, np.intp), *departs, *(d ^ 1 for d in departs)))
    degree = np.bincount(vertex[key], minlength=size)
    stops = np.bincount(np.array([v for t in trails for v in (t.first, t.last)], np.intp), minlength=size)
    went = 0
    for steps in departs:
        into, out = steps[:-1] ^ 1, steps[1:]
        straight = turning(angle[into], angle[out]) < STRAIGHT
        went += int((straight & (degree[vertex[out]] >= 4)).sum())
    could = 0
    for group in by_degree(vertex[key], size):
        if group.shape[1] >= 4:
            room = (group.shape[1] - stops[vertex[key[group[:, 0]]]]) // 2
            could += int(np.minimum(_most_straight(angle[key[group]]), room).sum())
    return went, could


def _most_straight(angles: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return (n,) the most pairs of each row of (n, degree) directions that go straight on."""
    import networkx as nx

    straight = turning(angles[:, :, None], angles[:, None, :]) < STRAIGHT
    kinds, which = np.unique(straight.reshape(len(straight), -1), axis=0, return_inverse=True)
    graphs = (nx.from_numpy_array(kind.reshape(straight.shape[1:])) for kind in kinds)
    most = [len(nx.max_weight_matching(graph, maxcardinality=True)) for graph in graphs]
    return np.array(most, dtype=np.intp)[which.ravel()]
