"""Minimum T-joins (Edmonds and Johnson 1973): the cheapest edges that make exactly the given vertices odd.

Matching is slow where a few odd vertices must look far for each other. So large cases are not started that
way: the free vertex (the way out, whose parity does not matter) is brought nearer, at prices that rise until
the answer is the cheapest, in a counted number of tries. If the tries run out, the last answer still gives a
bound from below and a join close to the best, though it proves nothing.

No plan depends on a clock. Matchings once had a time limit, and a busy machine gave another plan. Now what is
known to be slow is not started: a world of 8,000 odd vertices gets a rebate and not terminals
(`stitchpath.postman.relaxed.end_rebates`), and the number of tries, there and here, follows from how many odd
vertices are matched in all. What is started is waited for. ``python benchmarks/held.py`` stops and continues
the child processes at random, and compares the plans. The first price leaves the length of three *median*
edges to pay: a mean is mostly long seams, and with it one matching on a staggered top of 30 x 30 blocks took
27 s instead of 1.8 (measured 2026-11-30).

Forced ends among many odd vertices need nothing of the kind. An eighth of the way out, charged from 8,000 of
them on, made a check of 10 x 10 blocks take 2.1 s instead of 1.5 and one of 20 x 20 blocks 7.2 s instead of
4.8, and proved less; the bound of 196 hatched patches took as long as without, 3.5 s (measured 2026-11-30).

Costs too large for the matching are shifted down. The join is then cheapest by the shifted costs, and their
sum, shifted back, is a bound from below. Edges that become zero are contracted first and expanded afterwards.

What prices gain (measured 2026-11-30; the bound is the same; seconds of CPU of `lower_bound` over all
jobs):

                                    s without   with
    20 x 20 blocks                        9.3    6.9
    laps always, 10 x 10 blocks           1.4   0.49
    fill sewn last, 10 x 10 blocks        3.5   0.78
"""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

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
from stitchpath.postman.joins import blossom
from stitchpath.postman.joins.chains import reduced
from stitchpath.postman.joins.pendant_trees import Graph, folded

__all__ = ["Join", "Web", "min_join", "prepare"]

_WEIGHT_BITS, _DISTANCE_BITS = 24, 30
"""What the matching takes: greater weights are refused, and near greater distances it hangs (`blossom`)."""

_PRICE_FROM = 1_000
"""From so many odd vertices on, prices take the place of terminals, which took 1.3 to 4.5 times as long on
tops of 10 x 10 and 20 x 20 blocks."""

_PRICE_WORK, _LEAST_TRIES = 2**20, 2
"""The most odd vertices matched in all tries at a join together, and the tries that are made in any case."""

_NEAR_EDGES = 3
"""So many median edges are left to pay at first. With the mean, mostly long seams, in the median's place one
matching took 27 s and not 1.8 on a staggered top of 30 x 30 blocks."""

