"""Trees that hang on one vertex are folded into it before a join is matched; the answer stays exact.

Where hundreds of lines meet in one point, the odd tips of all of them find each other there, and matching
takes time with the fourth power of their number: 400 tips take 0.6 s, 800 tips 10 s (measured 2026-11-30). So
from 200 odd vertices on, such trees are folded.

What a hanging tree can do to the rest comes down to a few prices: whether it takes an odd number of its edges
at the vertex it hangs on and, where a whole component is a tree, at either of two vertices beside it
(terminals, an entrance). A min-plus product up the tree gives them, and one edge to the free vertex is left,
or nothing.

What folding gains (measured 2026-11-30; the bound is the same; seconds of CPU of `lower_bound` over all
jobs):

                                    s without   with
    400 lines through one point           7.9   0.04
    200 lines through one point          0.62   0.02
    fill sewn last, 10 x 10 blocks       0.94   0.78
    20 x 20 blocks                        6.5    6.9
"""

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.graphs import cheapest

__all__ = ["Graph", "Less", "folded"]

Ints = NDArray[np.intp]
Flags = NDArray[np.bool_]
Costs = NDArray[np.int64]

_MANY = 200
"""A tree is folded where at least this many odd vertices hang on one vertex."""

_NEVER = np.int64(2) ** 60
"""Dearer than any sum of costs, and twice it still fits into 64 bits."""

_STATES = np.arange(8)
"""4 x + 2 b + a: whether oddly many edges are taken at a vertex from below, and at either one beside."""


@dataclass(frozen=True)
class Graph:
    """A graph to be joined.

    Attributes
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
        Vertices beside the network that are joined to it, but not to each other.
    """

    size: int
    tails: Ints
    heads: Ints
    cost: Costs
    index: Ints
    free: int = -1
    apart: Ints = field(default_factory=lambda: np.zeros(0, np.intp))


@dataclass(frozen=True, eq=False)
class _Trees:
    """Hanging trees.

    Attributes
    ----------
    order
        Their vertices tips first, without those that they hang on.
    way, above
        The edge from each of these, and the vertex that it leads to.
    top
        (size,) what each vertex hangs on: itself where it hangs on none.
    whole
        (size,) whether the tree that hangs there is all of its component.
    out
        (size, 3) each vertex's cheapest edges to the free vertex and to the two beside, -1 for none.
    beside
        (size, 2) the two beside the tree that hangs there, -1 for none.
    """

    order: Ints
    way: Ints
    above: Ints
    top: Ints
    whole: Flags
    out: Ints
    beside: Ints

    def only(self, chosen: Flags) -> "_Trees":
        """Return the trees that hang on chosen vertices."""
        kept, held = chosen[self.top[self.order]], chosen[self.top][:, None]
        order, way, above = (part[kept] for part in (self.order, self.way, self.above))
        return replace(self, order=order, way=way, above=above, out=np.where(held, self.out, -1))


@dataclass(frozen=True, eq=False)
class Less:
    """What is left to be joined, and the way back.

    Attributes
    ----------
    graph, odd
        The smaller problem: the graph's edges, then new ones from `hung` to the free vertex.
    lower
        (size,) what the folded trees cost at least, each at the vertex it hangs on.
    """

    graph: Graph
    odd: Flags
    lower: Costs
    hung: Ints
    trees: _Trees
    asked: Flags
    state: Ints
    parts: Ints

    def restored(self, taken: Flags) -> Flags:
        """Return which of the original edges are taken, from which of the smaller problem's are."""
        count = len(taken) - len(self.hung)
        edges, state = taken[:count].copy(), self.state.copy()
        state[self.hung[taken[count:]]] ^= 4
        trees, four = self.trees, 4 * self.asked
        for place in range(len(trees.order) - 1, -1, -1):
            vertex, above = trees.order[place], trees.above[place]
            part = self.parts[place, state[above]]
            state[above] ^= part
            state[vertex] = part ^ four[vertex]
            edges[trees.way[place]] = part >= 4
        for bit, links in zip((state >> 2 ^ state ^ state >> 1, state, state >> 1), trees.out.T, strict=True):
            edges[links[(links >= 0) & (bit & 1 > 0)]] = True
        return edges


