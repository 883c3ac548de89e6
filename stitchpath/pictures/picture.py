"""The picture, for people: the order of paths, where each starts, which way it goes, where it travels.

It prints on A4 and on Letter. Order shows by number, and by a scale of colours, along a path too, that keeps
its order in grey print and for every eye. Travel is dashed, thinner, and drawn beside its line. What is sewn
again over an earlier band's end has ticks across it.
"""

from collections.abc import Callable, Iterator
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.figures import Gap
from stitchpath.figures.alignment import alignment
from stitchpath.files import StrPath, write_whole
from stitchpath.formats.numbers import check_paths, fixed
from stitchpath.formats.svg_text import Mark, inline_svg, printable, svg_text
from stitchpath.limits import LONGEST_NAME
from stitchpath.pictures import strokes
from stitchpath.pictures.band_signs import band_edges, band_room, mark_sign, mark_tag
from stitchpath.pictures.bobbin_signs import bobbin_places, bobbin_sign
from stitchpath.pictures.colours import colours_at
from stitchpath.pictures.gap_signs import gap_marks, wide_gap
from stitchpath.pictures.labels import boxes_around, place_labels
from stitchpath.pictures.legend import legend, legend_mm
from stitchpath.pictures.path_runs import aside, fresh, heads, last_step, parts, runs, ticks
from stitchpath.pictures.sheet_layout import PictureSheet, sheet_for
from stitchpath.plan import Move, Plan, StitchPath

__all__ = ["cloth_marks", "picture_inline", "picture_over", "picture_svg", "write_picture"]

_TITLE_TYPE_MM = 5.2  # the title's type, chosen by eye in print
_SHADES = 60
"""Steps of the scale of colours over a whole plan: more are not told apart by eye."""


def write_picture(plan: Plan, file: StrPath) -> None:
    """Write the picture as SVG.

    Parameters
    ----------
    plan
        The plan; one without paths shows its drawing's outline and keep-outs.
    file
        Where to write.

    Raises
    ------
    FileError
        If it cannot be written.
    DesignError
        If a path cannot be drawn.

    Examples
    --------
    >>> from pathlib import Path
    >>> from stitchpath.drawing import Drawing
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     write_picture(Plan(Drawing(()), (), (), 0.0), Path(folder, "plan.svg"))
    ...     Path(folder, "plan.svg").read_text(encoding="utf-8").count("</svg>")
    1
    """
    write_whole(file, picture_svg(plan))


def picture_svg(plan: Plan) -> str:
    """Return the picture as text; see `write_picture`.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> picture_svg(Plan(Drawing(()), (), (), 0.0)).startswith("<?xml")
    True
    """
    return _made(plan, svg_text)


def picture_inline(plan: Plan) -> str:
    """Return the picture as an element to stand in a page of HTML: at most 190 mm by 250 mm.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> picture_inline(Plan(Drawing(()), (), (), 0.0)).startswith("<svg")
    True
    """
    return _made(plan, inline_svg)


def picture_over(plan: Plan) -> float:
    """Return how many times larger the quilt is than its picture.

    Examples
    --------
    >>> from stitchpath import Drawing, Line, Span
    >>> path = StitchPath([(0, 0), (1800, 0)], (Span(Move.SEW, 0, 1),))
    >>> picture_over(Plan(Drawing((Line([(0, 0), (1800, 0)]),)), (path,), (), 0.0))
    10.0
    """
    return 1 / _sheet(plan, wide_gap(plan)).scale


def _sheet(plan: Plan, wide: Gap | None) -> PictureSheet:
    return sheet_for(plan, legend_mm=legend_mm(plan, wide), **band_room(plan))


def _made(plan: Plan, write: Callable[..., str]) -> str:
    check_paths(plan)
    wide = wide_gap(plan)
    sheet = _sheet(plan, wide)
    width, height = fixed(sheet.width_mm), fixed(sheet.height_mm)
    title = plan.titled(printable(plan.drawing.name)[:LONGEST_NAME] or "Stitch plan")
    marks = _marks(plan, sheet, title, wide)
    return write(marks, size_mm=(width, height), view_box=f"0 0 {width} {height}", title=title)


def _marks(plan: Plan, sheet: PictureSheet, title: str, wide: Gap | None) -> Iterator[Mark]:
    yield Mark("rect", {"width": fixed(sheet.width_mm), "height": fixed(sheet.height_mm), "fill": "#ffffff"})
    yield strokes.text(5.0, 7.5, title, size_mm=_TITLE_TYPE_MM, font_weight="bold")
    yield from cloth_marks(plan, sheet)
    painted = _painted(plan)
    for paint in painted:
        for part, colour in paint:
            yield from _part(part, colour, sheet)
    yield from band_edges(plan, sheet)
    yield from _resumed(plan, sheet)
    if wide is not None:
        yield from gap_marks(wide, sheet)
    yield from _ends(plan, painted, sheet)
    yield from legend(plan, sheet, wide)


def cloth_marks(plan: Plan, sheet: PictureSheet) -> Iterator[Mark]:
    """Return what lies under the stitching: keep-outs, seams that nobody asked to sew, the finished edge.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> plan = Plan(Drawing((), outline=shapely.box(0, 0, 9, 9)), (), (), 0.0)
    >>> len(list(cloth_marks(plan, sheet_for(plan, legend_mm=57.0))))
    1
    """
    for keep_out in plan.drawing.keep_outs:
        yield strokes.shade(_rings(keep_out.polygon, sheet))
    if plan.drawing.hidden:
        yield strokes.seams(sheet.place(line.points_mm) for line in plan.drawing.hidden)
    if plan.by_hand is not None:
        left = (line.points_mm for line in plan.drawing.lines if not plan.sews(line))
        yield strokes.others(sheet.place(points) for points in left)
    if plan.drawing.outline is not None:
        yield strokes.edge(_rings(plan.drawing.outline, sheet))


