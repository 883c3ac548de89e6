"""Sheets of paper at true scale: a window each, rules to measure the print by, and marks to join them.

A window's lines are cut out of the plan (`stitchpath.pictures.ink`) and laid on the paper, and nothing is
wider than the margins allow: where margins differed, Chromium shrank pages by 4.5 %, and the rules showed it
(2026-11-27). Anything can be laid out that can be drawn window by window: a whole top, or a template larger
than its paper. Where four windows meet there is one cross, with the same letter on each of the four sheets:
laid cross upon cross, they join.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.formats.numbers import fixed, path_data
from stitchpath.formats.svg_text import Mark, true_size_svg
from stitchpath.pages.paper import TEXT_MM, Paper, rules, rules_mm
from stitchpath.pictures import strokes
from stitchpath.pictures.colours import DEEP
from stitchpath.pictures.page_grid import Box, Grid, PageWindow, grid_over, letters

__all__ = ["OVERLAP_MM", "Sheet", "sheet_svg", "sheets_of"]

OVERLAP_MM = 10.0
"""What neighbouring sheets both show: enough to lay one on the other. Chosen by eye in print."""
_EDGE_MM, _SPARE_MM, _FOOT_GAP_MM = 0.5, 0.5, 3.0
"""Within the paper's margins: around the window; below all, so that no page runs over; above the rules."""

# chosen by eye in print: crosses and their letters, a sheet's name, letters in a line beside the rules
_ARM_MM, _LETTER_MM = 3.0, 4.0
_NAME_MM = 7.0
_BESIDE_LETTERS = 34

