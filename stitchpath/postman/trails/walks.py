"""From how often each edge is sewn to trails: straightest pairing at each junction, then merging.

The half-edges of every junction are paired (`stitchpath.postman.trails.pairing`); following the pairs gives
trails. A closed trail that meets another one is merged into it by the swap of partners that loses least, so
that no more trails are left than the numbers force: half the number of ends, and one for each component
without ends (Euler 1736; Listing 1847). A swap never needs to turn back on an edge (Kotzig 1968): of the two
ways to swap, one is always free of that unless the turn was forced before.
"""

from collections.abc import Iterator, Sequence
from itertools import chain, product

import numpy as np
from numpy.typing import ArrayLike, NDArray

from stitchpath.postman.trails.pairing import (
    END,
    START,
    HalfEdges,
    best_pairs,
    by_degree,
    pair_costs,
)
from stitchpath.postman.trails.trail import Trail, from_departures, reverse, rotate_closed

__all__ = ["Trail", "reverse", "rotate_closed", "trace"]

Ints = NDArray[np.intp]
Floats = NDArray[np.float64]

_Chain = tuple[bool, list[int]]
"""A trail as it is followed: whether it has ends, and the half-edges by which its steps depart."""

_Passages = list[list[int]]
"""Pairs of half-edges at one junction."""

_MANY, _ALIKE = 128, 4
"""Of more passages than `_MANY`, each is compared only with the next `_ALIKE` by direction."""


def trace(
    *,
    size: int,
    tails: ArrayLike,
    heads: ArrayLike,
    times: ArrayLike,
    ends: ArrayLike,
    start: int = -1,
    headings: ArrayLike | None = None,
) -> tuple[Trail, ...]:
    """Lay trails that walk each edge as often as asked, as straight on as they can.

    Parameters
    ----------
    size
        The number of vertices.
    tails, heads
        (m,) the edges' vertices; loops and parallel edges are welcome.
    times
        (m,) how often each edge is walked, 0 or more.
    ends
        (size,) how many trails' ends lie at each vertex.
    start
        The vertex where one more trail begins, its beginning not counted in `ends`; -1 for none.
    headings
        (2, m) radians: the direction in which an edge leaves its tail [0] and its head [1]. None: any.

    Returns
    -------
    tuple of Trail
        The trail from `start` first (empty if nothing is left for it), then those with ends, then the closed
        ones of components without ends, one each.

    Raises
    ------
    ValueError
        If a vertex has an odd number of half-edges and ends together, or more ends than half-edges.

    Examples
    --------
    The bridges of Koenigsberg (Euler 1736): four odd vertices, two trails.

    >>> tails, heads = [0, 0, 0, 0, 0, 1, 2], [1, 1, 2, 2, 3, 3, 3]
    >>> [len(t) for t in trace(size=4, tails=tails, heads=heads, times=[1] * 7, ends=[1, 1, 1, 1])]
    [4, 3]
    >>> trace(size=0, tails=[], heads=[], times=[], ends=[])
    ()
    """
    tail, head, often = (np.asarray(x, dtype=np.intp) for x in (tails, heads, times))
    halves = _half_edges(size, tail, head, often, np.asarray(ends, dtype=np.intp), start, headings)
    passages = tuple(best_pairs(halves, group) for group in by_degree(halves.at, size))
    mate = _mates(halves, passages)
    count = int(often.sum())
    chains = _follow(mate, count)
    if _merge(halves, passages, mate, chains):
        chains = _follow(mate, count)
    departures = (halves.key[np.array(steps, dtype=np.intp)] for _, steps in chains)
    return tuple(from_departures(d, tails=tail, heads=head, first=start) for d in departures)