_REDUCE_FROM = 2_000
"""From so many vertices on, chains are replaced by stars first (`chains`): to do so takes time as well."""


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
        False where that was too much work, so that the join may not be the cheapest.
    """

    edges: NDArray[np.bool_]
    lower: NDArray[np.int64]
    matched: bool


@dataclass(frozen=True)
class Web(Graph):
    """A graph made ready for joins: see `prepare`."""

    @cached_property
    def shift(self) -> int:
        """By how many bits costs are shifted down to fit the matching."""
        greatest = int(self.cost[self.index].max(initial=0))
        shift = max(0, greatest.bit_length() - _WEIGHT_BITS)
        most = min((greatest >> shift) * self.size, self._sum() >> shift)
        if most.bit_length() <= _DISTANCE_BITS:
            return shift
        return max(shift, self._reach().bit_length() - _DISTANCE_BITS)

    def _sum(self) -> int:
        """All costs, of the free vertex's edges twice the greatest: no way without a loop costs more."""
        cost = self.cost[self.index]
        out = (self.tails[self.index] == self.free) | (self.heads[self.index] == self.free)
        return int(cost[~out].sum()) + 2 * int(cost[out].max(initial=0))

    def _reach(self) -> int:
        """Twice the farthest way from one vertex of each component: no distance is greater."""
        component = components(self.size, self.tails, self.heads, self.index)[1]
        roots = np.unique(component, return_index=True)[1].astype(np.intp)
        if self.free >= 0:
            roots[component[self.free]] = self.free
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
    apart: NDArray[np.intp] | None = None,
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
    apart
        Vertices beside the network that are joined to it, but not to each other; None: no vertices.

    Examples
    --------
    >>> web = prepare(2, np.array([0]), np.array([1]), np.array([7]), index=np.arange(1))
    >>> min_join(web, np.array([True, True])).edges
    array([ True])
    """
    return Web(size, tails, heads, cost, index, free, np.zeros(0, np.intp) if apart is None else apart)


def min_join(web: Web, odd: NDArray[np.bool_]) -> Join:
    """Find the cheapest edges that make the degrees odd at just the vertices `odd`.

    Parameters
    ----------
    web, odd
        The graph, and (size,) flags.

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
    flips = np.bincount(web.cluster[odd], minlength=web.size) & 1 == 1
    if web.free >= 0:
        flips[web.cluster[web.free]] = False
    lone = np.bincount(web.island[flips], minlength=web.size) & 1 == 1
    _check_even(web, odd, lone)
    less = folded(web, odd)
    if less is not None:
        join = min_join(Web(**vars(less.graph)), less.odd)
        return Join(less.restored(join.edges), join.lower + less.lower, join.matched)
    found = _found(web, flips, lone)
    lower = np.zeros(web.size, np.int64)
    np.add.at(lower, _outer_end(web, found.taken), found.weight << web.shift)
    island, first = np.unique(web.island[web.cluster], return_index=True)
    lower[first] += found.owed[island] << web.shift
    edges = _expanded(web, np.bincount(found.taken, minlength=len(web.tails)) & 1 == 1, odd)
    return Join(edges if found.met else _fewer_outlets(web, edges, odd), lower, found.met)


@dataclass(frozen=True)
class _Found:
    """What a matching came to: edges taken, the weight each was matched by, what each island owes besides.

    They bound every join from below; `met` says that this one is a cheapest.
    """

    taken: NDArray[np.intp]
    weight: NDArray[np.int64]
    owed: NDArray[np.int64]
    met: bool


def _found(web: Web, flips: NDArray[np.bool_], lone: NDArray[np.bool_]) -> _Found:
    """Choose how to match, by how many vertices are odd."""
    if np.count_nonzero(flips) < _PRICE_FROM or not lone.any():
        return _with_terminals(web, flips, lone)
    return _priced(web, flips, lone)


