"""The lines of a drawing before any route: CSV ``line,role,thread,block,x_mm,y_mm``, one row a point."""

from collections.abc import Iterator

from stitchpath.drawing import Drawing
from stitchpath.files import StrPath, write_whole
from stitchpath.formats.csv_text import cell, csv_text
from stitchpath.formats.numbers import fixed_cells

__all__ = ["lines_table", "write_lines_csv"]


def write_lines_csv(drawing: Drawing, file: StrPath) -> None:
    r"""Write the lines asked for, raw, as CSV; a line's id is its place in the drawing, counted from 1.

    Raises
    ------
    FileError
        If it cannot be written.
    DesignError
        If a name cannot stand in a table.

    Examples
    --------
    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     write_lines_csv(Drawing(()), Path(folder, "lines.csv"))
    ...     Path(folder, "lines.csv").read_text()
    'line,role,thread,block,x_mm,y_mm\n'
    """
    write_whole(file, lines_table(drawing))


def lines_table(drawing: Drawing) -> str:
    r"""Return the table as text; see `write_lines_csv`.

    Examples
    --------
    >>> lines_table(Drawing(()))
    'line,role,thread,block,x_mm,y_mm\r\n'
    """
    return csv_text(_rows(drawing))


def _rows(drawing: Drawing) -> Iterator[tuple[object, ...]]:
    yield "line", "role", "thread", "block", "x_mm", "y_mm"
    for number, line in enumerate(drawing.lines, 1):
        label = number, line.role, cell(line.thread), cell(line.block)
        yield from (label + place for place in fixed_cells(line.points_mm))
