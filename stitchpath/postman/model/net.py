"""The network that plans are made on: the problem's edges, and those of the hub.

Where trails may end, the hub is one more vertex, joined to every such vertex by an optional edge that costs
what an end there costs. A trail that begins free at `start` is one required edge of cost 0 from the hub. A
plan says how many copies of each edge it takes beyond the required first one. It must connect all required
edges and the anchor: the hub, or the start of a closed walk.

A trail may also run on from a *door*, where the job before ended. The hub is joined by a required edge of
cost 0 to a vertex of its own, the *yard*, and the yard by optional edges, the *gates*, to the doors; a gate's
cost is below zero, as much as running on there gives back. A plan takes one gate, or one more edge of cost 0
from the yard back to the hub: the yard's parity demands it, and fractional answers heed that through the odd
cuts around the yard.

Why a yard: when gates led to the hub, whose degree is free, the program took half of two gates and gained
what no plan can. On one job it stood 16 % below the optimum, whatever was cut, and needed a branch for each
gate to prove that. With the yard, odd cuts and cocircuits around it do so. On 168 jobs of blocks the bounds
are the same without branches, in 6 % less time; a fill with 1,707 doors, which spent all its rounds on
branches, went from 4.2 % to 1.1. The row that counts gates must count the way back, too: without it the yard
takes two halves and a way back (measured 2026-11-27).

What the yard gains in place of gates that lead to the hub (measured 2026-11-30; the gap between plan and
bound in % of what travel and ends cost, and seconds of CPU):

                                      gap without    with  s without   with
    fill sewn last, 3 x 3, 222 doors        3.351   1.173       26.2   16.8
    jobs of blocks, 4 x 4                       0       0        5.2    4.7
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.errors import OddComponentError
from stitchpath.postman.graphs import components, parity, spanning
from stitchpath.postman.joins.tjoin import Web, min_join, prepare
from stitchpath.postman.model.problem import Problem

__all__ = ["NO_DOORS", "Copies", "Net", "capped", "complete", "is_plan", "make_net", "price", "stripped"]

Copies = NDArray[np.int8]
NO_DOORS = np.zeros(0, np.intp)
"""Nothing may be run on from."""


@dataclass(frozen=True)
class Net:
    """A network; see the module.

    `asked` is the number of the problem's own edges, which come first; the last `gates` edges are gates, and
    the one before them, if any, leads back to the hub.
    """

    size: int
    tails: NDArray[np.intp]
    heads: NDArray[np.intp]
    cost: NDArray[np.int64]
    required: NDArray[np.bool_]
    extra: NDArray[np.int8]
    hub: int
    anchor: int
    asked: int
    gates: int = 0

    @property
    def yard(self) -> int:
        """The vertex that gates lead from, which follows the hub; -1 where there are none."""
        return self.hub + 1 if self.gates else -1

    @property
    def aside(self) -> NDArray[np.intp]:
        """The vertices that are not the problem's: the hub and the yard."""
        aside = np.array([self.hub, self.yard])
        return aside[aside >= 0]

    @cached_property
    def inner(self) -> NDArray[np.bool_]:
        """Which edges lead to neither of them."""
        return ~(np.isin(self.tails, self.aside) | np.isin(self.heads, self.aside))

    @cached_property
    def open(self) -> NDArray[np.intp]:
        """The edges that copies can be taken of."""
        return np.flatnonzero(self.extra > 0)

    @cached_property
    def links(self) -> NDArray[np.intp]:
        """The open edges but loops."""
        links: NDArray[np.intp] = self.open[self.tails[self.open] != self.heads[self.open]]
        return links

    @cached_property
    def most(self) -> NDArray[np.int64]:
        """How many copies of each edge a plan may need: one of a required one, two of another."""
        return np.minimum(self.extra, np.where(self.required, 1, 2)).astype(np.int64)

    @property
    def choices(self) -> slice:
        """The edges that a plan takes one of: back from the yard to the hub, and the gates."""
        return slice(len(self.tails) - self.gates - (self.yard >= 0), len(self.tails))

    @property
    def ways(self) -> NDArray[np.intp]:
        """The open edges but the gates, which gain what others cost."""
        return self.open[self.open < len(self.tails) - self.gates]

    @cached_property
    def must(self) -> NDArray[np.bool_]:
        """The vertices that a plan must hang together with."""
        must = np.zeros(self.size, bool)
        must[self.tails[self.required]] = must[self.heads[self.required]] = True
        if self.anchor >= 0:
            must[self.anchor] = True
        return must

    @cached_property
    def part(self) -> NDArray[np.intp]:
        """Each vertex's component under the required edges."""
        return components(self.size, self.tails, self.heads, np.flatnonzero(self.required))[1]

    @cached_property
    def web(self) -> Web:
        """All open edges but gates, ready for joins."""
        return prepare(self.size, self.tails, self.heads, self.cost, index=self.ways, free=self.hub)


