"""Which laps can be taken out before trails are laid, at no cost when they are put back.

A lap is a closed outline that is to be sewn in one round. It is taken out of a job whole where the rest still
hangs together without it, and put back where the trails first arrive at it
(`stitchpath.postman.trails.laps`), so that it is sewn in one unbroken round for nothing.
"""

from collections.abc import Iterable, Iterator
from heapq import heapify, heappop, heappush
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["loose_laps"]

Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]


def loose_laps(
    *,
    size: int,
    tails: ArrayLike,
    heads: ArrayLike,
    times: ArrayLike,
    required: ArrayLike,
    laps: ArrayLike,
    ends: ArrayLike | None = None,
    start: int = -1,
) -> Bools:
    """Say which laps can be taken out whole, at no extra cost.

    All are taken out; then those are put back, most joining ones first, without which a part of the rest that
    has no ends of its own would hang on nothing, or a lap would be touched by nothing that is left.

    Parameters
    ----------
    size, tails, heads, times, ends, start
        As for `stitchpath.postman.trails.walks.trace`.
    required
        (m,) whether the edge is walked for the first time; a lap with another edge stays in.
    laps
        (m,) the lap that each edge belongs to, counted from 0, or -1.

    Returns
    -------
    (number of laps,) bool, read-only
        Whether the lap's edges may each be walked once less, and the lap be inserted afterwards.

    Examples
    --------
    A triangle that a line touches comes out; one that joins two lines without ends stays.

    >>> tails, heads = np.array([0, 1, 2, 0]), np.array([1, 2, 0, 3])
    >>> lap, ones = np.array([0, 0, 0, -1]), np.ones(4, int)
    >>> loose_laps(size=4, tails=tails, heads=heads, times=ones, required=ones > 0, laps=lap,
    ...            ends=[1, 0, 0, 1]).tolist()
    [True]
    >>> loose_laps(size=4, tails=tails, heads=heads, times=ones, required=ones > 0, laps=lap * 0 - 1).tolist()
    []
    """
    tail, head, often, lap = (np.asarray(x, dtype=np.intp) for x in (tails, heads, times, laps))
    stops = np.zeros(size, np.intp) if ends is None else np.asarray(ends, dtype=np.intp)
    count = int(lap.max(initial=-1)) + 1
    whole = _can_be_whole(size, tail, head, often, np.asarray(required, dtype=np.bool_), lap, count)
    begins = (np.arange(size) == start).astype(np.intp)
    # The start may take one end at its vertex: an empty trail.
    _keep_at_crowded_ends(whole, stops - begins, tail, head, often, lap)
    out = _of_laps(lap, whole)
    component = _components(size, tail[often > 0], head[often > 0])
    parts = _parts(size, tail, head, often - out, stops + begins, component)
    root = np.array([parts.root(v) for v in range(size)], dtype=np.intp)
    touched = _vertices_by_lap(root[tail], root[head], np.where(out, lap, -1), count)
    loose = whole.tolist()
    for needed in _laps_needed(parts, component, touched, loose):
        loose[needed] = False
        parts.join(touched[needed])
    result = np.array(loose, dtype=np.bool_)
    result.setflags(write=False)
    return result


def _keep_at_crowded_ends(
    whole: Bools, ends: Ints, tails: Ints, heads: Ints, times: Ints, laps: Ints
) -> None:
    """Take laps from `whole` that must stay in so that no vertex has more ends than half-edges."""
    out = _of_laps(laps, whole)
    both = np.concatenate((tails, heads))
    short = ends - np.bincount(both, np.tile(times - out, 2), minlength=len(ends))
    at = np.flatnonzero(np.tile(out, 2) & (short[both] > 0))
    for vertex, lap in sorted(set(zip(both[at].tolist(), np.tile(laps, 2)[at].tolist(), strict=True))):
        if short[vertex] > 0 and whole[lap]:
            whole[lap] = False
            np.subtract.at(short, both[np.tile(laps == lap, 2)], 1)


def _of_laps(laps: Ints, chosen: Bools) -> Bools:
    """Return which edges are on chosen laps."""
    return np.append(chosen, False)[laps]


