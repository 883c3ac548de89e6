"""Parallel lines across a room, clipped by polygons, all at once.

Seen in a frame turned by the lines' angle, every line lies at one *offset* (its distance in millimetres,
clockwise from the line through the origin) and runs along it, and an edge of a polygon crosses a line in one
place. All crossings are found together, sorted, and counted off: between the first and the second a line is
inside, and so on.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely import Polygon

__all__ = [
    "Bounds",
    "Floats",
    "Pieces",
    "clipped",
    "direction",
    "even_offsets",
    "extent",
    "frame",
    "offset_count",
    "offsets",
]

Bounds = tuple[float, float, float, float]
"""x0, y0, x1, y1 in millimetres."""

_MOST_COUNTED = 10**12
"""Counts beyond this are no longer told apart: far over any limit, and a float holds it exactly."""
_EXACT_AXES = {0: (1.0, 0.0), 90: (0.0, 1.0), 180: (-1.0, 0.0), 270: (0.0, -1.0)}
"""Degrees whose cosine and sine are whole, which floating-point numbers miss by 1e-16."""

Floats = NDArray[np.float64]
"""An array of numbers."""


@dataclass(frozen=True)
class Pieces:
    """Pieces of parallel lines, by offset and then along the line.

    Attributes
    ----------
    ends_mm
        (N, 2, 2): both ends of each.
    offset_mm, start_mm, stop_mm
        (N,): each one's offset, and where along its line it starts and stops.
    """

    ends_mm: Floats
    offset_mm: Floats
    start_mm: Floats
    stop_mm: Floats

    def where(self, keep: NDArray[np.bool_]) -> "Pieces":
        """Return those that a (N,) mask keeps."""
        return Pieces(self.ends_mm[keep], self.offset_mm[keep], self.start_mm[keep], self.stop_mm[keep])

    @property
    def length_mm(self) -> Floats:
        """(N,): how long each is."""
        return self.stop_mm - self.start_mm

    def __len__(self) -> int:
        return len(self.offset_mm)


def direction(angle_deg: float) -> tuple[float, float]:
    """Return the unit vector at an angle, exact on the axes.

    Examples
    --------
    >>> direction(90), direction(-90)
    ((0.0, 1.0), (0.0, -1.0))
    """
    turn = angle_deg % 360
    exact = _EXACT_AXES.get(int(turn)) if turn == int(turn) else None
    return exact or (math.cos(math.radians(turn)), math.sin(math.radians(turn)))


def frame(points: ArrayLike, angle_deg: float) -> Floats:
    """Return points (N, 2) as (along, offset) in the frame of lines at an angle.

    Examples
    --------
    >>> frame([(3, 4)], 90).tolist(), frame(np.empty((0, 2)), 45).shape
    ([[4.0, -3.0]], (0, 2))
    """
    cos, sin = direction(angle_deg)
    turned: Floats = np.asarray(points, dtype=np.float64) @ np.array([[cos, -sin], [sin, cos]])
    return turned


def extent(bounds: Bounds, angle_deg: float) -> tuple[float, float]:
    """Return the least and the greatest offset in a rectangle.

    Examples
    --------
    >>> extent((0, 0, 30, 20), 0)
    (0.0, 20.0)
    """
    x0, y0, x1, y1 = bounds
    across = frame([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], angle_deg)[:, 1]
    return float(across.min()), float(across.max())


def offset_count(reach: tuple[float, float], spacing: float) -> int:
    """Predict how many offsets come at most, before any is made.

    Examples
    --------
    >>> offset_count((0.0, 100.0), 12.7), offset_count((0.0, 100.0), 5e-324)
    (8, 1000000000000)
    """
    gaps = (reach[1] - reach[0]) / spacing
    return math.floor(gaps) + 1 if gaps < _MOST_COUNTED else _MOST_COUNTED


def offsets(reach: tuple[float, float], *, spacing: float, start: float) -> Floats:
    """Return the offsets ``start + k * spacing`` that lie strictly inside `reach`, rising.

    Parameters
    ----------
    reach
        From where to where, in millimetres.
    spacing
        Between two, over 0.
    start
        Where they are counted from; it may lie outside.

    Returns
    -------
    ndarray
        (N,) in millimetres.

    Examples
    --------
    >>> offsets((0.0, 10.0), spacing=4.0, start=-4.0).tolist(), offsets((0.0, 0.0), spacing=1, start=0).size
    ([4.0, 8.0], 0)
    """
    first = math.ceil((reach[0] - start) / spacing)
    last = math.floor((reach[1] - start) / spacing)
    found = start + spacing * np.arange(first, last + 1, dtype=np.float64)
    return found[(found > reach[0]) & (found < reach[1])]


def even_offsets(reach: tuple[float, float], *, spacing: float) -> Floats:
    """Return the offsets that divide `reach` evenly, at the even spacing nearest to the one given.

    Examples
    --------
    >>> even_offsets((0.0, 10.0), spacing=3.4).tolist(), even_offsets((0.0, 1.0), spacing=9.0).tolist()
    ([3.3333333333333335, 6.666666666666667], [])
    """
    room = reach[1] - reach[0]
    fewer = max(1, math.floor(room / spacing))
    gaps = min((fewer, fewer + 1), key=lambda count: abs(room / count - spacing))
    return reach[0] + room / gaps * np.arange(1, gaps, dtype=np.float64)


def clipped(
    offset_mm: ArrayLike, angle_deg: float, *, within: Sequence[Polygon], without: Sequence[Polygon] = ()
) -> Pieces:
    """Return the parts of parallel lines that lie in any of `within` and in none of `without`.

    Parameters
    ----------
    offset_mm
        (N,) offsets of the lines, rising.
    angle_deg
        The lines' angle, degrees clockwise.
    within, without
        Valid polygons, holes allowed; they may overlap.

    Returns
    -------
    Pieces
        In order; each ends where its line meets a polygon's edge, to rounding of float64.

    Examples
    --------
    >>> square, hole = shapely.box(0, 0, 10, 10), shapely.box(2, 2, 8, 8)
    >>> clipped([1.0, 5.0], 0, within=[square], without=[hole]).ends_mm.tolist()
    [[[0.0, 1.0], [10.0, 1.0]], [[0.0, 5.0], [2.0, 5.0]], [[8.0, 5.0], [10.0, 5.0]]]
    >>> len(clipped([], 0, within=[square])), len(clipped([5.0], 0, within=[]))
    (0, 0)
    """
    lines = np.asarray(offset_mm, dtype=np.float64)
    events = [_events(ring, sign, lines, angle_deg, 0) for ring, sign in _rings(within)]
    events += [_events(ring, sign, lines, angle_deg, 1) for ring, sign in _rings(without)]
    if not events:
        return _pieces(lines[:0], lines[:0], lines[:0], angle_deg)
    line, start, stop = _counted_off(np.concatenate(events))
    return _pieces(lines[line], start, stop, angle_deg)


def _rings(polygons: Sequence[Polygon]) -> list[tuple[Floats, float]]:
    """Return each ring's points and +1 for an outer one, -1 for a hole."""
    outer = [(shapely.get_coordinates(shapely.get_exterior_ring(polygon)), 1.0) for polygon in polygons]
    holes = [(shapely.get_coordinates(ring), -1.0) for polygon in polygons for ring in polygon.interiors]
    return outer + holes


