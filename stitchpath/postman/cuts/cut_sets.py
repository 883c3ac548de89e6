"""Cuts that every plan must cross often enough, and which of them a fractional answer violates.

There are two kinds. A set of vertices that holds some, but not all, of what a plan must connect is crossed at
least twice (the connectivity constraints of Ghiani and Laporte 2000). A set that an odd number of required
edges leave is crossed by at least one more copy (the R-odd cuts of Corberan and Sanchis 1994), and that copy
is not half of a pair.

Violated cuts are first sought among the components of an answer. Where those show none, least cuts between
all pairs of vertices do (Gomory and Hu 1961, found as in Gusfield 1990; Padberg and Rao 1982 for odd sets).

What least cuts between pairs gain (measured 2026-11-30; the gap between plan and bound in % of what travel
and ends cost, and seconds of CPU):

                           gap without    with  s without   with
    UR752                        0.736   0.613        6.4    6.5
    UR742                        0.261   0.186        5.4    6.4
    UR745                        0.219   0.219        4.9    4.8
    jobs of blocks, 4 x 4            0       0        8.1    5.5
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.graphs import components, nested, parity
from stitchpath.postman.model.net import Copies, Net

__all__ = [
    "CONNECTED",
    "ODD",
    "Cuts",
    "Taken",
    "alone",
    "crossings",
    "first_cuts",
    "flow_graph",
    "loose_cuts",
    "missed_cuts",
    "odd_vertices",
    "parting_cuts",
    "reached",
    "sparse_rows",
    "split",
]

CONNECTED, ODD = 2, 1
"""How often a set is crossed at least: a walk enters and leaves it; what is odd is crossed once more."""

_THRESHOLDS = (0.7, 0.5, 0.3, 0.1, 1e-6)
"""Components of what is taken more often than this: a set held by little shows at a high level only."""

_MISSED = 1e-3
"""Crossed too seldom by less, a cut counts as kept: flows are rounded to 2**-14, rows are kept to 1e-7."""

_USED = 1e-6
"""What is taken less often is not taken: HiGHS keeps columns' limits to 1e-7."""

_FLOW_BITS = 14
"""Flows are whole numbers of 2**-14: 65,000 edges of two copies add up to the 32 bits that SciPy takes."""

_MOST_FLOWS = 100_000
"""A piece is left out where vertices wanted times edges are more: each vertex takes a flow over all edges."""

_Ints = NDArray[np.intp]
_Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Cuts:
    """Sets of vertices apart from each other, each crossed `least` times or more.

    Attributes
    ----------
    label
        (size,) of each vertex.
    chosen
        (k,) the labels of those sets that are meant.
    least
        `CONNECTED` or `ODD`.
    """

    label: _Ints
    chosen: _Ints
    least: int


@dataclass(frozen=True)
class Taken:
    """What a fractional answer takes of each edge beyond the required first time: (m,) singles and pairs."""

    single: _Floats
    pair: _Floats

    @classmethod
    def of_copies(cls, copies: Copies) -> "Taken":
        """Return what a plan takes."""
        return cls((copies % 2).astype(np.float64), (copies > 1).astype(np.float64))

    @property
    def copies(self) -> _Floats:
        """(m,) how often."""
        return self.single + 2 * self.pair


def first_cuts(net: Net) -> list[Cuts]:
    """Return the cuts that are known before there is any answer: odd vertices, required parts, worlds."""
    single = Cuts(np.arange(net.size), np.flatnonzero(odd_vertices(net)), ODD)
    inner = np.flatnonzero(net.required | net.inner)
    parts = (net.part, components(net.size, net.tails, net.heads, inner)[1])
    return [single, *(Cuts(part, alone(net, part), CONNECTED) for part in parts)]


def loose_cuts(net: Net, copies: NDArray[np.int8]) -> Cuts:
    """Return the cuts around each component of copies that ought not to stand alone."""
    label = components(net.size, net.tails, net.heads, np.flatnonzero(net.required | (copies > 0)))[1]
    return Cuts(label, alone(net, label), CONNECTED)


