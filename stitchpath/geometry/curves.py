"""Ellipses and their true parallel curves, flattened to a chord tolerance."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["EllipseCurve", "half_extent", "parallel"]


@dataclass(frozen=True, slots=True)
class EllipseCurve:
    """An ellipse.

    Attributes
    ----------
    centre
        x, y in millimetres.
    semi_axes
        Half its size along its own x axis and its own y axis, in millimetres; either may be the longer one.
    tilt_deg
        How far its own axes are turned, degrees clockwise (y is down).
    """

    centre: tuple[float, float]
    semi_axes: tuple[float, float]
    tilt_deg: float = 0.0


def half_extent(ellipse: EllipseCurve, angle_deg: float) -> float:
    """Return half the ellipse's size in a direction, in millimetres.

    Examples
    --------
    >>> curve = EllipseCurve((0, 0), (5, 2.5))
    >>> half_extent(curve, 0.0), half_extent(EllipseCurve((0, 0), (5, 2.5), 90.0), 90.0)
    (5.0, 5.0)
    """
    turn = math.radians(angle_deg - ellipse.tilt_deg)
    return math.hypot(ellipse.semi_axes[0] * math.cos(turn), ellipse.semi_axes[1] * math.sin(turn))


def parallel(ellipse: EllipseCurve, distance: float, tolerance: float) -> NDArray[np.float64]:
    """Return the true parallel curve of an ellipse as a closed line.

    A point of it is a point of the ellipse plus `distance` times the outward unit normal. Inwards past the
    smallest radius of curvature, b²/a, that curve folds at the ends of the long axis; the folded part is
    cut away, and what is left meets itself in a corner on the long axis, until at b nothing is left.

    Parameters
    ----------
    ellipse
        The ellipse.
    distance
        Outwards, in millimetres; below zero inwards.
    tolerance
        The most that a chord may leave the curve, in millimetres.

    Returns
    -------
    ndarray of shape (N, 2)
        Read-only; clockwise on the quilt from one end of the longer axis, the first point repeated at the
        end; N is 0 where nothing is left.

    Raises
    ------
    ValueError
        If an axis or the tolerance is not above zero, or a number is not finite.

    Examples
    --------
    >>> parallel(EllipseCurve((0, 0), (5, 2.5)), 1.0, 0.02)[0].tolist()
    [6.0, 0.0]
    >>> parallel(EllipseCurve((0, 0), (5, 2.5)), -2.5, 0.02).shape
    (0, 2)
    """
    _check(ellipse, distance, tolerance)
    long, short = max(ellipse.semi_axes), min(ellipse.semi_axes)
    quarter = _quarter(long, short, distance, tolerance)
    points = _turned(_mirrored(quarter), ellipse)
    points.setflags(write=False)
    return points


def _check(ellipse: EllipseCurve, distance: float, tolerance: float) -> None:
    numbers = (*ellipse.centre, *ellipse.semi_axes, ellipse.tilt_deg, distance, tolerance)
    if not all(map(math.isfinite, numbers)) or min(*ellipse.semi_axes, tolerance) <= 0:
        raise ValueError(
            f"{ellipse}, distance {distance}, tolerance {tolerance}: give finite sizes above zero"
        )


def _quarter(long: float, short: float, distance: float, tolerance: float) -> NDArray[np.float64]:
    """Return the quarter from the long axis to the short one, both ends included, by normal angle."""
    if short + distance <= 0:
        return np.empty((0, 2))
    first = _fold_angle(long, short, distance)
    angles = _normal_angles(long, short, distance, tolerance, first)
    cos, sin = np.cos(angles), np.sin(angles)
    support = np.hypot(long * cos, short * sin)
    quarter = np.column_stack(
        [(long * long / support + distance) * cos, (short * short / support + distance) * sin]
    )
    quarter[0, 1] = quarter[-1, 0] = 0.0
    return quarter


def _fold_angle(long: float, short: float, distance: float) -> float:
    """Return the normal angle at which the inward curve crosses the long axis; 0 where it does not fold."""
    if -distance * long <= short * short:
        return 0.0
    support = short * short / -distance
    return math.acos(math.sqrt((support - short) * (support + short) / ((long - short) * (long + short))))


def _radius(long: float, short: float, distance: float, angles: NDArray[np.float64]) -> NDArray[np.float64]:
    support = np.hypot(long * np.cos(angles), short * np.sin(angles))
    return np.maximum((long * short) ** 2 / support**3 + distance, 0.0)


def _normal_angles(
    long: float, short: float, distance: float, tolerance: float, first: float
) -> NDArray[np.float64]:
    """Return normal angles from `first` to 90° whose chords stay within the tolerance.

    An arc that turns by t with a radius of at most R leaves its chord by at most R (1 - cos(t / 2)). The
    radius grows all the way, so R is the one at the arc's end; steps are laid out evenly by the root of R,
    then halved where that is not enough.
    """
    fine = np.linspace(first, math.pi / 2, 513)
    rate = np.sqrt(_radius(long, short, distance, fine) / (8 * tolerance))
    steps = np.concatenate([[0.0], np.cumsum((rate[1:] + rate[:-1]) / 2 * np.diff(fine))])
    count = max(3, math.ceil(float(steps[-1])))
    angles = np.interp(np.linspace(0.0, steps[-1], count + 1), steps, fine)
    while True:
        turn = np.diff(angles)
        off = _radius(long, short, distance, angles[1:]) * (1 - np.cos(turn / 2)) > tolerance
        if not off.any():
            return angles
        angles = np.sort(np.concatenate([angles, angles[:-1][off] + turn[off] / 2]))


def _mirrored(quarter: NDArray[np.float64]) -> NDArray[np.float64]:
    if not len(quarter):
        return quarter
    half = np.concatenate([quarter, quarter[-2::-1] * (-1, 1)])
    return np.concatenate([half, half[-2:0:-1] * (1, -1), half[:1]])


def _turned(points: NDArray[np.float64], ellipse: EllipseCurve) -> NDArray[np.float64]:
    """Turn a curve whose longer axis is level, and move it to its place."""
    upright = ellipse.semi_axes[1] > ellipse.semi_axes[0]
    turn = math.radians(ellipse.tilt_deg + (90.0 if upright else 0.0))
    cos, sin = math.cos(turn), math.sin(turn)
    turned: NDArray[np.float64] = points @ np.array([[cos, sin], [-sin, cos]]) + np.array(ellipse.centre)
    return turned
