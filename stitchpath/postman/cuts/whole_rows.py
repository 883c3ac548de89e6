"""Rows of whole numbers: what cuts say about singles, about pairs, and about half the degree of each vertex.

At a vertex v the singles x(v) are odd in number where an odd number of required edges meet: x(v) = 2 w(v) +
odd(v), where the whole number w(v) is called the half. So a cut S, which is crossed at least twice, is this
row (y(e) are the pairs):

    sum of w(v) over S  -  sum of x(e) inside S  +  sum of y(e) across S  >=  (2 - odd vertices of S) / 2

An odd cut is the same row without pairs, and with 1 in the place of 2.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts.cut_sets import CONNECTED, Cuts, odd_vertices, sparse_rows
from stitchpath.postman.model.net import Net

__all__ = ["Rows", "cut_rows", "incidence", "no_rows", "spread_rows", "with_rows"]

_Wholes = NDArray[np.int64]


@dataclass(frozen=True)
class Rows:
    """Rows of whole numbers: (k, 2 m + n) sparse coefficients, and (k,) `least`.

    Those of singles come first, then those of pairs, then those of halves.
    """

    entries: Any
    least: _Wholes


def no_rows(net: Net) -> Rows:
    """Return none."""
    from scipy.sparse import csr_array

    return Rows(csr_array((0, 2 * len(net.tails) + net.size), dtype=np.int64), np.zeros(0, np.int64))


def with_rows(*parts: Rows) -> Rows:
    """Return all of them."""
    from scipy.sparse import vstack

    return Rows(vstack([part.entries for part in parts]).tocsr(), np.concatenate([p.least for p in parts]))


def cut_rows(net: Net, *found: Cuts) -> Rows:
    """Return the rows of cuts, in their order, each of them by its side of fewer vertices."""
    rows, columns, data, count, m = [], [], [], 0, len(net.tails)
    for cuts in found:
        for side in _sides(net, cuts):
            tails, heads = side[net.tails[net.links]], side[net.heads[net.links]]
            inner, apart = (tails >= 0) & (tails == heads), tails != heads
            apart &= (net.most[net.links] > 1) & (cuts.least == CONNECTED)
            out, back = apart & (tails >= 0), apart & (heads >= 0)
            vertices = np.flatnonzero(side >= 0)
            rows += [count + part for part in (tails[inner], tails[out], heads[back], side[vertices])]
            columns += [net.links[inner], m + net.links[out], m + net.links[back], 2 * m + vertices]
            data += [
                np.full(np.count_nonzero(inner), -1),
                np.ones(len(rows[-1]) + len(rows[-2]) + len(rows[-3])),
            ]
        count += len(cuts.chosen)
    if not count:
        return no_rows(net)
    at, values = (np.concatenate(rows), np.concatenate(columns)), np.concatenate(data).astype(np.int64)
    entries = sparse_rows(*at, values, (count, 2 * m + net.size))
    odd = entries[:, 2 * m :] @ odd_vertices(net).astype(np.int64)
    least = np.repeat([cuts.least for cuts in found], [len(cuts.chosen) for cuts in found])
    return Rows(entries, (least - odd) // 2)


def _sides(net: Net, cuts: Cuts) -> list[NDArray[np.intp]]:
    """Return the row of each vertex, -1 for none: small sets at once, then what each great one leaves."""
    row = np.full(int(cuts.label.max(initial=0)) + 1, -1)
    row[cuts.chosen] = np.arange(len(cuts.chosen))
    count = np.bincount(cuts.label, minlength=len(row))
    great = cuts.chosen[2 * count[cuts.chosen] > net.size]
    outside = [np.where(cuts.label == one, -1, row[one]) for one in great.tolist()]
    row[great] = -1
    return [row[cuts.label], *outside]


def spread_rows(net: Net, rows: Rows) -> tuple[Any, _Wholes]:
    """Return rows as (k, 2 m) coefficients of singles and pairs only, and (k,) what they come to at least."""
    from scipy.sparse import hstack

    m = len(net.tails)
    halves = rows.entries[:, 2 * m :]
    least = 2 * rows.least + halves @ odd_vertices(net).astype(np.int64)
    single = 2 * rows.entries[:, :m] + halves @ incidence(net)
    return hstack([single, 2 * rows.entries[:, m : 2 * m]]).tocsr(), least


def incidence(net: Net) -> Any:
    """Return (n, m) which links end at each vertex."""
    from scipy.sparse import csr_array

    at = np.append(net.tails[net.links], net.heads[net.links]), np.append(net.links, net.links)
    return csr_array((np.ones(2 * len(net.links), np.int64), at), shape=(net.size, len(net.tails)))
