"""A smaller matching problem with the same answers: dominated edges are dropped, chains become stars.

An edge is never needed if a way round it over cheaper edges costs less in all. What is left is mostly chains:
along a seam, hundreds of vertices have two neighbours and perhaps an edge to the free vertex (the way out). A
whole chain can only do four things to its two ends. So one vertex with three edges that does the same at the
same prices replaces it (or one edge, where the free vertex cannot be reached); a 2 x 2 min-plus product along
the chain gives the prices. Matching takes time with the square of what one blossom covers, so this saves most
of it. Both steps are exact.

Prices are doubled, since those of a star are half sums.

What the reduction gains (measured 2026-11-30; the bound is the same; seconds of CPU of `lower_bound` over
all jobs):

                                    s without   with
    fill sewn last, 10 x 10 blocks        7.0   0.78
    laps always, 10 x 10 blocks           2.2   0.49
    all in one, 10 x 10 blocks            1.3   0.24
    20 x 20 blocks                        6.5    6.9
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.graphs import Halves, components, rooted, spanning

__all__ = ["Reduced", "dominated", "reduced"]

Ints = NDArray[np.intp]
Flags = NDArray[np.bool_]
Costs = NDArray[np.int64]

_NEVER = np.int64(2) ** 40
"""Dearer than any way, which has 30 bits (`tjoin`); sums of it with ways fit into 64 bits."""


@dataclass(frozen=True, eq=False)
class ChainVertex:
    """One vertex further along many chains: which chains, by which edge they go on, and what was best.

    `turn[c, x0, x]` says, for the state x0 of the chain's first edge and x of the edge after this vertex,
    whether the edge before it is in the other state; `out` whether the edge to the free vertex is taken.
    """

    chains: Ints
    vertex: Ints
    edge: Ints
    turn: Flags
    out: Flags


@dataclass(frozen=True, eq=False)
class Reduced:
    """The smaller problem, as `blossom.match` takes it, and the way back.

    Attributes
    ----------
    one, other, weight, odd
        See `stitchpath.postman.joins.blossom.match`; weights are doubled.
    """

    one: Ints
    other: Ints
    weight: Costs
    odd: Flags
    columns: int
    outlet: Ints
    chains: "_Chains"
    owner: Ints
    role: NDArray[np.int8]

    def restored(self, taken: Flags) -> Flags:
        """Return which of the original edges are taken, from which of the smaller problem's are."""
        chains = self.chains
        edges = np.zeros(self.columns, bool)
        edges[self.outlet[self.owner[taken & (self.role == _OUTLET)]]] = True
        flip = np.zeros((2, len(chains.start)), bool)
        for side in (0, 1):
            flip[side, self.owner[taken & (self.role == side)]] = True
        both = self.owner[taken & (self.role == _BOTH)]
        flip[:, both] = True
        flip[0] ^= chains.turned[0]
        flip[1] ^= chains.turned[1]
        first, last = chains.base // 2 ^ flip[0], chains.base % 2 ^ flip[1]
        return _walked_back(chains, first.astype(np.int8), last.astype(np.int8), edges, self.outlet)


_FIRST, _LAST, _BOTH, _OUTLET, _CENTRE = range(5)  # names of the links of a star, in their order


@dataclass(frozen=True, eq=False)
class _Chains:
    """Chains between core vertices.

    `start` and `end` are core vertices; `edge` is the first edge; `price[c, x0, x]` what it costs if the
    first edge is in state x0 and the last in x; `base` the cheapest state, 2 x0 + x; `turned` which star
    edges stand for leaving the base's flip out.
    """

    start: Ints
    end: Ints
    edge: Ints
    price: Costs
    base: Ints
    turned: Flags
    steps: tuple[ChainVertex, ...]


