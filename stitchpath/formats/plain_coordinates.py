"""Reads a plan made elsewhere from plain coordinates, and trusts nothing in it before it is checked."""

import re

import numpy as np
from numpy.typing import NDArray

from stitchpath.errors import DesignError, FileError
from stitchpath.files import StrPath, read_text
from stitchpath.limits import FARTHEST_MM, MOST_FOREIGN_BYTES, MOST_FOREIGN_POINTS
from stitchpath.lines import as_points
from stitchpath.units import MM_PER, Unit, refuse_unit

__all__ = ["read_coordinates"]

_NUMBER = r"[+-]?(?:[0-9]{1,9}(?:\.[0-9]{0,12})?|\.[0-9]{1,12})(?:[eE][+-]?[0-9]{1,2})?"
_POINT = re.compile(rf"[ \t]*({_NUMBER})[ \t]*,[ \t]*({_NUMBER})[ \t]*", re.ASCII)
_HEAD = re.compile(r"x(?:_(mm|cm|in))?,y(?:_(mm|cm|in))?")


def read_coordinates(
    file: StrPath, *, unit: Unit, origin: tuple[float, float], y_up: bool = False
) -> tuple[NDArray[np.float64], ...]:
    r"""Read paths as plain coordinates: ``x,y`` on each line, in sewing order, a blank line between paths.

    Parameters
    ----------
    file
        A text file, UTF-8. A first line ``x,y`` or ``x_in,y_in`` may name the columns.
    unit
        The unit of the numbers.
    origin
        Where in the file the finished top's upper left corner lies, in that unit.
    y_up
        Whether y grows upwards.

    Returns
    -------
    tuple of arrays
        A path each, (N, 2) read-only, in millimetres from the finished top's upper left corner, y down.

    Raises
    ------
    FileError
        If it cannot be read, or a line is not as it should be: the message names the line.
    DesignError
        If the unit or the origin is not allowed.

    Examples
    --------
    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     file = Path(folder, "elsewhere.csv")
    ...     _ = file.write_text("0,0\n1,0\n\n1,1\n2,1\n")
    ...     [path.tolist() for path in read_coordinates(file, unit="in", origin=(0, 0))]
    [[[0.0, 0.0], [25.4, 0.0]], [[25.4, 25.4], [50.8, 25.4]]]
    """
    scale, corner = _frame(unit, origin)
    text = read_text(file, most=MOST_FOREIGN_BYTES).removeprefix("\ufeff")
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    paths: list[list[tuple[float, float]]] = [[]]
    begins = [1]
    count = 0
    for number, line in enumerate(lines.split("\n"), 1):
        if not line.strip(" \t"):
            if paths[-1]:
                paths.append([])
                begins.append(number + 1)
            continue
        if number == 1 and _is_head(file, line.strip(" \t"), unit):
            continue
        if not paths[-1]:
            begins[-1] = number
        paths[-1].append(_point(file, number, line))
        count += 1
        if count > MOST_FOREIGN_POINTS:
            problem = f"there are over {MOST_FOREIGN_POINTS:,} points"
            raise FileError(problem, "give fewer", file=file, line=number)
    found = [(at, as_points(path)) for at, path in zip(begins, paths, strict=True) if path]
    if not found:
        remedy = "write x,y on each line, and a blank line between paths"
        raise FileError("it holds no point", remedy, file=file)
    turned = np.array([1.0, -1.0 if y_up else 1.0])
    return tuple(_placed(file, at, path, scale, corner, turned) for at, path in found)


def _frame(unit: str, origin: tuple[float, float]) -> tuple[float, NDArray[np.float64]]:
    refuse_unit(unit)
    try:
        corner = np.array(origin, dtype=np.float64)
    except (TypeError, ValueError):
        corner = np.empty(0)
    if corner.shape != (2,) or not np.isfinite(corner).all():
        raise DesignError(f"{origin!r} is no place", "give x and y", key="origin")
    return float(MM_PER[unit]), corner


def _is_head(file: StrPath, line: str, unit: str) -> bool:
    head = _HEAD.fullmatch(line)
    if head is None:
        return False
    other = next((said for said in head.groups() if said not in (None, unit)), None)
    if other is not None:
        problem = f"the columns are in {other}, and the unit is said to be {unit}"
        raise FileError(problem, f'say "{other}"', file=file, line=1, value=other)
    return True


def _point(file: StrPath, number: int, line: str) -> tuple[float, float]:
    found = _POINT.fullmatch(line)
    if found is None:
        shown = "".join(letter if letter.isprintable() else "?" for letter in line[:40])
        problem, remedy = f'"{shown}" is no point', "write x,y such as 12.7,3.5"
        raise FileError(problem, remedy, file=file, line=number, value=line)
    return float(found[1]), float(found[2])


def _placed(
    file: StrPath,
    at: int,
    path: NDArray[np.float64],
    scale: float,
    corner: NDArray[np.float64],
    turned: NDArray[np.float64],
) -> NDArray[np.float64]:
    points = (path - corner) * scale * turned + 0.0
    far = np.flatnonzero(~(np.abs(points) <= FARTHEST_MM).all(axis=1))
    if len(far):
        problem, remedy = "the point is over 1 km off", "look at the unit and the origin"
        place = tuple(path[far[0]].tolist())
        raise FileError(problem, remedy, file=file, line=at + int(far[0]), value=place)
    if not (np.diff(points, axis=0) != 0).any():
        raise FileError("this path has no two different points", "leave it out", file=file, line=at)
    return as_points(points)