def make_net(problem: Problem, *, start: int = -1, doors: NDArray[np.intp] = NO_DOORS) -> Net:
    """Add the hub to a problem, and a free start or gates.

    Parameters
    ----------
    problem
        What is asked.
    start
        The vertex at which the first trail begins free; -1: none.
    doors
        Vertices of which at most one may be run on from.

    Examples
    --------
    >>> edge = np.array([0]), np.array([1]), np.array([4]), np.array([True]), np.array([1])
    >>> net = make_net(Problem(2, *edge, np.array([3, -1])))
    >>> net.tails, net.heads, net.cost
    (array([0, 0]), array([1, 2]), array([4, 3]))
    >>> make_net(Problem(2, *edge, None)).anchor
    -1
    >>> make_net(Problem(2, *edge, np.array([3, -1])), doors=np.array([0])).cost
    array([ 4,  3,  0,  0, -3])
    """
    own = problem.tails, problem.heads, problem.cost, problem.required, problem.extra
    asked = len(problem.tails)
    if problem.end_cost is None:
        return Net(problem.size, *own, hub=-1, anchor=start, asked=asked)
    hub, ends = problem.size, np.flatnonzero(problem.end_cost >= 0)
    begin, back = np.full(1 if start >= 0 else 0, start), NO_DOORS
    if len(doors):
        begin = back = np.array([hub + 1])
    kinds = [len(ends), len(begin), len(back), len(doors)]
    end_cost = np.zeros(sum(kinds), np.int64)
    end_cost[: len(ends)] = problem.end_cost[ends]
    end_cost[sum(kinds[:3]) :] = -problem.end_cost[doors]
    return Net(
        size=hub + 1 + len(back),
        tails=np.concatenate([problem.tails, ends, begin, back, doors]),
        heads=np.append(problem.heads, np.repeat([hub, hub, hub, hub + 1], kinds)),
        cost=np.append(problem.cost, end_cost),
        required=np.append(problem.required, np.repeat([False, True, False, False], kinds)),
        extra=np.append(problem.extra, np.repeat([2, 0, 1, 1], kinds).astype(np.int8)),
        hub=hub,
        anchor=hub,
        asked=asked,
        gates=len(doors),
    )


def price(net: Net, copies: Copies) -> int:
    """Return what copies cost, beyond the required edges' first traversals."""
    return int(copies.astype(np.int64) @ net.cost)


def capped(net: Net, times: NDArray[np.int64]) -> Copies:
    """Drop pairs of copies that are never needed: a required edge takes one at most, another edge two."""
    most = np.where(net.required, 1, 2)
    return np.where(times > most, most - (times - most) % 2, times).astype(np.int8)


def is_plan(net: Net, copies: Copies) -> bool:
    """Tell whether copies are within limits, leave no odd vertex but the hub, and hang together."""
    taken = net.required | (copies > 0)
    odd = parity(net.size, net.tails, net.heads, net.required + copies)
    if net.hub >= 0:
        odd[net.hub] = False
    touched = net.must.copy()
    touched[net.tails[taken]] = touched[net.heads[taken]] = True
    label = components(net.size, net.tails, net.heads, np.flatnonzero(taken))[1][touched]
    within = (copies <= net.extra).all() and copies[net.choices].sum() <= 1
    return bool(within) and not odd.any() and bool((label == label[:1]).all())


def complete(net: Net, tree: NDArray[np.intp], begun: Copies | None = None) -> Copies | None:
    """Make a plan of optional edges that hold everything together: a join over them, then strip.

    Parameters
    ----------
    net
        The network.
    tree
        Optional open edges that, with the required ones and those of `begun`, hang together.
    begun
        (m,) copies that are taken in any case; None: none.

    Returns
    -------
    array or None
        Copies of each edge; None where edges with one copy left stand in the way.
    """
    copies = np.zeros(len(net.tails), np.int64) if begun is None else begun.astype(np.int64)
    copies[tree] = np.maximum(copies[tree], 1)
    full = (copies > 0) & (copies >= net.extra)
    web = net.web
    if full.any():
        index = net.ways[~full[net.ways]]
        web = prepare(net.size, net.tails, net.heads, net.cost, index=index, free=net.hub)
    try:
        join = min_join(web, parity(net.size, net.tails, net.heads, copies + net.required))
    except OddComponentError:
        return None
    return stripped(net, capped(net, copies + join.edges))


def stripped(net: Net, copies: Copies) -> Copies:
    """Drop pairs of copies, and closed walks over optional edges, that nothing needs to hang together."""
    pairs = np.flatnonzero(~net.required & (copies == 2))
    single = np.flatnonzero(net.required | (copies == 1))
    count, label = components(net.size, net.tails, net.heads, single)
    must = np.bincount(label[net.must], minlength=count) > 0
    ends = label[net.tails], label[net.heads]
    tree = pruned(*ends, spanning(count, *ends, net.cost[pairs], index=pairs), must) if len(pairs) else pairs
    kept = np.zeros(len(copies), bool)
    kept[tree] = True
    needed = must.copy()
    needed[ends[0][tree]] = needed[ends[1][tree]] = True
    kept[single] = needed[ends[0][single]]
    return np.where(kept, copies, 0).astype(np.int8)


def pruned(
    tails: NDArray[np.intp], heads: NDArray[np.intp], tree: NDArray[np.intp], must: NDArray[np.bool_]
) -> NDArray[np.intp]:
    """Cut the twigs of a forest that lead to no vertex that must be reached.

    Examples
    --------
    >>> path = np.arange(3), np.arange(1, 4)
    >>> pruned(*path, np.arange(3), np.array([True, False, True, False]))
    array([0, 1])
    >>> pruned(*path, np.arange(0), np.array([True]))
    array([], dtype=int64)
    """
    while True:
        degree = np.bincount(tails[tree], minlength=len(must)) + np.bincount(heads[tree], minlength=len(must))
        tip = (degree == 1) & ~must
        twig = tip[tails[tree]] | tip[heads[tree]]
        if not twig.any():
            return tree
        tree = tree[~twig]
