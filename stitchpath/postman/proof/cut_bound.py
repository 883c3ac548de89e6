"""What cuts and a T-join prove about a problem's cost, computed anew for `stitchpath.postman.proof.check`.

Each cut must be crossed twice: a closed walk enters it and leaves it; and with trails, the hub, where all
trails begin and end, lies outside of it. So for any multipliers u >= 0 every plan costs at least

    min of sum (w - u of the cuts crossed) x  +  sum of 2 u  -  u of the cuts that required traversals cross

over the copies x of a relaxed plan (Geoffrion 1974). Where a copy costs less than nothing there, an edge in
reach starts with as many copies as it may have, and taking one more stands for leaving one of them out; any
other such edge costs nothing. Then no cost is negative, and the cheapest T-join over the odd vertices bounds
relaxed plans from below (Edmonds and Johnson 1973).

With trails, every world (a component that holds a required edge) has at least two ends, or one if the first
trail begins free in it. Where a join has fewer, ends are forced: each by an odd vertex of its own, which is
joined to every place where an end may be, and to that end of a required edge, or of an edge started with,
from which the way out is cheapest.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.errors import PromiseError
from stitchpath.postman.joins.tjoin import min_join, prepare

__all__ = ["AskedGraph", "Range", "proven_range"]

_MOST_TOTAL = 2**53
"""Whole numbers up to this are exact as floats, which distances are."""

_MANY = 10_000
"""Where a matching was too much work, so many odd vertices are not matched here either."""

_EASE_BITS = 3
"""Trails end at an eighth of the cost then: with the hub so near matching is fast, and the bound still
holds."""

_FAR = 2**60
"""Stands for no way: more than any sum of costs."""

_Ints = NDArray[np.intp]
_Wholes = NDArray[np.int64]
_Flags = NDArray[np.bool_]
_Cuts = Sequence[tuple[_Ints, int]]


@dataclass(frozen=True)
class AskedGraph:
    """A problem in whole numbers.

    `extra` is what is given; `ends` is -1 where no trail may end, and None for a closed walk; `start` is -1
    where none is given.
    """

    size: int
    tails: _Ints
    heads: _Ints
    cost: _Wholes
    required: _Flags
    extra: _Wholes
    ends: _Wholes | None
    start: int


@dataclass(frozen=True)
class Range:
    """What is proven, in whole units, and what exact matching could prove at most."""

    lower: int
    upper: int


def proven_range(asked: AskedGraph, cuts: _Cuts, *, fine: int, matched: bool, wanted: int) -> Range:
    """Return what is proven; stop as soon as that is as much as is wanted.

    Parameters
    ----------
    asked
        The problem.
    cuts
        The vertices of each, and its multiplier in fine units.
    fine
        2**fine fine units are one whole unit.
    matched
        False: a large matching is known to be too much work, so a weaker bound takes its place.
    wanted
        What ought to be proven, in whole units.

    Raises
    ------
    PromiseError
        If a cut is not valid, or numbers are too large.

    Examples
    --------
    >>> edge = np.array([0]), np.array([1]), np.array([3]), np.array([True]), np.array([1])
    >>> proven_range(AskedGraph(2, *edge, None, -1), (), fine=0, matched=True, wanted=6)
    Range(lower=6, upper=6)
    """
    best = Range(0, 0)
    for chosen, bits in [(cuts, fine), ((), 0)] if len(cuts) else [((), 0)]:
        relaxed = _relax(asked, chosen, bits)
        for lower, upper in _bounds(relaxed, matched=matched):
            least = max(best.lower, relaxed.whole(lower))
            best = Range(least, max(least, best.upper, relaxed.whole(upper)))
            if best.lower >= wanted:
                return best
    return best


@dataclass(frozen=True)
class _Relaxed:
    """The relaxed problem, its costs not negative; `constant` comes on top, and all is in fine units.

    An edge begins with `full` copies; one more stands for leaving out one of them.
    """

    asked: AskedGraph
    cost: _Wholes
    full: _Wholes
    ends: _Wholes
    world: _Ints
    constant: int
    fine: int

    @property
    def size(self) -> int:
        return self.asked.size

    @property
    def count(self) -> int:
        return int(self.world.max(initial=-1)) + 1

    @property
    def open(self) -> _Flags:
        return self.asked.extra > 0

    @cached_property
    def odd(self) -> _Flags:
        """Where oddly many required edges and copies begun with end."""
        single = self.asked.required ^ (self.full == 1)
        ends = np.append(self.asked.tails[single], self.asked.heads[single])
        return np.bincount(ends, minlength=self.size) % 2 > 0

    @cached_property
    def touching(self) -> _Flags:
        """Where a required edge ends, or one begun with."""
        touching, held = np.zeros(self.size, bool), self.asked.required | (self.full > 0)
        touching[self.asked.tails[held]] = touching[self.asked.heads[held]] = True
        return touching

    @cached_property
    def out(self) -> _Wholes:
        """The cheapest way out to the hub from each vertex; `_FAR` where there is none."""
        from scipy.sparse import csr_array
        from scipy.sparse.csgraph import dijkstra

        able = np.flatnonzero(self.ends >= 0)
        tails = np.append(self.asked.tails[self.open], able)
        heads = np.append(self.asked.heads[self.open], np.full(len(able), self.size))
        cost = np.append(self.cost[self.open], self.ends[able])
        order = np.lexsort((cost, np.maximum(tails, heads), np.minimum(tails, heads)))
        pair = np.stack([np.minimum(tails, heads), np.maximum(tails, heads)])[:, order]
        first = np.append(True, (pair[:, 1:] != pair[:, :-1]).any(axis=0))[: len(order)]
        place = pair[:, first].astype(np.int32)  # scipy before 1.15 takes no others here
        web = csr_array((cost[order][first] + 0.0, place), shape=(self.size + 1, self.size + 1))
        far = dijkstra(web, directed=False, indices=self.size)[:-1]
        return np.where(np.isfinite(far), far, _FAR).astype(np.int64)

    @cached_property
    def contact(self) -> _Flags:
        """Odd vertices, and each world's touching vertex from which the way out is cheapest."""
        if self.asked.ends is None:
            return np.zeros(self.size, bool)
        contact = self.odd & (self.out < _FAR)
        able = np.flatnonzero(self.touching & (self.out < _FAR))
        order = able[np.lexsort((able, self.out[able], self.world[able]))]
        contact[order[np.unique(self.world[order], return_index=True)[1]]] = True
        return contact

    @cached_property
    def entered(self) -> int:
        """The world in which the first trail begins free, or -1."""
        inside = self.asked.ends is not None and self.asked.start >= 0
        return int(self.world[self.asked.start]) if inside else -1

    @cached_property
    def least(self) -> _Ints:
        """How many ends each world has at the least, the free one left out."""
        least = np.full(self.count, 0 if self.asked.ends is None else 2)
        if self.entered >= 0:
            least[self.entered] = 1
        return least

    def whole(self, fine: int) -> int:
        """Return what joins of a cost in fine units prove, in whole units."""
        if fine >= _FAR:
            return _FAR
        alone = self.asked.ends is not None and self.asked.start >= 0 and self.entered < 0
        total = fine + self.constant + (int(self.out[self.asked.start]) if alone else 0)
        return int(self.asked.cost[self.asked.required].sum()) - (-total >> self.fine)


