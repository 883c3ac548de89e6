"""Plans side by side as text for a terminal: tables, and small maps of where paths end."""

import shutil
import sys
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from stitchpath.cli.say import wrapped
from stitchpath.cli.tables import beside_each_other, laid_out
from stitchpath.compare.foreign_told import foreign_rows, missed_rows, row_words, within_words
from stitchpath.compare.side_by_side import MADE_ELSEWHERE, SideBySide, other_drawings, other_scale
from stitchpath.compare.told import comparison_table, prices_table
from stitchpath.figures import path_ends_mm
from stitchpath.plan import Plan
from stitchpath.units import Unit

__all__ = ["compare_text", "ends_map"]

_PIPE_COLUMNS, _LEAST_COLUMNS = 132, 60  # where there is no terminal; in a very narrow one: chosen
_MAP_COLUMNS, _MAP_ROWS, _BETWEEN = 26, 16, 3  # three maps beside each other in 80 columns and a few
_MOST_MISSED = 12  # rows before the rest is counted: chosen
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
        yield laid_out(comparison_table(told.compared, unit=unit), columns=columns)
        yield from map(wrapped, other_scale(told))
        yield wrapped(row_words(told.foreign, unit=unit)) if told.foreign is not None else ""
    if told.prices:
        yield laid_out(prices_table(told.prices, unit=unit), words_last=True, columns=columns)
    if told.foreign is not None:
        yield laid_out([(MADE_ELSEWHERE, ""), *foreign_rows(told.foreign, unit=unit)], columns=columns)
        if told.foreign.missed:
            yield laid_out(missed_rows(told.foreign, unit=unit, most=_MOST_MISSED), left=3, columns=columns)
        yield wrapped(within_words(told.foreign))
    if told.plans:
        yield _maps(told, columns)
        yield wrapped(_MAP_WORDS)


def _maps(told: SideBySide, columns: int) -> str:
    """Return a map of each plan, as many beside each other as there is room for."""
    boxes = [_box(plan) for plan in told.plans]
    box = np.concatenate((np.min(boxes, axis=0)[:2], np.max(boxes, axis=0)[2:]))
    maps = [
        "\n".join([name[:_MAP_COLUMNS], *ends_map(plan, box)])
        for name, plan in zip(told.names, told.plans, strict=True)
    ]
    return beside_each_other(maps, gap=_BETWEEN, columns=columns)


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
