"""The raw lines of a drawing, before any route: CSV ``line,role,thread,block,x_mm,y_mm``, one row a point."""

from collections.abc import Iterator

from stitchpath.drawing import Drawing
from stitchpath.files import StrPath, write_whole
from stitchpath.formats.numbers import fixed_pairs
from stitchpath.formats.stitch_table import cell

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
    return "".join(f"{line}\r\n" for line in _lines(drawing))


def _lines(drawing: Drawing) -> Iterator[str]:
    yield "line,role,thread,block,x_mm,y_mm"
    for number, line in enumerate(drawing.lines, 1):
        label = f"{number},{line.role},{cell(line.thread)},{cell(line.block)}"
        yield from (f"{label},{pair}" for pair in fixed_pairs(line.points_mm))
