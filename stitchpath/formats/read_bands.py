"""Reads the table of bands back, and trusts nothing in it before it is checked."""

import csv
import re
from typing import NamedTuple

from stitchpath.errors import FileError
from stitchpath.files import StrPath, read_text
from stitchpath.formats.bands_table import NOTE, places_header
from stitchpath.formats.stitch_table import MM_PER_TABLE_UNIT

__all__ = ["BandRow", "read_bands"]

_COUNT = re.compile(r"[1-9][0-9]{0,8}")
_NUMBER = re.compile(r"-?[0-9]{1,8}(?:\.[0-9]{1,9})?")
_MARK = re.compile(r"start|end|[A-D]|note")
_HEADERS = {places_header(unit): factor for unit, factor in MM_PER_TABLE_UNIT.items()}


class BandRow(NamedTuple):
    """One row: a place on the whole top and in its band's files, in millimetres; a note has none."""

    band: int
    mark: str
    what: str
    place_mm: tuple[float, float] | None
    file_mm: tuple[float, float] | None


def read_bands(file: StrPath) -> tuple[BandRow, ...]:
    r"""Read a table of bands, as `stitchpath.formats.bands_table` says it is.

    Raises
    ------
    FileError
        If it cannot be read, or a row is not as it should be: the message names the line.

    Examples
    --------
    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     file = Path(folder, "pear-bands.csv")
    ...     _ = file.write_text(",".join(places_header("mm")))
    ...     read_bands(file)
    ()
    """
    reader = csv.reader(read_text(file).splitlines(keepends=True), strict=True)
    try:
        header = tuple(next(reader, ()))
        if header not in _HEADERS:
            said, wanted = ",".join(header)[:60], ",".join(next(iter(_HEADERS)))
            problem, remedy = f'the header is "{said}"', f'write "{wanted}" (or x_in and so on)'
            raise FileError(problem, remedy, file=file, line=1, value=header)
        return tuple(_row(file, reader.line_num, cells, _HEADERS[header]) for cells in reader)
    except csv.Error as error:
        problem = f"this is no row of a table: {error}"
        raise FileError(problem, file=file, line=reader.line_num) from error


def _row(file: StrPath, line: int, cells: list[str], factor: float) -> BandRow:
    if len(cells) != 7:
        raise FileError(f"there are {len(cells)} cells", "write 7", file=file, line=line, value=cells)
    band, mark, what, *numbers = cells
    if not _COUNT.fullmatch(band):
        remedy = "write a number counted from 1"
        raise FileError(f'band is "{band[:40]}"', remedy, file=file, line=line, value=band)
    if not _MARK.fullmatch(mark):
        remedy = "write start, end, a letter from A to D, or note"
        raise FileError(f'mark is "{mark[:40]}"', remedy, file=file, line=line, value=mark)
    if mark == NOTE:
        return BandRow(int(band), mark, what, None, None)
    wrong = next((number for number in numbers if not _NUMBER.fullmatch(number)), None)
    if wrong is not None:
        problem, remedy = f'a place has "{wrong[:40]}"', "write a number such as 12.700"
        raise FileError(problem, remedy, file=file, line=line, value=wrong)
    x, y, file_x, file_y = (float(number) * factor for number in numbers)
    return BandRow(int(band), mark, what, (x, y), (file_x, file_y))
