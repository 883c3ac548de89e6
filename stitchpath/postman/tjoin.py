"""Minimum T-joins (Edmonds and Johnson 1973): the cheapest edges that make just the asked vertices odd.

A matching's time is long where few odd vertices must look far for each other. If its budget is spent, it is
done again with the free vertex brought nearer: that is fast, bounds the answer from below, and gives a join
close to the best, though it proves nothing.

Ranges that the matching cannot take are shifted down: the join is then cheapest by the shifted costs, and
their sum, shifted back, is a bound from below. Edges that come to zero are contracted first, and expanded
after.
"""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman import blossom
from stitchpath.postman.chains import reduced
from stitchpath.postman.errors import OddComponentError, PromiseError
from stitchpath.postman.graphs import (
    Forest,
    cheapest,
    components,
    forest_join,
    parity,
    rooted,
    shortest,
    spanning,
)

__all__ = ["Join", "Web", "min_join", "prepare"]

_WEIGHT_BITS = 24
_DISTANCE_BITS = 30
_CHEAP_BITS = 3
_REDUCE_FROM = 2_000


@dataclass(frozen=True)
class Join:
    """A T-join.

    Attributes
    ----------
    edges
        (m,) which edges are taken.
    lower
        (size,) whole units: a proven bound from below, shared out over the vertices, so that it may be summed
        over all of them or over any component (the free vertex left out).
    matched
        False where the matching spent its budget, so that the join may not be the cheapest.
    """

    edges: NDArray[np.bool_]
    lower: NDArray[np.int64]
    matched: bool


@dataclass(frozen=True)
class Web:
    """A graph made ready for joins: see `prepare`."""

    size: int
    tails: NDArray[np.intp]
    heads: NDArray[np.intp]
    cost: NDArray[np.int64]
    index: NDArray[np.intp]
    free: int

    @cached_property
    def component(self) -> NDArray[np.intp]:
        """Each vertex's component."""
        return components(self.size, self.tails, self.heads, self.index)[1]

    @cached_property
    def shift(self) -> int:
        """By how many bits costs are shifted down to fit the matching."""
        greatest = int(self.cost[self.index].max(initial=0))
        shift = max(0, greatest.bit_length() - _WEIGHT_BITS)
        if ((greatest >> shift) * self.size).bit_length() <= _DISTANCE_BITS:
            return shift
        return max(shift, self._reach().bit_length() - _DISTANCE_BITS)

    def _reach(self) -> int:
        """Twice the farthest way from one vertex of each component: no distance is greater."""
        roots = np.unique(self.component, return_index=True)[1].astype(np.intp)
        if self.free >= 0:
            roots[self.component[self.free]] = self.free
        ways = shortest(self.size, self.tails, self.heads, self.cost, index=self.index, sources=roots)
        return 2 * int(ways.distance.max(initial=0))

    @cached_property
    def zeros(self) -> NDArray[np.intp]:
        """A spanning forest of the edges whose shifted cost is zero."""
        zero = self.index[self.cost[self.index] >> self.shift == 0]
        return spanning(self.size, self.tails, self.heads, self.cost[zero], index=zero)

    @cached_property
    def cluster(self) -> NDArray[np.intp]:
        """Each vertex's cluster: what zero edges contract to."""
        if len(self.zeros) == 0:
            return np.arange(self.size)
        return components(self.size, self.tails, self.heads, self.zeros)[1]

    @cached_property
    def kept(self) -> NDArray[np.intp]:
        """The edges that matter between clusters."""
        return cheapest(self.size, self.cluster[self.tails], self.cluster[self.heads], self.cost, self.index)

    @cached_property
    def island(self) -> NDArray[np.intp]:
        """Each cluster's component when the free vertex is taken away."""
        one, other = self.ends
        return components(self.size, one, other, np.flatnonzero(other >= 0))[1]

    @cached_property
    def forest(self) -> Forest:
        """The zero edges' forest, rooted at the free vertex where it can."""
        return rooted(self.size, self.tails, self.heads, self.zeros, root=self.free)

    @cached_property
    def ends(self) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """The clusters that each kept edge joins; the free vertex's cluster stands second, as -1."""
        one = self.cluster[self.tails[self.kept]]
        other = self.cluster[self.heads[self.kept]]
        if self.free < 0:
            return one, other
        hub = self.cluster[self.free]
        return np.where(one == hub, other, one), np.where((one == hub) | (other == hub), -1, other)


