"""Reads a stitch table back, and trusts nothing in it before it is checked."""

import csv
import re
from collections.abc import Iterator
from itertools import groupby
from typing import NamedTuple

import numpy as np

from stitchpath.errors import FileError
from stitchpath.files import StrPath, read_text
from stitchpath.formats.stitch_table import COLUMNS, LIFT, MM_PER_TABLE_UNIT
from stitchpath.plan import Move, Span, StitchPath

__all__ = ["NUMBER", "read_band_csv", "read_csv"]

_COUNT = re.compile(r"[1-9][0-9]{0,8}")
NUMBER = re.compile(r"-?[0-9]{1,8}(?:\.[0-9]{1,9})?")
"""A coordinate as tables have it."""
_MOVES = frozenset({LIFT, *Move})
_HEADERS = {(*COLUMNS, f"x_{unit}", f"y_{unit}"): factor for unit, factor in MM_PER_TABLE_UNIT.items()}


class _Row(NamedTuple):
    line: int
    band: int
    stage: str
    path: int
    move: str
    x_mm: float
    y_mm: float


def read_csv(file: StrPath) -> tuple[StitchPath, ...]:
    """Read a stitch table, in millimetres or inches, as `write_csv` writes it (not a thin one).

    A band's own table is read likewise, where the band's files have its points; its first path may have any
    number.

    Parameters
    ----------
    file
        The table.

    Returns
    -------
    tuple of StitchPath
        In order, in millimetres. Their spans name no line, and neighbours with the same move and stage are
        one; the thread is empty, since the table does not name it.

    Raises
    ------
    FileError
        If it cannot be read, or a row is not as it should be: the message names the line.

    Examples
    --------
    >>> from pathlib import Path
    >>> from stitchpath import Drawing, Plan
    >>> from tempfile import TemporaryDirectory
    >>> from stitchpath.formats.stitch_table import write_csv
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1, stage="detail"),))
    >>> with TemporaryDirectory() as folder:
    ...     write_csv(Plan(Drawing(()), (path,), (), 0.0), Path(folder, "pear.csv"))
    ...     read_csv(Path(folder, "pear.csv")) == (path,)
    True
    """
    _, paths = read_band_csv(file)
    return paths


def read_band_csv(file: StrPath) -> tuple[int, tuple[StitchPath, ...]]:
    """Return the number of a stitch table's first path, too: a later band's is not 1; see `read_csv`.

    Examples
    --------
    >>> from pathlib import Path
    >>> from stitchpath import Drawing, Plan
    >>> from tempfile import TemporaryDirectory
    >>> from stitchpath.formats.stitch_table import write_csv
    >>> with TemporaryDirectory() as folder:
    ...     write_csv(Plan(Drawing(()), (), (), 0.0), Path(folder, "pear.csv"))
    ...     read_band_csv(Path(folder, "pear.csv"))
    (1, ())
    """
    rows = list(_rows(file, read_text(file)))
    for before, row in zip([None, *rows], rows, strict=False):
        problem = _order_problem(before, row)
        if problem:
            said, _, remedy = problem.partition("; ")
            raise FileError(said, remedy, file=file, line=row.line, value=row)
    paths = tuple(_path(file, list(group)) for _, group in groupby(rows, key=lambda row: row.path))
    return (rows[0].path if rows else 1), paths


def _rows(file: StrPath, text: str) -> Iterator[_Row]:
    reader = csv.reader(text.splitlines(keepends=True), strict=True)
    try:
        factor = _factor(file, tuple(next(reader, ())))
        for cells in reader:
            yield _row(file, reader.line_num, cells, factor)
    except csv.Error as error:
        problem = f"this is no row of a table: {error}"
        raise FileError(problem, file=file, line=reader.line_num) from error


def _factor(file: StrPath, header: tuple[str, ...]) -> float:
    if "".join(header).startswith("\ufeff"):
        problem, remedy = "the table begins with a byte order mark", "save it as UTF-8 without one"
        raise FileError(problem, remedy, file=file, line=1)
    if header not in _HEADERS:
        said = ",".join(header)[:60]
        wanted = ",".join(next(iter(_HEADERS)))
        problem, remedy = f'the header is "{said}"', f'write "{wanted}" (or x_in,y_in)'
        raise FileError(problem, remedy, file=file, line=1, value=header)
    return _HEADERS[header]


def _row(file: StrPath, line: int, cells: list[str], factor: float) -> _Row:
    if len(cells) != len(COLUMNS) + 2:
        problem, remedy = f"there are {len(cells)} cells", f"write {len(COLUMNS) + 2}"
        raise FileError(problem, remedy, file=file, line=line, value=cells)
    band, stage, path, move, x, y = cells
    for name, value, pattern in (("band", band, _COUNT), ("path", path, _COUNT)):
        _match(file, line, name, value, pattern, "a number counted from 1")
    for name, value in (("x", x), ("y", y)):
        _match(file, line, name, value, NUMBER, "a number such as 12.700")
    if move not in _MOVES:
        problem, remedy = f'the move is "{move[:40]}"', f"write {', '.join(sorted(_MOVES))}"
        raise FileError(problem, remedy, file=file, line=line, value=move)
    return _Row(line, int(band), stage, int(path), move, float(x) * factor, float(y) * factor)


def _match(file: StrPath, line: int, name: str, value: str, pattern: re.Pattern[str], wanted: str) -> None:
    if not pattern.fullmatch(value):
        raise FileError(f'{name} is "{value[:40]}"', f"write {wanted}", file=file, line=line, value=value)


def _order_problem(before: _Row | None, row: _Row) -> str:
    fresh = row.path - 1 if row.band > 1 and row.move == LIFT else 0  # a later band's own table
    number, band = (before.path, before.band) if before else (fresh, 1)
    if row.path != number + (row.move == LIFT):
        return (
            f"a row of path {row.path} with move {row.move} follows path {number}; begin each path by a lift"
        )
    if row.band < band:
        return f"band {row.band} follows band {band}; bands only rise"
    if row.move != LIFT and row.band != band:
        return f"path {row.path} goes from band {band} to {row.band}; a path lies in one band"
    if before and before.move == LIFT and row.move != LIFT and row.stage != before.stage:
        return f'path {row.path} begins in stage "{before.stage[:40]}" and goes on in "{row.stage[:40]}"'
    return ""


def _path(file: StrPath, rows: list[_Row]) -> StitchPath:
    if len(rows) < 2:
        problem = f"path {rows[0].path} is a single point"
        raise FileError(problem, "give it two or more", file=file, line=rows[0].line, value=rows[0].path)
    spans: list[Span] = []
    at = 0
    for (move, stage), group in groupby(rows[1:], key=lambda row: (row.move, row.stage)):
        until = at + sum(1 for _ in group)
        spans.append(Span(Move(move), at, until, None, stage))
        at = until
    points = np.array([(row.x_mm, row.y_mm) for row in rows])
    return StitchPath(points, tuple(spans), band=rows[0].band)
