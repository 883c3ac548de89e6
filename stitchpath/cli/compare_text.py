"""Plans side by side as text for a terminal: tables, and small maps of where paths end."""

import io
import shutil
import sys
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from stitchpath.cli.say import wrapped
from stitchpath.compare.foreign_told import foreign_rows, missed_rows, row_words, within_words
from stitchpath.compare.side_by_side import MADE_ELSEWHERE, SideBySide, other_drawings, other_scale
from stitchpath.compare.told import comparison_table, prices_table
from stitchpath.figures import path_ends_mm
from stitchpath.plan import Plan
from stitchpath.units import Unit

if TYPE_CHECKING:
    from rich.console import JustifyMethod

__all__ = ["compare_text", "ends_map"]

_PIPE_COLUMNS, _LEAST_COLUMNS = 120, 60
_MAP_COLUMNS, _MAP_ROWS, _BETWEEN = 26, 16, 3
_MOST_MISSED = 12
_GAP, _LEAST_WORDS = 2, 30
_MAP_WORDS = "Where paths end: a digit counts the ends in a place, # is ten and more, a dot is none."


def compare_text(told: SideBySide, *, unit: Unit = "mm") -> str:
    """Return plans side by side as text.

    Examples
    --------
    >>> compare_text(SideBySide())
    ''
    """
    return "\n\n".join(filter(None, _parts(told, unit, _columns())))


def _columns() -> int:
    if sys.stdout is None or not sys.stdout.isatty():
        return _PIPE_COLUMNS
    return max(shutil.get_terminal_size().columns, _LEAST_COLUMNS)


def _parts(told: SideBySide, unit: Unit, columns: int) -> Iterator[str]:
    yield from map(wrapped, other_drawings(told))
    if told.plans:
        yield _laid_out(comparison_table(told.compared, unit=unit), columns)
        yield from map(wrapped, other_scale(told))
        yield wrapped(row_words(told.foreign, unit=unit)) if told.foreign is not None else ""
    if told.prices:
        yield _laid_out(prices_table(told.prices, unit=unit), columns, last_left=True)
    if told.foreign is not None:
        yield _laid_out([(MADE_ELSEWHERE, ""), *foreign_rows(told.foreign, unit=unit)], columns)
        if told.foreign.missed:
            yield _laid_out(missed_rows(told.foreign, unit=unit, most=_MOST_MISSED), columns, left=3)
        yield wrapped(within_words(told.foreign))
    if told.plans:
        yield _maps(told, columns)
        yield wrapped(_MAP_WORDS)


def _laid_out(rows: Sequence[Sequence[str]], columns: int, *, left: int = 1, last_left: bool = False) -> str:
    """Lay a head and its rows out in columns that fit; what is too long is broken between words."""
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    widths = [max(map(len, cells)) for cells in zip(*rows, strict=True)]
    if last_left:
        widths[-1] = _LEAST_WORDS
    if sum(widths) + _GAP * len(widths) > columns:
        widths = [_least_width(cells) for cells in zip(*rows, strict=True)]
    if last_left:
        widths[-1] = max(columns - sum(widths[:-1]) - _GAP * len(widths), _LEAST_WORDS)
    table = Table(box=None, padding=(0, _GAP, 0, 0), pad_edge=False)
    for at, (head, width) in enumerate(zip(rows[0], widths, strict=True)):
        words = at < left or (last_left and at == len(widths) - 1)
        justify: JustifyMethod = "left" if words else "right"
        table.add_column(Text(head), justify=justify, overflow="fold", vertical="top", width=width)
    for row in rows[1:]:
        table.add_row(*map(Text, row))
    out = io.StringIO()
    whole = sum(widths) + _GAP * len(widths)
    Console(file=out, width=whole, color_system=None, emoji=False, highlight=False).print(table)
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines())


def _least_width(cells: Sequence[str]) -> int:
    """Return how wide a column is at least: its head may be broken between words, all else stands whole.

    Examples
    --------
    >>> _least_width(["ends in open cloth", "6"]), _least_width(["cost", "1,155.8 s"]), _least_width([""])
    (5, 9, 0)
    """
    head, *others = cells
    return max(map(len, (*head.split(), *others)), default=0)


def _maps(told: SideBySide, columns: int) -> str:
    """Return a map of each plan, as many beside each other as there is room for."""
    boxes = [_box(plan) for plan in told.plans]
    box = np.concatenate((np.min(boxes, axis=0)[:2], np.max(boxes, axis=0)[2:]))
    maps = [
        [name[:_MAP_COLUMNS], *ends_map(plan, box)] for name, plan in zip(told.names, told.plans, strict=True)
    ]
    wide = max(len(line) for drawn in maps for line in drawn)
    beside = max((columns + _BETWEEN) // (wide + _BETWEEN), 1)
    blocks = []
    for first in range(0, len(maps), beside):
        rows = zip(*maps[first : first + beside], strict=True)
        blocks.append(
            "\n".join((" " * _BETWEEN).join(cell.ljust(wide) for cell in row).rstrip() for row in rows)
        )
    return "\n\n".join(blocks)


def _box(plan: Plan) -> NDArray[np.float64]:
    points = np.concatenate([np.empty((0, 2)), *(path.coordinates_mm for path in plan)])
    if not len(points):
        return np.array([0.0, 0.0, 1.0, 1.0])
    return np.concatenate((points.min(axis=0), points.max(axis=0)))


def ends_map(plan: Plan, box: NDArray[np.float64]) -> list[str]:
    """Return a map of where a plan's paths end, a text for each row of it.

    Parameters
    ----------
    plan
        The plan.
    box
        x0, y0, x1, y1 of what the map shows, in millimetres.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> set("".join(ends_map(Plan(Drawing(()), (), (), 0.0), np.array([0.0, 0.0, 9.0, 9.0]))))
    {'.'}
    """
    wide, high = np.maximum(box[2:] - box[:2], 1.0).tolist()
    # A letter is about twice as high as wide.
    scale = min(_MAP_COLUMNS / wide, 2 * _MAP_ROWS / high)
    columns, rows = max(round(wide * scale), 1), max(round(high * scale / 2), 1)
    counts = np.zeros((rows, columns), dtype=np.int64)
    at = (path_ends_mm(plan.paths) - box[:2]) / (wide, high) * (columns, rows)
    column, row = np.clip(at.astype(np.int64), 0, (columns - 1, rows - 1)).T
    np.add.at(counts, (row, column), 1)
    return ["".join("." if n == 0 else str(n) if n < 10 else "#" for n in line) for line in counts.tolist()]