def _half_edges(
    size: int, tails: Ints, heads: Ints, times: Ints, ends: Ints, start: int, headings: ArrayLike | None
) -> HalfEdges:
    """Return two half-edges for each traversal, 2c and 2c + 1, then the start, then the ends."""
    sides = np.repeat(2 * np.arange(len(tails), dtype=np.intp), times)[:, None] + np.arange(2)
    lone = np.array([start] if start >= 0 else [], dtype=np.intp)
    stops = np.repeat(np.arange(size, dtype=np.intp), ends)
    at = np.concatenate((np.stack((tails, heads), axis=1).ravel()[sides.ravel()], lone, stops))
    _check_parity(at, size)
    angle = np.zeros(2 * len(tails)) if headings is None else np.asarray(headings, np.float64).T.ravel()
    key = np.concatenate((sides.ravel(), np.full(len(lone), START), np.full(len(stops), END)))
    return HalfEdges(at, key, np.concatenate((angle[sides.ravel()], np.zeros(len(lone) + len(stops)))))


def _check_parity(at: Ints, size: int) -> None:
    odd = np.flatnonzero(np.bincount(at, minlength=size) & 1)
    if len(odd):
        raise ValueError(f"vertex {odd[0]} has an odd number of half-edges and ends; give it one end more")


def _mates(halves: HalfEdges, passages: Sequence[Ints]) -> list[int]:
    """Return each half-edge's partner, as a list for the loops to come."""
    mate = np.zeros(len(halves.at), dtype=np.intp)
    for rows in passages:
        a, b = rows[:, :, 0].ravel(), rows[:, :, 1].ravel()
        mate[a], mate[b] = b, a
        wrong = np.flatnonzero((halves.key[a] == END) & (halves.key[b] == END))
        if len(wrong):
            vertex = halves.at[a[wrong[0]]]
            raise ValueError(f"vertex {vertex} has more ends than half-edges; give it fewer ends")
    listed: list[int] = mate.tolist()
    return listed


def _follow(mate: list[int], count: int) -> list[_Chain]:
    """Return every trail, those with ends first."""
    seen = bytearray(count)
    ended = bytearray(len(mate))
    chains: list[_Chain] = []
    for end in range(2 * count, len(mate)):
        if not ended[end]:
            steps, other = _chain(mate, mate[end], 2 * count, seen)
            ended[other] = 1
            chains.append((True, steps))
    unseen = (copy for copy in range(count) if not seen[copy])
    chains.extend((False, _chain(mate, 2 * copy, 2 * count, seen)[0]) for copy in unseen)
    return chains


def _chain(mate: list[int], half: int, limit: int, seen: bytearray) -> tuple[list[int], int]:
    """Walk on from a departing half-edge to an end or back to a walked one; return the steps and the end."""
    steps: list[int] = []
    while half < limit and not seen[half >> 1]:
        seen[half >> 1] = 1
        steps.append(half)
        half = mate[half ^ 1]
    return steps, half


def _merge(
    halves: HalfEdges,
    passages: Sequence[Ints],
    mate: list[int],
    chains: list[_Chain],
) -> bool:
    """Swap partners in `mate` until no closed trail meets another one; say whether any was swapped.

    Trails with ends count as one: they need not be merged, and the rest is a cheapest spanning forest.
    """
    group = _groups(chains, len(mate))
    if not group.any():
        return False
    labels = group.tolist()
    parent = list(range(len(chains) + 1))
    swapped = False
    for a, b, row, crossed in _meetings(halves, passages, group):
        mine, theirs = _root(parent, a), _root(parent, b)
        if mine == theirs:
            continue
        if len(row) == 2 and all(mate[p] == q for p, q in row):
            _swap(mate, *row, crossed=crossed)
        else:  # partners may have been swapped here before
            now = _now(row, mate)
            sides = ([p for p in now if _root(parent, labels[p[0]]) == root] for root in (mine, theirs))
            _swap_cheapest(halves, mate, *sides)
        parent[mine] = theirs
        swapped = True
    return swapped


def _groups(chains: list[_Chain], n: int) -> Ints:
    """Return each half-edge's trail: 0 on all trails with ends, else counted from 1."""
    group = np.zeros(n, dtype=np.intp)
    for number, (is_open, steps) in enumerate(chains, start=1):
        if not is_open:
            halves = np.array(steps, dtype=np.intp)
            group[halves] = group[halves ^ 1] = number
    return group


