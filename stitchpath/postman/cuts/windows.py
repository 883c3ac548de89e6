"""Windows: parts of a network, all else shrunk into a hub, for methods whose time grows fast with size.

Rows of whole numbers (`stitchpath.postman.cuts.whole_rows`) that lie in a window are rows of the window's
network, and rows made from them there are valid for the whole network again. The half of the hub's degree,
which the whole network does not know, follows from all the others, since every edge has two ends.

Zero-half cuts are sought this way. On 10 x 10 blocks with laps always a cut has 211 entries instead of 920,
eight rounds reach 518.67 million units instead of 518.42, and the time grows with the network's size rather
than with its square (measured 2026-11-26).
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts.cut_sets import Taken, odd_vertices
from stitchpath.postman.cuts.whole_rows import Rows
from stitchpath.postman.graphs import hops
from stitchpath.postman.model.net import Net

__all__ = ["Window", "windows"]

_INSIDE = 3
"""One vertex in so many of a window counts as well inside; chosen."""

_Ints = NDArray[np.intp]


@dataclass(frozen=True)
class Window:
    """Some vertices of a network, and the edges that end there.

    Attributes
    ----------
    net
        The window's network; the last vertex stands for all others.
    edges, vertices
        Their numbers in the network that it is a part of.
    """

    whole: Net
    net: Net
    edges: _Ints
    vertices: _Ints

    @classmethod
    def of(cls, whole: Net, vertices: _Ints) -> "Window":
        """Return the window on some vertices, none of them the hub or the yard."""
        count = len(vertices)
        place = np.full(whole.size, count)
        place[vertices] = np.arange(count)
        tails, heads = place[whole.tails], place[whole.heads]
        edges = np.flatnonzero((tails < count) | (heads < count))
        net = replace(
            whole,
            size=count + 1,
            tails=tails[edges],
            heads=heads[edges],
            cost=whole.cost[edges],
            required=whole.required[edges],
            extra=whole.extra[edges],
            hub=count,
            anchor=count,
            asked=len(edges),
            gates=0,
        )
        return cls(whole, net, edges, vertices)

    @property
    def _columns(self) -> _Ints:
        m = len(self.whole.tails)
        return np.concatenate([self.edges, m + self.edges, 2 * m + self.vertices])

    def taken(self, taken: Taken) -> Taken:
        """Return what an answer takes here."""
        return Taken(taken.single[self.edges], taken.pair[self.edges])

    def rows(self, rows: Rows) -> Rows:
        """Return those rows that lie in the window."""
        from scipy.sparse import csr_array, hstack

        columns, entries = self._columns, rows.entries
        outside = np.ones(entries.shape[1], np.int64)
        outside[columns] = 0
        away = csr_array((np.ones(entries.nnz, np.int64), entries.indices, entries.indptr), entries.shape)
        here = np.flatnonzero(away @ outside == 0)
        own = entries[here][:, columns]
        return Rows(hstack([own, csr_array((len(here), 1), dtype=np.int64)]).tocsr(), rows.least[here])

    def back(self, rows: Rows) -> Rows:
        """Return rows of the window as rows of the whole network: what was shrunk taken out."""
        from scipy.sparse import csr_array

        every, least = _sum_of_equations(self.net)
        hub = rows.entries[:, [-1]]
        own = (rows.entries + hub @ every).tocsr()[:, :-1].tocsr()
        shape = len(rows.least), 2 * len(self.whole.tails) + self.whole.size
        entries = csr_array((own.data, self._columns[own.indices], own.indptr), shape)
        entries.eliminate_zeros()
        return Rows(entries, rows.least + hub.toarray()[:, 0] * least)


def _sum_of_equations(net: Net) -> tuple[Any, int]:
    """Return half the sum of all vertices' equations: each link once, less all halves; and its right side."""
    from scipy.sparse import csr_array

    m = len(net.tails)
    columns = np.append(net.links, 2 * m + np.arange(net.size))
    signs = np.repeat([1, -1], [len(net.links), net.size])
    row = csr_array((signs, (np.zeros(len(columns), np.intp), columns)), shape=(1, 2 * m + net.size))
    return row, int(np.count_nonzero(odd_vertices(net))) // 2


def windows(net: Net, wanted: NDArray[np.bool_], *, size: int) -> Iterator[Window]:
    """Give windows of `size` vertices each, such that every wanted vertex lies well inside one of them.

    Parameters
    ----------
    net
        The network.
    wanted
        (n,) which vertices.
    size
        How many vertices each window has.
    """
    fresh = wanted.copy()
    fresh[net.aside] = False
    while fresh.any():
        near = hops(net.size, net.tails, net.heads, int(fresh.argmax()), without=net.aside)
        inside = np.lexsort((~fresh, near))[:size]
        inside = inside[~np.isin(inside, net.aside)]
        fresh[inside[: max(1, size // _INSIDE)]] = False
        yield Window.of(net, np.sort(inside))
