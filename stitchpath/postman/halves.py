"""Zero-half cuts: halved sums of rows, rounded up (Caprara and Fischetti 1996).

Add up rows of whole numbers (`wholes`), those of cuts and those of vertices as equations. Make coefficients
even: up, for x and w are not negative; or down, where x(e) has an upper limit, by as much as that comes to.
Half of it is a row of whole numbers again, and where its right side is not whole it may be rounded up: that
is the cut, and a row for others. Combs, blossoms and the least K-C inequalities are of this kind.

A fractional answer misses it if the rows' slack, and what was made even costs, come to less than one. Which
rows to add is linear algebra modulo 2, as Koster, Zymolka and Kutschka (2009) do it: equations of vertices
clear all columns of copies but those that close a circuit of fractional ones; what is left, often hundreds
of columns, is cleared by elimination, in several orders. (Both from memory; the code is ours.)
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts import odd_vertices
from stitchpath.postman.graphs import components, spanning
from stitchpath.postman.net import Net
from stitchpath.postman.wholes import Rows, incidence, inner_edges, no_rows, spread_rows

__all__ = ["half_rows"]

_USED = 1e-6
_SLACK = 0.5
_MISSED = 0.02
_MOST_ROWS = 4_000
_ORDERS = 2
_MOST_ADDED, _EDGES_EACH, _SUMS_EACH = 60, 50, 10
_ALIKE = 0.9

_Ints = NDArray[np.intp]
_Wholes = NDArray[np.int64]
_Floats = NDArray[np.float64]
_Flags = NDArray[np.bool_]


def half_rows(net: Net, taken: _Floats, base: Rows, *, seed: int = 0) -> Rows:
    """Return rows that an answer misses, made of known ones.

    Parameters
    ----------
    net
        The network.
    taken
        (m,) how often each edge is taken, beyond the required first time.
    base
        The rows known.
    seed
        Of the orders of elimination.
    """
    place = _Place(net, taken)
    near = _near_rows(place, base)
    system = _system(place, near)
    most = max(_MOST_ADDED, len(place.edges) // _EDGES_EACH)
    sums = _odd_sums(system, np.random.default_rng(seed))[: _SUMS_EACH * most]
    return _best(net, taken, *_halved(place, near, sums), most=most) if sums else no_rows(net)


@dataclass(frozen=True)
class _Place:
    """Where an answer stands: its columns, copies first, and a forest of those that are at no limit."""

    net: Net
    taken: _Floats

    @cached_property
    def odd(self) -> _Wholes:
        return odd_vertices(self.net).astype(np.int64)

    @cached_property
    def edges(self) -> _Ints:
        return inner_edges(self.net)

    @cached_property
    def value(self) -> _Floats:
        return np.append(self.taken, (incidence(self.net) @ self.taken - self.odd) / 2)

    @cached_property
    def most(self) -> _Wholes:
        """Upper limit of each edge's copies."""
        return np.minimum(self.net.extra, np.where(self.net.required, 1, 2)).astype(np.int64)

    @cached_property
    def high(self) -> _Flags:
        """Which columns are nearer to their upper limit."""
        high = np.zeros(len(self.value), bool)
        high[self.edges] = 2 * self.taken[self.edges] > self.most[self.edges]
        return high

    @cached_property
    def apart(self) -> _Floats:
        """How far each column is from its nearer limit: what an odd coefficient costs."""
        apart = self.value.copy()
        upper = np.flatnonzero(self.high)
        apart[upper] = self.most[upper] - apart[upper]
        return np.where(apart < _USED, 0, apart)

    @cached_property
    def forest(self) -> "_Forest":
        return _Forest(self)