def _relax(asked: AskedGraph, cuts: _Cuts, fine: int) -> _Relaxed:
    _check_totals(asked, cuts, fine)
    world, (crossed, held) = _worlds(asked), _loads(asked, cuts)
    most = np.minimum(asked.extra, np.where(asked.required, 1, 2))
    reduced = (asked.cost << fine) - crossed
    if np.abs(reduced).sum(dtype=np.float64) > _MOST_TOTAL:
        raise PromiseError("the multipliers of all cuts that edges cross add up to too much to be exact")
    full = np.where((reduced < 0) & (world[asked.tails] >= 0), most, 0)
    constant = int(most @ np.minimum(reduced, 0)) + sum(2 * pay for _, pay in cuts)
    constant -= int(crossed[asked.required].sum())
    ends = np.full(asked.size, -1)
    if asked.ends is not None:
        left = (asked.ends << fine) - held
        constant += 2 * int(np.minimum(left, 0)[asked.ends >= 0].sum())
        constant -= int(held[asked.start]) if asked.start >= 0 else 0
        ends = np.where(asked.ends < 0, -1, np.maximum(left, 0))
    cost = np.where(full > 0, -reduced, np.maximum(reduced, 0))
    return _Relaxed(asked, cost, full, ends, world, constant, fine)