def dominated(size: int, one: Ints, other: Ints, weight: Costs) -> Flags:
    """Return which edges cost more than the way between their ends along a minimum spanning forest.

    Parameters
    ----------
    size
        How many vertices there are.
    one, other, weight
        (m,) the ends of each edge, and what it costs in whole units.

    Examples
    --------
    >>> dominated(3, np.array([0, 1, 0]), np.array([1, 2, 2]), np.array([1, 1, 3]))
    array([False, False,  True])
    >>> dominated(0, *[np.array([], np.intp)] * 3)
    array([], dtype=bool)
    """
    if not len(one):
        return np.zeros(0, bool)
    forest = rooted(size, one, other, spanning(size, one, other, weight, index=np.arange(len(one))), root=-1)
    up = [np.where(forest.parent < 0, np.arange(size), forest.parent)]
    depth, far = (forest.parent >= 0).astype(np.intp), np.where(forest.edge < 0, 0, weight[forest.edge])
    while (up[-1][up[-1]] != up[-1]).any():
        depth, far = depth + depth[up[-1]], far + far[up[-1]]
        up.append(up[-1][up[-1]])
    meet = _meeting(up, depth, one, other)
    return np.asarray(weight > far[one] + far[other] - 2 * far[meet])


def _meeting(up: list[Ints], depth: Ints, one: Ints, other: Ints) -> Ints:
    """Return the lowest common ancestor of each pair, by doubling."""
    deeper = depth[one] >= depth[other]
    low, high = np.where(deeper, one, other), np.where(deeper, other, one)
    apart = depth[low] - depth[high]
    for power, above in enumerate(up):
        low = np.where(apart >> power & 1, above[low], low)
    for above in reversed(up):
        differ = above[low] != above[high]
        low, high = np.where(differ, above[low], low), np.where(differ, above[high], high)
    return np.asarray(np.where(low == high, low, up[0][low]))


def reduced(one: Ints, other: Ints, weight: Costs, odd: Flags) -> Reduced:
    """Reduce a matching problem.

    Parameters
    ----------
    one, other, weight, odd
        See `stitchpath.postman.joins.blossom.match`; no parallel edges.

    Examples
    --------
    >>> path = np.array([0, 1, 2]), np.array([1, 2, 3]), np.array([5, 1, 5])
    >>> small = reduced(*path, np.array([True, False, False, True]))
    >>> small.one.tolist(), small.other.tolist(), small.weight.tolist()
    ([0], [1], [22])
    >>> small.restored(np.array([True]))
    array([ True,  True,  True])
    >>> len(reduced(*[np.array([], np.intp)] * 3, np.array([], bool)).one)
    0
    """
    size = len(odd)
    inner = np.flatnonzero(other >= 0)
    inner = inner[~dominated(size, one[inner], other[inner], weight[inner])]
    outlet = np.full(size, -1, np.intp)
    out = np.flatnonzero(other < 0)
    outlet[one[out]] = out
    leave = np.full(size, _NEVER)
    leave[one[out]] = weight[out]
    core = _core(size, one[inner], other[inner])
    halves = Halves(size, one[inner], other[inner])
    chains = _based(_followed(halves, weight[inner], core, odd, leave), inner)
    return _assembled(chains, core, odd, outlet, weight, len(one))


def _core(size: int, one: Ints, other: Ints) -> Flags:
    """Return which vertices stay: all but those with two neighbours, and one of each lone ring."""
    degree = np.bincount(np.concatenate([one, other]), minlength=size)
    core: Flags = np.asarray(degree != 2)
    label = components(size, one, other, np.arange(len(one)))[1]
    held = np.zeros(size, bool)
    held[label[core]] = True
    rings, first = np.unique(label, return_index=True)
    core[first[~held[rings]]] = True
    return core


_Followed = tuple[Ints, Ints, Ints, Costs, list[ChainVertex]]