def prepare(
    size: int,
    tails: NDArray[np.intp],
    heads: NDArray[np.intp],
    cost: NDArray[np.int64],
    *,
    index: NDArray[np.intp],
    free: int = -1,
) -> Web:
    """Make a graph ready for joins over its edges `index`.

    Parameters
    ----------
    size
        Number of vertices.
    tails, heads, cost
        (m,) edges, in whole units >= 0; parallel edges and self-loops are allowed.
    index
        The edges that may be taken.
    free
        A vertex whose parity does not count, or -1.

    Examples
    --------
    >>> web = prepare(2, np.array([0]), np.array([1]), np.array([7]), index=np.arange(1))
    >>> min_join(web, np.array([True, True])).edges
    array([ True])
    """
    return Web(size, tails, heads, cost, index, free)


def min_join(web: Web, odd: NDArray[np.bool_], *, budget_s: float | None = None) -> Join:
    """Find the cheapest edges that make the degrees odd at just the vertices `odd`.

    Parameters
    ----------
    web, odd
        The graph, and (size,) flags.
    budget_s
        None: as long as any matching may take. Else this is a mere try: so long may a large one take, and
        if that is spent, nothing stands in, and the join is empty.

    Raises
    ------
    OddComponentError
        If a component without the free vertex holds oddly many of them.

    Examples
    --------
    >>> none = np.array([], np.intp)
    >>> min_join(prepare(0, none, none, none, index=none), np.array([], bool)).edges
    array([], dtype=bool)
    """
    _check_even(web, odd)
    flips = np.bincount(web.cluster[odd], minlength=web.size) & 1 == 1
    if web.free >= 0:
        flips[web.cluster[web.free]] = False
    one, other, column, asked = _with_terminals(web, flips)
    weight = (web.cost[web.kept] >> web.shift)[column]
    answer = _matched(one, other, weight, asked, budget_s)
    matched = answer is not None
    if answer is None and budget_s is not None:
        return Join(np.zeros(len(web.tails), bool), np.zeros(web.size, np.int64), matched=False)
    if answer is None and web.free >= 0:
        weight = np.where(other < 0, np.maximum(weight >> _CHEAP_BITS, 1), weight)
        answer = _matched(one, other, weight, asked, budget_s)
    if answer is None:
        return _stand_in(web, odd, flips)
    taken = web.kept[column[answer]]
    edges = np.bincount(taken, minlength=len(web.tails)) & 1 == 1
    lower = np.zeros(web.size, np.int64)
    np.add.at(lower, _outer_end(web, taken), weight[answer] << web.shift)
    edges = _expanded(web, edges, odd)
    return Join(edges if matched else _fewer_outlets(web, edges), lower, matched)


def _matched(
    one: NDArray[np.intp],
    other: NDArray[np.intp],
    weight: NDArray[np.int64],
    odd: NDArray[np.bool_],
    budget_s: float | None,
) -> NDArray[np.bool_] | None:
    """Match as `blossom.match` does, a large case by way of a smaller one."""
    if len(odd) < _REDUCE_FROM:
        return blossom.match(one, other, weight, odd, budget_s=budget_s)
    small = reduced(one, other, weight, odd)
    size = len(small.odd)
    free = size if (small.other < 0).any() else -1
    heads = np.where(small.other < 0, size, small.other)
    web = Web(size + 1, small.one, heads, small.weight, np.arange(len(heads)), free)
    if web.shift:
        return blossom.match(one, other, weight, odd, budget_s=budget_s)
    kept = web.kept
    tail, head = web.ends
    flips = np.bincount(web.cluster[np.flatnonzero(small.odd)], minlength=web.size) & 1 == 1
    if free >= 0:
        flips[web.cluster[free]] = False
    answer = blossom.match(tail, head, small.weight[kept], flips, budget_s=budget_s)
    if answer is None:
        return None
    edges = np.zeros(len(heads), bool)
    edges[kept[answer]] = True
    return small.restored(_expanded(web, edges, np.append(small.odd, False)))