def _worlds(asked: AskedGraph) -> _Ints:
    """Return each vertex's component that holds something required, or -1."""
    label = _components(asked, asked.required | (asked.extra > 0))
    held, number = np.unique(label[asked.tails[asked.required]]), np.full(asked.size, -1)
    number[held] = np.arange(len(held))
    return number[label]


def _components(asked: AskedGraph, chosen: _Flags) -> _Ints:
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    ends = asked.tails[chosen], asked.heads[chosen]
    web = coo_array((np.ones(len(ends[0]), bool), ends), shape=(asked.size, asked.size))
    label: _Ints = connected_components(web, directed=False)[1].astype(np.intp)
    return label


def _loads(asked: AskedGraph, cuts: _Cuts) -> tuple[_Wholes, _Wholes]:
    """Return the multipliers of the cuts that each edge crosses, and of those that each vertex lies in."""
    must = np.zeros(asked.size, bool)
    must[asked.tails[asked.required]] = must[asked.heads[asked.required]] = True
    if asked.start >= 0:
        must[asked.start] = True
    crossed, held = np.zeros(len(asked.cost), np.int64), np.zeros(asked.size, np.int64)
    for number, (members, pay) in enumerate(cuts):
        inside = np.zeros(asked.size, bool)
        inside[members] = True
        if not (isinstance(pay, int) and pay > 0):
            raise PromiseError(f"cut {number} has the multiplier {pay!r}, which is no whole number above 0")
        if not must[inside].any() or (asked.ends is None and must[inside].sum() == must.sum()):
            raise PromiseError(f"cut {number} parts nothing that must hang together")
        crossed += np.where(inside[asked.tails] != inside[asked.heads], pay, 0)
        held += np.where(inside, pay, 0)
    return crossed, held


def _check_totals(asked: AskedGraph, cuts: _Cuts, fine: int) -> None:
    """Refuse numbers whose sums are not exact, also those of distances, which are floats."""
    if not 0 <= fine < 53:
        raise PromiseError(f"2**{fine} fine units to a whole one are out of range")
    ends = 0 if asked.ends is None else int(np.maximum(asked.ends, 0).sum())
    total = (int(asked.cost.sum()) + ends << fine) + sum(2 * pay for _, pay in cuts)
    if total > _MOST_TOTAL:
        raise PromiseError(f"costs and multipliers add up to {total} fine units, too many to be exact")


def _bounds(relaxed: _Relaxed, *, matched: bool) -> Iterator[tuple[int, int]]:
    """Give what relaxed plans cost at least, the simplest bound first, and how great an exact one may be.

    Where a join without forced ends has enough of them, forcing them changes nothing.
    """
    every = np.ones(relaxed.count, bool)
    if not matched and np.count_nonzero(relaxed.odd) >= _MANY:
        closed = relaxed.asked.ends is None
        yield (
            (_halves(relaxed) if closed else int(_joined(relaxed, every, ease=_EASE_BITS).lower.sum())),
            _FAR,
        )
        return
    found = _joined(relaxed, every)
    lacking = found.ends < relaxed.least
    yield int(found.lower.sum()), 0 if lacking.any() else int(found.upper.sum())
    if lacking.any():
        forced = _joined(relaxed, lacking, forced=True)
        upper = np.where(lacking, forced.upper, found.upper)
        yield int(np.maximum(found.lower, forced.lower).sum()), int(upper.sum())


