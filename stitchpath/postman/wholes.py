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

__all__ = ["Rows", "cut_rows", "incidence", "no_rows", "spread_rows", "with_rows"]

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

    row = np.full(int(cuts.label.max(initial=0)) + 1, -1)
    row[cuts.chosen] = np.arange(len(cuts.chosen))
    count = np.bincount(cuts.label, minlength=len(row))
    great = cuts.chosen[2 * count[cuts.chosen] > net.size].tolist()
    sides = [np.where(np.isin(cuts.label, great), -1, row[cuts.label])]
    sides += [np.where(cuts.label == one, -1, row[one]) for one in great]
    rows, columns, data = [], [], []
    for side in sides:
        tails, heads = side[net.tails[net.links]], side[net.heads[net.links]]
        vertices = np.flatnonzero(side >= 0)
        inner = (tails >= 0) & (tails == heads)
        rows += [tails[inner], side[vertices]]
        columns += [net.links[inner], len(net.tails) + vertices]
        data += [np.full(np.count_nonzero(inner), -1), np.ones(len(vertices), np.int64)]
    at = np.concatenate(rows), np.concatenate(columns)
    shape = len(cuts.chosen), len(net.tails) + net.size
    entries = csr_array((np.concatenate(data), at), shape=shape)
    odd = entries[:, len(net.tails) :] @ odd_vertices(net).astype(np.int64)
    return Rows(entries, (cuts.least - odd) // 2)


def spread_rows(net: Net, rows: Rows) -> tuple[Any, _Wholes]:
    """Return rows as (k, m) coefficients of copies only, and (k,) what they come to at least."""
    own, halves = rows.entries[:, : len(net.tails)], rows.entries[:, len(net.tails) :]
    least = 2 * rows.least + halves @ odd_vertices(net).astype(np.int64)
    return (2 * own + halves @ incidence(net)).tocsr(), least


def incidence(net: Net) -> Any:
    """Return (n, m) which links end at each vertex."""
    from scipy.sparse import csr_array

    at = np.append(net.tails[net.links], net.heads[net.links]), np.append(net.links, net.links)
    return csr_array((np.ones(2 * len(net.links), np.int64), at), shape=(net.size, len(net.tails)))
