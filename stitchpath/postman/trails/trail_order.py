"""In which order and direction to walk trails, so that the ways between them are short.

This is a travelling-salesman path over trails that may be turned round. Trail t has two points, 2t and 2t +
1. A place in the order is the point at which its trail is entered; `x ^ 1` is the point at which it is left.
A fixed first and last trail stand at both ends as guards; where none is fixed, the way to the guard costs
nothing. networkx's heuristics want a complete graph, and cannot keep two points together.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["order_trails"]

Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]

_NEAR = 7
"""A move puts a point beside one of its six nearest (it counts itself): all pairs would be too many."""

_ROUNDS = 100
"""A stop for what ends by itself: each round makes the lifts shorter."""

_LONGEST_MOVED = 3
"""So many trails in a row are moved together at most, as is usual of Or-opt."""

_KICKS, _KICK_WORK = 8, 1_000
"""So many kicks, and so many trails in all of them together: many trails have no time for them."""

_LEAST_GAIN = 1e-9
"""What a move must gain, lest rounding makes it endless."""


@dataclass(frozen=True)
class _Points:
    """Where the points lie, and which count at all."""

    xy: Floats
    counts: Bools

    def between(self, a: Ints, b: Ints) -> Floats:
        """Return how far it is from points `a` to points `b`, elementwise."""
        away = self.xy[a] - self.xy[b]
        return np.asarray(np.hypot(away[..., 0], away[..., 1]) * (self.counts[a] & self.counts[b]))

    def length(self, order: Ints) -> float:
        """Return the length of all lifts."""
        return float(self.between(order[:-1] ^ 1, order[1:]).sum())


def order_trails(
    ends_xy: ArrayLike,
    *,
    closed: ArrayLike,
    start_xy: ArrayLike | None = None,
    first: int | None = None,
    last: int | None = None,
    seed: int = 0,
) -> tuple[Ints, Bools]:
    """Order trails by nearest neighbour, then 2-opt and Or-opt, then a few seeded kicks.

    Parameters
    ----------
    ends_xy
        (k, 2, 2) each trail's first and last point.
    closed
        (k,) whether it ends where it begins; then its first point stands for both.
    start_xy
        Where the needle is before; None: anywhere.
    first, last
        Trails that must come first or last, not reversed; None: any.
    seed
        Of the kicks.

    Returns
    -------
    order : (k,) trail indices, read-only
    reversed : (k,) in that order, whether the trail is walked from its last point, read-only

    Raises
    ------
    ValueError
        If one of several trails is to be both first and last.

    Examples
    --------
    >>> ends = [[[9, 0], [5, 0]], [[1, 0], [4, 0]]]
    >>> order, turned = order_trails(ends, closed=[False, False], start_xy=(0, 0))
    >>> order.tolist(), turned.tolist()
    ([1, 0], [False, True])
    >>> order_trails(np.zeros((0, 2, 2)), closed=[])[0].tolist()
    []
    """
    shut = np.asarray(closed, dtype=np.bool_)
    k = len(shut)
    if k > 1 and first is not None and first == last:
        raise ValueError(f"trail {first} is to be first and last of {k}; fix one of the two")
    ends = np.asarray(ends_xy, dtype=np.float64).reshape(k, 2, 2)
    points, order = _with_guards(ends, shut, start_xy, first, last)
    order = _nearest(points, order)
    if len(order) > 2:
        near = _near_pairs(points, order)
        order = _kicked(points, _improved(points, order, near), near, seed)
    order = order[order < 2 * k]
    turned = (order & 1).astype(np.bool_) & ~shut[order >> 1]
    result = order >> 1
    result.setflags(write=False)
    turned.setflags(write=False)
    return result, turned


def _with_guards(
    ends: Floats, closed: Bools, start_xy: ArrayLike | None, first: int | None, last: int | None
) -> tuple[_Points, Ints]:
    """Return the points, two guards' points behind them, and the trails in order between the guards."""
    k = len(ends)
    ends = ends.copy()
    ends[closed, 1] = ends[closed, 0]
    begin = np.zeros(2) if start_xy is None else np.asarray(start_xy, dtype=np.float64)
    xy = np.concatenate((ends.reshape(2 * k, 2), np.stack((begin, begin)), np.zeros((2, 2))))
    counts = np.repeat([True, start_xy is not None, False], [2 * k, 2, 2])
    fixed = [2 * first if first is not None else 2 * k, 2 * last if last is not None else 2 * k + 2]
    between = [2 * t for t in range(k) if t not in {first, last}]
    whole = fixed[:1] if k == 1 and first is not None else [fixed[0], *between, fixed[1]]
    return _Points(xy, counts), np.array(whole, dtype=np.intp)