class _Forest:
    """A forest of columns of copies that are at no limit, those farthest from one first.

    Vertices of a tree follow each other in `order`; those below an edge of it are `order[first:last]` of its
    lower end.
    """

    def __init__(self, place: _Place) -> None:
        net = place.net
        loose = place.edges[place.apart[place.edges] > 0]
        tree = spanning(net.size, net.tails, net.heads, -place.apart[loose], index=loose)
        self.circuits = np.setdiff1d(loose, tree)
        self.count, self.label = components(net.size, net.tails, net.heads, loose)
        near: list[list[tuple[int, int]]] = [[] for _ in range(net.size)]
        for edge, one, other in zip(
            tree.tolist(), net.tails[tree].tolist(), net.heads[tree].tolist(), strict=True
        ):
            near[one].append((other, edge))
            near[other].append((one, edge))
        self.above, self.edge, self.depth = (np.full(net.size, -1) for _ in range(3))
        self.first, self.last = np.zeros(net.size, np.intp), np.zeros(net.size, np.intp)
        self.order: list[int] = []
        for root in range(net.size):
            if self.depth[root] < 0:
                self._walk(root, near)
        self.lower = np.full(len(net.tails), -1)
        below = np.flatnonzero(self.edge >= 0)
        self.lower[self.edge[below]] = below

    def _walk(self, root: int, near: list[list[tuple[int, int]]]) -> None:
        self.depth[root] = 0
        stack = [(root, False)]
        while stack:
            vertex, done = stack.pop()
            if done:
                self.last[vertex] = len(self.order)
                continue
            self.first[vertex] = len(self.order)
            self.order.append(vertex)
            stack.append((vertex, True))
            for other, edge in near[vertex]:
                if self.depth[other] < 0:
                    self.depth[other] = self.depth[vertex] + 1
                    self.above[other], self.edge[other] = vertex, edge
                    stack.append((other, False))

    def circuit(self, edge: int, one: int, other: int) -> list[int]:
        """Return the edges of the circuit that an edge closes."""
        found = [edge]
        while one != other:
            if self.depth[one] < self.depth[other]:
                one, other = other, one
            found.append(int(self.edge[one]))
            one = int(self.above[one])
        return found

    def turned(self, odd: _Ints) -> _Wholes:
        """Return 1 for the vertices whose equations make even what is odd on edges of the forest."""
        steps = np.zeros(len(self.order) + 1, np.int64)
        lower = self.lower[odd]
        lower = lower[lower >= 0]
        np.add.at(steps, self.first[lower], 1)
        np.add.at(steps, self.last[lower], 1)
        turned = np.zeros(len(self.order), np.int64)
        turned[self.order] = np.cumsum(steps)[:-1] % 2
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
    from scipy.sparse import csr_array, hstack

    net, forest, m = place.net, place.forest, len(place.net.tails)
    odd = csr_array((near.entries.data % 2, near.entries.indices, near.entries.indptr), near.entries.shape)
    paths = [
        forest.circuit(edge, int(net.tails[edge]), int(net.heads[edge])) for edge in forest.circuits.tolist()
    ]
    at = np.repeat(np.arange(len(paths)), [len(path) for path in paths]), np.array([*chain(*paths)], np.intp)
    circuits = csr_array((np.ones(len(at[0]), np.int64), at), shape=(len(paths), m))
    halves = m + np.flatnonzero(place.apart[m:] > 0)
    bits = hstack([odd[:, :m] @ circuits.T, odd[:, halves]]).toarray() % 2 > 0
    right = (near.least + odd[:, :m] @ _whole_point(place)) % 2 > 0
    slack = np.maximum(near.entries @ place.value - near.least, 0)
    apart = np.append(place.apart[forest.circuits], place.apart[halves])
    order = np.argsort(slack, kind="stable")
    packed = np.packbits(np.column_stack([bits, right])[order], axis=1)
    _, first = np.unique(packed, axis=0, return_index=True)
    row = order[np.sort(first)]
    row = row[bits[row].any(axis=1) | right[row]][:_MOST_ROWS]
    return _System(bits[row], right[row], slack[row], apart, row)


def _whole_point(place: _Place) -> _Wholes:
    """Return copies modulo 2 that fit all equations, at limits outside of the forest."""
    net, forest, m = place.net, place.forest, len(place.net.tails)
    point = np.where(place.high[:m], place.most, 0) % 2
    point[forest.edge[forest.edge >= 0]] = 0
    point[np.setdiff1d(np.arange(m), place.edges)] = 0
    lacks = (place.odd + incidence(net) @ point) % 2
    for vertex in reversed(forest.order):
        if lacks[vertex] and forest.above[vertex] >= 0:
            point[forest.edge[vertex]] = 1
            lacks[forest.above[vertex]] ^= 1
    return point


def _odd_sums(system: _System, rng: np.random.Generator) -> list[_Ints]:
    """Return sets of rows whose sum is even but for its right side, those of least slack first."""
    found: dict[bytes, float] = {}
    count, columns = system.bits.shape
    if count:
        for number in range(_ORDERS):
            noise = rng.random(columns) if number else np.zeros(columns)
            for name, cost in _eliminated(system, np.asarray(noise)):
                found[name] = min(cost, found.get(name, np.inf))
    ranked = sorted(found, key=lambda name: (round(found[name], 6), _bits(name, count).sum(), name))
    return [system.row[_bits(name, count)] for name in ranked]


def _bits(name: bytes, count: int) -> _Flags:
    return np.unpackbits(np.frombuffer(name, np.uint8))[:count] > 0


