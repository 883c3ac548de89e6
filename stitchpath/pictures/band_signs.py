"""How a picture shows bands: where each starts, what it reaches, and where to align it."""

from collections.abc import Iterable, Iterator
from typing import TypedDict

import numpy as np
from numpy.typing import NDArray

from stitchpath.figures.band_frames import band_frames
from stitchpath.formats.numbers import fixed, path_data
from stitchpath.formats.svg_text import Mark
from stitchpath.pictures import strokes
from stitchpath.pictures.sheet_layout import PictureSheet
from stitchpath.plan import Plan

__all__ = ["BandRoom", "band_edges", "band_line", "band_room", "mark_sign", "mark_tag"]

# in printed mm, chosen by eye in print: the type, the room that bands take to the left of the top and above,
# how far out even and odd bands have their lines and their words, ticks, and what a line goes beyond the top
_TYPE_MM = 3.4
_LEFT_MM, _ABOVE_MM = 20.0, 14.0
_LANES_MM = (3.0, 6.0)
_LANE_WORDS_MM = (7.5, 11.0)
_TICK_MM, _BEYOND_MM = 1.5, 2.5


class BandRoom(TypedDict, total=False):
    """The room that words on bands take on a sheet."""

    left_mm: float
    above_mm: float


def band_room(plan: Plan) -> BandRoom:
    """Return the room that a plan's bands take beside its picture: on the left, or above it.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> band_room(Plan(Drawing(()), (), (), 0.0))
    {}
    """
    if not band_frames(plan):
        return {}
    return {"above_mm": _ABOVE_MM} if plan.machine.sideways else {"left_mm": _LEFT_MM}


def band_edges(plan: Plan, sheet: PictureSheet) -> Iterator[Mark]:
    """Yield a line across the top where each later band starts, and in the margin what each band reaches.

    Neighbouring bands overlap, so their brackets stand in two lanes.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.pictures.sheet_layout import sheet_for
    >>> plan = Plan(Drawing(()), (), (), 0.0)
    >>> list(band_edges(plan, sheet_for(plan, legend_mm=0)))
    []
    """
    x0, y0, x1, y1 = sheet.drawn_mm
    sideways = plan.machine.sideways
    (low, high), side, far = ((x0, x1), y0, y1) if sideways else ((y0, y1), x0, x1)
    turned = slice(None, None, 1 if sideways else -1)  # laid out as if sideways: along the margin, off it
    words, brackets = [], []
    for frame in band_frames(plan):
        along = sheet.place(np.array(frame.window_mm)[:, None])[:, 0 if sideways else 1]
        start, end = np.clip(along, low, high).tolist()
        lane = side - _LANES_MM[frame.number % 2]
        corners = [(start, lane + _TICK_MM), (start, lane), (end, lane), (end, lane + _TICK_MM)]
        brackets.append(np.array(corners)[:, turned])
        if frame.number > 1:
            across = np.array([(start, lane), (start, far + _BEYOND_MM)])[:, turned]
            yield from (_clearing(across), band_line([across]))
        word, middle = f"band {frame.number}", (start + end) / 2
        if sideways:
            above = side - _LANE_WORDS_MM[frame.number % 2]
            words.append(strokes.text(middle, above, word, size_mm=_TYPE_MM, text_anchor="middle"))
        else:
            base = middle + 0.36 * _TYPE_MM
            words.append(
                strokes.text(side - _LANE_WORDS_MM[0], base, word, size_mm=_TYPE_MM, text_anchor="end")
            )
    if brackets:
        yield strokes.solid(brackets, strokes.BLACK, 0.3)
    yield from words


def band_line(lines: Iterable[NDArray[np.float64]]) -> Mark:
    """Return where bands start: dashes far apart, so that a seam on which a band starts shows between.

    Examples
    --------
    >>> band_line([np.array([(0.0, 5.0), (9.0, 5.0)])]).attributes["d"], band_line([]).attributes["d"]
    ('M 0.000,5.000 L 9.000,5.000', '')
    """
    data = " ".join(path_data(line) for line in lines)
    look = {"fill": "none", "stroke": strokes.BLACK, "stroke-width": "0.350"}
    return Mark("path", {"d": data, **look, "stroke-dasharray": "4.000 4.000"})


def _clearing(line: NDArray[np.float64]) -> Mark:
    """Return what clears the room around a band line's dashes, which would be lost among close lines."""
    look = {"fill": "none", "stroke": "#ffffff", "stroke-width": "1.000"}
    dash = {"stroke-dasharray": "5.000 3.000", "stroke-dashoffset": "0.500"}
    return Mark("path", {"d": path_data(line), **look, **dash})


def mark_sign(point: NDArray[np.float64], size_mm: float) -> tuple[Mark, Mark]:
    """Return the sign of a place to align on, to go with letters of a size: a ring and a cross.

    Examples
    --------
    >>> [mark.tag for mark in mark_sign(np.array([5.0, 5.0]), 3.0)]
    ['circle', 'path']
    """
    x, y = point.tolist()
    arm = 0.75 * size_mm
    ring = {"cx": fixed(x), "cy": fixed(y), "r": fixed(0.5 * size_mm), "fill": "none"}
    look = {"stroke": strokes.BLACK, "stroke-width": fixed(0.1 * size_mm)}
    across = path_data(np.array([(x - arm, y), (x + arm, y)]))
    down = path_data(np.array([(x, y - arm), (x, y + arm)]))
    return Mark("circle", {**ring, **look}), Mark("path", {"d": f"{across} {down}", "fill": "none", **look})


def mark_tag(
    middle: NDArray[np.float64], point: NDArray[np.float64], word: str, size_mm: float
) -> tuple[Mark, Mark, Mark]:
    """Return the letter of a place to align on: white on black, unlike a path's number.

    Parameters
    ----------
    middle, point
        (2,) where the letter stands, and what it belongs to, in printed millimetres.
    word
        The band's number and the letter.
    size_mm
        Of the type.

    Returns
    -------
    tuple of Mark
        A leader, a box and the word.

    Examples
    --------
    >>> [mark.tag for mark in mark_tag(np.array([9.0, 5.0]), np.array([5.0, 5.0]), "2A", 3.0)]
    ['path', 'rect', 'text']
    """
    leader, square, words = strokes.square_tag(middle, point, word, size_mm)
    return (
        leader,
        Mark("rect", {**square.attributes, "fill": strokes.BLACK}),
        Mark("text", {**words.attributes, "fill": "#ffffff"}, words.text),
    )
