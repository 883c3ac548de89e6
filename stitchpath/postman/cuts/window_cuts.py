"""A large network's linear program starts with cuts that were found window by window.

The time of a linear program grows faster than its number of rows, and most rounds add cuts that are far apart
and do not affect each other. So the network is covered by windows that overlap, each with everything else
shrunk into a hub, and each window is solved to its end first. Its cuts hold for the whole network, since any
plan of the whole becomes a plan of the window when the rest is shrunk. The cuts that have a price in some
window are then given to the large program at the start, each of them once.

Keeping all cuts that bind, instead of those with a price, took 43 s instead of 8 in the large program, and
gained 0.006 % (10 x 10 blocks, measured 2026-11-27).

What windows gain (measured 2026-11-30; laps always; the value of the whole's linear program in millions of
units, and seconds of CPU until it was left):

                     value without    with  s without   with
    9 x 9 blocks            420.22  420.19        103    108
    10 x 10 blocks          517.70  517.71        142    146

The program without windows was stopped at 10 x 10, in its 46th round, where it still gained. So they gain
nothing there, though they once did (518.34 million in 88 s, and without them 518.42 in 160, measured
2026-11-27). What is left to them is larger tops: at 20 x 20 blocks the whole may take about 30 rounds instead
of 120. That is not measured, since a run takes half an hour of CPU with them, and perhaps more without. If
they gain nothing there either, they are to go.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts.columns import Known, no_cuts
from stitchpath.postman.cuts.cut_sets import Cuts
from stitchpath.postman.cuts.cutting_planes import raise_bound
from stitchpath.postman.cuts.cutting_program import Paid
from stitchpath.postman.cuts.windows import Window, windows
from stitchpath.postman.model.net import Net

__all__ = ["windowed"]

_SIZE, _OVERLAP, _FROM = 1_200, 2, 6
"""A window's vertices, of which one in two lies well inside; and from so many windows' vertices on this is
worth it: a fill of 5,060 vertices lost by it."""

_ROUNDS, _HALVES = 120, 8
"""Of cuts, and of zero-half cuts: as many as a whole network of trails has that is not large."""

_DIGITS = 9
"""Rows are the same if their sums with random factors are, to so many digits: all entries are whole
numbers."""

_Ints = NDArray[np.intp]


def windowed(net: Net, *, go_on: Callable[[], bool] = lambda: True) -> Paid | None:
    """Return what the values of a large network's windows rest on; None of a small one, or where stopped.

    Parameters
    ----------
    net
        The network, gates included.
    go_on
        Asked before each window; False stops.

    Examples
    --------
    >>> from stitchpath.postman.model.net import make_net
    >>> from stitchpath.postman.model.problem import Problem
    >>> windowed(make_net(Problem(2, *(np.array([x]) for x in (0, 1, 3, True, 1)), None))) is None
    True
    """
    if net.size < _FROM * _SIZE:
        return None
    found: list[tuple[Window, Paid]] = []
    for window in windows(net, np.ones(net.size, bool), size=_SIZE, overlap=_OVERLAP):
        if not go_on():
            return None
        if _has_more(window):
            found.append((window, _paid_in(window)))
    return Paid(_packed(net, _told_apart(found)), _rows(net, found))


def _has_more(window: Window) -> bool:
    """Tell whether a plan must leave the window: else what is shrunk is not to be reached."""
    outside = window.whole.must.copy()
    outside[window.vertices] = False
    return bool(outside.any())


def _paid_in(window: Window) -> Paid:
    """Raise the window's bound; gates, which gain there what others cost, are left at no cost."""
    net = replace(window.net, cost=np.maximum(window.net.cost, 0))
    return raise_bound(net, most=int(net.cost @ net.most) + 1, rounds=_ROUNDS, halves=_HALVES).paid


def _told_apart(found: Iterable[tuple[Window, Paid]]) -> Iterator[tuple[_Ints, int]]:
    """Give the sets of all windows' cuts, by their vertices, each once."""
    seen: set[tuple[bytes, int]] = set()
    for window, paid in found:
        for cuts in paid.cuts:
            order = np.argsort(cuts.label, kind="stable")
            begin = np.searchsorted(cuts.label[order], np.arange(int(cuts.label.max()) + 2))
            for one in cuts.chosen.tolist():
                inside = order[begin[one] : begin[one + 1]]
                if inside[-1] == len(window.vertices):  # with all that is shrunk: the rest is the same cut
                    inside = np.setdiff1d(np.arange(window.net.size), inside)
                inside = window.vertices[inside]
                if (key := (inside.tobytes(), cuts.least)) not in seen:
                    seen.add(key)
                    yield inside, cuts.least


def _packed(net: Net, sets: Iterable[tuple[_Ints, int]]) -> tuple[Cuts, ...]:
    """Put sets that lie apart from each other into the same cuts."""
    depth: dict[int, _Ints] = {}
    layers: dict[tuple[int, int], list[_Ints]] = {}
    for inside, least in sets:
        deep = depth.setdefault(least, np.zeros(net.size, np.intp))
        layer = int(deep[inside].max())
        deep[inside] = layer + 1
        layers.setdefault((least, layer), []).append(inside)
    return tuple(_cuts(net, layers[key], key[0]) for key in sorted(layers))


def _cuts(net: Net, members: list[_Ints], least: int) -> Cuts:
    label = np.zeros(net.size, np.intp)
    for number, inside in enumerate(members, 1):
        label[inside] = number
    return Cuts(label, np.arange(1, len(members) + 1), least)


def _rows(net: Net, found: Iterable[tuple[Window, Paid]]) -> Known:
    """Return the other rows of all windows as rows of the whole network, each once."""
    every = no_cuts(net).and_those(*(window.known(paid.rows) for window, paid in found))
    if not len(every.least):
        return every
    names = np.random.default_rng(0).random(every.rows.shape[1] + 1)
    key = np.round(every.rows @ names[:-1] + every.least * names[-1], _DIGITS)
    first = np.sort(np.unique(key, return_index=True)[1])
    return Known(every.rows[first], every.least[first])
