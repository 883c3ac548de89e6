"""Rows of whole numbers: what cuts say of copies, and of halves of what meets at each vertex.

Copies x(v) that meet at a vertex are odd where oddly many required edges do: x(v) = 2 w(v) + odd(v) with a
whole number w(v), the half. So a cut S, crossed twice at least, or once if it is odd, is such a row:

    sum of w(v) over S  -  sum of x(e) inside S  >=  (least - odd vertices of S) / 2
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts import Cuts, odd_vertices
from stitchpath.postman.net import Net

__all__ = ["Rows", "cut_rows", "incidence", "inner_edges", "no_rows", "spread_rows", "with_rows"]

_Ints = NDArray[np.intp]
_Wholes = NDArray[np.int64]


@dataclass(frozen=True)
class Rows:
    """Rows of whole numbers: (k, m + n) sparse coefficients of copies and of halves, and (k,) `least`."""

    entries: Any
    least: _Wholes


def no_rows(net: Net) -> Rows:
    """Return none."""
    from scipy.sparse import csr_array

    return Rows(csr_array((0, len(net.tails) + net.size), dtype=np.int64), np.zeros(0, np.int64))


def with_rows(*parts: Rows) -> Rows:
    """Return all of them."""
    from scipy.sparse import vstack

    return Rows(vstack([part.entries for part in parts]).tocsr(), np.concatenate([p.least for p in parts]))


def cut_rows(net: Net, cuts: Cuts) -> Rows:
    """Return the rows of cuts, each of them by its side of fewer vertices."""
    from scipy.sparse import csr_array

    odd, edges = odd_vertices(net), inner_edges(net)
    count = np.bincount(cuts.label, minlength=int(cuts.label.max(initial=0)) + 1)
    rows, columns, data, least = [], [], [], []
    for number, one in enumerate(cuts.chosen.tolist()):
        inside = (cuts.label == one) == (2 * count[one] <= net.size)
        within = edges[inside[net.tails[edges]] & inside[net.heads[edges]]]
        vertices = np.flatnonzero(inside)
        columns += [within, len(net.tails) + vertices]
        data += [np.full(len(within), -1), np.ones(len(vertices), np.int64)]
        rows.append(np.full(len(within) + len(vertices), number))
        least.append((cuts.least - np.count_nonzero(odd[vertices])) // 2)
    if not rows:
        return no_rows(net)
    at = np.concatenate(rows), np.concatenate(columns)
    shape = len(rows), len(net.tails) + net.size
    return Rows(csr_array((np.concatenate(data), at), shape=shape), np.array(least, np.int64))


def spread_rows(net: Net, rows: Rows) -> tuple[Any, _Wholes]:
    """Return rows as (k, m) coefficients of copies only, and (k,) what they come to at least."""
    own, halves = rows.entries[:, : len(net.tails)], rows.entries[:, len(net.tails) :]
    least = 2 * rows.least + halves @ odd_vertices(net).astype(np.int64)
    return (2 * own + halves @ incidence(net)).tocsr(), least


def inner_edges(net: Net) -> _Ints:
    """Return the open edges that are no loops."""
    edges: _Ints = net.open[net.tails[net.open] != net.heads[net.open]]
    return edges


def incidence(net: Net) -> Any:
    """Return (n, m) which of those edges end at each vertex."""
    from scipy.sparse import csr_array

    edges = inner_edges(net)
    at = np.append(net.tails[edges], net.heads[edges]), np.append(edges, edges)
    return csr_array((np.ones(2 * len(edges), np.int64), at), shape=(net.size, len(net.tails)))