def missed_cuts(net: Net, taken: Taken) -> list[Cuts]:
    """Return cuts around components of the edges taken often enough, if they are crossed too seldom."""
    found, odd, copies, parts = [], odd_vertices(net), taken.copies, int(net.part.max(initial=-1)) + 1
    ends = net.part[net.tails], net.part[net.heads]
    for count, part in _told_apart(nested(parts, *ends, copies, levels=_THRESHOLDS)):
        label = part[net.part]
        lone = alone(net, label)
        if len(lone):
            flow = _crossed(net, label, count, copies)
            found.append(Cuts(label, lone[flow[lone] < CONNECTED - _MISSED], CONNECTED))
    for count, label in _told_apart(nested(net.size, net.tails, net.heads, taken.single, levels=_THRESHOLDS)):
        uneven = np.bincount(label, odd, count) % 2 > 0
        flow = _crossed(net, label, count, taken.single)
        found.append(Cuts(label, np.flatnonzero(uneven & (flow < ODD - _MISSED)), ODD))
    return [cuts for cuts in found if len(cuts.chosen)]


def _told_apart(partitions: Iterator[tuple[int, _Ints]]) -> Iterator[tuple[int, _Ints]]:
    """Leave out partitions of as many parts as the one before, which is the same where they are nested."""
    before = -1
    for count, label in partitions:
        if count != before:
            yield count, label
        before = count


def parting_cuts(net: Net, taken: Taken) -> list[Cuts]:
    """Return cuts that an answer crosses too seldom, found by least cuts between pairs of vertices.

    Odd ones are sought only where connection misses none.
    """
    whole = np.flatnonzero(net.required | (taken.copies >= CONNECTED - _USED))
    count, label = components(net.size, net.tails, net.heads, whole)
    wanted = np.bincount(label, net.must, count) > 0
    home = label[net.anchor] if net.anchor >= 0 else -1
    found = [
        Cuts(
            (side if home < 0 else side != side[home])[label].astype(np.intp), np.ones(1, np.intp), CONNECTED
        )
        for value, side in _sides(net, label, taken.copies, wanted)
        if value < CONNECTED - _MISSED and (wanted & side).any() and (wanted & ~side).any()
    ]
    if found:
        return found
    count, label = components(net.size, net.tails, net.heads, np.flatnonzero(taken.single >= ODD - _USED))
    wanted = np.bincount(label, odd_vertices(net), count) % 2 > 0
    return [
        _side_cut(side, label, ODD)
        for value, side in _sides(net, label, taken.single, wanted)
        if value < ODD - _MISSED and np.count_nonzero(wanted & side) % 2
    ]


def _side_cut(side: NDArray[np.bool_], label: _Ints, least: int) -> Cuts:
    return Cuts(side[label].astype(np.intp), np.ones(1, np.intp), least)


def _sides(
    net: Net, label: _Ints, flow: _Floats, wanted: NDArray[np.bool_]
) -> Iterator[tuple[float, NDArray[np.bool_]]]:
    """Part each piece of a shrunk network by least cuts between vertices wanted."""
    count = len(wanted)
    edges = np.flatnonzero((flow > _USED) & (label[net.tails] != label[net.heads]))
    tails, heads = label[net.tails[edges]], label[net.heads[edges]]
    piece = components(count, tails, heads, np.arange(len(edges)))[1]
    place = np.full(count, -1)
    for one in np.unique(piece[tails]):
        inside, own = np.flatnonzero(piece == one), np.flatnonzero(piece[tails] == one)
        place[inside] = np.arange(len(inside))
        targets = place[inside[wanted[inside]]]
        if len(targets) * len(own) > _MOST_FLOWS:
            continue
        ends = place[tails[own]], place[heads[own]]
        for value, side in _least_cuts(len(inside), *ends, flow[edges[own]], targets):
            chosen = np.zeros(count, bool)
            chosen[inside[side]] = True
            yield value, chosen


def _least_cuts(
    size: int, tails: _Ints, heads: _Ints, flow: _Floats, targets: _Ints
) -> Iterator[tuple[float, NDArray[np.bool_]]]:
    """Give the value and one side of a least cut between each target and the one it hangs on in the tree."""
    graph = flow_graph(size, tails, heads, flow)
    above = np.full(size, targets[0] if len(targets) else 0)
    for place, one in enumerate(targets[1:], 1):
        value, left = split(graph, one, above[one])
        side = reached(left, one)
        yield value, side
        later = targets[place + 1 :]
        above[later[side[later] & (above[later] == above[one])]] = one


