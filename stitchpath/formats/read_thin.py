"""Reads a thin table back, and trusts nothing in it before it is checked."""

import re

import numpy as np
from numpy.typing import NDArray

from stitchpath.errors import FileError
from stitchpath.files import StrPath, read_text
from stitchpath.formats.read_table import NUMBER
from stitchpath.formats.stitch_table import MM_PER_TABLE_UNIT

__all__ = ["read_thin"]

_POINT = re.compile(rf"({NUMBER.pattern}),({NUMBER.pattern})")
_HEADERS = {f"x_{unit},y_{unit}": factor for unit, factor in MM_PER_TABLE_UNIT.items()}


def read_thin(file: StrPath) -> tuple[NDArray[np.float64], ...]:
    r"""Read a table of x and y only, in millimetres or inches, as `write_csv` writes it where `thin`.

    Parameters
    ----------
    file
        The table: a header, a point on each line, one blank line between paths.

    Returns
    -------
    tuple of arrays
        The points of each path, (N, 2), in millimetres.

    Raises
    ------
    FileError
        If it cannot be read, or a line is not as it should be: the message names the line.

    Examples
    --------
    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     file = Path(folder, "pear-thin.csv")
    ...     _ = file.write_text("x_in,y_in\n0,0\n1,0\n")
    ...     [path.tolist() for path in read_thin(file)]
    [[[0.0, 0.0], [25.4, 0.0]]]
    """
    header, *lines = read_text(file).replace("\r\n", "\n").removesuffix("\n").split("\n")
    if header not in _HEADERS:
        problem, remedy = f'the header is "{header[:60]}"', 'write "x_mm,y_mm" or "x_in,y_in"'
        raise FileError(problem, remedy, file=file, line=1, value=header)
    paths: list[list[tuple[str, ...]]] = [[]]
    for number, line in enumerate(lines, 2):
        point = _POINT.fullmatch(line)
        if point:
            paths[-1].append(point.groups())
        elif line or not paths[-1]:
            problem, remedy = f'"{line[:40]}" is no point', "write x,y such as 12.700,3.000"
            raise FileError(problem, remedy, file=file, line=number, value=line)
        else:
            paths.append([])
    if not paths[-1] and lines:
        problem, remedy = "a blank line stands at the end", "it stands between paths only"
        raise FileError(problem, remedy, file=file, line=len(lines) + 1)
    return tuple(np.array(path, dtype=np.float64) * _HEADERS[header] for path in paths if path)