def _eliminated(system: _System, noise: _Floats) -> Iterator[tuple[bytes, float]]:
    """Clear columns, those in few rows first; give sums that are odd on the right, and what they cost."""
    bits, right, slack = system.bits.copy(), system.right.copy(), system.slack.copy()
    parts = np.packbits(np.eye(len(bits), dtype=bool), axis=1)
    alive = np.ones(len(bits), bool)
    counts, open_ = bits.sum(axis=0).astype(float), np.ones(len(noise), bool)
    fresh = np.arange(len(bits))
    while True:
        cost = slack[fresh] + bits[fresh] @ system.apart
        for one in np.flatnonzero(right[fresh] & (cost < _SLACK)):
            yield parts[fresh[one]].tobytes(), float(cost[one])
        if not (open_ & (counts > 0)).any():
            return
        column = int(np.where(open_ & (counts > 0), counts * (1 + noise), np.inf).argmin())
        open_[column] = False
        rows = np.flatnonzero(alive & bits[:, column])
        if not len(rows):
            continue
        size = bits[rows].sum(axis=1)
        pivot = rows[np.lexsort((size, np.round(slack[rows], 6)))[0]]
        fresh = rows[rows != pivot]
        counts -= bits[rows].sum(axis=0)
        bits[fresh] ^= bits[pivot]
        right[fresh] ^= right[pivot]
        slack[fresh] += slack[pivot]
        parts[fresh] ^= parts[pivot]
        alive[pivot] = False
        keep = (slack[fresh] < _SLACK) & (bits[fresh].any(axis=1) | right[fresh])
        alive[fresh[~keep]] = False
        fresh = fresh[keep]
        counts += bits[fresh].sum(axis=0)


def _halved(place: _Place, near: Rows, sums: list[_Ints]) -> tuple[_Wholes, _Wholes]:
    """Return half of each sum of rows, made even: (k, m + n) coefficients and (k,) right sides."""
    from scipy.sparse import csr_array

    net, m = place.net, len(place.net.tails)
    at = np.repeat(np.arange(len(sums)), [len(one) for one in sums]), np.concatenate(sums)
    chosen = csr_array((np.ones(len(at[0]), np.int64), at), shape=(len(sums), len(near.least)))
    totals, least = (chosen @ near.entries).toarray(), chosen @ near.least
    for number, total in enumerate(totals):
        odd = total[:m] % 2
        turned = _tidied(place, odd, place.forest.turned(np.flatnonzero(odd)))
        total[place.edges] += turned[net.tails[place.edges]] + turned[net.heads[place.edges]]
        total[m:] -= 2 * turned
        uneven = np.flatnonzero(total % 2)
        down = uneven[place.high[uneven]]
        total[uneven] += 1
        total[down] -= 2
        least[number] += int(turned @ place.odd) - int(place.most[down].sum())
    return totals // 2, -(-least // 2)


def _tidied(place: _Place, odd: _Wholes, turned: _Wholes) -> _Wholes:
    """Turn whole trees of the forest where that makes fewer edges odd, and the right side no other."""
    net, forest = place.net, place.forest
    between = place.edges[forest.label[net.tails[place.edges]] != forest.label[net.heads[place.edges]]]
    one, other = forest.label[net.tails[between]], forest.label[net.heads[between]]
    uneven = (odd[between] + turned[net.tails[between]] + turned[net.heads[between]]) % 2
    limit = np.where(place.high[between], place.most[between], 0)
    right = np.bincount(forest.label, place.odd, forest.count) + np.bincount(one, limit, forest.count)
    right = (right + np.bincount(other, limit, forest.count)).astype(np.int64) % 2
    every = np.bincount(one, minlength=forest.count) + np.bincount(other, minlength=forest.count)
    flipped = np.zeros(forest.count, np.int64)
    for _ in range(50):
        ones = np.bincount(one, uneven, forest.count) + np.bincount(other, uneven, forest.count)
        gain = np.where(right == 0, 2 * ones - every, 0)
        if gain.max(initial=0) <= 0:
            break
        edge_gain = np.maximum(gain[one], gain[other])
        best = np.zeros(forest.count)
        np.maximum.at(best, one, edge_gain)
        np.maximum.at(best, other, edge_gain)
        now = (gain > 0) & (gain >= best)
        clash = now[one] & now[other]
        now[other[clash]] = False
        if not now.any():
            break
        flipped ^= now
        uneven = (uneven + now[one] + now[other]) % 2
    return (turned + flipped[forest.label]) % 2


def _best(net: Net, taken: _Floats, totals: _Wholes, least: _Wholes, *, most: int) -> Rows:
    """Return so many of those rows that cut deepest, no two of them much alike."""
    from scipy.sparse import csr_array

    rows = Rows(csr_array(totals), least)
    spread, least = spread_rows(net, rows)
    unit = spread.toarray().astype(np.float64)
    norm = np.maximum(np.sqrt((unit**2).sum(axis=1)), _USED)
    missed = least - unit @ taken
    unit /= norm[:, None]
    chosen: list[int] = []
    for one in np.argsort(-missed / norm, kind="stable").tolist():
        if len(chosen) >= most:
            break
        if missed[one] > _MISSED and (unit[chosen] @ unit[one] < _ALIKE).all():
            chosen.append(one)
    return Rows(rows.entries[chosen], rows.least[chosen])
