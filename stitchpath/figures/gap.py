"""The largest unquilted gap: the largest circle inside the finished edge that no stitched line enters.

Squares that cover the top are divided into four wherever a larger circle than the best so far could have its
middle. Two bounds tell how large it could be, from points laid so close along the lines that they leave no
less room than the lines do. The first is the room in the square's middle plus half its diagonal, since room
grows by no more than the way one goes. The second is the mean distance from two points, one on either side,
at the square's corner where that is greatest, since room is never more than that mean, and a mean of
distances is convex. The second bound knows that between parallel lines nothing is better than half their
spacing. The circle that is reported is measured exactly.
shapely finds the largest circle within a polygon, but none among lines.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.geometry.lengths import linestrings
from stitchpath.lines import Role
from stitchpath.settings import BattingSettings

__all__ = ["Gap", "largest_gap"]

_Floats = NDArray[np.float64]

_FIRST_SQUARES, _MOST_SQUARES = 4_000, 300_000
"""Squares to begin with, and at most: chosen for the time. Where more are needed the answer says by how
much it may be short."""
_EXACT_MM = 0.25
"""How much greater another circle may be that is left alone: cloth is good to 1 mm."""
_LEAST_APART_MM, _MOST_LAID = 1.0, 600_000
"""How close points are laid along the lines, and how many at most: chosen for the time. The circle that is
told is measured on the lines themselves."""
# signs of a square's corners, and twelve ways around a place
_CORNERS = np.array([(-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0), (1.0, 1.0)])
_AROUND = np.column_stack((np.cos(np.arange(12) * np.pi / 6), np.sin(np.arange(12) * np.pi / 6)))
_ASSUMPTIONS = ("the largest circle within the finished edge that no asked line but basting enters",)


@dataclass(frozen=True, slots=True)
class Gap:
    """The largest unquilted gap.

    Attributes
    ----------
    x_mm, y_mm, radius_mm
        A circle within the finished edge that no stitched line enters.
    error_mm
        No such circle has a radius greater by more.
    allowed_mm
        How far apart quilting may lie, as the design has it; None where it does not say.
    assumptions
        One sentence each.
    """

    x_mm: float
    y_mm: float
    radius_mm: float
    error_mm: float
    allowed_mm: float | None
    assumptions: tuple[str, ...] = _ASSUMPTIONS

    @property
    def across_mm(self) -> float:
        """The circle's diameter: between parallel lines, their spacing."""
        return 2 * self.radius_mm

    @property
    def too_wide(self) -> bool:
        """Whether it is wider than the batting allows."""
        return self.allowed_mm is not None and self.across_mm > self.allowed_mm


def largest_gap(drawing: Drawing, batting: BattingSettings | None = None) -> Gap | None:
    """Return the largest unquilted gap of a top; None where its outline is not known.

    Parameters
    ----------
    drawing
        Its asked lines, also those left to the hand, are what is stitched; basting does not count.
    batting
        What the gap may be.

    Examples
    --------
    >>> square = shapely.box(0, 0, 80, 80)
    >>> gap = largest_gap(Drawing((), outline=square))
    >>> round(gap.x_mm), round(gap.y_mm), round(gap.radius_mm, 3)
    (40, 40, 40.0)
    >>> largest_gap(Drawing(()))
    """
    if drawing.outline is None or drawing.outline.is_empty:
        return None
    best, place, error = _largest_circle(drawing)
    allowed = None if batting is None else batting.gap
    return Gap(float(place[0]), float(place[1]), best, error, allowed)


class _Cloth:
    """What is stitched and the finished edge, and how far places are from them."""

    def __init__(self, drawing: Drawing) -> None:
        from scipy.spatial import KDTree

        self.outline = drawing.outline
        shapely.prepare(self.outline)
        lines = [line.points_mm for line in drawing.lines if line.role is not Role.BASTE]
        rings = shapely.get_rings(shapely.get_parts(drawing.outline))
        self.lines = np.concatenate((rings, linestrings(lines)))
        self.tree = shapely.STRtree(self.lines)
        apart = max(_LEAST_APART_MM, float(shapely.length(self.lines).sum()) / _MOST_LAID)
        self.points = KDTree(shapely.get_coordinates(shapely.segmentize(self.lines, apart)))

    def room(self, places: _Floats) -> _Floats:
        """Return how large a circle fits round each place; less than zero outside the finished edge."""
        found = self.tree.query_nearest(shapely.points(places), return_distance=True, all_matches=False)
        room: _Floats = np.where(shapely.contains_xy(self.outline, *places.T), found[1], -found[1])
        return room

    def most_room(self, squares: _Floats, half: float) -> tuple[_Floats, _Floats]:
        """Return about how much room there is in squares' middles, and the most anywhere in each square."""
        room, first = self.points.query(squares)
        near = self.points.data[first]
        beyond = self.points.data[self.points.query(2 * squares - near)[1]]
        corners = squares[:, None] + half * _CORNERS
        means = (_lengths(corners - near[:, None]) + _lengths(corners - beyond[:, None])) / 2
        room = np.where(shapely.contains_xy(self.outline, *squares.T), room, 0.0)
        return room, np.minimum(room + half * np.sqrt(2), means.max(axis=1))


def _lengths(vectors: _Floats) -> _Floats:
    lengths: _Floats = np.hypot(vectors[..., 0], vectors[..., 1])
    return lengths


def _largest_circle(drawing: Drawing) -> tuple[float, _Floats, float]:
    """Return a largest circle's radius and middle, and how much greater another's radius can be."""
    cloth = _Cloth(drawing)
    squares, half = _squares(drawing.outline.bounds)
    best, place = 0.0, shapely.get_coordinates(drawing.outline.representative_point())[0]
    while True:
        room, most = cloth.most_room(squares, half)
        top = squares[np.argmax(room)]
        grown, middle = _climbed(cloth, top, float(cloth.room(top[None])[0]), half)
        if grown > best:
            best, place = grown, middle
        able = most > best + _EXACT_MM
        if not able.any() or 4 * able.sum() > _MOST_SQUARES:
            return best, place, max(float(most.max()) - best, _EXACT_MM)
        half /= 2
        squares = (squares[able][:, None] + half * _CORNERS).reshape(-1, 2)


def _squares(bounds: Sequence[float]) -> tuple[_Floats, float]:
    """Return the middles of equal squares over a box, and half the length of their sides."""
    x0, y0, x1, y1 = bounds
    side = max(float(np.sqrt((x1 - x0) * (y1 - y0) / _FIRST_SQUARES)), max(x1 - x0, y1 - y0) / _FIRST_SQUARES)
    columns, rows = (max(int(np.ceil(size / side)), 1) for size in (x1 - x0, y1 - y0))
    x, y = np.meshgrid(x0 + side * (np.arange(columns) + 0.5), y0 + side * (np.arange(rows) + 0.5))
    return np.column_stack((x.ravel(), y.ravel())), side / 2


def _climbed(cloth: _Cloth, place: _Floats, room: float, step: float) -> tuple[float, _Floats]:
    """Return a circle grown from another one, by steps to where there is more room."""
    while step > _EXACT_MM / 2500:
        around = place + step * _AROUND
        rooms = cloth.room(around)
        top = int(np.argmax(rooms))
        if rooms[top] > room:
            room, place = float(rooms[top]), around[top]
        else:
            step /= 2
    return room, place
