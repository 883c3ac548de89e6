"""The largest unquilted gap: the largest circle within the finished edge that no stitched line enters.

Squares over the top are divided into four wherever a larger circle than the best so far could have its
middle. How large it could be is bounded twice over a square: by the clearance in its middle plus half its
diagonal, since clearance grows by no more than one goes; and by the mean distance from two lines at the
corner where that is greatest, since the clearance is no more than that mean, and a distance from a straight
piece is convex. The second tells at once that between parallel lines nothing is better than half their
spacing.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.lines import Role
from stitchpath.settings import BattingSettings

__all__ = ["Gap", "largest_gap"]

_Floats = NDArray[np.float64]

_FIRST_SQUARES = 4_000
_MOST_SQUARES = 60_000
_EXACT_MM = 0.1
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
    """Straight pieces of stitching and of the finished edge, and how far places are from them."""

    def __init__(self, drawing: Drawing) -> None:
        self.outline = drawing.outline
        shapely.prepare(self.outline)
        rings = shapely.get_rings(shapely.get_parts(drawing.outline))
        shapes = [shapely.get_coordinates(ring) for ring in rings]
        shapes += [line.points_mm for line in drawing.lines if line.role is not Role.BASTE]
        self.start = np.concatenate([points[:-1] for points in shapes])
        self.along = np.concatenate([np.diff(points, axis=0) for points in shapes])
        square = (self.along * self.along).sum(axis=1)
        self.by_square = np.divide(1.0, square, out=np.zeros_like(square), where=square > 0)
        ends = np.stack((self.start, self.start + self.along), axis=1)
        self.tree = shapely.STRtree(shapely.linestrings(ends))

    def nearest(self, places: _Floats) -> NDArray[np.intp]:
        """Return the nearest piece to each place."""
        found = self.tree.query_nearest(shapely.points(places), all_matches=False)
        piece: NDArray[np.intp] = found[1]
        return piece

    def apart(self, places: _Floats, piece: NDArray[np.intp]) -> tuple[_Floats, _Floats]:
        """Return how far places are from pieces, and the places' feet on them."""
        along, off = self.along[piece], places - self.start[piece]
        share = (off * along).sum(axis=-1) * self.by_square[piece]
        feet = self.start[piece] + np.clip(share, 0.0, 1.0)[..., None] * along
        return np.hypot(*np.moveaxis(places - feet, -1, 0)), feet

    def inside(self, places: _Floats) -> NDArray[np.bool_]:
        """Return which places lie within the finished edge."""
        found: NDArray[np.bool_] = shapely.contains_xy(self.outline, *places.T)
        return found


def _largest_circle(drawing: Drawing) -> tuple[float, _Floats, float]:
    """Return a largest circle's radius and middle, and how much greater another's radius can be."""
    cloth = _Cloth(drawing)
    squares, half = _squares(drawing.outline.bounds)
    best, place = 0.0, shapely.get_coordinates(drawing.outline.representative_point())[0]
    while True:
        clear, most = _bounds(cloth, squares, half)
        top = int(np.argmax(clear))
        if clear[top] > best:
            best, place = _climbed(cloth, squares[top], float(clear[top]), half)
        able = most > best + _EXACT_MM
        if not able.any() or 4 * able.sum() > _MOST_SQUARES:
            return best, place, max(float(most.max()) - best, 0.0) if able.any() else _EXACT_MM
        half /= 2
        squares = (squares[able][:, None] + half * _CORNERS).reshape(-1, 2)


def _squares(bounds: Sequence[float]) -> tuple[_Floats, float]:
    """Return the middles of equal squares over a box, and half the length of their sides."""
    x0, y0, x1, y1 = bounds
    side = max(float(np.sqrt((x1 - x0) * (y1 - y0) / _FIRST_SQUARES)), max(x1 - x0, y1 - y0) / _FIRST_SQUARES)
    columns, rows = (max(int(np.ceil(size / side)), 1) for size in (x1 - x0, y1 - y0))
    x, y = np.meshgrid(x0 + side * (np.arange(columns) + 0.5), y0 + side * (np.arange(rows) + 0.5))
    return np.column_stack((x.ravel(), y.ravel())), side / 2


def _bounds(cloth: _Cloth, squares: _Floats, half: float) -> tuple[_Floats, _Floats]:
    """Return the clearance in each square's middle, and the most that it can be anywhere in the square."""
    first = cloth.nearest(squares)
    apart, feet = cloth.apart(squares, first)
    clear = np.where(cloth.inside(squares), apart, -apart)
    second = cloth.nearest(2 * squares - feet)
    corners = squares[:, None] + half * _CORNERS
    means = (cloth.apart(corners, first[:, None])[0] + cloth.apart(corners, second[:, None])[0]) / 2
    return clear, np.minimum(clear + half * np.sqrt(2), means.max(axis=1))


def _climbed(cloth: _Cloth, place: _Floats, clear: float, step: float) -> tuple[float, _Floats]:
    """Return a circle grown from another one, by steps to where there is more room."""
    while step > _EXACT_MM / 1000:
        around = place + step * _AROUND
        apart = cloth.apart(around, cloth.nearest(around))[0]
        apart = np.where(cloth.inside(around), apart, -apart)
        top = int(np.argmax(apart))
        if apart[top] > clear:
            clear, place = float(apart[top]), around[top]
        else:
            step /= 2
    return clear, place
