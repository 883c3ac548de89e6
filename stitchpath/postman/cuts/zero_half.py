"""Zero-half cuts: sums of rows, halved and rounded up (Caprara and Fischetti 1996).

Add up rows of whole numbers (`stitchpath.postman.cuts.whole_rows`): those of cuts, and those of vertices as
equations. Make all coefficients even. Rounding up is always allowed, since none of x, y and w is negative;
rounding down is allowed where a column is 1 at most, and costs that much on the right side. Half of the sum
is again a row of whole numbers, and if its right side is not whole, it may be rounded up. That is the cut,
and it may be summed again. Combs, blossoms and the least K-C inequalities are of this kind.

A fractional answer violates the cut if the slack of the rows, plus the cost of making coefficients even,
comes to less than one. Choosing the rows to add is linear algebra modulo 2, done as in Koster, Zymolka and
Kutschka (2009): the equations of vertices clear all columns of copies but those that close a circuit of
fractional ones; the columns that are left, often hundreds, are cleared by elimination, in several orders.
(Both papers from memory; the code is ours.)

These cuts took over from K-C inequalities. On UR532, ordinary cuts leave 190 units to the optimum. K-C
inequalities left 101 of them, sixteen rounds of these cuts 8 to 12 (measured 2026-11-26, before there were
pairs). "standard" takes eight rounds, and four for closed walks: there eight took 41 % more time on eight
harder instances, and gained nothing.

What makes them work here: the equations leave some hundred columns of several thousand (28 of 951 on 2 x 2
blocks); the sums are chosen by how deep they cut; and cuts learned from integer programs are summed, too.
Least cuts between all pairs are only sought in every eighth round; starting with them was slower. Zero-half
cuts get no multipliers, so what they prove rests on the linear program
(`stitchpath.postman.cuts.certificate`).

What these cuts gain (measured 2026-11-30; the gap between plan and bound in % of what travel and ends cost,
and seconds of CPU):

                                    gap without    with  s without   with
    crossings priced, 3 x 3 blocks        0.436   0.075       13.1   13.1
    UR745                                 0.452   0.370        5.8    7.4
    jobs of blocks, 4 x 4                     0       0        4.0    4.7

What windows gain (measured 2026-11-30, from 1,600 vertices on; gap and seconds as above):

                                    gap without    with  s without   with
    laps always, 5 x 5 blocks             0.300   0.154       50.5   51.8

The bound alone rises by 0.08 %, after 21 s instead of 10. At 10 x 10 blocks eight rounds raised 518.42
million units to 518.67, by cuts of 211 entries instead of 920 (measured 2026-11-26).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import chain
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts.cut_sets import Taken, odd_vertices
from stitchpath.postman.cuts.whole_rows import Rows, incidence, no_rows, spread_rows, with_rows
from stitchpath.postman.cuts.windows import windows
from stitchpath.postman.graphs import Forest, components, forest_join, rooted, spanning
from stitchpath.postman.model.net import Net

__all__ = ["half_rows"]

_USED, _MISSED = 1e-6, 0.02
"""A column nearer to a limit is there, and a row must be missed by so much: HiGHS keeps both to 1e-7."""

_SLACK = 0.5
"""Only rows with less slack are added up, and only sums that come to less: half of what one leaves of 1 is
what an answer misses the cut by, a quarter at least."""

_MOST_ROWS = 4_000
"""Of more rows only those of least slack are added up: which are in which sum takes their square in bits."""

_MOST_VERTICES, _WINDOW = 1_600, 1_000
"""Of more vertices cuts are sought in windows of so many: on laps always at 10 x 10 a cut has 211 entries in
place of 920, and time grows with the size and not with its square."""

_ORDERS = 2
"""In how many orders columns are cleared: those in few rows first, then the same with noise."""

_MOST_ADDED, _EDGES_EACH, _SUMS_EACH = 60, 50, 10
"""A round adds so many rows, or one for so many links where that is more, the best of so many sums for
each."""

_ALIKE, _DIGITS = 0.9, 9
"""Of two rows at a greater cosine the one that cuts less deep is left out; so many digits of a depth or a
cost are compared, lest rounding decides a tie."""

_MOST_TURNS = 50
"""A stop for what ends by itself: each turn leaves fewer links odd."""

_Ints = NDArray[np.intp]
_Wholes = NDArray[np.int64]
_Floats = NDArray[np.float64]
_Flags = NDArray[np.bool_]


def half_rows(net: Net, taken: Taken, base: Rows, *, seed: int = 0) -> Rows:
    """Return rows that an answer misses, made of known ones.

    Parameters
    ----------
    net
        The network.
    taken
        The answer.
    base
        The rows known.
    seed
        Of the orders of elimination.
    """
    if net.size <= _MOST_VERTICES:
        return _best(net, taken, _missed_rows(net, taken, base, seed), most=_most(net))
    single = taken.single[net.links]
    fractional = net.links[np.minimum(single, 1 - single) > _USED]
    wanted = np.zeros(net.size, bool)
    wanted[net.tails[fractional]] = wanted[net.heads[fractional]] = True
    found = [no_rows(net)]
    for window in windows(net, wanted, size=_WINDOW):
        near = window.taken(taken)
        rows = _missed_rows(window.net, near, window.rows(base), seed)
        found.append(window.back(_best(window.net, near, rows, most=_most(window.net))))
    return _best(net, taken, with_rows(*found), most=_most(net))


def _most(net: Net) -> int:
    return max(_MOST_ADDED, len(net.links) // _EDGES_EACH)


def _missed_rows(net: Net, taken: Taken, base: Rows, seed: int) -> Rows:
    """Return rows that an answer misses, some of them much alike."""
    place = _Place(net, taken)
    near = _near_rows(place, base)
    sums = _odd_sums(_system(place, near), np.random.default_rng(seed))[: _SUMS_EACH * _most(net)]
    return _halved(place, near, sums) if sums else no_rows(net)


def _from_limit(far: _Floats) -> _Floats:
    """Tell a little from nothing."""
    return np.where(far < _USED, 0, far)


@dataclass(frozen=True)
class _Place:
    """Where an answer stands: its columns, singles first, and a forest of those that are at no limit."""

    net: Net
    taken: Taken

    @cached_property
    def odd(self) -> _Wholes:
        return odd_vertices(self.net).astype(np.int64)

    @cached_property
    def value(self) -> _Floats:
        halves = (incidence(self.net) @ self.taken.single - self.odd) / 2
        return np.concatenate([self.taken.single, self.taken.pair, halves])

    @cached_property
    def high(self) -> _Flags:
        """Which columns are nearer to their upper limit; halves have none."""
        high = self.value > 0.5
        high[2 * len(self.net.tails) :] = False
        return high

    @cached_property
    def apart(self) -> _Floats:
        """How far each column is from its nearer limit: what an odd coefficient costs."""
        return _from_limit(np.where(self.high, 1 - self.value, self.value))

    @cached_property
    def loose(self) -> _Ints:
        """The links at no limit."""
        return self.net.links[self.apart[self.net.links] > 0]

    @cached_property
    def tree(self) -> Forest:
        """A forest of loose links, those farthest from a limit first."""
        net = self.net
        ends = net.size, net.tails, net.heads
        return rooted(*ends, spanning(*ends, -self.apart[self.loose], index=self.loose))

    @cached_property
    def chords(self) -> _Ints:
        """The loose links that are not in the forest; each closes a circuit."""
        return np.setdiff1d(self.loose, self.tree.edge)

    @cached_property
    def whole(self) -> _Wholes:
        """Singles that fit all equations, at limits outside of the forest."""
        net, m = self.net, len(self.net.tails)
        whole = np.zeros(m, np.int64)
        fixed = np.setdiff1d(net.links, self.tree.edge)
        whole[fixed] = self.high[fixed]
        whole[forest_join(self.tree, (self.odd + incidence(net) @ whole) % 2 > 0)] = 1
        return whole

    def circuit(self, chord: int) -> list[int]:
        """Return the links of the circuit that a chord closes."""
        ways = (self._way_up(int(ends[chord])) for ends in (self.net.tails, self.net.heads))
        return [chord, *set.symmetric_difference(*map(set, ways))]

    def _way_up(self, vertex: int) -> list[int]:
        """Return the links from a vertex to its root."""
        way = []
        while self.tree.edge[vertex] >= 0:
            way.append(int(self.tree.edge[vertex]))
            vertex = int(self.tree.parent[vertex])
        return way

    def turned(self, odd: Any) -> NDArray[np.int8]:
        """Return (n, k) the vertices whose equations make even what is odd in the forest, of (k, m) rows."""
        turned = np.zeros((self.net.size, odd.shape[0]), np.int8)
        columns = odd[:, np.maximum(self.tree.edge, 0)].T.astype(np.int8).toarray()
        for vertex in self.tree.order[self.tree.parent[self.tree.order] >= 0].tolist():
            turned[vertex] = turned[self.tree.parent[vertex]] ^ columns[vertex]
        return turned


def _near_rows(place: _Place, base: Rows) -> Rows:
    """Return rows with little slack."""
    slack = base.entries @ place.value - base.least
    near = np.flatnonzero(slack < _SLACK)
    return Rows(base.entries[near], base.least[near])


@dataclass(frozen=True)
class _System:
    """Rows modulo 2 over the columns left: what is odd, the right side, the slack, and what columns cost."""

    bits: _Flags
    right: _Flags
    slack: _Floats
    apart: _Floats
    row: _Ints


def _system(place: _Place, near: Rows) -> _System:
    """Clear what the forest's columns hold: a chord's column gathers those of its circuit."""
    from scipy.sparse import csr_array, hstack

    m, odd = len(place.net.tails), _odd_part(near.entries)
    paths = [place.circuit(chord) for chord in place.chords.tolist()]
    at = np.repeat(np.arange(len(paths)), [len(path) for path in paths]), np.array([*chain(*paths)], np.intp)
    circuits = csr_array((np.ones(len(at[0]), np.int64), at), shape=(len(paths), m))
    others = m + np.flatnonzero(place.apart[m:] > 0)
    bits = _odd_part(hstack([odd[:, :m] @ circuits.T, odd[:, others]]).tocsr()).astype(bool).toarray()
    right = (near.least + odd[:, :m] @ place.whole) % 2 > 0
    slack = np.maximum(near.entries @ place.value - near.least, 0)
    order = np.argsort(slack, kind="stable")
    packed = np.packbits(np.column_stack([bits, right])[order], axis=1)
    row = order[np.sort(np.unique(packed, axis=0, return_index=True)[1])]
    row = row[bits[row].any(axis=1) | right[row]][:_MOST_ROWS]
    apart = np.append(place.apart[place.chords], place.apart[others])
    return _System(bits[row], right[row], slack[row], apart, row)


def _odd_part(rows: Any) -> Any:
    """Return where entries of sparse rows are odd, as ones."""
    from scipy.sparse import csr_array

    return csr_array((rows.data % 2, rows.indices, rows.indptr), rows.shape)


def _odd_sums(system: _System, rng: np.random.Generator) -> list[_Ints]:
    """Return sets of rows whose sum is even except for its right side, those of least slack first."""
    found: dict[bytes, float] = {}
    count, columns = system.bits.shape
    orders = [np.zeros(columns), *rng.random((_ORDERS - 1, columns))] if count else []
    for noise in orders:
        for name, cost in _eliminated(system, noise):
            found[name] = min(cost, found.get(name, np.inf))
    ranked = sorted(found, key=lambda name: (round(found[name], _DIGITS), _bits(name, count).sum(), name))
    return [system.row[_bits(name, count)] for name in ranked]


def _bits(name: bytes, count: int) -> _Flags:
    return np.unpackbits(np.frombuffer(name, np.uint8))[:count] > 0


def _eliminated(system: _System, noise: _Floats) -> Iterator[tuple[bytes, float]]:
    """Clear columns, those in few rows first; give sums that are odd on the right, and what they cost."""
    work = _Elimination(system)
    fresh = np.arange(len(system.bits))
    while True:
        cost = work.slack[fresh] + work.bits[fresh] @ system.apart
        for one in np.flatnonzero(work.right[fresh] & (cost < _SLACK)):
            yield work.parts[fresh[one]].tobytes(), float(cost[one])
        column = work.next_column(noise)
        if column < 0:
            return
        fresh = work.clear(column)


class _Elimination:
    """Rows modulo 2 as they are added up, and of which rows of the system each is the sum, in packed bits."""

    def __init__(self, system: _System) -> None:
        self.bits, self.right, self.slack = system.bits.copy(), system.right.copy(), system.slack.copy()
        self.parts = np.packbits(np.eye(len(self.bits), dtype=bool), axis=1)
        self._alive = np.ones(len(self.bits), bool)
        self._count = self.bits.sum(axis=0)

    def next_column(self, noise: _Floats) -> int:
        """Return the column that is odd in fewest rows, but for some noise; -1 if none is in any."""
        order = np.where(self._count > 0, self._count * (1 + noise), np.inf)
        column = int(order.argmin()) if len(order) else -1
        return column if column >= 0 and self._count[column] > 0 else -1

    def clear(self, column: int) -> _Ints:
        """Add the row of least slack to all others of a column, and leave it out; return those that stay."""
        rows = np.flatnonzero(self._alive & self.bits[:, column])
        pivot = rows[np.lexsort((self.bits[rows].sum(axis=1), np.round(self.slack[rows], _DIGITS)))[0]]
        rest = rows[rows != pivot]
        self._count -= self.bits[rows].sum(axis=0)
        self.bits[rest] ^= self.bits[pivot]
        self.right[rest] ^= self.right[pivot]
        self.slack[rest] += self.slack[pivot]
        self.parts[rest] ^= self.parts[pivot]
        stays = (self.slack[rest] < _SLACK) & (self.bits[rest].any(axis=1) | self.right[rest])
        self._alive[pivot] = False
        self._alive[rest[~stays]] = False
        self._count += self.bits[rest[stays]].sum(axis=0)
        kept: _Ints = rest[stays]
        return kept


def _halved(place: _Place, near: Rows, sums: list[_Ints]) -> Rows:
    """Return half of each sum of rows, made even."""
    from scipy.sparse import csr_array, vstack

    m = len(place.net.tails)
    at = np.repeat(np.arange(len(sums)), [len(one) for one in sums]), np.concatenate(sums)
    chosen = csr_array((np.ones(len(at[0]), np.int64), at), shape=(len(sums), len(near.least)))
    totals, least, trees = (chosen @ near.entries).tocsr(), chosen @ near.least, _Trees(place)
    turned = place.turned(_odd_part(totals)[:, :m])
    rows = [no_rows(place.net).entries]
    for number in range(len(sums)):
        total = totals[[number]].toarray()[0]
        total, more = _evened(place, total, trees.tidied(total[:m] % 2, turned[:, number].astype(np.int64)))
        rows.append(csr_array(total[None] // 2))
        least[number] += more
    return Rows(vstack(rows).tocsr(), -(-least // 2))


def _evened(place: _Place, total: _Wholes, turned: _Wholes) -> tuple[_Wholes, int]:
    """Add equations to a sum of rows, and make it even; return it, and what that adds to its right side."""
    net, m = place.net, len(place.net.tails)
    total[net.links] += turned[net.tails[net.links]] + turned[net.heads[net.links]]
    total[2 * m :] -= 2 * turned
    uneven = np.flatnonzero(total % 2)
    down = uneven[place.high[uneven]]
    total[uneven] += 1
    total[down] -= 2
    return total, int(turned @ place.odd) - len(down)


class _Trees:
    """The trees of the forest, vertices by themselves among them, and the links between them."""

    def __init__(self, place: _Place) -> None:
        net, self.links = place.net, place.net.links
        self.count, self.label = components(net.size, net.tails, net.heads, place.loose)
        self.ends = net.tails, net.heads
        self.between = self.links[self.label[net.tails[self.links]] != self.label[net.heads[self.links]]]
        self.one, self.other = self.label[net.tails[self.between]], self.label[net.heads[self.between]]
        right = np.bincount(self.label, place.odd, self.count) + self._around(place.high[self.between])
        self.free = right.astype(np.int64) % 2 == 0
        self.every = self._around(np.ones(len(self.between)))

    def _around(self, values: Any) -> _Floats:
        """Return the sum of what the links around each tree have."""
        sums = np.bincount(self.one, values, self.count) + np.bincount(self.other, values, self.count)
        return sums.astype(np.float64)

    def tidied(self, odd: _Wholes, turned: _Wholes) -> _Wholes:
        """Turn whole trees if that makes fewer links odd and leaves the right side as it is."""
        tails, heads = (turned[ends[self.between]] for ends in self.ends)
        uneven = (odd[self.between] + tails + heads) % 2
        flipped = np.zeros(self.count, np.int64)
        for _ in range(_MOST_TURNS):
            now = self._gaining(uneven)
            if not now.any():
                break
            flipped ^= now
            uneven = (uneven + now[self.one] + now[self.other]) % 2
        return (turned + flipped[self.label]) % 2

    def _gaining(self, uneven: _Wholes) -> _Flags:
        """Return trees, none next to another, that have most to gain around them."""
        gain = np.where(self.free, 2 * self._around(uneven) - self.every, 0)
        best, greater = np.zeros(self.count), np.maximum(gain[self.one], gain[self.other])
        np.maximum.at(best, self.one, greater)
        np.maximum.at(best, self.other, greater)
        now = (gain > 0) & (gain >= best)
        now[self.other[now[self.one] & now[self.other]]] = False
        return now


def _best(net: Net, taken: Taken, rows: Rows, *, most: int) -> Rows:
    """Return the rows that cut deepest, at most `most`, no two of them much alike."""
    spread, least = spread_rows(net, rows)
    missed = least - spread @ np.append(taken.single, taken.pair)
    able = np.flatnonzero(missed > _MISSED)
    size = np.sqrt(spread.multiply(spread).sum(axis=1))[able]
    depth = np.round(missed[able] / size, _DIGITS)
    order = np.argsort(-depth, kind="stable")
    best = able[order[_apart(spread[able[order]], size[order], most)]]
    return Rows(rows.entries[best], rows.least[best])


def _apart(rows: Any, size: _Floats, most: int) -> list[int]:
    """Return at most `most` rows, in their order, none much like an earlier one."""
    chosen: list[int] = []
    out = np.zeros(len(size), bool)
    while len(chosen) < most and not out.all():
        place = int(out.argmin())
        chosen.append(place)
        out |= rows @ rows[[place]].toarray()[0] >= _ALIKE * size[place] * size
        out[place] = True
    return chosen
