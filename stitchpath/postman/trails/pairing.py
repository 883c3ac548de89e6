"""How a walk passes through a junction: half-edges in pairs, straightest first.

A half-edge is one end of one traversal of an edge, or the end of a trail (an *end*, key -1; the free start,
key -2). Pairing all half-edges of every junction fixes the walks. Here are the cost of a pair, and the
cheapest pairing of one junction alone: all junctions of a degree at once, in arrays, where networkx would
match them one by one.

At a junction of more than 256 half-edges each is paired with what faces it, and each passage is compared only
with the next ones by direction: weighing all against all took 43 s for 200 lines. With that, and with hanging
trees folded (`stitchpath.postman.joins.pendant_trees`), 800 lines through one point take 4.5 s on a busy
machine, nearly all of it imports and noding (measured 2026-11-30).
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

__all__ = ["END", "START", "STRAIGHT", "HalfEdges", "best_pairs", "by_degree", "pair_costs", "turning"]

END, START = -1, -2
"""Keys of a trail's end, and of the free start: edges have keys from 0 up."""

STRAIGHT = math.radians(15)
"""A passage that turns by less goes straight on."""

_NOT_STRAIGHT, _TURN_BACK, _EMPTY_START, _END_TO_END = 1e2, 1e4, 1e6, 1e8
"""Each outweighs all lesser ones that a junction of some dozen half-edges can sum up to."""

_LEAST = 1e-9
"""The least gain of a swap; with less, rounding could let swaps go on for ever."""

_EXACT_DEGREE, _GREAT_DEGREE, _FACING = 8, 256, 8
"""Up to the first degree all 105 pairings are weighed; above the second each half-edge is weighed against so
many that face it, and not against all: 200 lines through one point took 43 s."""

_CHUNK = 4096
"""Junctions whose pairings are weighed at a time: 8 half-edges, 105 pairings and 4 pairs each are 14 MB."""

Ints = NDArray[np.intp]
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class HalfEdges:
    """Every half-edge: its junction, which end of which edge it is, and where it heads.

    Attributes
    ----------
    at
        (n,) its junction.
    key
        (n,) 2 x edge, plus 1 at the edge's head; `END` or `START` for a trail's end.
    angle
        (n,) the direction in which it leaves its junction, radians; 0 for ends.
    """

    at: Ints
    key: Ints
    angle: Floats


def by_degree(at: Ints, size: int) -> Iterator[Ints]:
    """Yield each junction's half-edges, in groups of equal degree, the least first: (n, degree) a group.

    Examples
    --------
    >>> [group.tolist() for group in by_degree(np.array([1, 0, 1, 0, 1, 1]), 3)]
    [[[1, 3]], [[0, 2, 4, 5]]]
    >>> list(by_degree(np.zeros(0, np.intp), 0))
    []
    """
    order = np.argsort(at, kind="stable")
    degree = np.bincount(at, minlength=size)
    first = np.cumsum(degree) - degree
    for d in np.unique(degree[degree > 0]).tolist():
        yield order[first[degree == d][:, None] + np.arange(d)]


def turning(angle_a: Floats, angle_b: Floats) -> Floats:
    """Return by how much a walk turns that comes in on one half-edge and leaves by another, in [0, pi].

    Examples
    --------
    >>> turning(np.array([0.0, 0.0]), np.array([np.pi, 0.0])).round(6).tolist()
    [0.0, 3.141593]
    >>> turning(np.zeros(0), np.zeros(0)).tolist()
    []
    """
    between = np.abs(angle_a - angle_b) % (2 * np.pi)
    return np.abs(np.pi - between)


def pair_costs(halves: HalfEdges, a: Ints, b: Ints) -> Floats:
    """Return what it costs to pair half-edges `a` with `b`, elementwise.

    Never an end with an end, then no turning back on the same edge, then as many straight passages as can
    be, then the least turning. An end costs nothing beside an edge.

    Parameters
    ----------
    halves
        The half-edges.
    a, b
        (k,) indices of half-edges at one junction each.

    Examples
    --------
    >>> two = HalfEdges(np.array([0, 0]), np.array([4, 4]), np.array([0.0, 0.0]))
    >>> bool(pair_costs(two, np.array([0]), np.array([1]))[0] > 1e4)
    True
    >>> pair_costs(two, np.zeros(0, np.intp), np.zeros(0, np.intp)).tolist()
    []
    """
    key_a, key_b = halves.key[a], halves.key[b]
    turn = turning(halves.angle[a], halves.angle[b])
    cost: Floats = turn + _NOT_STRAIGHT * (turn >= STRAIGHT) + _TURN_BACK * (key_a == key_b)
    lower, upper = np.minimum(key_a, key_b), np.maximum(key_a, key_b)
    cost[lower < 0] = 0.0
    cost[upper < 0] = np.where(lower[upper < 0] == START, _EMPTY_START, _END_TO_END)
    return cost


@cache
def _matchings(degree: int) -> tuple[tuple[tuple[int, int], ...], ...]:
    """Return every way to put 0 .. degree - 1 in pairs."""

    def rest(left: tuple[int, ...]) -> Iterator[tuple[tuple[int, int], ...]]:
        if not left:
            yield ()
        for k in range(1, len(left)):
            for more in rest(left[1:k] + left[k + 1 :]):
                yield ((left[0], left[k]), *more)

    return tuple(rest(tuple(range(degree))))


def _exact(costs: Floats, degree: int) -> Ints:
    """Return the cheapest pairing of each row of `costs` (n, degree, degree), as (n, degree / 2, 2)."""
    table = np.array(_matchings(degree), dtype=np.intp)
    total = costs[:, table[:, :, 0], table[:, :, 1]].sum(axis=2)
    chosen: Ints = table[total.argmin(axis=1)]
    return chosen