def folded(graph: Graph, odd: Flags) -> Less | None:
    """Fold the trees that many odd vertices hang in; None where there is none.

    Examples
    --------
    >>> star = Graph(401, np.arange(1, 401), np.zeros(400, int), np.arange(1, 401), np.arange(400))
    >>> less = folded(star, np.arange(401) > 0)
    >>> len(less.graph.index), int(less.lower.sum()), int(less.restored(np.zeros(400, bool)).sum())
    (0, 80200, 400)
    >>> none = np.zeros(0, np.intp)
    >>> folded(Graph(0, none, none, none, none), np.zeros(0, bool)) is None
    True
    """
    if np.count_nonzero(odd) < _MANY:
        return None
    aside = np.zeros(graph.size, bool)
    aside[graph.apart] = True
    if graph.free >= 0:
        aside[graph.free] = True
    out = aside[graph.tails[graph.index]] | aside[graph.heads[graph.index]]
    inner = graph.index[~out & (graph.tails[graph.index] != graph.heads[graph.index])]
    ends = np.concatenate([graph.tails[inner], graph.heads[inner]])
    degree = np.bincount(ends, minlength=graph.size)
    if np.count_nonzero(odd & (degree == 1)) < _MANY:
        return None
    trees = _linked(graph, _peeled(graph, inner, degree), graph.index[out], aside)
    hanging = trees.top[trees.order[odd[trees.order]]]
    chosen = (np.bincount(hanging, minlength=graph.size) >= _MANY) & _alone(trees)
    return _less(graph, odd, trees.only(chosen), chosen) if chosen.any() else None


def _peeled(graph: Graph, inner: Ints, degree: Ints) -> _Trees:
    """Take away tips until none is left."""
    ways, top, rounds, left = np.zeros(graph.size, np.intp), np.arange(graph.size), [], degree.copy()
    for ends in (graph.tails, graph.heads):
        np.bitwise_xor.at(ways, ends[inner], inner)
    tips = np.flatnonzero(left == 1)
    while len(tips):
        above = graph.tails[ways[tips]] ^ graph.heads[ways[tips]] ^ tips
        kept = (left[above] > 1) | (tips > above)  # of two that are left the lower one stays
        tips, above, way = tips[kept], above[kept], ways[tips[kept]]
        rounds.append((tips, way, above))
        left[tips] = 0
        np.subtract.at(left, above, 1)
        np.bitwise_xor.at(ways, above, way)
        tips = np.unique(above[left[above] == 1])
    for tips, _, above in reversed(rounds):
        top[tips] = top[above]
    order, way, above = (np.concatenate(part) for part in zip(*rounds, strict=True))
    none = np.full((graph.size, 3), -1)
    return _Trees(order, way, above, top, left == 0, none, none[:, :2])


def _linked(graph: Graph, trees: _Trees, index: Ints, aside: Flags) -> _Trees:
    """Find the edges that lead aside. A vertex beside that many trees are joined to is beside none."""
    index = cheapest(graph.size, graph.tails, graph.heads, graph.cost, index)
    turned = aside[graph.tails[index]]
    own = np.where(turned, graph.heads[index], graph.tails[index])
    other = np.where(turned, graph.tails[index], graph.heads[index])
    out, beside = trees.out.copy(), trees.beside.copy()
    free = other == graph.free
    out[own[free], 0] = index[free]
    own, other, index = own[~free], other[~free], index[~free]
    pairs, pair = np.unique(np.stack([trees.top[own], other], axis=1), axis=0, return_inverse=True)
    place = np.arange(len(pairs)) - np.searchsorted(pairs[:, 0], pairs[:, 0])
    few = place < 2
    beside[pairs[few, 0], place[few]] = pairs[few, 1]
    mine = few[pair.ravel()]
    out[own[mine], 1 + place[pair.ravel()[mine]]] = index[mine]
    shared = np.bincount(pairs[:, 1], minlength=graph.size)[pairs[:, 1]] > 1
    whole = trees.whole.copy()
    whole[pairs[shared | ~few, 0]] = False
    return replace(trees, out=out, beside=beside, whole=whole)