def _rings(polygon: object, sheet: PictureSheet) -> list[NDArray[np.float64]]:
    parts = shapely.get_parts(polygon)
    rings = [ring for part in parts for ring in (part.exterior, *part.interiors)]
    return [sheet.place(shapely.get_coordinates(ring)) for ring in rings]


def _painted(plan: Plan) -> list[list[tuple[StitchPath, str]]]:
    """Return each path's parts with their colours.

    A path takes a share of the scale for its length and one for being a path, half the scale for each, so
    that a long path shows the way it takes and many short ones their order.
    """
    lengths = np.array([path.length_mm for path in plan])
    shares = 0.5 * lengths / max(lengths.sum(), 1.0) + 0.5 / max(len(plan), 1)
    ends = np.concatenate(([0.0], np.cumsum(shares / max(shares.sum(), 1e-9))))
    return [_paint(path, low, high) for path, (low, high) in zip(plan, pairwise(ends.tolist()), strict=True)]


def _paint(path: StitchPath, low: float, high: float) -> list[tuple[StitchPath, str]]:
    cut = list(parts(path, max(round((high - low) * _SHADES), 1)))
    places = low + (high - low) * (np.arange(len(cut)) + 0.5) / len(cut)
    return list(zip(cut, colours_at(places), strict=True))


def _part(path: StitchPath, colour: str, sheet: PictureSheet) -> Iterator[Mark]:
    placed = [(move, fresh(sheet.place(points))) for move, points in runs(path)]
    placed = [(move, points) for move, points in placed if len(points) > 1]
    sewn = [points for move, points in placed if move is Move.SEW]
    travelled = [aside(points, sheet.aside_mm) for move, points in placed if move is Move.TRAVEL]
    stepped = [points for move, points in placed if move is Move.STEP]
    if sewn:
        yield strokes.solid(sewn, colour, sheet.sew_mm)
    if travelled:
        yield strokes.dashes(travelled, colour, sheet.travel_mm)
    if stepped:
        yield strokes.dots(stepped, colour, sheet.travel_mm)
    arrows = [head for points in sewn + travelled + stepped for head in heads(points, sheet.arrow_mm)]
    if arrows:
        yield strokes.head_marks(arrows, colour)


def _resumed(plan: Plan, sheet: PictureSheet) -> Iterator[Mark]:
    """Yield what is sewn again over an earlier band's end; in print it may be shorter than its path's dot."""
    placed = [
        fresh(sheet.place(points)) for path in plan for move, points in runs(path) if move is Move.RESUME
    ]
    hatched = [
        tick for points in placed if len(points) > 1 for tick in ticks(points, strokes.TICK * sheet.number_mm)
    ]
    if hatched:
        yield from strokes.hatch(hatched, sheet.number_mm)


def _ends(plan: Plan, painted: list[list[tuple[StitchPath, str]]], sheet: PictureSheet) -> Iterator[Mark]:
    marks = [(f"{told.band}{mark.letter}", mark.place_mm) for told in alignment(plan) for mark in told.marks]
    bobbins = bobbin_places(plan)
    placed = [place for _, place in (*marks, *bobbins)]
    places = sheet.place(np.array(placed).reshape(-1, 2))
    starts = np.array([sheet.place(paint[0][0].coordinates_mm[0]) for paint in painted]).reshape(-1, 2)
    numbers = [plan.path_name(number) for number in range(1, len(painted) + 1)]
    words = [*(word for word, _ in (*marks, *bobbins)), *numbers]
    sizes = np.array([strokes.tag_size(word, sheet.number_mm) for word in words]).reshape(-1, 2)
    left, above = (sheet.drawn_mm[0] - 2.0, sheet.drawn_mm[1] - 2.0) if plan.windows else (1.0, 9.0)
    room = (left, above, sheet.width_mm - 1.0, sheet.legend_y_mm - 2.0)
    stops = [sheet.place(paint[-1][0].coordinates_mm[-1]) for paint in painted]
    bars = boxes_around(np.array(stops).reshape(-1, 2))
    middles = place_labels(np.concatenate([places, starts]), sizes, room=room, clear=bars)
    tags = [
        strokes.tag(middle, start, number, paint[0][1], sheet.number_mm)
        for middle, start, number, paint in zip(middles[len(places) :], starts, numbers, painted, strict=True)
    ]
    for middle, place, (word, _) in zip(middles, places, marks, strict=False):
        yield from mark_tag(middle, place, word, sheet.number_mm)
    spent = slice(len(marks), len(places))
    for middle, place, (word, _) in zip(middles[spent], places[spent], bobbins, strict=True):
        yield from strokes.square_tag(middle, place, word, sheet.number_mm)
    yield from (leader for leader, _, _ in tags)
    for place in places[: len(marks)]:
        yield from mark_sign(place, sheet.number_mm)
    for place in places[spent]:
        yield bobbin_sign(place, sheet.number_mm)
    for paint, start in zip(painted, starts, strict=True):
        last, colour = paint[-1]
        points = sheet.place(last.coordinates_mm)
        yield strokes.bar(points[-1], last_step(points), colour, sheet.number_mm)
        yield strokes.dot(start, paint[0][1], sheet.number_mm)
    for _, frame, said in tags:
        yield from (frame, said)