def _followed(halves: Halves, weight: Costs, core: Flags, odd: Flags, leave: Costs) -> _Followed:
    """Follow all chains at once from the core; each comes twice, and the later one is dropped."""
    begin = np.flatnonzero(core[halves.tail])
    last = begin.copy()
    going = np.flatnonzero(~core[halves.head(last)])
    while len(going):
        last[going] = halves.onward(last[going])
        going = going[~core[halves.head(last[going])]]
    keep = begin < last ^ 1
    begin, last = begin[keep], last[keep]
    price = np.full((len(begin), 2, 2), _NEVER)
    price[:, 0, 0], price[:, 1, 1] = 0, weight[begin >> 1]
    now, steps = begin.copy(), []
    going = np.flatnonzero(~core[halves.head(now)])
    while len(going):
        vertex, onward = halves.head(now[going]), halves.onward(now[going])
        straight = price[going]
        crossed = straight[:, :, ::-1]
        asked = odd[vertex][:, None, None]
        within = np.where(asked, crossed, straight)
        without = np.where(asked, straight, crossed) + leave[vertex][:, None, None]
        out = without < within
        best = np.minimum(np.minimum(within, without), _NEVER)
        best[:, :, 1] += weight[onward >> 1][:, None]
        price[going] = best
        steps.append(ChainVertex(going, vertex, onward >> 1, asked ^ out, out))
        now[going] = onward
        going = going[~core[halves.head(now[going])]]
    return halves.tail[begin], halves.head(now), begin >> 1, price, steps


def _based(followed: _Followed, inner: Ints) -> _Chains:
    start, end, edge, price, steps = followed
    base = price.reshape(-1, 4).argmin(axis=1) if len(price) else np.zeros(0, np.intp)
    return _Chains(
        start,
        end,
        inner[edge],
        price,
        base,
        np.zeros((2, len(start)), bool),
        tuple(replace(step, edge=inner[step.edge]) for step in steps),
    )


def _assembled(
    chains: _Chains, core: Flags, odd: Flags, outlet: Ints, weight: Costs, columns: int
) -> Reduced:
    """Put a star or an edge in each chain's place, on the core's vertices renumbered."""
    number = np.cumsum(core) - 1
    rows, x0, x = np.arange(len(chains.base)), chains.base // 2, chains.base % 2
    least = chains.price[rows, x0, x]
    both, first, last = (chains.price[rows, x0 ^ a, x ^ b] - least for a, b in ((1, 1), (1, 0), (0, 1)))
    star = (first < _NEVER // 2) & (last < _NEVER // 2)
    arm = np.stack([both + first - last, both + last - first, first + last - both])
    arm[:, ~star] = 0
    turned = arm < 0
    centre = np.count_nonzero(core) + np.cumsum(star) - 1
    flips = (odd & core)[core].astype(np.intp)
    np.add.at(flips, number[chains.start], x0 + turned[0])
    np.add.at(flips, number[chains.end], x + turned[1])
    parity = np.concatenate([flips, turned[:, star].sum(axis=0)]) & 1 == 1
    plain, starred = np.flatnonzero(~star), np.flatnonzero(star)
    way = np.flatnonzero(core & (outlet >= 0))
    parts = [
        (number[chains.start[plain]], number[chains.end[plain]], 2 * both[plain], plain, _BOTH),
        (number[chains.start[starred]], centre[starred], abs(arm[0, starred]), starred, _FIRST),
        (number[chains.end[starred]], centre[starred], abs(arm[1, starred]), starred, _LAST),
        (centre[starred], np.full(len(starred), -1), abs(arm[2, starred]), starred, _CENTRE),
        (number[way], np.full(len(way), -1), 2 * weight[outlet[way]], way, _OUTLET),
    ]
    one, other, cost, owner = (np.concatenate([part[i] for part in parts]) for i in range(4))
    role = np.repeat(np.array([part[4] for part in parts], np.int8), [len(part[0]) for part in parts])
    whole = replace(chains, turned=turned[:2])
    return Reduced(one, other, cost, parity, columns, outlet, whole, owner, role)


def _walked_back(
    chains: _Chains, first: NDArray[np.int8], last: NDArray[np.int8], edges: Flags, outlet: Ints
) -> Flags:
    """Read off each chain's edges from its last to its first."""
    state = last.copy()
    for step in reversed(chains.steps):
        at, x0, x = np.arange(len(step.chains)), first[step.chains], state[step.chains]
        edges[step.edge] = x == 1
        gone = step.out[at, x0, x]
        edges[outlet[step.vertex[gone]]] = True
        state[step.chains] = x ^ np.broadcast_to(step.turn, (len(at), 2, 2))[at, x0, x]
    edges[chains.edge] = first == 1
    return edges