def _matched(
    one: NDArray[np.intp], other: NDArray[np.intp], weight: NDArray[np.int64], odd: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """Match as `blossom.match` does, a large case by way of a smaller one."""
    if len(odd) < _REDUCE_FROM:
        return blossom.match(one, other, weight, odd)
    small = reduced(one, other, weight, odd)
    size = len(small.odd)
    free = size if (small.other < 0).any() else -1
    heads = np.where(small.other < 0, size, small.other)
    web = Web(size + 1, small.one, heads, small.weight, np.arange(len(heads)), free)
    if web.shift:
        return blossom.match(one, other, weight, odd)
    kept = web.kept
    tail, head = web.ends
    flips = np.bincount(web.cluster[np.flatnonzero(small.odd)], minlength=web.size) & 1 == 1
    if free >= 0:
        flips[web.cluster[free]] = False
    answer = blossom.match(tail, head, small.weight[kept], flips)
    edges = np.zeros(len(heads), bool)
    edges[kept[answer]] = True
    return small.restored(_expanded(web, edges, np.append(small.odd, False)))


def _fewer_outlets(web: Web, edges: NDArray[np.bool_], odd: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Join anew the ends of those edges to the free vertex that were taken for being priced too low.

    What else is taken costs nothing then, so that a way along it, which takes it out, is preferred. Where
    most of what is odd is joined to the free vertex, that would come to the same again.
    """
    outlets = (web.tails == web.free) | (web.heads == web.free)
    inner: NDArray[np.bool_] = edges & ~outlets
    ends = parity(web.size, web.tails, web.heads, edges & outlets)
    if 2 * np.count_nonzero(ends) > np.count_nonzero(odd):
        return edges
    again = min_join(replace(web, cost=np.where(inner, 0, web.cost)), ends)
    inner[again.edges] ^= True
    return inner


def _with_terminals(web: Web, flips: NDArray[np.bool_], lone: NDArray[np.bool_]) -> _Found:
    """Match where few vertices are odd, or no island holds oddly many of them.

    An island with oddly many must use the free vertex oddly often. One terminal takes over one such use: the
    same answer, found up to twenty times faster than by growing across the whole island.
    """
    one, other = web.ends
    outlets = np.flatnonzero((other < 0) & lone[web.island[one]])
    terminal = len(flips) - 1 + np.cumsum(lone)
    column = np.append(np.arange(len(one)), outlets)
    one, other = np.append(one, one[outlets]), np.append(other, terminal[web.island[one[outlets]]])
    weight = (web.cost[web.kept] >> web.shift)[column]
    odd = np.append(flips, np.ones(np.count_nonzero(lone), bool))
    answer = _matched(one, other, weight, odd)
    return _Found(web.kept[column[answer]], weight[answer], np.zeros(web.size, np.int64), met=True)


def _priced(web: Web, flips: NDArray[np.bool_], lone: NDArray[np.bool_]) -> _Found:
    """Match with a rebate on each use of the free vertex by a lone island: one with oddly many odd vertices.

    It must use it once at the least, so the cheapest join and one rebate bound every join from below (a
    Lagrange multiplier); and where it uses it just once, that join is a cheapest one. A high rebate comes
    first, so that a use costs a few edges: then many pay, and matching is fast. Without any the answer is the
    cheapest in any case.
    """
    one, other = web.ends
    island, weight = web.island[one], web.cost[web.kept] >> web.shift
    out = other < 0
    least = _least(island[out], weight[out], web.size)
    near = _NEAR_EDGES * int(np.median(weight[~out])) if not out.all() else 0
    left = np.where(lone, np.minimum(least, near + 1), least)
    for _ in range(max(_LEAST_TRIES, _PRICE_WORK // int(np.count_nonzero(flips)))):
        rebate = least - left
        lowered = np.where(out, weight - rebate[island], weight)
        answer = _matched(one, other, lowered, flips)
        over = np.bincount(island[answer & out], minlength=web.size) - 1
        met = not (over * rebate).any()
        found = _Found(web.kept[answer], lowered[answer], rebate, met)
        if met:
            break
        left = np.where(over > 0, np.minimum(least, left * np.where(over > 8, 6, 5) // 4 + 1), left)
    return found


def _least(place: NDArray[np.intp], value: NDArray[np.int64], size: int) -> NDArray[np.int64]:
    """Return the least value at each place, 0 where there is none."""
    least = np.zeros(size, np.int64)
    least[place] = value.max(initial=0)
    np.minimum.at(least, place, value)
    return least


def _check_even(web: Web, odd: NDArray[np.bool_], lone: NDArray[np.bool_]) -> None:
    """Refuse islands that hold oddly many odd vertices and that no edge joins to the free vertex."""
    one, other = web.ends
    uneven = lone.copy()
    uneven[web.island[one[other < 0]]] = False
    if uneven.any():
        vertex = int(np.flatnonzero(odd & uneven[web.island[web.cluster]])[0])
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