def flow_graph(size: int, tails: _Ints, heads: _Ints, flow: _Floats) -> Any:
    """Return a sparse matrix of the capacities between vertices, both ways, in whole units.

    Parameters
    ----------
    size
        How many vertices there are.
    tails, heads, flow
        (k,) the ends of each edge, and how much of it an answer takes.
    """
    from scipy.sparse import csr_array

    whole = np.maximum(1, np.rint(np.ldexp(flow, _FLOW_BITS))).astype(np.int32)
    # SciPy before 1.15 takes no flow through indices of 64 bits.
    both = np.append(tails, heads).astype(np.int32), np.append(heads, tails).astype(np.int32)
    graph = csr_array((np.append(whole, whole), both), shape=(size, size), dtype=np.int32)
    graph.sum_duplicates()
    return graph


def split(graph: Any, one: int, other: int) -> tuple[float, Any]:
    """Return the value of a least cut between two vertices, and the graph of residual capacities.

    Parameters
    ----------
    graph
        Capacities, as `flow_graph` gives them.
    one, other
        The vertices.
    """
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import maximum_flow

    answer = maximum_flow(graph, one, other)
    more = (graph.data > answer.flow.data).astype(np.int32)  # a symmetric graph keeps its places
    left = csr_array((more, graph.indices.copy(), graph.indptr.copy()), shape=graph.shape)
    left.eliminate_zeros()
    return float(np.ldexp(answer.flow_value, -_FLOW_BITS)), left


def reached(graph: Any, one: int) -> NDArray[np.bool_]:
    """Tell which vertices a directed graph leads to from one of them."""
    from scipy.sparse.csgraph import breadth_first_order

    side = np.zeros(graph.shape[0], bool)
    side[breadth_first_order(graph, one, return_predecessors=False)] = True
    return side


def crossings(net: Net, cuts: Cuts) -> tuple[_Ints, _Ints]:
    """Return which cuts, counted as they were chosen, are crossed by which links."""
    row = np.full(int(cuts.label.max(initial=0)) + 1, -1)
    row[cuts.chosen] = np.arange(len(cuts.chosen))
    one, other = cuts.label[net.tails[net.links]], cuts.label[net.heads[net.links]]
    apart = one != other
    crosses = net.links[apart]
    rows, edges = np.append(row[one[apart]], row[other[apart]]), np.append(crosses, crosses)
    return rows[rows >= 0], edges[rows >= 0]


def sparse_rows(row: _Ints, column: _Ints, values: NDArray[Any], shape: tuple[int, int]) -> Any:
    """Return sparse rows of values in places apart from each other, without the time that checking takes.

    Parameters
    ----------
    row, column, values
        (k,) where each value stands, no two in one place.
    shape
        How many rows and columns there are.
    """
    from scipy.sparse import csr_array

    order = np.argsort(row, kind="stable")
    begin = np.append(0, np.cumsum(np.bincount(row, minlength=shape[0])))
    return csr_array((values[order], column[order], begin), shape=shape)


def odd_vertices(net: Net) -> NDArray[np.bool_]:
    """Return where copies must make an odd degree; the hub's follows from all others'."""
    odd = parity(net.size, net.tails, net.heads, net.required.astype(np.int8))
    if net.hub >= 0:
        odd[net.hub] = (np.count_nonzero(odd) - odd[net.hub]) % 2
    return odd


def alone(net: Net, label: _Ints) -> _Ints:
    """Return the labels that hold something required but not all that must hang together."""
    held = np.zeros(int(label.max(initial=-1)) + 1, bool)
    held[label[net.must]] = True
    if net.anchor >= 0:
        held[label[net.anchor]] = False
    lone = np.flatnonzero(held)
    return lone if net.anchor >= 0 or len(lone) > 1 else lone[:0]


def _crossed(net: Net, label: _Ints, count: int, taken: _Floats) -> _Floats:
    one, other = label[net.tails], label[net.heads]
    flow = np.where(one != other, taken, 0)
    return (np.bincount(one, flow, count) + np.bincount(other, flow, count)).astype(np.float64)
