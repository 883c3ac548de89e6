"""The plan sheet's closer pictures: a page at most for each band or row, with what its paths sew."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

import numpy as np

from stitchpath.formats.numbers import fixed
from stitchpath.formats.svg_text import Mark, true_size_svg
from stitchpath.pages.html_page import drawn
from stitchpath.pages.paper import Paper
from stitchpath.pages.plan_parts import PlanPart, parts_of
from stitchpath.pages.sewn_where import sewn_there
from stitchpath.pictures import strokes
from stitchpath.pictures.ink import Ink, ink_of
from stitchpath.pictures.page_grid import Box, Grid, PageWindow, grid_over
from stitchpath.pictures.picture import picture_over
from stitchpath.plan import Plan
from stitchpath.units import Unit, format_length
from stitchpath.words import length, numbers

if TYPE_CHECKING:
    from markupsafe import Markup

__all__ = ["ShownPart", "shown_parts"]

_SCALES = range(4, 61)
"""Millimetres of cloth for one of print, the largest first whose pictures find room on a page: by eye."""
_LITTLE = 1.25
"""A scale so little smaller is taken where it takes fewer pictures: chosen by eye in print."""
_MOST_PICTURES = 4
"""How many pictures a part takes at most: more pieces are hard to put together in the mind."""

_SHARED_MM, _FREE_MM, _INSET_MM = 8.0, 4.0, 0.5
"""What neighbouring pictures both show, what is free around, how far a frame stands in: chosen by eye."""
_ABOVE_MM, _ROW_MM, _CAPTION_MM = 52.0, 6.6, 10.0
"""What is kept free on a page for heading and facts, for a row of the table, and around a picture: by eye."""
_ROW_LETTERS = 78
"""How much of what paths sew stands in a line of the table: counted in print."""


@dataclass(frozen=True, slots=True)
class ShownPart:
    """A part of a plan on paper.

    Attributes
    ----------
    name, over
        What it is called, and at 1 to what it is drawn.
    needs
        Its facts.
    rows
        Which paths sew what.
    pictures
        Drawings, with as many columns and rows as it took.
    """

    name: str
    over: int
    needs: tuple[str, ...]
    rows: tuple[tuple[str, str], ...]
    pictures: tuple["Markup", ...]


def shown_parts(plan: Plan, paper: Paper, unit: Unit) -> tuple[ShownPart, ...]:
    """Return each part of a plan; a single one is left out where the plan's own picture is as large.

    Parameters
    ----------
    plan
        The plan.
    paper
        What it is printed on.
    unit
        The unit of lengths.

    Returns
    -------
    tuple of ShownPart
        In sewing order.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.pages.paper import paper_of
    >>> shown_parts(Plan(Drawing(()), (), (), 0.0), paper_of("A4"), "mm")
    ()
    """
    parts = parts_of(plan)
    rows = [tuple(_rows(plan, part)) for part in parts]
    at = [_at_a_scale(plan, part, _room(paper, told)) for part, told in zip(parts, rows, strict=True)]
    if len(parts) == 1 and at[0][0] >= picture_over(plan):
        return ()
    inks = {over: ink_of(plan, 1 / over) for over in dict.fromkeys(over for over, _ in at)}
    return tuple(
        ShownPart(part.name, over, tuple(_needs(plan, part, unit)), told, _pictures(inks[over], part, grid))
        for part, told, (over, grid) in zip(parts, rows, at, strict=True)
    )


def _rows(plan: Plan, part: PlanPart) -> Iterator[tuple[str, str]]:
    for one in sewn_there(plan, part.paths):
        yield numbers([n + 1 for n in one.paths]), one.what


def _room(paper: Paper, rows: Sequence[tuple[str, str]]) -> tuple[float, float]:
    width, height = paper.room_mm
    lines = sum(1 + len(what) // _ROW_LETTERS for _, what in rows)
    return width - 2 * _INSET_MM, max(height - _ABOVE_MM - _ROW_MM * lines, height / 3)


def _at_a_scale(plan: Plan, part: PlanPart, room: tuple[float, float]) -> tuple[int, Grid]:
    """Return the largest scale, 1 to what, at which a part's pictures find room on a page, and their grid."""
    points = np.concatenate([plan.paths[number].coordinates_mm for number in part.paths])
    corners = np.array([points.min(axis=0), points.max(axis=0)])
    found: list[tuple[int, Grid]] = []
    for over in _SCALES:
        x0, y0, x1, y1 = (corners / over + [[-_FREE_MM], [_FREE_MM]]).ravel().tolist()
        grid = grid_over((x0, y0, x1, y1), room, _SHARED_MM)
        if found and over > _LITTLE * found[0][0]:
            break
        fits = _count(grid) <= _MOST_PICTURES and _count(grid) * (grid.size[1] + _CAPTION_MM) <= room[1]
        if fits or over == _SCALES[-1]:
            found.append((over, grid))
    return min(found, key=lambda one: (_count(one[1]), one[0]))


