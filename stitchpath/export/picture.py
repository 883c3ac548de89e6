"""The picture, for people: which path comes when, where it starts, which way it goes, and where it travels.

It prints on A4 and on Letter. Order shows by number and by a scale of colours that keeps its order in grey
print and for every eye; travel is dashed, thinner, and drawn beside its line.
"""

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.export import strokes
from stitchpath.export._svgwrite import Mark, printable, svg_text
from stitchpath.export.colours import order_colours
from stitchpath.export.labels import place_labels
from stitchpath.export.legend import LEGEND_MM, legend
from stitchpath.export.numbers import check_paths, fixed
from stitchpath.export.pages import Sheet, sheet_for
from stitchpath.export.runs import aside, heads, runs
from stitchpath.files import StrPath, write_whole
from stitchpath.plan import Move, Plan, StitchPath

__all__ = ["picture_svg", "write_picture"]

_TITLE_MM, _MOST_LETTERS = 5.2, 60


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
    """
    write_whole(file, picture_svg(plan))


def picture_svg(plan: Plan) -> str:
    """Return the picture as text; see `write_picture`."""
    check_paths(plan)
    sheet = sheet_for(plan, legend_mm=LEGEND_MM)
    width, height = fixed(sheet.width_mm), fixed(sheet.height_mm)
    title = printable(plan.drawing.name)[:_MOST_LETTERS] or "Stitch plan"
    marks = _marks(plan, sheet, title)
    return svg_text(marks, size_mm=(width, height), view_box=f"0 0 {width} {height}", title=title)


def _marks(plan: Plan, sheet: Sheet, title: str) -> Iterator[Mark]:
    yield Mark("rect", {"width": fixed(sheet.width_mm), "height": fixed(sheet.height_mm), "fill": "#ffffff"})
    yield strokes.text(5.0, 7.5, title, size_mm=_TITLE_MM, font_weight="bold")
    yield from _cloth(plan, sheet)
    colours = order_colours(len(plan))
    for path, colour in zip(plan, colours, strict=True):
        yield from _path(path, colour, sheet)
    yield from _ends(plan, colours, sheet)
    yield from legend(plan, sheet)


def _cloth(plan: Plan, sheet: Sheet) -> Iterator[Mark]:
    for keep_out in plan.drawing.keep_outs:
        yield strokes.shade(_rings(keep_out.polygon, sheet))
    if plan.drawing.hidden:
        yield strokes.seams(sheet.place(line.points_mm) for line in plan.drawing.hidden)
    if plan.drawing.outline is not None:
        yield strokes.edge(_rings(plan.drawing.outline, sheet))


def _rings(polygon: object, sheet: Sheet) -> list[NDArray[np.float64]]:
    parts = shapely.get_parts(polygon)
    rings = [ring for part in parts for ring in (part.exterior, *part.interiors)]
    return [sheet.place(shapely.get_coordinates(ring)) for ring in rings]


def _path(path: StitchPath, colour: str, sheet: Sheet) -> Iterator[Mark]:
    placed = [(move, sheet.place(points)) for move, points in runs(path)]
    sewn = [points for move, points in placed if move is Move.SEW]
    travelled = [aside(points, sheet.aside_mm) for move, points in placed if move is Move.TRAVEL]
    if sewn:
        yield strokes.solid(sewn, colour, sheet.sew_mm)
    if travelled:
        yield strokes.dashes(travelled, colour, sheet.travel_mm)
    arrows = [head for points in sewn + travelled for head in heads(points, sheet.arrow_mm)]
    if arrows:
        yield strokes.head_marks(arrows, colour)


def _ends(plan: Plan, colours: tuple[str, ...], sheet: Sheet) -> Iterator[Mark]:
    starts = np.array([sheet.place(path.coordinates_mm[0]) for path in plan]).reshape(-1, 2)
    numbers = [str(number) for number in range(1, len(plan) + 1)]
    sizes = np.array([strokes.tag_size(number, sheet.number_mm) for number in numbers]).reshape(-1, 2)
    room = (1.0, 9.0, sheet.width_mm - 1.0, sheet.legend_y_mm - 2.0)
    middles = place_labels(starts, sizes, room=room)
    tags = [
        strokes.tag(middle, start, number, colour, sheet.number_mm)
        for middle, start, number, colour in zip(middles, starts, numbers, colours, strict=True)
    ]
    yield from (leader for leader, _, _ in tags)
    for path, colour, start in zip(plan, colours, starts, strict=True):
        points = sheet.place(path.coordinates_mm)
        yield strokes.bar(points[-1], _last_step(points), colour)
        yield strokes.dot(start, colour)
    for _, frame, words in tags:
        yield from (frame, words)


def _last_step(points: NDArray[np.float64]) -> NDArray[np.float64]:
    steps = np.diff(points, axis=0)
    moving = np.flatnonzero((steps != 0).any(axis=1))
    return np.asarray(steps[moving[-1]] if len(moving) else np.array([1.0, 0.0]))
