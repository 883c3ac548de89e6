"""How long the needle takes along lines: it gains speed, slows down before corners, and has a top speed.

Along a line the speed v stays below a top speed, changes by no more than the acceleration a, and is zero
where the needle stops. At a corner it keeps to the centripetal limit v^2 = a r (uniform motion in a circle,
as in any text on mechanics). There r is the radius of the arc that rounds the corner off. The arc passes the
corner's point within a given distance, and turns no more sharply than the steps beside it do on average: 1 /
r = 2 tan(turn / 2) / step, which is the exact radius of a circle laid out in equal chords. Where the second
of these limits is the closer one, the line is a curve, and what holds at its points holds between them. From
each stop onwards the square of the speed grows by at most 2 a for each millimetre, and backwards from the
next stop as well; the fastest motion within that is the trapezoidal profile of motion control. (From memory
of standard texts.)
"""

import numpy as np
from numpy.typing import NDArray

__all__ = ["lift_seconds", "step_seconds"]

_Floats = NDArray[np.float64]


def step_seconds(
    points_mm: _Floats,
    stops: NDArray[np.bool_],
    speed_mm_s: _Floats,
    *,
    acceleration_mm_s2: float,
    rounding_mm: float,
) -> _Floats:
    """Return how long each step along points takes, (N - 1,) in seconds.

    Parameters
    ----------
    points_mm
        (N, 2), one line after another.
    stops
        (N,) where the needle stands still: the first and last point of each line. What the steps from one
        line's last point to the next one's first come to means nothing.
    speed_mm_s
        (N - 1,) the top speed of each step.
    acceleration_mm_s2
        How fast speed changes, at most; infinite: at once, corners and stops too.
    rounding_mm
        How far a corner's point may be passed by.

    Examples
    --------
    A metre at 50 mm/s, gained and lost within 2.5 mm each at 500 mm/s2, takes 0.1 s more than it would
    without.

    >>> ends, points = np.array([True, True]), np.array([(0.0, 0.0), (1000.0, 0.0)])
    >>> step_seconds(points, ends, np.array([50.0]), acceleration_mm_s2=500, rounding_mm=0.1)
    array([20.1])
    >>> step_seconds(np.empty((0, 2)), ends[:0], np.empty(0), acceleration_mm_s2=500, rounding_mm=0.1)
    array([], dtype=float64)
    """
    steps = np.diff(points_mm, axis=0)
    length = np.hypot(*steps.T)
    moved = (length > 0) | (stops[1:] & stops[:-1])
    if not moved.all():
        return _without_rests(points_mm, stops, speed_mm_s, moved, acceleration_mm_s2, rounding_mm)
    if not len(length) or not np.isfinite(acceleration_mm_s2):
        return np.asarray(length / speed_mm_s, dtype=np.float64)
    passed, curved = _radii(steps, length, rounding_mm)
    bent = acceleration_mm_s2 * np.where((curved <= passed) & ~stops[1:-1], curved, np.inf)
    top = np.square(speed_mm_s)
    top = np.minimum(top, np.maximum(np.append(bent, np.inf), np.insert(bent, 0, np.inf)))
    square = np.minimum(np.append(top, np.inf), np.insert(top, 0, np.inf))
    square[1:-1] = np.minimum(square[1:-1], acceleration_mm_s2 * np.minimum(passed, curved))
    square[stops] = 0.0
    reach = 2 * acceleration_mm_s2 * length
    at = np.concatenate(([0.0], np.cumsum(reach)))
    square = at + np.minimum.accumulate(square - at)
    square = np.minimum.accumulate((square + at)[::-1])[::-1] - at
    square = np.maximum(square, 0.0)
    peak = np.minimum(top, (square[:-1] + square[1:] + reach) / 2)
    first, last, most = np.sqrt(square[:-1]), np.sqrt(square[1:]), np.sqrt(peak)
    changing = (2 * most - first - last) / acceleration_mm_s2
    even = np.maximum(length - (2 * peak - square[:-1] - square[1:]) / (2 * acceleration_mm_s2), 0.0)
    seconds: _Floats = changing + np.divide(even, most, out=np.zeros_like(even), where=most > 0)
    return seconds


def _without_rests(
    points: _Floats,
    stops: NDArray[np.bool_],
    speed: _Floats,
    moved: NDArray[np.bool_],
    acceleration: float,
    rounding: float,
) -> _Floats:
    """Return the same where points repeat: steps of no length take no time and turn no corner."""
    kept = np.insert(moved, 0, True)
    owner = np.cumsum(kept) - 1
    still = np.zeros(int(kept.sum()), dtype=bool)
    np.logical_or.at(still, owner, stops)
    seconds = np.zeros(len(moved))
    seconds[moved] = step_seconds(
        points[kept], still, speed[moved], acceleration_mm_s2=acceleration, rounding_mm=rounding
    )
    return seconds


def _radii(steps: _Floats, length: _Floats, rounding_mm: float) -> tuple[_Floats, _Floats]:
    """Return the radii of two arcs at each corner: one that passes its point, one that the steps bend in."""
    one, two = steps[:-1], steps[1:]
    turn = np.abs(np.arctan2(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0], (one * two).sum(axis=1)))
    cosine = np.cos(turn / 2)
    passed = rounding_mm * cosine / np.maximum(1 - cosine, 1e-300)
    bend = 2 * np.tan(turn / 2)
    curved = (length[:-1] + length[1:]) / 2 / np.maximum(bend, 1e-300)
    return passed, curved


def lift_seconds(length_mm: _Floats, *, speed_mm_s: float, acceleration_mm_s2: float) -> _Floats:
    """Return how long moves in a straight line from rest to rest take, in seconds.

    Parameters
    ----------
    length_mm
        Of each move.
    speed_mm_s
        The top speed.
    acceleration_mm_s2
        How fast speed is gained and lost.

    Returns
    -------
    ndarray
        Of the same shape, in seconds.

    Examples
    --------
    >>> lift_seconds(np.array([0.0, 45.0, 90.0]), speed_mm_s=150, acceleration_mm_s2=500)
    array([0. , 0.6, 0.9])
    """
    short = length_mm < speed_mm_s**2 / acceleration_mm_s2
    return np.where(
        short,
        2 * np.sqrt(length_mm / acceleration_mm_s2),
        length_mm / speed_mm_s + speed_mm_s / acceleration_mm_s2,
    )