def _root(parent: list[int], x: int) -> int:
    while parent[x] != x:
        parent[x] = parent[parent[x]]
        x = parent[x]
    return x


def _meetings(
    halves: HalfEdges, passages: Sequence[Ints], group: Ints
) -> Iterator[tuple[int, int, _Passages, bool]]:
    """Yield each two trails that meet, where joining them loses least; those that lose least first.

    With passages of the junction, and whether to swap partners crossed if there are two of them.
    """
    found = [(np.zeros(0), *np.zeros((7, 0), dtype=np.intp))]
    for which, rows in enumerate(passages):
        labels, every = group[rows[:, :, 0]], np.arange(len(rows))
        p, q = _compared(halves, rows)
        pair, at = np.nonzero(labels[every, p] != labels[every, q])
        p, q = p[pair, at], q[pair, at]
        low, high = np.sort(np.stack((labels[at, p], labels[at, q])), axis=0)
        losses = _losses(halves, rows[at, p], rows[at, q])
        found.append(
            (losses.min(axis=0), low, high, losses.argmin(axis=0), np.full(len(at), which), at, p, q)
        )
    loss, *rest = (np.concatenate(part) for part in zip(*found, strict=True))
    order = np.lexsort((loss, rest[1], rest[0]))
    best = order[np.diff(rest[0][order], prepend=-1) | np.diff(rest[1][order], prepend=-1) != 0]
    best = best[np.argsort(loss[best], kind="stable")]
    for a, b, crossed, which, at, p, q in zip(*(x[best].tolist() for x in rest), strict=True):
        row = passages[which][at]
        yield a, b, (row[[p, q]] if len(row) > _MANY else row).tolist(), bool(crossed)


def _compared(halves: HalfEdges, rows: Ints) -> tuple[Ints, Ints]:
    """Return (k, n) which passages of n junctions to compare: all, or of many those that run alike."""
    count = rows.shape[1]
    if count <= _MANY:
        p, q = np.broadcast_arrays(*(x[:, None] for x in np.triu_indices(count, 1)), np.zeros(len(rows)))[:2]
        return p, q
    order = np.argsort(halves.angle[rows[:, :, 0]] % np.pi, axis=1, kind="stable").T
    return np.tile(order, (_ALIKE, 1)), np.concatenate(
        [np.roll(order, -k, axis=0) for k in range(1, _ALIKE + 1)]
    )


def _losses(halves: HalfEdges, p: Ints, q: Ints) -> Floats:
    """Return (2, n) what it loses to swap partners between passages `p` and `q` (n, 2).

    First with first and last with last, then the crossed way.
    """
    (a, b), (c, d) = p.T, q.T
    now = pair_costs(halves, a, b) + pair_costs(halves, c, d)
    straight = pair_costs(halves, a, c) + pair_costs(halves, b, d)
    crossed = pair_costs(halves, a, d) + pair_costs(halves, b, c)
    return np.stack((straight, crossed)) - now


def _now(row: _Passages, mate: list[int]) -> _Passages:
    """Return the passages as they are by now that these half-edges are in."""
    now = {(min(half, mate[half]), max(half, mate[half])) for half in chain.from_iterable(row)}
    return [[one, other] for one, other in sorted(now)]


def _swap_cheapest(halves: HalfEdges, mate: list[int], mine: _Passages, theirs: _Passages) -> None:
    """Join the two passages, one of each side, that it loses least to join."""
    choices = list(product(mine, theirs))
    losses = _losses(halves, *np.array(choices, dtype=np.intp).transpose(1, 0, 2))
    crossed, k = divmod(int(losses.argmin()), len(choices))
    _swap(mate, *choices[k], crossed=bool(crossed))


def _swap(mate: list[int], p: list[int], q: list[int], *, crossed: bool) -> None:
    (a, b), (c, d) = p, q[::-1] if crossed else q
    mate[a], mate[c], mate[b], mate[d] = c, a, d, b
