"""Cocircuit inequalities: what is odd, said with some edges turned (Ghiani and Laporte 2000; from memory).

Singles that cross a set S are odd in number where oddly many required edges do, even elsewhere. So where the
edges F that cross S are of the other parity, they are not just those taken: one of them is left out, or one
more is taken.

    sum of x(e) over crossing edges but F  -  sum of x(e) over F  >=  1 - |F|

An answer misses it most for the F of what it takes more than half of; if that is of the right parity, for one
edge more or less. S is a vertex, or what fractional singles hold together: around that, all is whole.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.columns import Known, no_cuts
from stitchpath.postman.cuts import Taken, odd_vertices
from stitchpath.postman.graphs import components
from stitchpath.postman.net import Net

__all__ = ["cocircuits"]

_MISSED = 0.02
_THRESHOLDS = (1e-6, 0.1, 0.3)

_Ints = NDArray[np.intp]


def cocircuits(net: Net, taken: Taken) -> Known:
    """Return the inequalities that an answer misses.

    Examples
    --------
    Half of each edge of a triangle leaves its three vertices even, as they are to be, and so does a whole
    round; but two whole edges do not.

    >>> from stitchpath.postman.net import make_net
    >>> from stitchpath.postman.problem import Problem
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
    return no_cuts(net).and_those(*found)


def _sets(net: Net, single: NDArray[np.float64]) -> Iterator[tuple[_Ints, NDArray[np.bool_]]]:
    """Give the sets as labels of vertices, and which of them did not come before; sets only get smaller."""
    size = np.ones(net.size, np.intp)
    yield np.arange(net.size), size > 0
    for threshold in _THRESHOLDS:
        between = np.flatnonzero((single > threshold) & (single < 1 - threshold))
        label = components(net.size, net.tails, net.heads, between)[1]
        first, count = np.unique(label, return_index=True, return_counts=True)[1:]
        yield label, (count > 1) & (count != size[first])
        size = count[label]


def _around(net: Net, label: _Ints, fresh: NDArray[np.bool_], single: NDArray[np.float64]) -> Known:
    """Return what is missed around the sets of equal label that are fresh, that of the hub left out."""
    from scipy.sparse import csr_array

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
    shape = np.count_nonzero(missed), 2 * len(net.tails)
    at = row[home[inside]], edge[inside]
    rows = csr_array((np.where(turned[inside], -1.0, 1.0), at), shape=shape)
    least = 1 - np.bincount(home, turned, count)[missed]
    return Known(rows, least.astype(np.float64))