def _nearest(points: _Points, order: Ints) -> Ints:
    """Return the order that always goes on to the nearest end left."""
    if len(order) < 4:
        return order  # both guards and one trail at most
    left = np.stack((order[1:-1], order[1:-1] ^ 1), axis=1).ravel()
    result = [int(order[0])]
    while len(left):
        at = np.full(len(left), result[-1] ^ 1, dtype=np.intp)
        entry = int(left[points.between(at, left).argmin()])
        result.append(entry)
        left = left[left >> 1 != entry >> 1]
    return np.array([*result, order[-1]], dtype=np.intp)


@dataclass(frozen=True)
class _Moves:
    """Moves of places `low` to `high`: the stretch up to `cut` trades places with the rest.

    `turn_a` and `turn_b`: whether the first and the second stretch are turned round.
    """

    gain: Floats
    low: Ints
    cut: Ints
    high: Ints
    turn_a: Bools
    turn_b: Bools


def _improved(points: _Points, order: Ints, near: tuple[Ints, Ints], awake: Ints | None = None) -> Ints:
    """Return the order after rounds of 2-opt and Or-opt moves between near points.

    `awake`: the trails about which something changed since no move was left; None: all. A move's gain hangs
    on the trails about its borders alone, so that others need not be looked at again.
    """
    for _ in range(_ROUNDS):
        moves = _moves(points, order, _of_awake(near, awake, len(points.xy)))
        better = np.flatnonzero(moves.gain > _LEAST_GAIN)
        if not len(better):
            break
        awake = _about(order, (moves.low[better], moves.cut[better] + 1, moves.high[better] + 1))
        order = _apply(order, moves, better[np.argsort(-moves.gain[better], kind="stable")])
    return order


