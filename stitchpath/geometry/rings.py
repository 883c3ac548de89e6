"""Closed lines: their parallel curves, how they lie, and which are the same but turned or mirrored."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

__all__ = ["Upright", "beside", "left_by", "same_but_for", "upright"]

_SEGMENTS = 64
"""In a quarter turn: at 1/4 in from a corner their chords leave its arc by 0.0005 mm."""

_NIL = 1e-4
"""Far above rounding, and less than eyes tell: degrees, and how much longer a round shape is one way."""
# how a shape may lie: turned by a half turn, mirrored, or both
_VARIANTS = (("", (1, 1)), ("", (-1, -1)), ("mirrored", (-1, 1)), ("mirrored", (1, -1)))


@dataclass(frozen=True, eq=False)
class Upright:
    """A closed line about its own middle, its longer axis upright.

    Attributes
    ----------
    points
        (N, 2) about (0, 0), the first repeated at the end.
    turned_deg
        How far the line itself is turned from that, clockwise with y down, over -90 to 90.
    area
        What it encloses.
    """

    points: NDArray[np.float64]
    turned_deg: float
    area: float


def beside(ring: NDArray[np.float64], distance: float) -> tuple[NDArray[np.float64], ...]:
    """Return the true parallel curve of a closed line: what lies just that far from it.

    It is taken from the flattened line, so it holds for any shape, and of an oval it leaves the oval's own
    parallel curve by no more than the line's chords leave the oval. A line that does not cross itself is
    asked for.

    Parameters
    ----------
    ring
        (N, 2), the first point repeated at the end.
    distance
        Outwards; below zero inwards, where what would fold is cut away.

    Returns
    -------
    tuple of ndarray
        Closed lines; none where nothing is left.

    Examples
    --------
    >>> square = np.array([(0.0, 0), (4, 0), (4, 4), (0, 4), (0, 0)])
    >>> [shapely.Polygon(ring).area for ring in beside(square, -1)], beside(square, -2)
    ([4.0], ())
    """
    moved = shapely.buffer(shapely.Polygon(ring), distance, quad_segs=_SEGMENTS)
    return tuple(
        shapely.get_coordinates(part.exterior) for part in shapely.get_parts(moved) if not part.is_empty
    )


def left_by(ring: NDArray[np.float64], distance: float) -> float:
    """Return how far a disc that runs along the parallel curve gets from the closed line at sharp turns.

    Examples
    --------
    >>> square = np.array([(0.0, 0), (4, 0), (4, 4), (0, 4), (0, 0)])
    >>> round(left_by(square, -1), 3), left_by(square, 1) < 1e-3, left_by(square, -2)
    (0.414, True, inf)
    """
    there = shapely.buffer(shapely.Polygon(ring), distance, quad_segs=_SEGMENTS)
    back = shapely.buffer(there, -distance, quad_segs=_SEGMENTS)
    if back.is_empty:
        return float("inf")
    return float(shapely.hausdorff_distance(back.boundary, shapely.LineString(ring)))


def upright(ring: NDArray[np.float64]) -> Upright:
    """Return a closed line moved to its middle and turned upright, by the second moments of its area.

    Examples
    --------
    >>> stood = upright(np.array([(0.0, 0), (4, 0), (4, 2), (0, 2), (0, 0)]))
    >>> stood.turned_deg, stood.area, np.ptp(stood.points, axis=0).round(9).tolist()
    (90.0, 8.0, [2.0, 4.0])
    """
    polygon = shapely.Polygon(ring)
    points = np.asarray(ring) - shapely.get_coordinates(polygon.centroid)
    angle = _long_axis(points)
    turn = np.pi / 2 - angle
    turned = float(np.degrees(-turn))
    turned = turned + 180 if turned <= -90 + _NIL else turned - 180 if turned > 90 + _NIL else turned
    cos, sin = np.cos(turn), np.sin(turn)
    return Upright(points @ np.array([[cos, sin], [-sin, cos]]), round(turned, 3) + 0.0, float(polygon.area))


def same_but_for(one: Upright, other: Upright, *, within: float) -> str | None:
    """Tell whether two closed lines are the same: ``""`` if turned at most, ``"mirrored"``, or None.

    Parameters
    ----------
    one, other
        Laid upright.
    within
        How far apart they may be, in millimetres.

    Returns
    -------
    str or None
        How the other one lies.

    Examples
    --------
    >>> square = upright(np.array([(0.0, 0), (4, 0), (4, 4), (0, 4), (0, 0)]))
    >>> same_but_for(square, square, within=0.01)
    ''
    """
    if abs(one.area - other.area) > within * (shapely.LineString(one.points).length + 1.0):
        return None
    fixed = shapely.LineString(one.points)
    for said, signs in _VARIANTS:
        if shapely.hausdorff_distance(fixed, shapely.LineString(other.points * signs)) <= within:
            return said
    return None


def _long_axis(points: NDArray[np.float64]) -> float:
    """Return the direction of the longer axis; upright where both are as long."""
    x, y = points[:-1].T
    next_x, next_y = points[1:].T
    cross = x * next_y - next_x * y
    xx = float(((x * x + x * next_x + next_x * next_x) * cross).sum()) / 12
    yy = float(((y * y + y * next_y + next_y * next_y) * cross).sum()) / 12
    xy = float(((x * next_y + 2 * x * y + 2 * next_x * next_y + next_x * y) * cross).sum()) / 24
    if cross.sum() < 0:
        xx, yy, xy = -xx, -yy, -xy
    if np.hypot(xx - yy, 2 * xy) <= _NIL * (xx + yy):
        return float(np.pi / 2)
    return float(np.arctan2(2 * xy, xx - yy)) / 2
