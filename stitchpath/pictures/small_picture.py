"""A small picture of a plan, to stand beside others: what differs is dark and thick, all else is grey."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.figures.meeting import near
from stitchpath.formats.numbers import fixed
from stitchpath.formats.svg_text import Mark, true_size_svg
from stitchpath.lines import COVERED_MM, SEAM_ROLES
from stitchpath.pictures import strokes
from stitchpath.pictures.colours import DEEP, order_colours

__all__ = ["Frame", "frame_for", "small_picture"]

Points = NDArray[np.float64]

# in printed mm, chosen by eye in print, but where a reason stands below
_GREY = DEEP
_DARK = order_colours(2)[0]
_GREY_MM, _MISSED_MM, _CLEAR_MM = 0.16, 0.7, 1.5
_THINNEST_MM, _THICKEST_MM, _CLOTH_MM = 0.22, 0.5, 4.0
"""What changes is as thick as so much cloth, within limits: else background lines run together."""
_RING_MM, _SQUARE_MM = 0.55, 1.3
_MARGIN_MM = 1.0
_COARSE_MM = 0.04
"""How far a line may be simplified, in print."""


class Frame:
    """Where the top lies in a small picture.

    Attributes
    ----------
    size_mm
        The picture's width and height.
    scale
        Printed millimetres a millimetre of the quilt.
    """

    def __init__(self, box_mm: tuple[float, float, float, float], room_mm: tuple[float, float]) -> None:
        x0, y0, x1, y1 = box_mm
        wide, high = max(x1 - x0, 1.0), max(y1 - y0, 1.0)
        inner = room_mm[0] - 2 * _MARGIN_MM, room_mm[1] - 2 * _MARGIN_MM
        self.scale = min(inner[0] / wide, inner[1] / high)
        self.size_mm = (wide * self.scale + 2 * _MARGIN_MM, high * self.scale + 2 * _MARGIN_MM)
        self._corner = np.array([x0, y0])

    def place(self, points_mm: Points) -> Points:
        """Return places in the picture."""
        placed: Points = (points_mm - self._corner) * self.scale + _MARGIN_MM
        return placed


def frame_for(lines_mm: Iterable[Points], drawing: Drawing, *, room_mm: tuple[float, float]) -> Frame:
    """Return a frame that holds lines and a top, and is no larger than the room.

    Parameters
    ----------
    lines_mm
        (N, 2) points each, in millimetres of the quilt.
    drawing
        Its outline is held, too.
    room_mm
        Width and height in print.

    Returns
    -------
    Frame
        Over one square millimetre where there is nothing to hold.

    Examples
    --------
    >>> frame_for([np.array([(0.0, 0.0), (600.0, 300.0)])], Drawing(()), room_mm=(62, 80)).size_mm
    (62.0, 32.0)
    >>> frame_for([], Drawing(()), room_mm=(62, 80)).size_mm
    (62.0, 62.0)
    """
    shapes = [shapely.LineString(line) for line in lines_mm]
    shapes += [] if drawing.outline is None else [drawing.outline]
    x0, y0, x1, y1 = shapely.total_bounds(shapes).tolist() if shapes else (0.0, 0.0, 1.0, 1.0)
    return Frame((x0, y0, x1, y1), room_mm)


def small_picture(
    paths_mm: Sequence[Points],
    drawing: Drawing,
    frame: Frame,
    *,
    title: str,
    changed: Collection[int] = (),
    missed_mm: Sequence[Points] = (),
    strayed_mm: Sequence[Points] = (),
    within_mm: float = COVERED_MM,
) -> str:
    """Return a small picture as an SVG to stand in a page.

    Parameters
    ----------
    paths_mm
        The points of each path.
    drawing
        Its keep-outs and outline are shown; its seams tell which ends lie open.
    frame
        Where the top lies.
    title
        For those who cannot see it.
    changed
        The paths, counted from 1, that are dark and thick.
    missed_mm
        Lines that are not sewn; dashed and thick.
    strayed_mm
        Stitching that is on no line; dark and thick.
    within_mm
        How near to a seam an end lies that lies in it.

    Examples
    --------
    >>> frame = frame_for([], Drawing(()), room_mm=(62, 80))
    >>> small_picture([], Drawing(()), frame, title="nothing").count("<path")
    0
    """
    marks = [
        *_marks(paths_mm, drawing, frame, changed, missed_mm, strayed_mm),
        *_ends(paths_mm, drawing, frame, within_mm),
    ]
    return true_size_svg(marks, frame.size_mm, title=title)


def _marks(
    paths_mm: Sequence[Points],
    drawing: Drawing,
    frame: Frame,
    changed: Collection[int],
    missed_mm: Sequence[Points],
    strayed_mm: Sequence[Points],
) -> Iterator[Mark]:
    for keep_out in drawing.keep_outs:
        yield strokes.shade(_rings(keep_out.polygon, frame))
    if drawing.outline is not None:
        yield strokes.edge(_rings(drawing.outline, frame))
    told = set(changed)
    for dark in (False, True):
        lines = [path for number, path in enumerate(paths_mm, 1) if (number in told) is dark]
        lines += strayed_mm if dark else ()
        if lines:
            thick = min(max(_CLOTH_MM * frame.scale, _THINNEST_MM), _THICKEST_MM)
            look = (_DARK, thick) if dark else (_GREY, _GREY_MM)
            yield strokes.solid(_simple(lines, frame), *look)
    if missed_mm:
        missing = _simple(missed_mm, frame)
        yield strokes.solid(missing, "#ffffff", _CLEAR_MM)
        yield strokes.dashes(missing, _DARK, _MISSED_MM)


def _rings(polygon: Any, frame: Frame) -> list[Points]:
    parts = shapely.get_parts(polygon)
    rings = [ring for part in parts for ring in (part.exterior, *part.interiors)]
    return _simple([shapely.get_coordinates(ring) for ring in rings], frame)


def _simple(lines_mm: Iterable[Points], frame: Frame) -> list[Points]:
    """Return lines in the picture, without points that nobody sees."""
    placed = [shapely.LineString(frame.place(points)) for points in lines_mm]
    return [shapely.get_coordinates(line) for line in shapely.simplify(placed, _COARSE_MM)]


def _ends(paths_mm: Sequence[Points], drawing: Drawing, frame: Frame, within_mm: float) -> Iterator[Mark]:
    """Yield a ring for each end in a seam, a square for each one in open cloth."""
    if not paths_mm:
        return
    ends = np.concatenate([path[[0, -1]] for path in paths_mm])
    seams = [line for line in drawing.lines + drawing.hidden if line.role in SEAM_ROLES]
    in_seam = np.isin(np.arange(len(ends)), near(seams, ends, within_mm=within_mm)[0])
    for (x, y), seam in zip(frame.place(ends).tolist(), in_seam.tolist(), strict=True):
        if seam:
            look = {"fill": "#ffffff", "stroke": strokes.BLACK, "stroke-width": "0.220"}
            yield Mark("circle", {"cx": fixed(x), "cy": fixed(y), "r": fixed(_RING_MM), **look})
        else:
            corner = {"x": fixed(x - _SQUARE_MM / 2), "y": fixed(y - _SQUARE_MM / 2)}
            size = {"width": fixed(_SQUARE_MM), "height": fixed(_SQUARE_MM)}
            yield Mark("rect", {**corner, **size, "fill": strokes.BLACK})
