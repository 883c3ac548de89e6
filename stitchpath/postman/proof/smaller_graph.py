"""A smaller graph is checked for the proof: it must cost no more than the graph that was asked about.

A plan falls into stretches between nodes that stay: single edges, or ways through nodes that are left out.
Where edges may be taken twice, any stretch may be replaced by another way, and pairs of copies that come
together may be dropped. So if for each stretch the smaller graph has a way that costs no more, then its best
plan costs no more either. Shortest distances tell (Dijkstra 1959).
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.errors import PromiseError
from stitchpath.postman.proof.cut_bound import AskedGraph

__all__ = ["gone_past"]

_AT_ONCE = 4_000_000
"""How many distances are held at a time."""

_Ints = NDArray[np.intp]


def gone_past(
    asked: AskedGraph, left_out: _Ints, ways: Sequence[tuple[int, int, int]], ends: Mapping[int, int]
) -> AskedGraph:
    """Return a smaller problem in the same numbers, once it is shown to cost no more.

    Parameters
    ----------
    asked
        The problem.
    left_out
        The vertices without edges or ends in the smaller one.
    ways
        (one, other, cost): what takes the place of all optional edges that may be taken twice.
    ends
        What an end costs at a vertex, where that differs.

    Raises
    ------
    PromiseError
        If an edge that must stay is left out, or a way costs more than one that was there.

    Examples
    --------
    >>> path = np.array([0, 1]), np.array([1, 2]), np.array([3, 4]), np.zeros(2, bool), np.full(2, 2)
    >>> gone_past(AskedGraph(3, *path, None, -1), np.array([1]), [(0, 2, 7)], {}).cost
    array([7])
    >>> gone_past(AskedGraph(3, *path, None, -1), np.array([1]), [(0, 2, 8)], {})
    Traceback (most recent call last):
    stitchpath.postman.errors.PromiseError: no way past the nodes left out is as short as one through them
    >>> gone_past(AskedGraph(0, *[np.zeros(0, int)] * 3, np.zeros(0, bool), np.zeros(0, int), None, -1),
    ...           np.zeros(0, int), [], {}).size
    0
    """
    out = np.zeros(asked.size, bool)
    out[left_out] = True
    one, other, cost = np.array(ways, np.int64).reshape(-1, 3).T
    free = ~asked.required & (asked.extra > 1)
    stays = asked.required | (asked.extra == 1)
    lost = stays & (asked.tails != asked.heads) & (out[asked.tails] | out[asked.heads])
    lost |= asked.required & out[asked.tails]
    if lost.any() or (asked.start >= 0 and out[asked.start]) or out[one].any() or out[other].any():
        raise PromiseError("the nodes left out are not all nodes that may be")
    if cost.size and cost.min() < 0:
        raise PromiseError("a way past nodes costs less than nothing")
    smaller = replace(
        asked,
        tails=np.append(asked.tails[stays], one),
        heads=np.append(asked.heads[stays], other),
        cost=np.append(asked.cost[stays], cost),
        required=np.append(asked.required[stays], np.zeros(len(one), bool)),
        extra=np.append(asked.extra[stays], np.full(len(one), 2)),
        ends=None if asked.ends is None else _changed(asked.ends, out, ends),
    )
    _check_short(asked, out, free, smaller)
    return smaller


def _changed(ends: NDArray[np.int64], out: NDArray[np.bool_], other: Mapping[int, int]) -> NDArray[np.int64]:
    changed = np.where(out, -1, ends)
    for vertex, cost in other.items():
        if cost < 0 or out[vertex]:
            raise PromiseError("an end past nodes costs less than nothing, or is at a node left out")
        changed[vertex] = cost
    return changed


def _check_short(
    asked: AskedGraph, out: NDArray[np.bool_], free: NDArray[np.bool_], smaller: AskedGraph
) -> None:
    """Compare stretches that begin at each vertex that stays with ways in the smaller problem.

    Vertices that stay are there twice, to begin at and to end at, so that no stretch goes through one; the
    hub comes last, to end at only.
    """
    from scipy.sparse.csgraph import dijkstra

    size, hub = asked.size, 2 * asked.size
    begin = np.where(out, np.arange(size), np.arange(size) + size)
    tails, heads, cost = asked.tails[free], asked.heads[free], asked.cost[free]
    stretches = [(begin[tails], heads, cost), (begin[heads], tails, cost)]
    again = smaller.extra >= np.where(smaller.required, 1, 2)
    one, other, price = smaller.tails[again], smaller.heads[again], smaller.cost[again]
    short = [(one, other, price), (other, one, price)]
    if asked.ends is not None and smaller.ends is not None:
        was, now = np.flatnonzero(asked.ends >= 0), np.flatnonzero(smaller.ends >= 0)
        stretches.append((begin[was], np.full(len(was), hub), asked.ends[was]))
        short.append((now, np.full(len(now), hub), smaller.ends[now]))
    before, after = _matrix(hub + 1, stretches), _matrix(hub + 1, short)
    stay = np.flatnonzero(~out)
    goal = np.append(stay, hub)
    for some in np.array_split(stay, 1 + len(stay) * hub // _AT_ONCE) if len(stay) else []:
        through = dijkstra(before, indices=begin[some])[:, goal]
        farthest = np.where(np.isfinite(through), through, 0).max()
        if (dijkstra(after, indices=some, limit=farthest)[:, goal] > through).any():
            raise PromiseError("no way past the nodes left out is as short as one through them")


def _matrix(size: int, edges: list[tuple[Any, Any, Any]]) -> Any:
    """Return the cheapest of edges from each vertex to each; scipy takes a stored zero for an edge.

    Before 1.15 its ways take indices of 32 bits only.
    """
    from scipy.sparse import csr_array

    tails, heads, cost = (np.concatenate(part) for part in zip(*edges, strict=True))
    order = np.lexsort((cost, heads, tails))
    tails, heads, cost = tails[order], heads[order], cost[order].astype(np.float64)
    first = np.append(True, (np.diff(tails) != 0) | (np.diff(heads) != 0))[: len(tails)]
    place = tails[first].astype(np.int32), heads[first].astype(np.int32)
    return csr_array((cost[first], place), shape=(size, size))
