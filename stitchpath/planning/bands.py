"""Bands: where to advance the quilt, so that what a frame cannot reach at once is cut at the least cost.

The work comes in units, each with a top and a bottom (y runs downwards); a unit is sewn whole in one band.
Bands close at heights e_1 < e_2 < ..., each of them the bottom of some unit. A band takes every unit that
ends above its close and not in an earlier band: what can be finished is finished, from the top down. Its
window ends where it closes, and starts as high as the reach allows, so that much of what is sewn stays in
reach; the window must hold the band's units whole.

So a window is known by where it closes, and the closes that may follow another one are a range. A link
between two units (a line that runs on) is paid for once, when the upper one's band closes.
"""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from stitchpath.planning.reach import SLACK_MM, Reach, heights, too_tall, window_starts

__all__ = ["Bands", "Links", "Preference", "choose_bands"]

Preference = Literal["cheapest", "fewest"]

_SUM_BITS = 52
"""Whole costs sum up to less than 2**53, so that every sum of them is exact."""


@dataclass(frozen=True, eq=False)
class Links:
    """Lines that run on from one unit into another.

    Attributes
    ----------
    a, b
        (l,) the two units' numbers, in any order.
    cost
        (l,) what it costs to cut the line because the two are in different bands, >= 0.
    """

    a: NDArray[np.intp]
    b: NDArray[np.intp]
    cost: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Bands:
    """The bands chosen.

    Attributes
    ----------
    windows_mm
        (start, end) of each band's window, from the top down: both lie lower than the last one's. The reach
        at the start comes to the end, to a millionth of a millimetre.
    band
        (u,) each unit's band, counted from 0; read-only.
    cost
        Of links cut, groups half sewn and advances together.
    cut
        Numbers of the links cut, ascending; read-only.
    """

    windows_mm: tuple[tuple[float, float], ...]
    band: NDArray[np.intp]
    cost: float
    cut: NDArray[np.intp]

    def __post_init__(self) -> None:
        for array in (self.band, self.cut):
            array.setflags(write=False)


def choose_bands(
    top: ArrayLike,
    bottom: ArrayLike,
    reach: Reach | None,
    *,
    links: Links | None = None,
    groups: ArrayLike | None = None,
    half_sewn: float = 0.0,
    advance: float = 0.0,
    prefer: Preference = "cheapest",
) -> Bands:
    """Choose where bands close.

    Costs are compared in whole numbers, rounded once to about 2**-52 of what everything together would cost:
    whatever the order of adding up, equal sums of them are equal. Of equals it is the one that closes its
    first band lowest, then the second, and so on.

    Parameters
    ----------
    top, bottom
        (u,) heights of the units in millimetres, y downwards; they may be equal.
    reach
        The frame's; None: no limit, so one band.
    links
        What may be cut between units of different bands; None: nothing.
    groups
        (u,) each unit's group, -1 for none; None: no groups.
    half_sewn
        What each group costs at each advance before which some of its units are sewn, and some are not.
    advance
        What an advance costs.
    prefer
        "cheapest": the least cost, and of equals the fewest bands. "fewest": the fewest bands, and of equals
        the least cost.

    Returns
    -------
    Bands
        Without units, no bands.

    Raises
    ------
    ValueError
        If an array has the wrong shape or a value is out of range, or a unit fits no window (see `too_tall`).

    Examples
    --------
    Two rows of one block each, 300 mm high, on a frame that reaches 400 mm:

    >>> reach = Reach(first_mm=400, last_mm=400, top_mm=0, bottom_mm=600)
    >>> line = Links(np.array([0]), np.array([1]), np.array([2.5]))
    >>> two = choose_bands([0, 300], [300, 600], reach, links=line, advance=60)
    >>> two.windows_mm, two.band, two.cost, two.cut
    (((0.0, 300.0), (200.0, 600.0)), array([0, 1]), 62.5, array([0]))
    >>> choose_bands([], [], reach).windows_mm
    ()
    """
    if prefer not in {"cheapest", "fewest"}:
        raise ValueError(f'{prefer!r} is no preference; "cheapest" and "fewest" are')
    tops, bottoms = heights(top, bottom)
    group = _numbers("groups", np.full(len(tops), -1) if groups is None else groups, len(tops), least=-1)
    ends_of, link_cost = _linked(links, len(tops))
    for name, value in (("half_sewn", half_sewn), ("advance", advance)):
        if not 0 <= value < math.inf:
            raise ValueError(f"{name} of {value} is no cost; costs are finite numbers >= 0")
    if not len(tops):
        return Bands((), np.zeros(0, np.intp), 0.0, np.zeros(0, np.intp))
    tall = too_tall(tops, bottoms, reach)
    if len(tall):
        one = int(tall[0])
        raise ValueError(f"unit {one}, from {tops[one]} to {bottoms[one]} mm, is taller than the reach")

    ends, rank = np.unique(bottoms, return_inverse=True)
    starts = window_starts(tops, ends, reach)
    halves = _half_sewn(group, rank, len(ends))
    whole_cost, after_end = _whole(link_cost, half_sewn, advance, halves)
    farthest = _farthest(tops, rank, starts)
    closes = _closes(farthest, after_end, rank[ends_of], whole_cost, fewest=prefer == "fewest")

    band = np.searchsorted(closes, rank)
    cut = np.flatnonzero(band[ends_of[0]] != band[ends_of[1]])
    sums = *link_cost[cut].tolist(), half_sewn * int(halves[closes[:-1]].sum()), advance * (len(closes) - 1)
    # Within the slack a unit may stick out of its window, which then starts with it. Starts grow even so:
    # two bands that one window could hold would be one, so one has a unit above all that the next can hold.
    least = np.full(len(closes), np.inf)
    np.minimum.at(least, band, tops)
    begins = np.minimum(starts[closes], least)
    windows = tuple(zip(begins.tolist(), ends[closes].tolist(), strict=True))
    return Bands(windows, band, math.fsum(sums), cut)