def _greedy(cost: list[list[float]], degree: int) -> list[tuple[int, int]]:
    free = [True] * degree
    pairs = []
    for _, i, j in sorted((cost[i][j], i, j) for i, j in combinations(range(degree), 2)):
        if free[i] and free[j]:
            free[i] = free[j] = False
            pairs.append((i, j))
    return pairs


def _improve(pairs: list[tuple[int, int]], cost: list[list[float]]) -> bool:
    """Swap partners between two pairs wherever that is cheaper; say whether any was."""
    better = False
    for p, q in combinations(range(len(pairs)), 2):
        (a, b), (c, d) = pairs[p], pairs[q]
        now = cost[a][b] + cost[c][d]
        straight, crossed = cost[a][c] + cost[b][d], cost[a][d] + cost[b][c]
        if min(straight, crossed) < now - _LEAST:
            pairs[p], pairs[q] = ((a, c), (b, d)) if straight <= crossed else ((a, d), (b, c))
            better = True
    return better


def _near_best(costs: Floats, degree: int) -> Ints:
    """Return a good pairing of each row: greedily, then by swaps of two pairs until none helps."""
    rows = []
    for cost in costs.tolist():
        pairs = _greedy(cost, degree)
        while _improve(pairs, cost):
            pass
        rows.append(pairs)
    return np.array(rows, dtype=np.intp)


def _faced(halves: HalfEdges, row: Ints) -> Ints:
    """Pair the many half-edges of one junction, (degree / 2, 2): each with one of the few that face it best.

    To weigh all against all would take time and memory with the square of their number.
    """
    ends = row[halves.key[row] < 0]
    sides = row[halves.key[row] >= 0]
    sides = sides[np.lexsort((halves.key[sides], halves.angle[sides] % (2 * np.pi)))]
    if len(ends) > len(sides):
        return np.concatenate((ends, sides)).reshape(-1, 2)
    one, other = _facing(halves, sides)
    free, pairs = dict.fromkeys(sides.tolist()), []
    for a, b in zip(one.tolist(), other.tolist(), strict=True):
        if len(free) > len(ends) and a in free and b in free:
            del free[a], free[b]
            pairs.append((a, b))
    left = np.array(list(free), dtype=np.intp)
    half = (len(left) - len(ends)) // 2
    rest = zip((left[:half], left[2 * half :]), (left[half : 2 * half], ends), strict=True)
    return _swapped(
        halves, np.concatenate([np.array(pairs, np.intp).reshape(-1, 2), *map(np.column_stack, rest)])
    )


def _facing(halves: HalfEdges, sides: Ints) -> tuple[Ints, Ints]:
    """Return the pairs that go straight on among those that face each other, the straightest first."""
    angle = halves.angle[sides] % (2 * np.pi)
    place = np.searchsorted(angle, (angle + np.pi) % (2 * np.pi))
    near = (place[:, None] + np.arange(_FACING) - _FACING // 2) % len(sides)
    one, other = np.repeat(sides, _FACING), sides[near.ravel()]
    cost = pair_costs(halves, one, other)
    order = np.lexsort((other, one, cost))
    order = order[cost[order] < _NOT_STRAIGHT]
    return one[order], other[order]


def _swapped(halves: HalfEdges, pairs: Ints) -> Ints:
    """Swap partners between a pair that is not straight and another pair, where that is cheaper."""
    now = pair_costs(halves, *pairs.T)
    for at in np.flatnonzero(now >= _NOT_STRAIGHT).tolist():
        (a, b), (c, d) = pairs[at], pairs.T
        straight = pair_costs(halves, a, c) + pair_costs(halves, b, d)
        crossed = pair_costs(halves, a, d) + pair_costs(halves, b, c)
        loss = np.minimum(straight, crossed) - now - now[at]
        loss[at] = 0.0
        best = int(loss.argmin())
        if loss[best] < -_LEAST:
            c, d = pairs[best] if straight[best] <= crossed[best] else pairs[best][::-1]
            pairs[at], pairs[best] = (a, c), (b, d)
            now[[at, best]] = pair_costs(halves, *pairs[[at, best]].T)
    return pairs


def best_pairs(halves: HalfEdges, group: Ints) -> Ints:
    """Return the cheapest pairing of each junction's half-edges, alone; near the cheapest above degree 8.

    Parameters
    ----------
    halves
        All half-edges.
    group
        (n, degree) the half-edges of junctions of one even degree, a row a junction.

    Returns
    -------
    (n, degree / 2, 2) half-edges
        The pairs, a row a junction.

    Examples
    --------
    >>> cross = HalfEdges(np.zeros(4, np.intp), np.array([0, 2, 4, 6]), np.radians([0.0, 90, 180, 270]))
    >>> best_pairs(cross, np.array([[0, 1, 2, 3]])).tolist()
    [[[0, 2], [1, 3]]]
    >>> best_pairs(cross, np.zeros((0, 2), np.intp)).shape
    (0, 1, 2)
    """
    n, degree = group.shape
    if degree > _GREAT_DEGREE:
        return np.stack([_faced(halves, row) for row in group])
    pairs = np.zeros((n, degree // 2, 2), dtype=np.intp)
    solve = _exact if degree <= _EXACT_DEGREE else _near_best
    for low in range(0, n, _CHUNK):
        rows = group[low : low + _CHUNK]
        if degree == 2:
            pairs[low : low + _CHUNK, 0] = rows
            continue
        costs = pair_costs(halves, *np.broadcast_arrays(rows[:, :, None], rows[:, None, :]))
        chosen = solve(costs, degree)
        pairs[low : low + _CHUNK] = rows[np.arange(len(rows))[:, None, None], chosen]
    return pairs
