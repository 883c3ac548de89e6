"""A frame's reach: how high a window that ends somewhere can start, and what fits in no window.

Reach has one meaning everywhere. It changes evenly over all lines asked for, whoever sews them. A thing fits
if a window that ends at the thing's bottom comes up to its top, with the reach that the frame has there.
Travel is limited too, even if there is only one window. y counts downwards. The check asks the same of the
design in its own words (`stitchpath.check.rules.reach`).
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["SLACK_MM", "Reach", "heights", "too_tall", "window_starts"]

SLACK_MM = 1e-6
"""A unit as tall as the reach fits, however its height was rounded."""


@dataclass(frozen=True, slots=True)
class Reach:
    """How far down a frame reaches; less and less, or more and more, as the quilt is rolled up.

    Attributes
    ----------
    first_mm, last_mm
        The reach of a window that starts at the top, and of one that would start at the bottom. Between them
        it changes evenly; beyond them it stays the same.
    top_mm, bottom_mm
        Heights of the quilt's top and bottom, y downwards.

    Raises
    ------
    ValueError
        If a reach is no finite length above 0, or the bottom is not finite or above the top.

    Examples
    --------
    >>> reach = Reach(first_mm=500, last_mm=400, top_mm=0, bottom_mm=1000)
    >>> reach.at([0, 500, 1000]), reach.at([])
    (array([500., 450., 400.]), array([], dtype=float64))
    """

    first_mm: float
    last_mm: float
    top_mm: float
    bottom_mm: float

    def __post_init__(self) -> None:
        for reach in (self.first_mm, self.last_mm):
            if not 0 < reach < math.inf:
                raise ValueError(f"a reach of {reach} mm cannot be; give a finite length above 0")
        if not -math.inf < self.top_mm <= self.bottom_mm < math.inf:
            raise ValueError(
                f"nothing lies between a top at {self.top_mm} mm and a bottom at {self.bottom_mm} mm"
            )

    def at(self, start_mm: ArrayLike) -> NDArray[np.float64]:
        """Return the reach of windows that start at these heights.

        Parameters
        ----------
        start_mm
            (n,) heights in millimetres.

        Returns
        -------
        ndarray
            (n,) millimetres.
        """
        ends = (self.top_mm, self.bottom_mm), (self.first_mm, self.last_mm)
        return np.asarray(np.interp(np.asarray(start_mm, np.float64), *ends))

    def start(self, end_mm: ArrayLike) -> NDArray[np.float64]:
        """Return how high windows that end at these heights can start; above the top, too.

        Parameters
        ----------
        end_mm
            (n,) heights in millimetres.

        Returns
        -------
        ndarray
            (n,) the least heights from which the reach comes to the ends, in millimetres. They never fall as
            the ends grow.

        Examples
        --------
        >>> reach = Reach(first_mm=500, last_mm=400, top_mm=0, bottom_mm=1000)
        >>> reach.start([500, 950, 1400]), reach.start([])
        (array([   0.,  500., 1000.]), array([], dtype=float64))
        """
        end = np.asarray(end_mm, np.float64)
        from_top, from_bottom = self.top_mm + self.first_mm, self.bottom_mm + self.last_mm
        between = np.interp(end, (from_top, from_bottom), (self.top_mm, self.bottom_mm))
        lower = np.where(end < from_bottom, between, end - self.last_mm)
        return np.where(end <= from_top, np.minimum(end - self.first_mm, self.top_mm), lower)


def too_tall(top: ArrayLike, bottom: ArrayLike, reach: Reach | None) -> NDArray[np.intp]:
    """Return the units that no window can hold.

    Parameters
    ----------
    top, bottom
        (u,) heights in millimetres, y downwards.
    reach
        The frame's; None: no limit.

    Returns
    -------
    ndarray
        (n,) numbers of the units, ascending.

    Raises
    ------
    ValueError
        If the heights are not as many, not finite, or a bottom lies above its top.

    Examples
    --------
    >>> reach = Reach(first_mm=500, last_mm=400, top_mm=0, bottom_mm=1000)
    >>> too_tall([0, 0, 530], [500, 501, 1000], reach), too_tall([], [], reach)
    (array([1, 2]), array([], dtype=int64))
    """
    tops, bottoms = heights(top, bottom)
    if not len(tops):
        return np.zeros(0, np.intp)
    return np.flatnonzero(tops < window_starts(tops, bottoms, reach) - SLACK_MM)


def heights(top: ArrayLike, bottom: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return (u,) tops and bottoms of units as numbers, or say which one cannot be.

    Examples
    --------
    >>> heights([0, 5], [9, 9]), heights([], [])
    ((array([0., 5.]), array([9., 9.])), (array([], dtype=float64), array([], dtype=float64)))
    >>> heights([9], [0])
    Traceback (most recent call last):
    ValueError: unit 0 cannot lie from 9.0 down to 0.0 mm
    """
    tops, bottoms = np.asarray(top, np.float64), np.asarray(bottom, np.float64)
    if tops.ndim != 1 or tops.shape != bottoms.shape:
        raise ValueError(f"tops of shape {tops.shape} and bottoms of shape {bottoms.shape} are no units")
    wrong = np.flatnonzero(~(np.isfinite(tops) & np.isfinite(bottoms) & (tops <= bottoms)))
    if len(wrong):
        one = int(wrong[0])
        raise ValueError(f"unit {one} cannot lie from {tops[one]} down to {bottoms[one]} mm")
    return tops, bottoms


def window_starts(
    tops: NDArray[np.float64], ends: NDArray[np.float64], reach: Reach | None
) -> NDArray[np.float64]:
    """Return where windows that end at these heights start: none above the top of everything.

    Parameters
    ----------
    tops
        (u,) of all that is sewn, one at least, in millimetres down the frame.
    ends
        (N,) where windows end.
    reach
        What the frame reaches; None: all.

    Returns
    -------
    ndarray
        (N,) in millimetres.

    Examples
    --------
    >>> window_starts(np.array([0.0, 300.0]), np.array([900.0]), None).tolist()
    [0.0]
    """
    least = float(tops.min())
    if reach is None:
        return np.full(len(ends), least)
    return np.maximum(reach.start(ends), min(least, reach.top_mm))