def _alone(trees: _Trees) -> Flags:
    """Tell where no vertices beside are joined to a tree, or the tree is all that they are joined to."""
    return trees.whole | (trees.beside < 0).all(axis=1)


def _less(graph: Graph, odd: Flags, trees: _Trees, chosen: Flags) -> Less:
    """Settle each tree that is a whole component; another's vertex gets an edge to the free vertex."""
    price, parts = _priced(graph, odd, trees)
    tops, whole = np.flatnonzero(chosen), trees.whole[chosen]
    beside = trees.beside[tops]
    asked = 4 * odd[tops] + np.where(beside < 0, False, odd[beside]) @ np.array([1, 2])
    state = np.zeros(graph.size, np.intp)
    state[tops] = np.where(whole, asked, np.where(price[tops, 4] < price[tops, 0], 4, 0))
    least, other = price[tops, state[tops]], price[tops, state[tops] ^ 4]
    hung = ~whole & (other < _NEVER)
    lower, left = np.zeros(graph.size, np.int64), odd.copy()
    lower[tops] = least
    left[trees.order] = left[beside[beside >= 0]] = False
    left[tops] ^= state[tops] >= 4
    smaller = _without(graph, trees, chosen, tops[hung], (other - least)[hung])
    return Less(smaller, left, lower, tops[hung], trees, odd, state, parts)


def _priced(graph: Graph, odd: Flags, trees: _Trees) -> tuple[Costs, Ints]:
    """Return (size, 8) what each state of a vertex costs with all below it.

    And (len(order), 8) what each vertex of `order` has of each state of the vertex above: its part.
    """
    way = np.where(trees.out < 0, _NEVER, graph.cost[trees.out])
    beside = np.stack([_STATES >> 2 ^ _STATES ^ _STATES >> 1, _STATES, _STATES >> 1]) & 1
    price = np.minimum(np.where(beside[None] > 0, way[:, :, None], 0).sum(axis=1), _NEVER)
    parts = np.zeros((len(trees.order), 8), np.intp)
    split = _STATES[:, None] ^ _STATES
    own = _STATES ^ 4 * odd[trees.order][:, None]
    over = np.where(_STATES >= 4, graph.cost[trees.way][:, None], 0)
    for place, (vertex, above) in enumerate(zip(trees.order.tolist(), trees.above.tolist(), strict=True)):
        both = price[above][split] + (price[vertex][own[place]] + over[place])
        parts[place] = both.argmin(axis=1)
        price[above] = np.minimum(both.min(axis=1), _NEVER)
    return price, parts


def _without(graph: Graph, trees: _Trees, chosen: Flags, hung: Ints, cost: Costs) -> Graph:
    """Take the trees away, and join what they hung on to the free vertex at these costs."""
    inside, aside = np.zeros(graph.size, bool), np.zeros(graph.size, bool)
    inside[trees.order] = True
    aside[graph.apart if graph.free < 0 else np.append(graph.apart, graph.free)] = True
    tails, heads = graph.tails[graph.index], graph.heads[graph.index]
    gone = inside[tails] | inside[heads] | (chosen[tails] & aside[heads]) | (chosen[heads] & aside[tails])
    return replace(
        graph,
        tails=np.append(graph.tails, hung),
        heads=np.append(graph.heads, np.full(len(hung), graph.free)),
        cost=np.append(graph.cost, cost),
        index=np.append(graph.index[~gone], len(graph.tails) + np.arange(len(hung))),
    )
