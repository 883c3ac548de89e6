"""The whole plan at true scale, on as many sheets of paper as it takes.

The first page says what to heed, shows how the sheets lie, and which are left out because nothing is sewn
there. Each further page is one sheet (`stitchpath.pages.true_scale_sheets`).
"""

from collections.abc import Iterator, Sequence

import numpy as np

from stitchpath.files import StrPath, write_whole
from stitchpath.formats.numbers import check_paths, fixed
from stitchpath.formats.svg_text import Mark, true_size_svg
from stitchpath.pages.html_page import drawn, html_page
from stitchpath.pages.paper import ROUND_MM, Paper, paper_of
from stitchpath.pages.true_scale_sheets import OVERLAP_MM, Sheet, sheet_svg, sheets_of
from stitchpath.pictures import strokes
from stitchpath.pictures.colours import MIDDLE
from stitchpath.pictures.ink import Ink, ink_of
from stitchpath.pictures.page_grid import Grid, PageWindow
from stitchpath.plan import Plan

__all__ = ["tiles_html", "write_tiles"]

_MAP_MM = (170.0, 120.0)
"""The most that the map of the sheets takes of the first page, across and down: chosen by eye in print."""


def write_tiles(plan: Plan, file: StrPath, *, paper: str = "A4") -> None:
    """Write the plan at true scale as one file of HTML, a section for each sheet of paper.

    Parameters
    ----------
    plan
        The plan.
    file
        Where to write.
    paper
        ``"A4"`` or ``"Letter"``.

    Raises
    ------
    FileError
        If it cannot be written.
    DesignError
        If a path cannot be drawn, or there is no such paper.

    Examples
    --------
    >>> from pathlib import Path
    >>> from stitchpath.drawing import Drawing
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     write_tiles(Plan(Drawing(()), (), (), 0.0), Path(folder, "tiles.html"))
    ...     Path(folder, "tiles.html").read_text(encoding="utf-8").count("</html>")
    1
    """
    write_whole(file, tiles_html(plan, paper=paper))


def tiles_html(plan: Plan, *, paper: str = "A4") -> str:
    """Return the sheets as text; see `write_tiles`.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> tiles_html(Plan(Drawing(()), (), (), 0.0)).count("<h1>")
    1
    """
    check_paths(plan)
    sheet, ink = paper_of(paper), ink_of(plan, 1.0)
    grid, sheets = _sheets(plan, ink, sheet)
    count = len(sheets) + 1
    name = plan.titled(plan.drawing.name or "Stitch plan")
    pictures = [
        sheet_svg(
            one,
            ink.marks,
            sheet,
            title=f"sheet {one.window.name} at true scale",
            foot=(f"page {number} of {count}", name, "print at 100 %, measure"),
        )
        for number, one in enumerate(sheets, 2)
    ]
    return html_page(
        "tiles.html",
        title=f"{name}: true-scale sheets",
        paper=sheet,
        sheets=list(map(drawn, pictures)),
        map=None if grid is None else drawn(_map(grid, sheets, ink)),
        overlap_mm=OVERLAP_MM,
        left_out=0 if grid is None else grid.rows * grid.columns - len(sheets),
    )


def _sheets(plan: Plan, ink: Ink, paper: Paper) -> tuple[Grid | None, tuple[Sheet, ...]]:
    if not len(plan):
        return None, ()
    x0, y0, x1, y1 = ink.bounds_of(range(len(plan)))
    around = (x0 - ROUND_MM, y0 - ROUND_MM, x1 + ROUND_MM, y1 + ROUND_MM)
    return sheets_of(around, paper, sewn_in=ink.sewn_in)


def _map(grid: Grid, sheets: Sequence[Sheet], ink: Ink) -> str:
    x0, y0, x1, y1 = grid.box
    scale = min(_MAP_MM[0] / (x1 - x0), _MAP_MM[1] / (y1 - y0))
    size = (x1 - x0) * scale + 1.0, (y1 - y0) * scale + 1.0
    return true_size_svg(_map_marks(grid, sheets, ink, scale), size, title="how the sheets lie")


def _map_marks(grid: Grid, sheets: Sequence[Sheet], ink: Ink, scale: float) -> Iterator[Mark]:
    corner = np.array(grid.box[:2])
    lines = [(np.array(line.coords) - corner) * scale + 0.5 for line in ink.pieces]
    yield strokes.solid(lines, MIDDLE, 0.1)
    kept = {sheet.window for sheet in sheets}
    for window in grid:
        yield from _map_window(window, window in kept, grid, scale)


def _map_window(window: PageWindow, kept: bool, grid: Grid, scale: float) -> Iterator[Mark]:  # noqa: FBT001
    """Yield a window without its overlaps, so that each has a room of its own."""
    x0, y0, x1, y1 = window.box
    half = grid.overlap / 2
    left, above = half * (window.column > 0), half * (window.row > 0)
    right, below = half * (window.column < grid.columns - 1), half * (window.row < grid.rows - 1)
    low = (np.array([x0 + left, y0 + above]) - np.array(grid.box[:2])) * scale + 0.5
    high = (np.array([x1 - right, y1 - below]) - np.array(grid.box[:2])) * scale + 0.5
    (x, y), (width, height) = low.tolist(), (high - low).tolist()
    box = {"x": fixed(x), "y": fixed(y), "width": fixed(width), "height": fixed(height)}
    yield Mark("rect", {**box, "fill": "none", "stroke": strokes.BLACK, "stroke-width": "0.250"})
    if not kept:
        across = [np.array([low, high]), np.array([(x, y + height), (x + width, y)])]
        yield strokes.solid(across, strokes.BLACK, 0.25)
        return
    size_mm = min(3.0, height * 0.4, width / (0.8 * len(window.name)))
    wide, tall = strokes.tag_size(window.name, size_mm)
    middle_x, middle_y = x + width / 2, y + height / 2
    room = {"x": fixed(middle_x - wide / 2), "y": fixed(middle_y - tall / 2)}
    yield Mark("rect", {**room, "width": fixed(wide), "height": fixed(tall), "fill": "#ffffff"})
    base = middle_y + 0.36 * size_mm
    yield strokes.text(middle_x, base, window.name, size_mm=size_mm, font_weight="bold", text_anchor="middle")
