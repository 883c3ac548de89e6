"""Where straight pieces run beside each other, and what a set of intervals leaves open."""

import numpy as np
import shapely
from numpy.typing import NDArray

__all__ = ["Floats", "Interval", "Ints", "Points", "gaps", "near", "pieces", "runs"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Points = NDArray[np.float64]
Interval = tuple[Floats, Floats]
"""The lower and the upper ends of many intervals; empty where the lower end is above the upper one."""


def pieces(start: Points, end: Points) -> NDArray[np.object_]:
    """Return straight pieces as shapely linestrings.

    Examples
    --------
    >>> [piece.length for piece in pieces(np.array([[0.0, 0.0]]), np.array([[3.0, 4.0]]))]
    [5.0]
    >>> len(pieces(np.empty((0, 2)), np.empty((0, 2))))
    0
    """
    drawn: NDArray[np.object_] = shapely.linestrings(np.stack((start, end), axis=1))
    return drawn


def near(p: Points, q: Points, a: Points, b: Points, *, within_mm: float, caps: bool = True) -> Interval:
    """Return which part of each piece p-q lies within a distance of the piece a-b.

    Parameters
    ----------
    p, q, a, b
        (N, 2) ends in millimetres; no piece has length zero.
    within_mm
        The distance.
    caps
        Whether what lies beyond the ends of a-b, but near them, counts too.

    Returns
    -------
    tuple of arrays
        From and to, (N,) each, in millimetres from p; ``inf, -inf`` where no part is near. Exact: a piece
        meets the convex set of places near another one in one interval.

    Examples
    --------
    >>> import numpy as np
    >>> row = lambda x, y: np.array([[x, y]], float)
    >>> near(row(0, 0), row(9, 0), row(2, 0.5), row(4, 0.5), within_mm=1, caps=False)
    (array([2.]), array([4.]))
    >>> near(row(0, 0)[:0], row(9, 0)[:0], row(2, 0)[:0], row(4, 0)[:0], within_mm=1)
    (array([], dtype=float64), array([], dtype=float64))
    """
    length, along = _measure(p, q)
    other, v = _measure(a, b)
    parts = [_beside(p - a, along, v, other, within_mm)]
    if caps:
        parts += [_around(p - end, along, within_mm) for end in (a, b)]
    clipped = [(np.maximum(low, 0.0), np.minimum(high, length)) for low, high in parts]
    lows = [np.where(low <= high, low, np.inf) for low, high in clipped]
    highs = [np.where(low <= high, high, -np.inf) for low, high in clipped]
    return np.minimum.reduce(lows), np.maximum.reduce(highs)


def _measure(p: Points, q: Points) -> tuple[Floats, Points]:
    length = np.hypot(*(q - p).T)
    return length, (q - p) / length[:, None]


def _beside(offset: Points, along: Points, v: Points, other: Floats, within_mm: float) -> Interval:
    """Return where the foot lies on the other piece, of length `other`, and is near enough."""
    foot = _solve(_dot(offset, v), _dot(along, v), np.zeros_like(other), other)
    off = np.full_like(other, within_mm)
    across = _solve(_cross(offset, v), _cross(along, v), -off, off)
    return np.maximum(foot[0], across[0]), np.minimum(foot[1], across[1])


def _around(offset: Points, along: Points, within_mm: float) -> Interval:
    """Return where a line lies in the circle around a point."""
    square = within_mm**2 - _cross(offset, along) ** 2
    half = np.sqrt(np.maximum(square, 0.0))
    middle = -_dot(offset, along)
    return np.where(square >= 0, middle - half, np.inf), np.where(square >= 0, middle + half, -np.inf)


def _solve(at: Floats, slope: Floats, low: Floats, high: Floats) -> Interval:
    """Return for which t ``low <= at + slope * t <= high``."""
    flat = np.abs(slope) < 1e-12
    steep = np.where(flat, 1.0, slope)
    one, two = (low - at) / steep, (high - at) / steep
    inside = (low <= at) & (at <= high)
    first = np.where(flat, np.where(inside, -np.inf, np.inf), np.minimum(one, two))
    last = np.where(flat, np.where(inside, np.inf, -np.inf), np.maximum(one, two))
    return first, last


def _dot(a: Points, b: Points) -> Floats:
    return a[:, 0] * b[:, 0] + a[:, 1] * b[:, 1]


def _cross(a: Points, b: Points) -> Floats:
    return a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]


def gaps(covers: Interval, ranges: Interval, *, over_mm: float) -> Interval:
    """Return what intervals leave open in ranges.

    Parameters
    ----------
    covers
        Intervals in any order; empty ones are skipped.
    ranges
        Ranges that do not overlap, in rising order.
    over_mm
        Shorter gaps are not told.

    Examples
    --------
    >>> import numpy as np
    >>> one = lambda *values: np.array(values, float)
    >>> gaps((one(0, 3), one(2, 4)), (one(0), one(9)), over_mm=0.5)
    (array([2., 4.]), array([3., 9.]))
    >>> gaps((one(), one()), (one(), one()), over_mm=0.5)
    (array([], dtype=float64), array([], dtype=float64))
    """
    full = covers[0] <= covers[1]
    low = np.concatenate((covers[0][full], [-np.inf], ranges[1]))
    high = np.concatenate((covers[1][full], ranges[0], [np.inf]))
    order = np.argsort(low, kind="stable")
    low, reach = low[order], np.maximum.accumulate(high[order])
    wide = np.flatnonzero(low[1:] - reach[:-1] > over_mm)
    return reach[wide], low[wide + 1]


def runs(marked: NDArray[np.bool_]) -> tuple[Ints, Ints]:
    """Return where unbroken runs of True begin, and the index after each one's last.

    Examples
    --------
    >>> import numpy as np
    >>> runs(np.array([False, True, True, False, True]))
    (array([1, 4]), array([3, 5]))
    >>> runs(np.zeros(0, bool))
    (array([], dtype=int64), array([], dtype=int64))
    """
    change = np.diff(np.concatenate(([False], marked, [False])).astype(np.int8))
    return np.flatnonzero(change == 1), np.flatnonzero(change == -1)
