"""Lays out a plan's picture on a sheet that both A4 and Letter paper hold."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.plan import Plan

__all__ = ["PictureSheet", "sheet_for"]

_WIDTH_MM, _HEIGHT_MM = 190.0, 250.0
"""What A4 (190 mm across) and Letter (259 mm down) both hold within margins of 10 mm."""
# in printed mm, chosen by eye in print: the title's height, what is free around, and the type of numbers
_TITLE_MM = 9.0
_BORDER_MM = 5.0
_MOST_TEXT_MM, _LEAST_TEXT_MM = 3.4, 2.0


@dataclass(frozen=True)
class PictureSheet:
    """How a plan lies on its sheet; all sizes as printed.

    Attributes
    ----------
    width_mm, height_mm
        The sheet.
    scale
        Printed millimetres a millimetre of the quilt.
    shift_mm
        Where (0, 0) of the quilt lies on the sheet.
    drawn_mm
        Where on the sheet the quilt lies: x0, y0, x1, y1.
    legend_y_mm
        Where the legend begins.
    sew_mm, travel_mm
        How thick the lines are: thin enough that the closest lines stay apart.
    aside_mm
        How far travel is drawn to the right of the line it follows.
    arrow_mm
        How long an arrow head is.
    number_mm
        The height of the type of path numbers.
    """

    width_mm: float
    height_mm: float
    scale: float
    shift_mm: tuple[float, float]
    drawn_mm: tuple[float, float, float, float]
    legend_y_mm: float
    sew_mm: float
    travel_mm: float
    aside_mm: float
    arrow_mm: float
    number_mm: float

    def place(self, points_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return points of the quilt as points of the sheet."""
        return np.asarray(points_mm * self.scale + np.array(self.shift_mm))


def sheet_for(plan: Plan, *, legend_mm: float, left_mm: float = 0.0, above_mm: float = 0.0) -> PictureSheet:
    """Return the sheet for a plan, with room of `legend_mm` under the picture, and beside and above it.

    Parameters
    ----------
    plan
        What is drawn.
    legend_mm, left_mm, above_mm
        Room under the picture, beside it and above it, in print.

    Returns
    -------
    PictureSheet
        As large as the room allows.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> sheet = sheet_for(Plan(Drawing(()), (), (), 0.0), legend_mm=57)
    >>> sheet.width_mm, sheet.height_mm <= 250
    (190.0, True)
    """
    low, high = _bounds(plan)
    rest = _HEIGHT_MM - _TITLE_MM - legend_mm - 2 * _BORDER_MM
    room = np.array([_WIDTH_MM - 2 * _BORDER_MM - left_mm, rest - above_mm])
    size = np.maximum(high - low, 1.0)
    scale = float((room / size).min())
    drawn = size * scale
    corner = np.array([(_WIDTH_MM + left_mm - drawn[0]) / 2, _TITLE_MM + _BORDER_MM + above_mm])
    shift_x, shift_y = (corner - low * scale).tolist()
    x0, y0 = corner.tolist()
    x1, y1 = (corner + drawn).tolist()
    legend_y = float(y1) + _BORDER_MM
    apart = float(drawn.prod()) / max(sum(path.length_mm for path in plan.paths) * scale, 1.0)
    sew = float(np.clip(0.28 * apart, 0.1, 0.45))
    return PictureSheet(
        width_mm=_WIDTH_MM,
        height_mm=legend_y + legend_mm,
        scale=scale,
        shift_mm=(shift_x, shift_y),
        drawn_mm=(x0, y0, x1, y1),
        legend_y_mm=legend_y,
        sew_mm=sew,
        travel_mm=0.65 * sew,
        aside_mm=1.4 * sew,
        arrow_mm=float(np.clip(1.2 * apart, 0.6, 1.9)),
        number_mm=float(
            np.clip(_MOST_TEXT_MM * np.sqrt(60 / max(len(plan), 1)), _LEAST_TEXT_MM, _MOST_TEXT_MM)
        ),
    )


def _bounds(plan: Plan) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    corners = [path.coordinates_mm for path in plan.paths]
    if plan.drawing.outline is not None:
        corners.append(np.array(plan.drawing.outline.bounds).reshape(2, 2))
    points = np.concatenate([*corners, np.empty((0, 2))])
    if not len(points):
        return np.zeros(2), np.ones(2)
    return points.min(axis=0), points.max(axis=0)