def _can_be_whole(
    size: int, tails: Ints, heads: Ints, times: Ints, required: Bools, laps: Ints, count: int
) -> Bools:
    """Return which laps are walked for the first time on every edge, and close."""
    on = laps >= 0
    missing = np.bincount(laps[on & ~(required & (times > 0))], minlength=count) > 0
    spot = np.concatenate((laps[on] * size + tails[on], laps[on] * size + heads[on]))
    spots, degree = np.unique(spot, return_counts=True)
    unclosed = np.bincount(spots[degree % 2 == 1] // max(size, 1), minlength=count) > 0
    used = np.bincount(laps[on], minlength=count) > 0
    return used & ~missing & ~unclosed


def _vertices_by_lap(tails: Ints, heads: Ints, laps: Ints, count: int) -> list[list[int]]:
    """Return the vertices of each lap, ascending."""
    on = laps >= 0
    pairs = np.stack((np.tile(laps[on], 2), np.concatenate((tails[on], heads[on]))), axis=1)
    pairs = np.unique(pairs, axis=0)
    borders = np.searchsorted(pairs[:, 0], np.arange(count + 1))
    return [pairs[a:b, 1].tolist() for a, b in pairwise(borders)]


def _components(size: int, tails: Ints, heads: Ints) -> Ints:
    """Return the component of each vertex."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    graph = coo_array((np.ones(len(tails), np.int8), (tails, heads)), shape=(size, size))
    return np.asarray(connected_components(graph, directed=False)[1], dtype=np.intp)


class _Parts:
    """What is left when laps are out: its parts, joined as laps are put back.

    A part is *live* if something is walked there; every vertex that only laps come to is a part of its own.
    """

    def __init__(self, part: Ints, live: Bools) -> None:
        first = np.full(len(part), len(part), dtype=np.intp)
        np.minimum.at(first, part, np.arange(len(part)))
        self.parent: list[int] = first[part].tolist()
        self.live: list[bool] = np.isin(first[part], first[part][live]).tolist()

    def root(self, x: int) -> int:
        parent = self.parent
        while parent[x] != x:
            parent[x] = parent[parent[x]]
            x = parent[x]
        return x

    def join(self, vertices: Iterable[int]) -> None:
        """Make one live part of those at these vertices."""
        roots = sorted({self.root(v) for v in vertices})
        for root in roots:
            self.parent[root] = roots[0]
            self.live[root] = True

    def lit(self, vertices: Iterable[int]) -> set[int]:
        """Return the live parts at these vertices."""
        return {root for root in map(self.root, vertices) if self.live[root]}


def _parts(size: int, tails: Ints, heads: Ints, left: Ints, ends: Ints, component: Ints) -> _Parts:
    """Return the parts that are left; those with ends in the same component of the whole count as one.

    Each of them has trails of its own, so nothing need hold them together.
    """
    walked = left > 0
    live = ends > 0
    live[tails[walked]] = live[heads[walked]] = True
    parts = _Parts(_components(size, tails[walked], heads[walked]), live)
    with_ends: dict[int, list[int]] = {}
    for vertex in np.flatnonzero(ends > 0).tolist():
        with_ends.setdefault(int(component[vertex]), []).append(vertex)
    for vertices in with_ends.values():
        parts.join(vertices)
    return parts


def _laps_needed(parts: _Parts, component: Ints, touched: list[list[int]], out: list[bool]) -> Iterator[int]:
    """Yield laps to put back until all hangs together; each is put back before the next is sought."""
    while True:
        joined = False
        for lap in _joining(parts, touched, out):
            joined = True
            yield lap
        missing = [] if joined else _missing_chain(parts, component, touched, out)
        if not joined and not missing:
            return
        yield from missing


def _joining(parts: _Parts, touched: list[list[int]], out: list[bool]) -> Iterator[int]:
    """Yield laps that join two live parts or more, those that join most first."""
    heap = [(-len(parts.lit(touched[lap])), lap) for lap, is_out in enumerate(out) if is_out]
    heapify(heap)
    while heap and heap[0][0] < -1:
        said, lap = heappop(heap)
        joins = -len(parts.lit(touched[lap]))
        if joins == said:
            yield lap
        else:
            heappush(heap, (joins, lap))


def _missing_chain(parts: _Parts, component: Ints, touched: list[list[int]], out: list[bool]) -> list[int]:
    """Return laps in a chain that joins two live parts, or that brings a lap that hangs on nothing to one."""
    beside: dict[int, list[int]] = {}
    for lap in (lap for lap, is_out in enumerate(out) if is_out):
        for root in sorted({parts.root(v) for v in touched[lap]}):
            beside.setdefault(root, []).append(lap)
    seen: dict[int, int] = {}
    for root in (root for root in beside if parts.live[root]):
        other = seen.setdefault(int(component[root]), root)
        if other != root:
            return _chain(parts, touched, beside, beside[root], root)
    dark = next((lap for lap, is_out in enumerate(out) if is_out and not parts.lit(touched[lap])), -1)
    return [] if dark < 0 else _chain(parts, touched, beside, [dark], -1)


def _chain(
    parts: _Parts, touched: list[list[int]], beside: dict[int, list[int]], begin: list[int], own: int
) -> list[int]:
    """Return the shortest chain of laps from one of `begin` to a live part other than `own`.

    From a lap that hangs on nothing (`own` is -1) that lap is left out; without a live part to be found, it
    is the lap that touches most others.
    """
    came = dict.fromkeys(begin, -1)
    queue = list(begin)
    for lap in queue:
        if parts.lit(touched[lap]) - {own}:
            path = [lap]
            while came[path[-1]] >= 0:
                path.append(came[path[-1]])
            return path if own >= 0 else path[:-1]
        for root in sorted({parts.root(v) for v in touched[lap]} - {own}):
            for other in beside[root]:
                if other not in came:
                    came[other] = lap
                    queue.append(other)
    return [max(queue, key=lambda lap: (sum(len(beside[parts.root(v)]) for v in touched[lap]), -lap))]