def _count(grid: Grid) -> int:
    return grid.rows * grid.columns


def _pictures(ink: Ink, part: PlanPart, grid: Grid) -> tuple["Markup", ...]:
    shown = [window for window in grid if ink.sewn_in(window.box, only=part.paths)]
    titles = [f"{part.name}, picture {number} of {len(shown)}" for number in range(1, len(shown) + 1)]
    titled = zip(shown, titles if len(shown) > 1 else [part.name], strict=True)
    return tuple(_picture(ink, part, window, title) for window, title in titled)


def _picture(ink: Ink, part: PlanPart, window: PageWindow, title: str) -> "Markup":
    size = _size(window.box)
    marks = [*ink.marks(window.box, (_INSET_MM, _INSET_MM), only=part.paths), _frame(size)]
    outer = size[0] + 2 * _INSET_MM, size[1] + 2 * _INSET_MM
    return drawn(true_size_svg(marks, outer, title=title))


def _size(box: Box) -> tuple[float, float]:
    return box[2] - box[0], box[3] - box[1]


def _frame(size: tuple[float, float]) -> Mark:
    corner = fixed(_INSET_MM)
    box = {"x": corner, "y": corner, "width": fixed(size[0]), "height": fixed(size[1])}
    return Mark("rect", {**box, "fill": "none", "stroke": strokes.BLACK, "stroke-width": "0.200"})


def _needs(plan: Plan, part: PlanPart, unit: Unit) -> Iterator[str]:
    paths = [plan.paths[number] for number in part.paths]
    again = sum(path.resume_mm for path in paths)
    travel = sum(path.travel_mm for path in paths)
    down = sum(path.length_mm for path in paths)
    which = numbers([number + 1 for number in part.paths])
    yield f"Path {which}" if len(paths) == 1 else f"Paths {which}"
    yield f"{2 * len(paths):,} tie-offs"
    yield f"sewn {length(down - travel - again, unit)}, travel {length(travel, unit)}"
    if again:
        yield f"sewn again over an earlier band's ends {length(again, unit)}"
    threads = [name for name, _ in groupby(path.thread for path in paths)]
    if any(threads):
        yield f"thread: {', then '.join(name or 'the one without a name' for name in threads)}"
    if plan.windows and part.band <= len(plan.windows):
        start, end = plan.windows[part.band - 1]
        yield f"the band reaches from {_along(start, plan, unit)} to {_along(end, plan, unit)}"


def _along(place_mm: float, plan: Plan, unit: Unit) -> str:
    """Say how far along the frame's way a place lies, in the binding allowance as well."""
    before, after = ("left of", "right of") if plan.machine.sideways else ("above", "below")
    edge = "the left edge" if plan.machine.sideways else "the top edge"
    return f"{format_length(abs(place_mm), unit)} {before if place_mm < 0 else after} {edge}"