def _halves(relaxed: _Relaxed) -> int:
    """Let each odd vertex, those joined at no cost taken as one, need half its cheapest edge."""
    label = _components(relaxed.asked, relaxed.open & (relaxed.cost == 0))
    least = np.full(relaxed.size, _FAR)
    ends = label[relaxed.asked.tails], label[relaxed.asked.heads]
    leaves = np.flatnonzero(relaxed.open & (ends[0] != ends[1]))
    for end in ends:
        np.minimum.at(least, end[leaves], relaxed.cost[leaves])
    odd = np.bincount(label[relaxed.odd], minlength=relaxed.size) % 2 > 0
    return -(-int(least[odd].sum()) // 2)


@dataclass(frozen=True)
class _Join:
    """What each world's cheapest join costs at least, what the one found costs, and how many ends it has."""

    lower: _Wholes
    upper: _Wholes
    ends: _Ints


def _joined(relaxed: _Relaxed, chosen: _Flags, *, forced: bool = False, ease: int = 0) -> _Join:
    """Join the odd vertices of the chosen worlds."""
    asked, size, count = relaxed.asked, relaxed.size, relaxed.count
    here = np.append(chosen, False)[relaxed.world]
    links = [_inner(relaxed, here), _exits(relaxed, here, ease)]
    odd = np.concatenate([relaxed.odd & here, np.zeros(1 + 2 * count, bool)])
    if relaxed.entered >= 0:
        odd[asked.start] ^= here[asked.start]
    if forced:
        links += _terminals(relaxed, here)
        odd[size + 1 :] = np.append(chosen, chosen & (relaxed.least == 2))
    tails, heads, cost = (np.concatenate(parts) for parts in zip(*links, strict=True))
    free = -1 if asked.ends is None else size
    index, apart = np.arange(len(tails)), np.arange(size + 1, len(odd))
    web = prepare(len(odd), tails, heads, cost, index=index, free=free, apart=apart)
    join = min_join(web, odd)
    home = np.concatenate([relaxed.world, [-1], np.tile(np.arange(count), 2)])
    lower, upper = np.zeros(count, np.int64), np.zeros(count, np.int64)
    np.add.at(lower, home[home >= 0], join.lower[home >= 0])
    np.add.at(upper, home[tails[join.edges]], cost[join.edges])
    out = tails[join.edges & (heads >= size)]
    ends = np.bincount(relaxed.world[out[relaxed.touching[out]]], minlength=count)
    return _Join(lower, upper, ends)


_Links = tuple[_Ints, _Ints, _Wholes]


def _inner(relaxed: _Relaxed, here: _Flags) -> _Links:
    inner = np.flatnonzero(relaxed.open & here[relaxed.asked.tails])
    return relaxed.asked.tails[inner], relaxed.asked.heads[inner], relaxed.cost[inner]


def _exits(relaxed: _Relaxed, here: _Flags, ease: int) -> _Links:
    """Join to the hub where an end may be."""
    able = relaxed.contact & here
    if relaxed.entered >= 0 and relaxed.out[relaxed.asked.start] < _FAR:
        able[relaxed.asked.start] = here[relaxed.asked.start]
    tails = np.flatnonzero(able)
    return tails, np.full(len(tails), relaxed.size), relaxed.out[tails] >> ease


def _terminals(relaxed: _Relaxed, here: _Flags) -> list[_Links]:
    """Join two vertices for each world to its contacts, but one for an entered world to all it touches."""
    single = here & (relaxed.least[relaxed.world] == 1)
    able = here & (relaxed.contact | (single & relaxed.touching & (relaxed.out < _FAR)))
    tips = [np.flatnonzero(able), np.flatnonzero(able & ~single)]
    first = [relaxed.size + 1, relaxed.size + 1 + relaxed.count]
    return [(own, base + relaxed.world[own], relaxed.out[own]) for own, base in zip(tips, first, strict=True)]
