"""Cuts that a linear program would ask for one after another, found all at once by growing sets.

Where an answer leaves a set odd or isolated, a cut makes the program pay for the cheapest link out of it; the
next cut, for the cheapest link beyond that; and so on, a round for each link of a way. So instead all such
sets grow at the same speed. Each link that they reach is paid for by the sets that it leaves, and once it is
paid for, the sets that it joins unite, until nothing is odd or isolated (Goemans and Williamson 1995). What
the sets pay is a solution of the dual program, so with all their cuts the program reaches at least that
value.

This is done before the first program is solved. On 56 jobs of blocks the rounds fell from 1,810 to 1,211, and
in many of them the first value already equalled what the T-join proves. Growing sets again from each answer's
reduced costs gained nothing, and is left out (measured 2026-11-27).

What grown cuts gain (measured 2026-11-30; the gap between plan and bound in % of what travel and ends cost,
unless of the whole, and seconds of CPU):

                                        gap without    with  s without   with
    six published, two orders and seeds       0.329   0.301        5.8    5.7
    jobs of blocks, 4 x 4                         0       0        3.6    4.7
    laps always in blocks, 3 x 3                  0       0        6.0   10.8

Of 24 published instances at seeds 0 and 1, 30 are proven without and 35 with them; UR532 ends at 0.42 % of
the whole without and at 0.20 with them, and UR542 0.129 % above its optimum without and on it with them. They
stay for what is proven.
"""

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts.cut_sets import CONNECTED, ODD, Cuts, alone, odd_vertices
from stitchpath.postman.model.net import Net

__all__ = ["grown_cuts"]

_PAID = 0.1
"""A link counts as paid for when so little of its cost is left: fewer steps, and cuts as good."""

_Ints = NDArray[np.intp]
_Flags = NDArray[np.bool_]


def grown_cuts(net: Net) -> list[Cuts]:
    """Return the cuts around all sets that grow, those at once that grew at once.

    Examples
    --------
    Vertices 0 and 2 are odd, and so both grow; 2 is the first to reach 1, and grows on with it.

    >>> from stitchpath.postman.model.net import make_net
    >>> from stitchpath.postman.model.problem import Problem
    >>> ends = np.array([0, 1, 0]), np.array([1, 2, 2])
    >>> kind = np.array([False, False, True]), np.array([1, 1, 0])
    >>> net = make_net(Problem(3, *ends, np.array([5, 3, 9]), *kind, None))
    >>> [(cuts.label.tolist(), cuts.chosen.tolist()) for cuts in grown_cuts(net)]
    [([0, 1, 2], [0, 2]), ([0, 1, 1], [1])]
    """
    links = net.links[net.links < len(net.tails) - net.gates]
    ends = np.stack([net.tails[links], net.heads[links]])
    cost = net.cost[links].astype(np.float64)
    single, pair = cost.copy(), np.where(net.most[links] > 1, cost, np.inf)
    parts = _Sets(_lowest(net.part), CONNECTED), _Sets(np.arange(net.size), ODD)
    odd, found = odd_vertices(net), list[Cuts]()
    while True:
        paid = single <= _PAID * cost
        parts[0].unite(ends[:, paid | (pair <= _PAID * cost)])
        parts[1].unite(ends[:, paid])
        growing = parts[0].growing(alone(net, parts[0].label)), parts[1].growing(_uneven(parts[1].label, odd))
        rates = [sets.rate(ends, grows) for sets, grows in zip(parts, growing, strict=True)]
        step = min(_time(single, rates[0] + rates[1]), _time(pair, rates[0]))
        if not np.isfinite(step):
            return found
        found += [cuts for sets, grows in zip(parts, growing, strict=True) for cuts in sets.fresh(grows)]
        single -= step * (rates[0] + rates[1])
        pair -= step * rates[0]


def _uneven(label: _Ints, odd: _Flags) -> _Ints:
    """Return the labels that hold oddly many odd vertices."""
    return np.flatnonzero(np.bincount(label, odd) % 2)


def _time(left: NDArray[np.float64], rate: NDArray[np.float64]) -> float:
    """Return when the first link will be paid for."""
    return float((left[rate > 0] / rate[rate > 0]).min(initial=np.inf))


def _lowest(label: _Ints) -> _Ints:
    """Name each set by its lowest vertex."""
    first = np.full(int(label.max(initial=-1)) + 1, len(label))
    np.minimum.at(first, label, np.arange(len(label)))
    return first[label]


class _Sets:
    """Sets of vertices that unite, each named by its lowest, and the cuts that were made around them."""

    def __init__(self, label: _Ints, least: int) -> None:
        self.label, self._least = label, least
        self._made = np.zeros(len(label), np.intp)

    def unite(self, ends: _Ints) -> None:
        """Unite the sets at both ends of links."""
        apart = self.label[ends[0]] != self.label[ends[1]]
        for one, other in self.label[ends[:, apart]].T.tolist():
            low, high = self.label[self.label[[one, other]]].tolist()
            if low != high:
                self.label = np.where(self.label == max(low, high), min(low, high), self.label)

    def growing(self, names: _Ints) -> _Flags:
        """Flag names."""
        grows = np.zeros(len(self.label), bool)
        grows[names] = True
        return grows

    def rate(self, ends: _Ints, grows: _Flags) -> NDArray[np.float64]:
        """Return how many sets that grow each link leaves."""
        one, other = self.label[ends]
        return np.where(one != other, grows[one].astype(np.float64) + grows[other], 0.0)

    def fresh(self, grows: _Flags) -> list[Cuts]:
        """Return the cuts around those sets that grow and did not before."""
        size = np.bincount(self.label, minlength=len(self.label))
        names = np.flatnonzero(grows & (size > 0) & (size != self._made))
        self._made[names] = size[names]
        return [Cuts(self.label, names, self._least)] if len(names) else []