def _events(ring: Floats, sign: float, lines: Floats, angle_deg: float, kind: int) -> Floats:
    """Return the crossings of a ring: (line, along, +1 going in or -1 going out, kind).

    An edge crosses the lines from its lower end, included, to its upper end, left out, so that a line
    through a corner counts once or twice as it must.
    """
    along, across = frame(ring, angle_deg).T
    rise = np.diff(across)
    first, last = (np.searchsorted(lines, f(across[:-1], across[1:])) for f in (np.minimum, np.maximum))
    count = last - first
    edge = np.repeat(np.arange(len(count)), count)
    line = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count) + np.repeat(first, count)
    share = (lines[line] - across[edge]) / rise[edge]
    where = along[edge] + share * np.diff(along)[edge]
    turn = np.sign(np.sum(along[:-1] * across[1:] - along[1:] * across[:-1]))
    return np.column_stack([line, where, -sign * turn * np.sign(rise[edge]), np.full(len(edge), kind)])


def _counted_off(events: Floats) -> tuple[NDArray[np.int64], Floats, Floats]:
    """Return (line, start, stop) of the runs that are in some `within` and in no `without`."""
    line, where, step, kind = events.T
    # At one place: into a room before out of another, out of a hole before into the next, so that polygons
    # that merely touch neither cut a line nor leave a crumb.
    tie = np.where(kind == 0, -step, step)
    order = np.lexsort((tie, where, line))
    line, where, step, kind = line[order], where[order], step[order], kind[order]
    inside = (np.cumsum(step * (kind == 0)) > 0.5) & (np.cumsum(step * (kind == 1)) < 0.5)
    before = np.concatenate([[False], inside[:-1]])
    starts, stops = inside & ~before, before & ~inside
    line, start, stop = line[starts].astype(np.int64), where[starts], where[stops]
    real = stop > start
    return line[real], start[real], stop[real]


def _pieces(offset: Floats, start: Floats, stop: Floats, angle_deg: float) -> Pieces:
    cos, sin = direction(angle_deg)
    along = np.stack([start, stop], axis=1)
    ends = np.stack([along * cos - offset[:, None] * sin, along * sin + offset[:, None] * cos], axis=2)
    return Pieces(ends, offset, start, stop)
