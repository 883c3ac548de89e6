"""Cocircuit inequalities: parity, stated with some edges turned over (Ghiani and Laporte 2000; from memory).

Take a set S of vertices. If an odd number of required edges cross its border, then an odd number of single
copies must cross it too; otherwise an even number. So no plan takes exactly the edges F across the border,
and no others, if F has the wrong parity: it leaves one of them out, or takes one more.

    sum of x(e) over crossing edges but F  -  sum of x(e) over F  >=  1 - |F|

A fractional answer violates this most if F holds the edges of which it takes more than half; where that F has
the right parity, one edge is added or dropped. S is a single vertex, or a set that fractional singles hold
together, since around such a set everything is whole.

On the published instances these inequalities gain nothing by themselves (UR532: 9714.5 with and without).
Together with singles and pairs they matter: see `stitchpath.postman.cuts.columns` (measured 2026-11-26).

What these rows gain (measured 2026-11-30; the gap between plan and bound in % of what travel and ends cost,
and seconds of CPU):

                                    gap without    with  s without   with
    UR532                                 1.262   0.414        2.8    4.2
    crossings priced, 3 x 3 blocks        0.159   0.075       11.9   13.1
    UR745                                 0.233   0.370        7.5    7.4

On UR745 the plan is the same, and the bound happens to end higher without them.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts.columns import Known
from stitchpath.postman.cuts.cut_sets import Taken, odd_vertices, sparse_rows
from stitchpath.postman.graphs import nested
from stitchpath.postman.model.net import Net

__all__ = ["cocircuits"]

_MISSED = 0.02
"""An answer must miss a row by so much: far more than the 1e-7 to which HiGHS keeps rows."""

_THRESHOLDS = (0.3, 0.1, 1e-6)
"""Sets hang together by singles so far from whole numbers; the last level takes all that are not whole."""

_Ints = NDArray[np.intp]


def cocircuits(net: Net, taken: Taken) -> Known:
    """Return the inequalities that an answer misses.

    Examples
    --------
    Half of each edge of a triangle leaves its three vertices even, as they are to be, and so does a whole
    round; but two whole edges do not.

    >>> from stitchpath.postman.model.net import make_net
    >>> from stitchpath.postman.model.problem import Problem
    >>> ends = np.array([0, 1, 0]), np.array([1, 2, 2])
    >>> net = make_net(Problem(3, *ends, np.ones(3, int), np.zeros(3, bool), np.ones(3, int), None))
    >>> missed = cocircuits(net, Taken(np.array([1.0, 1.0, 0.0]), np.zeros(3)))
    >>> missed.rows.toarray()[:, :3], missed.least
    (array([[-1.,  0.,  1.],
           [ 0., -1.,  1.]]), array([0., 0.]))
    >>> len(cocircuits(net, Taken(np.zeros(3), np.zeros(3))).least)
    0
    """
    found = [_around(net, label, fresh, taken.single) for label, fresh in _sets(net, taken.single)]
    least = np.concatenate([one.least for one in found])
    first = np.cumsum([0, *(len(one.least) for one in found)])
    row = np.concatenate([one.row + begin for one, begin in zip(found, first, strict=False)])
    edge = np.concatenate([one.edge for one in found])
    sign = np.concatenate([one.sign for one in found])
    return Known(sparse_rows(row, edge, sign, (len(least), 2 * len(net.tails))), least)


def _sets(net: Net, single: NDArray[np.float64]) -> Iterator[tuple[_Ints, NDArray[np.bool_]]]:
    """Give the sets as labels of vertices, and which of them are not those of the set before."""
    size = np.ones(net.size, np.intp)
    yield np.arange(net.size), size > 0
    whole, ends = np.minimum(single, 1 - single), (net.tails, net.heads)
    for count, label in nested(net.size, *ends, whole, levels=_THRESHOLDS):
        first, own = np.full(count, net.size), np.bincount(label, minlength=count)
        np.minimum.at(first, label, np.arange(net.size))
        fresh = (own > 1) & (own != size[first])
        if fresh.any():
            yield label, fresh
        size = own[label]


@dataclass(frozen=True)
class _Missed:
    """Rows, by the edge and the sign of each entry, and what each row comes to at least."""

    row: _Ints
    edge: _Ints
    sign: NDArray[np.float64]
    least: NDArray[np.float64]


def _around(net: Net, label: _Ints, fresh: NDArray[np.bool_], single: NDArray[np.float64]) -> _Missed:
    """Return what is missed around the sets of equal label that are fresh, that of the hub left out."""
    crossing = net.links[label[net.tails[net.links]] != label[net.heads[net.links]]]
    edge = np.append(crossing, crossing)
    home = label[np.append(net.tails[crossing], net.heads[crossing])]
    count = len(fresh)
    turned = single[edge] > 0.5
    odd = np.bincount(label, odd_vertices(net), count) % 2
    right = np.bincount(home, turned, count) % 2 == odd
    order = np.lexsort((np.abs(single[edge] - 0.5), home))
    nearest = order[np.flatnonzero(np.diff(home[order], prepend=-1))]
    turned[nearest[right[home[nearest]]]] ^= True
    value = np.bincount(home, np.where(turned, 1 - single[edge], single[edge]), count)
    missed = fresh & (value < 1 - _MISSED) & (np.bincount(home, minlength=count) > 0)
    if net.hub >= 0:
        missed[label[net.hub]] = False
    row = np.cumsum(missed) - 1
    inside = missed[home]
    least = (1 - np.bincount(home, turned, count)[missed]).astype(np.float64)
    return _Missed(row[home[inside]], edge[inside], np.where(turned[inside], -1.0, 1.0), least)