def _fewer_outlets(web: Web, edges: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Join anew the ends of those edges to the free vertex that were taken for being priced too low.

    What else is taken costs nothing then, so that a way along it, which takes it out, is preferred.
    """
    outlets = (web.tails == web.free) | (web.heads == web.free)
    inner: NDArray[np.bool_] = edges & ~outlets
    ends = parity(web.size, web.tails, web.heads, edges & outlets)
    again = min_join(replace(web, cost=np.where(inner, 0, web.cost)), ends)
    inner[again.edges] ^= True
    return inner


def _with_terminals(
    web: Web, flips: NDArray[np.bool_]
) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp], NDArray[np.bool_]]:
    """Return both ends and the kept edge of each column, and the odd vertices.

    A component with oddly many odd vertices must use the free vertex oddly often. One terminal takes over one
    such use: the same answer, found up to twenty times faster than by growing across a whole component.
    """
    one, other = web.ends
    columns = np.arange(len(one))
    lone = np.bincount(web.island[flips], minlength=web.size) & 1 == 1
    if not lone.any():
        return one, other, columns, flips
    outlets = np.flatnonzero((other < 0) & lone[web.island[one]])
    terminal = len(flips) - 1 + np.cumsum(lone)
    return (
        np.append(one, one[outlets]),
        np.append(other, terminal[web.island[one[outlets]]]),
        np.append(columns, outlets),
        np.append(flips, np.ones(np.count_nonzero(lone), bool)),
    )


def _check_even(web: Web, odd: NDArray[np.bool_]) -> None:
    uneven = np.bincount(web.component[odd], minlength=web.size) & 1
    if web.free >= 0:
        uneven[web.component[web.free]] = 0
    if uneven.any():
        vertex = int(np.flatnonzero(odd & (uneven[web.component] == 1))[0])
        raise OddComponentError(
            f"vertex {vertex} lies in a component with oddly many odd vertices, so no edges can pair them",
            vertex=vertex,
        )


def _outer_end(web: Web, edges: NDArray[np.intp]) -> NDArray[np.intp]:
    return np.where(web.tails[edges] == web.free, web.heads[edges], web.tails[edges])


def _expanded(web: Web, edges: NDArray[np.bool_], odd: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Mend the parities inside clusters, over the zero edges' forest."""
    left = parity(web.size, web.tails, web.heads, edges) ^ odd
    if len(web.zeros):
        edges[forest_join(web.forest, left)] ^= True
        left = parity(web.size, web.tails, web.heads, edges) ^ odd
    if web.free >= 0:
        left[web.free] = False
    if left.any():
        raise PromiseError(f"a join left vertex {int(np.flatnonzero(left)[0])} with the wrong parity")
    return edges


def _stand_in(web: Web, odd: NDArray[np.bool_], flips: NDArray[np.bool_]) -> Join:
    """Join over a spanning forest; each odd cluster needs at least half its cheapest edge."""
    tree = spanning(web.size, web.tails, web.heads, web.cost[web.index], index=web.index)
    edges = np.zeros(len(web.tails), bool)
    edges[forest_join(rooted(web.size, web.tails, web.heads, tree, root=web.free), odd)] = True
    least = np.full(web.size, np.iinfo(np.int64).max)
    for ends in (web.tails, web.heads):
        np.minimum.at(least, web.cluster[ends[web.kept]], web.cost[web.kept])
    lower = np.zeros(web.size, np.int64)
    first = np.unique(web.cluster, return_index=True)[1]
    lower[first] = np.where(flips[web.cluster[first]], least[web.cluster[first]] // 2, 0)
    return Join(_expanded(web, edges, odd), lower, matched=False)