Marks = Callable[[Box, tuple[float, float], NDArray[np.float64]], Iterable[Mark]]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A window, and the crosses to join it by: the letters and places of those that another sheet has too."""

    window: PageWindow
    crosses: tuple[tuple[str, tuple[float, float]], ...]
    shares: tuple[bool, bool, bool, bool]
    """Whether there is a sheet to its left, above it, to its right and below it."""


def sheets_of(box: Box, paper: Paper, *, sewn_in: Callable[[Box], bool]) -> tuple[Grid, tuple[Sheet, ...]]:
    """Return the windows at true scale over a box, and a sheet for each that something is sewn in.

    Parameters
    ----------
    box
        What is to be covered: x0, y0, x1, y1 in millimetres.
    paper
        What it is printed on.
    sewn_in
        Tells of a window whether anything is sewn there.

    Examples
    --------
    >>> from shapely import box
    >>> from stitchpath.pages.paper import paper_of
    >>> grid, sheets = sheets_of((0, 0, 300, 100), paper_of("A4"), sewn_in=lambda box: box[0] == 0)
    >>> grid.columns, [sheet.window.name for sheet in sheets]
    (2, ['A-1'])
    """
    grid = grid_over(box, _room(paper), OVERLAP_MM)
    kept = {(window.row, window.column): window for window in grid if sewn_in(window.box)}
    at_cross: dict[tuple[int, int], int] = {}
    for row, column in kept:
        for corner in _corners(row, column):
            at_cross[corner] = at_cross.get(corner, 0) + 1
    joined = sorted(corner for corner, count in at_cross.items() if count > 1)
    names = {corner: letters(number) for number, corner in enumerate(joined)}
    places = _cross_places(grid)
    return grid, tuple(
        Sheet(
            window,
            tuple((names[c], places(c)) for c in _corners(row, column) if c in names),
            tuple((row + down, column + right) in kept for right, down in ((-1, 0), (0, -1), (1, 0), (0, 1))),  # type: ignore[arg-type]
        )
        for (row, column), window in kept.items()
    )


def sheet_svg(
    sheet: Sheet, marks: Marks, paper: Paper, *, title: str, foot: Sequence[str], name: str | None = None
) -> str:
    """Return a sheet as a picture to stand in a page.

    Parameters
    ----------
    sheet
        Which one.
    marks
        Draws a window with its upper left corner at a place of the page; words keep off some boxes there.
    paper
        What it is printed on.
    title
        For those who cannot see it.
    foot
        Up to three lines of words beside the rules.
    name
        What is written large; None: the window's name.

    Examples
    --------
    >>> from stitchpath.pages.paper import paper_of
    >>> (sheet,) = sheets_of((0, 0, 90, 90), paper_of("A4"), sewn_in=lambda box: True)[1]
    >>> sheet_svg(sheet, lambda *_: (), paper_of("A4"), title="sheet", foot=()).startswith("<svg")
    True
    """
    width, height = paper.room_mm
    size = width, height - _SPARE_MM
    return true_size_svg(_marks(sheet, marks, size[1], name or sheet.window.name, foot), size, title=title)


def _room(paper: Paper) -> tuple[float, float]:
    width, height = paper.room_mm
    return width - 2 * _EDGE_MM, height - _SPARE_MM - 2 * _EDGE_MM - _FOOT_GAP_MM - rules_mm()


def _corners(row: int, column: int) -> list[tuple[int, int]]:
    return [(row + down, column + right) for down in (0, 1) for right in (0, 1)]


def _cross_places(grid: Grid) -> Callable[[tuple[int, int]], tuple[float, float]]:
    """Return where each cross lies: amid the overlaps, and as far in from the outer edges."""
    width, height = grid.size
    half = grid.overlap / 2
    x0, y0, x1, y1 = grid.box

    def place(corner: tuple[int, int]) -> tuple[float, float]:
        row, column = corner
        x = x0 + column * (width - grid.overlap) + half
        y = y0 + row * (height - grid.overlap) + half
        return float(np.clip(x, x0 + half, x1 - half)), float(np.clip(y, y0 + half, y1 - half))

    return place


def _marks(sheet: Sheet, marks: Marks, height: float, name: str, foot: Sequence[str]) -> Iterator[Mark]:
    edge = _EDGE_MM
    off = np.array([edge, edge]) - np.array(sheet.window.box[:2])
    crosses = [
        _Cross.of(np.array(place) + off, letter, _middle(sheet, edge)) for letter, place in sheet.crosses
    ]
    clear = np.array([box for cross in crosses for box in cross.boxes]).reshape(-1, 4)
    yield from marks(sheet.window.box, (edge, edge), clear)
    yield from _frame(sheet, edge)
    for cross in crosses:
        yield from cross.marks()
    top = height - edge - rules_mm()
    yield from rules(edge + 2.0, top)
    beside = edge + 112.0
    yield strokes.text(beside, top + _NAME_MM - 1.0, name, size_mm=_NAME_MM, font_weight="bold")
    for number, words in enumerate(foot, 1):
        said = words if len(words) <= _BESIDE_LETTERS else f"{words[: _BESIDE_LETTERS - 3]}..."
        yield strokes.text(beside, top + _NAME_MM - 1.0 + number * 3.9, said, size_mm=TEXT_MM)


def _frame(sheet: Sheet, edge: float) -> Iterator[Mark]:
    x0, y0, x1, y1 = sheet.window.box
    width, height = x1 - x0, y1 - y0
    box = {"x": fixed(edge), "y": fixed(edge), "width": fixed(width), "height": fixed(height)}
    yield Mark("rect", {**box, "fill": "none", "stroke": strokes.BLACK, "stroke-width": "0.200"})
    left, above, right, below = (OVERLAP_MM if shared else 0.0 for shared in sheet.shares)
    inner = [
        [(edge + left, edge), (edge + left, edge + height)] if left else [],
        [(edge, edge + above), (edge + width, edge + above)] if above else [],
        [(edge + width - right, edge), (edge + width - right, edge + height)] if right else [],
        [(edge, edge + height - below), (edge + width, edge + height - below)] if below else [],
    ]
    data = " ".join(path_data(np.array(line)) for line in inner if line)
    if data:
        look = {"fill": "none", "stroke": DEEP, "stroke-width": "0.150"}
        yield Mark("path", {"d": data, **look, "stroke-dasharray": "1.000 2.000"})


def _middle(sheet: Sheet, edge: float) -> NDArray[np.float64]:
    x0, y0, x1, y1 = sheet.window.box
    return np.array([edge + (x1 - x0) / 2, edge + (y1 - y0) / 2])


@dataclass(frozen=True, eq=False)
class _Cross:
    """A cross, and its letter beside it towards the middle of the sheet."""

    at: NDArray[np.float64]
    letter: str
    label: NDArray[np.float64]

    @classmethod
    def of(cls, at: NDArray[np.float64], letter: str, middle: NDArray[np.float64]) -> "_Cross":
        towards = np.sign(middle - at)
        return cls(at, letter, at + towards * np.array([4.0 + 1.2 * (len(letter) - 1), 4.2]))

    @property
    def boxes(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """What the cross and its letter take of the page."""
        half = np.array(strokes.tag_size(self.letter, _LETTER_MM)) / 2
        return (
            np.append(self.at - _ARM_MM, self.at + _ARM_MM),
            np.append(self.label - half, self.label + half),
        )

    def marks(self) -> Iterator[Mark]:
        x, y = self.at.tolist()
        arms = (
            np.array([(x - _ARM_MM, y), (x + _ARM_MM, y)]),
            np.array([(x, y - _ARM_MM), (x, y + _ARM_MM)]),
        )
        data = " ".join(path_data(arm) for arm in arms)
        yield Mark("path", {"d": data, "fill": "none", "stroke": "#ffffff", "stroke-width": "1.000"})
        yield Mark("path", {"d": data, "fill": "none", "stroke": strokes.BLACK, "stroke-width": "0.250"})
        x0, y0, x1, y1 = self.boxes[1].tolist()
        room = {"x": fixed(x0), "y": fixed(y0), "width": fixed(x1 - x0), "height": fixed(y1 - y0)}
        yield Mark("rect", {**room, "fill": "#ffffff"})
        x, y = self.label.tolist()
        bold = {"font_weight": "bold", "text_anchor": "middle"}
        yield strokes.text(x, y + 1.45, self.letter, size_mm=_LETTER_MM, **bold)
