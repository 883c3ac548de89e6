"""K-C inequalities: what a walk that passes between two halves of a required part costs at least.

Order sets of vertices 0 to K, K at least 3, so that no required edge leads from one to another but for an
even number of them, two at least, between the sets 0 and K; and each set between holds something that must be
reached. Then copies x, t of them between the sets 0 and K, obey

    sum over all edges of |i - j| x(i, j) - 2 t  >=  2 (K - 1)

(Corberan and Sanchis 1994, from memory; the proof is ours). The sum is that of K cuts q, each between the
sets up to some i and the rest, and every q is even. Without t, one q at most is 0, else the sets between
two such would stand alone: 2 (K - 1). With t = 1, each q is 2 or more: 2 K - 2. With more, each q is t and
what is left, q'. If t is even, so is q', and one q' at most is 0: (K - 2) t + 2 (K - 1). If t is odd, each
q' is 1 or more: (K - 2) t + K, which is enough for t of 3 or more.

A fractional answer misses one where two halves of a required part hang together by its required edges alone,
and what leads from half to half outside of it is a chain: least cuts with something required between each.
Rungs of several required parts at once are not looked for.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts import flow_graph, reached, split
from stitchpath.postman.graphs import components
from stitchpath.postman.net import Net

__all__ = ["Configuration", "kc_row", "missed_configurations"]

_USED = 1e-6
_MISSED = 0.01
_MOST_GROUPS = 5

_Ints = NDArray[np.intp]
_Floats = NDArray[np.float64]
_Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Configuration:
    """Ordered sets of vertices: `level` (size,) from 0 to `top`, the K of the inequality."""

    level: _Ints
    top: int

    @property
    def least(self) -> float:
        """What the row comes to at least."""
        return 2.0 * (self.top - 1)

    @property
    def name(self) -> bytes:
        """The same for the same sets, from whichever end they are counted."""
        return min(self.level.tobytes(), (self.top - self.level).tobytes())


def kc_row(net: Net, configuration: Configuration) -> _Floats:
    """Return (m,) how much each copy of an edge adds."""
    steps = np.abs(configuration.level[net.tails] - configuration.level[net.heads])
    return np.where(steps == configuration.top, configuration.top - 2, steps).astype(np.float64)


def missed_configurations(net: Net, taken: _Floats) -> list[Configuration]:
    """Return K-C configurations whose inequality an answer misses.

    Parameters
    ----------
    net
        The network.
    taken
        (m,) how often each edge is taken, beyond the required first time.
    """
    flow = np.where((net.tails != net.heads) & (taken > _USED), taken, 0.0)
    found = {}
    for view in _views(net, flow):
        for configuration in view.configurations():
            short = configuration.least - kc_row(net, configuration) @ flow
            if configuration.top > 2 and short > _MISSED * configuration.top and _is_even(net, configuration):
                found[configuration.name] = configuration
    return list(found.values())


def _is_even(net: Net, configuration: Configuration) -> bool:
    """Tell whether an even number of required edges, and not none, lead from end to end."""
    steps = np.abs(configuration.level[net.tails] - configuration.level[net.heads])[net.required]
    rungs = np.count_nonzero(steps == configuration.top)
    return bool(rungs > 0 and rungs % 2 == 0 and np.count_nonzero(steps) == rungs)


def _views(net: Net, flow: _Floats) -> "Iterator[_View]":
    """Look at the network from each required part that can fall into halves, all others shrunk."""
    label = components(net.size, net.tails, net.heads, np.flatnonzero(net.required | (flow >= 2 - _USED)))[1]
    edges = np.flatnonzero(flow)
    wanted = np.bincount(label, net.must) > 0
    rungs = np.bincount(label[net.tails], net.required & (net.tails != net.heads), len(wanted))
    for part in np.flatnonzero(wanted & (rungs > 1)):
        inside = np.flatnonzero(label == part)
        node = np.where(label > part, label - 1, label) + len(inside)
        node[inside] = np.arange(len(inside))
        ends = node[net.tails[edges]], node[net.heads[edges]]
        must = np.concatenate([np.zeros(len(inside), bool), np.delete(wanted, part)])
        yield _View(node, len(inside), must, *ends, flow[edges])


@dataclass(frozen=True)
class _View:
    """One part's own vertices, the first `own` nodes, and all other parts, one node each.

    `node` (size,) is each vertex's, `must` which nodes must be reached, and `flow` is taken from `tails` to
    `heads`.
    """

    node: _Ints
    own: int
    must: _Flags
    tails: _Ints
    heads: _Ints
    flow: _Floats

    def configurations(self) -> Iterator[Configuration]:
        """Give one for each way to part what a piece outside hangs on, by what else hangs together."""
        size = len(self.must)
        outer = (self.tails >= self.own) & (self.heads >= self.own)
        piece = components(size, self.tails, self.heads, np.flatnonzero(outer))[1]
        touching = (self.tails < self.own) != (self.heads < self.own)
        outside = np.maximum(self.tails, self.heads)[touching]
        counts = np.bincount(piece, self.must)
        for one in np.unique(piece[outside]):
            if counts[one] < 2:
                continue
            inside = (piece == one) & (np.arange(size) >= self.own)
            near = inside[self.tails] | inside[self.heads]
            group = components(size, self.tails, self.heads, np.flatnonzero(~near))[1]
            foot = np.minimum(self.tails, self.heads)[touching][piece[outside] == one]
            for half in _halves(np.unique(group[foot])):
                yield self._configuration(inside, near, np.isin(group, half))

    def _configuration(self, inside: _Flags, near: _Flags, half: _Flags) -> Configuration:
        """Climb through a piece by least cuts, from one half of all else to the other."""
        size = len(self.must)
        begin, end = size, size + 1
        place = np.where(inside, np.arange(size), np.where(half, begin, end))
        tails, heads = place[self.tails[near]], place[self.heads[near]]
        graph = flow_graph(size + 2, tails, heads, self.flow[near])
        left = split(graph, begin, end)[1]
        level, top = _levels(left, np.append(self.must & inside, [False, False]), begin, end)
        return Configuration(level[place][self.node], top)


def _halves(groups: _Ints) -> Iterator[_Ints]:
    """Give one half of each way to part a few groups; of more, each alone."""
    if len(groups) > _MOST_GROUPS:
        yield from groups[:, None]
        return
    for flags in product((False, True), repeat=len(groups) - 1):
        if any(flags):
            yield groups[1:][list(flags)]


def _levels(left: Any, must: _Flags, begin: int, end: int) -> tuple[_Ints, int]:
    """Count the sets that must be reached between the beginning and each node.

    What the residual graph leads to lies on the near side of a least cut too: its strong components, those
    that are led to first, are the finest steps.
    """
    import networkx as nx
    from scipy.sparse.csgraph import connected_components

    count, label = connected_components(left, directed=True, connection="strong")
    links = label[left.tocoo().row], label[left.tocoo().col]
    order = nx.DiGraph()
    order.add_nodes_from(range(count))
    order.add_edges_from({(b, a) for a, b in zip(*(ends.tolist() for ends in links), strict=True) if a != b})
    low, high = reached(left, begin), reached(left.T.tocsr(), end)
    held = np.bincount(label, must & ~low & ~high, count) > 0
    step, now = np.zeros(count, np.intp), 0
    for one in nx.lexicographical_topological_sort(order):
        now += int(held[one])
        step[one] = now
    return np.where(low, 0, np.where(high, now + 1, step[label])), now + 1