def _of_awake(near: tuple[Ints, Ints], awake: Ints | None, size: int) -> tuple[Ints, Ints]:
    if awake is None:
        return near
    is_awake = np.zeros(size // 2, dtype=np.bool_)
    is_awake[awake] = True
    a, b = near
    keep = is_awake[a >> 1] | is_awake[b >> 1]
    return a[keep], b[keep]


def _about(order: Ints, borders: tuple[Ints, ...]) -> Ints:
    """Return the trails that stand about borders, each given as the place behind it."""
    reach = np.arange(-_LONGEST_MOVED - 1, _LONGEST_MOVED + 1)
    places = np.unique(np.concatenate(borders)[:, None] + reach)
    return order[places[(places >= 0) & (places < len(order))]] >> 1


def _near_pairs(points: _Points, order: Ints) -> tuple[Ints, Ints]:
    """Return pairs of near points of different trails, and each trail's points with the guards'."""
    from scipy.spatial import cKDTree

    own = np.concatenate((order, order ^ 1))
    own = np.sort(own[points.counts[own]])
    count = min(_NEAR, len(own))
    _, found = cKDTree(points.xy[own]).query(points.xy[own], k=count)
    a = np.repeat(own, count)
    b = own[np.asarray(found).reshape(-1)]
    guards = order[[0, -1]]
    for guard in guards[~points.counts[guards]]:
        a, b = np.concatenate((a, own)), np.concatenate((b, np.full(len(own), guard ^ (guard == guards[0]))))
    other = a >> 1 != b >> 1
    return a[other], b[other]


def _moves(points: _Points, order: Ints, near: tuple[Ints, Ints]) -> _Moves:
    """Return every move that puts two near points beside each other, with what it gains."""
    place = np.empty(len(points.xy), dtype=np.intp)
    place[order] = place[order ^ 1] = np.arange(len(order))
    entry = np.zeros(len(points.xy), dtype=np.bool_)
    entry[order] = True
    a, b = near
    pa, pb = place[a], place[b]
    low, high = np.minimum(pa, pb), np.maximum(pa, pb)
    no, yes = np.zeros(len(a), np.bool_), np.ones(len(a), np.bool_)
    both_left, both_entered = ~entry[a] & ~entry[b], entry[a] & entry[b]
    shift = both_left.astype(np.intp)
    same = both_left | both_entered
    # 2-opt: turn round what lies between. The second stretch is empty.
    parts = [tuple(x[same] for x in (low + shift, high - 1 + shift, high - 1 + shift, yes, no))]
    # Or-opt: a stretch that ends at a goes beside b, turned round if both are left or both entered.
    for length in range(1, _LONGEST_MOVED + 1):
        begin = np.where(entry[a], pa, pa - length + 1)
        end = begin + length - 1
        gap = pb + ~entry[b]  # the stretch goes before this place
        before, after = gap < begin, gap > end + 1
        parts.append(tuple(x[before] for x in (gap, begin - 1, end, no, same)))
        parts.append(tuple(x[after] for x in (begin, end, gap - 1, same, no)))
    low, cut, high, turn_a, turn_b = (np.concatenate(part) for part in zip(*parts, strict=True))
    ok = (low >= 1) & (high <= len(order) - 2) & (low <= high)
    low, cut, high, turn_a, turn_b = (x[ok] for x in (low, cut, high, turn_a, turn_b))
    return _Moves(_gains(points, order, low, cut, high, turn_a, turn_b), low, cut, high, turn_a, turn_b)


def _gains(
    points: _Points, order: Ints, low: Ints, cut: Ints, high: Ints, turn_a: Bools, turn_b: Bools
) -> Floats:
    """Return how much shorter each move makes the lifts."""
    only = cut == high
    before, after = order[low - 1] ^ 1, order[high + 1]
    head_a, tail_a = order[low], order[cut] ^ 1
    head_a, tail_a = np.where(turn_a, tail_a, head_a), np.where(turn_a, head_a, tail_a)
    head_b, tail_b = order[np.minimum(cut + 1, high)], order[high] ^ 1
    head_b, tail_b = np.where(turn_b, tail_b, head_b), np.where(turn_b, head_b, tail_b)
    was = points.between(before, order[low]) + points.between(order[high] ^ 1, after)
    split = points.between(order[cut] ^ 1, order[np.minimum(cut + 1, high)])
    alone = points.between(before, head_a) + points.between(tail_a, after)
    traded = points.between(before, head_b) + points.between(tail_b, head_a) + points.between(tail_a, after)
    return np.asarray(was + np.where(only, -alone, split - traded))


def _apply(order: Ints, moves: _Moves, best: Ints) -> Ints:
    """Make those moves, best first, that go together: side by side, or one inside a stretch of another."""
    result = order.copy()
    for k in sorted(_together(moves, best, len(order)), key=lambda k: int(moves.high[k] - moves.low[k])):
        low, cut, high = int(moves.low[k]), int(moves.cut[k]) + 1, int(moves.high[k]) + 1
        a, b = result[low:cut], result[cut:high]
        a = a[::-1] ^ 1 if moves.turn_a[k] else a
        b = b[::-1] ^ 1 if moves.turn_b[k] else b
        result[low:high] = np.concatenate((b, a))
    return result


def _together(moves: _Moves, best: Ints, n: int) -> list[int]:
    """Return the moves, taking `best` in turn, whose links lie within a single stretch of those before.

    Every stretch taken adds a number of its own to its places; equal sums are equal nests of stretches.
    """
    marks = np.random.default_rng(0).integers(1, 2**40, (len(best), 2))
    nest = np.zeros(n, dtype=np.int64)
    taken = []
    for mark, k, low, cut, high in zip(
        marks, best.tolist(), *(x[best].tolist() for x in (moves.low, moves.cut, moves.high)), strict=True
    ):
        borders = nest[[low - 1, low, cut, cut + 1, high, high + 1]]
        if (borders == borders[0]).all():
            nest[low : cut + 1] += mark[0]
            nest[cut + 1 : high + 1] += mark[1]
            taken.append(k)
    return taken


def _kicked(points: _Points, order: Ints, near: tuple[Ints, Ints], seed: int) -> Ints:
    """Trade two neighbouring stretches at random and improve again; keep what is shorter."""
    inside = len(order) - 2
    if inside < 4:
        return order
    rng = np.random.default_rng(seed)
    best = points.length(order)
    for _ in range(min(_KICKS, _KICK_WORK // inside)):
        low, cut, high = np.sort(rng.choice(inside + 1, 3, replace=False)) + 1
        kicked = np.concatenate((order[:low], order[cut:high], order[low:cut], order[high:]))
        tried = _improved(points, kicked, near, _about(order, (np.array([low, cut, high]),)))
        length = points.length(tried)
        if length < best - _LEAST_GAIN:
            order, best = tried, length
    return order