def _numbers(
    name: str, values: ArrayLike, count: int, *, least: int, most: int | None = None
) -> NDArray[np.intp]:
    array = np.asarray(values)
    array = array if array.size else array.astype(np.intp)
    if array.shape != (count,) or array.dtype.kind not in "iu":
        raise ValueError(
            f"{name} of shape {array.shape} and type {array.dtype} are not {count} whole numbers"
        )
    wrong = (array < least) | (False if most is None else array > most)
    if wrong.any():
        raise ValueError(f"{name} hold {array[wrong][0]}, which is out of range")
    return array.astype(np.intp)


def _linked(links: Links | None, units: int) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Return (2, l) the units that each link joins, and (l,) its cost."""
    if links is None:
        return np.zeros((2, 0), np.intp), np.zeros(0)
    cost = np.asarray(links.cost, np.float64)
    if cost.ndim != 1 or not (np.isfinite(cost) & (cost >= 0)).all():
        raise ValueError("costs of links are a row of finite numbers >= 0")
    ends = [_numbers("links", array, len(cost), least=0, most=units - 1) for array in (links.a, links.b)]
    return np.stack(ends), cost


def _half_sewn(group: NDArray[np.intp], rank: NDArray[np.intp], count: int) -> NDArray[np.int64]:
    """Return how many groups are half sewn when a band closes at each end."""
    known = group >= 0
    names, index = np.unique(group[known], return_inverse=True)
    first, last = np.full(len(names), count), np.zeros(len(names), np.intp)
    np.minimum.at(first, index, rank[known])
    np.maximum.at(last, index, rank[known])
    return np.cumsum(np.bincount(first, minlength=count) - np.bincount(last, minlength=count))


def _whole(
    link_cost: NDArray[np.float64], half_sewn: float, advance: float, halves: NDArray[np.int64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return in whole numbers what each link costs, and what an advance after each end does."""
    parts = *link_cost.tolist(), half_sewn * int(halves.sum()), advance * (len(halves) - 1)
    try:
        total = math.fsum(parts)
    except OverflowError:
        total = math.inf
    if total == math.inf:
        raise ValueError("the costs add up to more than a number can hold")
    shift = _SUM_BITS - math.frexp(total)[1]
    each_half, each_advance = np.rint(np.ldexp([half_sewn, advance], shift))
    return np.rint(np.ldexp(link_cost, shift)), each_half * halves + each_advance


def _farthest(
    tops: NDArray[np.float64], rank: NDArray[np.intp], starts: NDArray[np.float64]
) -> NDArray[np.intp]:
    """Return the last end at which a band can close that takes units from each rank on.

    Windows that end lower start lower, so a unit fits those up to some end; and a band, those up to the least
    of its units' ends. A unit past the band's end does not lower that, as it fits the window of its own end.
    So every end from the first rank to that least one will do.
    """
    least = np.full(len(starts), np.inf)
    np.minimum.at(least, rank, tops)
    fits = np.searchsorted(starts - SLACK_MM, least, side="right") - 1
    return np.minimum.accumulate(fits[::-1])[::-1]


def _closes(
    farthest: NDArray[np.intp],
    after_end: NDArray[np.float64],
    ranks: NDArray[np.intp],
    cost: NDArray[np.float64],
    *,
    fewest: bool,
) -> NDArray[np.intp]:
    """Return the ranks at which the best bands close, ascending; the last rank is one.

    From the bottom up, it finds the best end of a band that takes units from each rank on.

    Parameters
    ----------
    farthest
        (d,) the last end of such a band.
    after_end
        (d,) what an advance after each end costs.
    ranks, cost
        (2, l) ranks of the units that each link joins, and (l,) its cost.
    fewest
        Whether the number of bands comes before the cost.
    """
    count = len(farthest)
    if farthest[0] == count - 1:
        return np.array([count - 1])
    earlier, later = ranks.min(axis=0), ranks.max(axis=0)
    order = np.flatnonzero(earlier < later)
    order = order[np.argsort(earlier[order], kind="stable")]
    later, cost = later[order], cost[order]
    first = np.searchsorted(earlier[order], np.arange(count + 1))
    # Of each end: what it costs to advance there, all that follows, and the links from this rank on that it
    # cuts; and how many bands follow.
    value, after = np.zeros(count), np.zeros(count, np.intp)
    best = np.zeros(count, np.intp)
    for rank in range(count - 1, -1, -1):
        last = int(farthest[rank])
        links = slice(first[rank], first[rank + 1])
        if links.start < links.stop:
            until = np.minimum(later[links] - 1, last) - rank
            cuts = np.cumsum(np.bincount(until, cost[links])[::-1])[::-1]
            value[rank : rank + len(cuts)] += cuts
        # The fewest bands follow the lowest ends: the farther down one closes, the less is left.
        low = rank + (int(np.count_nonzero(after[rank:last] > after[last])) if fewest else 0)
        here = value[low : last + 1]
        equal = np.flatnonzero(here == here.min()) + low
        best[rank] = end = equal[after[equal] == after[equal].min()][-1]
        if rank:
            value[rank - 1] = after_end[rank - 1] + value[end]
            after[rank - 1] = after[end] + 1
    closes = [int(best[0])]
    while closes[-1] < count - 1:
        closes.append(int(best[closes[-1] + 1]))
    return np.array(closes)
