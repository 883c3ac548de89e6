"""The stitch table, CSV (RFC 4180, UTF-8): one row a point, in sewing order.

The columns are ``band,stage,path,move,x_mm,y_mm``. Bands and paths count from 1 through the whole file.
`move` says how the needle comes to the point: ``lift`` at a path's first point, then ``sew``, ``travel``,
``step`` (straight over open cloth to the next ring) or ``resume`` (a cut line is taken up again), and
``secure`` along small stitches at an end, if the machine's files hold them. A row's stage is that of the span
that leads to the point; a first point's is that of the first span.

Before a machine follows it: keep hands and clamps clear of the head, make a first run with the needle up, and
follow the machine's own manual first.
"""

from collections.abc import Iterable, Iterator
from functools import partial

import numpy as np
from numpy.typing import NDArray

from stitchpath.errors import DesignError
from stitchpath.figures.band_frames import band_frame, band_paths
from stitchpath.files import StrPath, write_whole
from stitchpath.formats.csv_text import cell, csv_text
from stitchpath.formats.numbers import check_paths, fixed_cells
from stitchpath.formats.stitch_points import BASTING_LENGTH_MM, stitch_points
from stitchpath.plan import Plan, StitchPath
from stitchpath.units import MM_PER_INCH

__all__ = ["COLUMNS", "DECIMALS", "LIFT", "MM_PER_TABLE_UNIT", "stitch_table", "write_csv"]

COLUMNS = ("band", "stage", "path", "move")
DECIMALS = {"mm": 3, "in": 5}
"""As many as tell `stitchpath.lines.COVERED_MM` apart: 0.001 mm, and 0.00001 in, which is 0.0003 mm."""
MM_PER_TABLE_UNIT = {"mm": 1.0, "in": MM_PER_INCH}
"""Millimetres in each unit that a table may have."""
LIFT = "lift"


def write_csv(
    plan: Plan,
    file: StrPath,
    *,
    unit: str = "mm",
    thin: bool = False,
    stitch_length_mm: float | None = None,
    basting_length_mm: float = BASTING_LENGTH_MM,
    band: int | None = None,
) -> None:
    r"""Write the stitch table.

    Line ends are ``\r\n``, numbers have a decimal point and fixed decimals. Before a machine follows it:
    hands and clamps clear of the head, a first run with the needle up, the machine's own manual goes first.

    Parameters
    ----------
    plan
        What to sew.
    file
        Where to write.
    unit
        ``"mm"`` (columns ``x_mm,y_mm``, 3 decimals) or ``"in"`` (``x_in,y_in``, 5 decimals).
    thin
        Only x and y, with a blank line between paths.
    stitch_length_mm
        Lay points at equal stitches of at most this length between corners and where the move, line or stage
        changes; left out, the points are the plan's own.
    basting_length_mm
        The same for spans on lines that are basting; it counts only with a `stitch_length_mm`.
    band
        Only the paths of this band, counted from 1, where the band's own files have them
        (`stitchpath.figures.band_frames`); bands and paths keep their numbers. In millimetres the numbers are
        the whole table's to the last digit, moved and turned; in inches the last digit may differ by one.

    Raises
    ------
    FileError
        If it cannot be written.
    DesignError
        If a path cannot be written, an option has no such value, or there is no such band.

    Examples
    --------
    >>> from pathlib import Path
    >>> from stitchpath import Drawing, Move, Span
    >>> from tempfile import TemporaryDirectory
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1, stage="detail"),))
    >>> with TemporaryDirectory() as folder:
    ...     write_csv(Plan(Drawing(()), (path,), (), 0.0), Path(folder, "pear.csv"), thin=True)
    ...     Path(folder, "pear.csv").read_text().split()
    ['x_mm,y_mm', '0.000,0.000', '9.000,0.000']
    """
    text = stitch_table(
        plan,
        unit=unit,
        thin=thin,
        stitch_length_mm=stitch_length_mm,
        basting_length_mm=basting_length_mm,
        band=band,
    )
    write_whole(file, text)


def stitch_table(
    plan: Plan,
    *,
    unit: str = "mm",
    thin: bool = False,
    stitch_length_mm: float | None = None,
    basting_length_mm: float = BASTING_LENGTH_MM,
    band: int | None = None,
) -> str:
    r"""Return the stitch table as text; see `write_csv`.

    Parameters
    ----------
    plan, unit, thin, stitch_length_mm, basting_length_mm, band
        As `write_csv` has them.

    Returns
    -------
    str
        The whole file.

    Raises
    ------
    DesignError
        As `write_csv`.

    Examples
    --------
    >>> from stitchpath import Drawing, Move, Span
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1, stage="detail"),))
    >>> stitch_table(Plan(Drawing(()), (path,), (), 0.0)).splitlines()
    ['band,stage,path,move,x_mm,y_mm', '1,detail,1,lift,0.000,0.000', '1,detail,1,sew,9.000,0.000']
    >>> stitch_table(Plan(Drawing(()), (), (), 0.0), thin=True, unit="in")
    'x_in,y_in\r\n'
    """
    check_paths(plan)
    if not isinstance(unit, str) or unit not in DECIMALS:
        raise DesignError(f"{unit!r} is no unit of a table", 'write "mm" or "in"', key="unit")
    first, paths = band_paths(plan, band)
    if stitch_length_mm is not None:
        lay = partial(
            stitch_points,
            stitch_length_mm=stitch_length_mm,
            basting_length_mm=basting_length_mm,
            lines=plan.drawing.lines,
        )
        paths = map(lay, paths)
    if band is not None:
        decimals = DECIMALS["mm"] if unit == "mm" else None
        paths = band_frame(plan, band).laid_paths(paths, decimals=decimals)
    axes = (f"x_{unit}", f"y_{unit}")
    return csv_text(_thin_rows(paths, axes, unit) if thin else _rows(paths, axes, unit, first))


def _rows(
    paths: Iterable[StitchPath], axes: tuple[str, str], unit: str, first: int
) -> Iterator[tuple[object, ...]]:
    yield COLUMNS + axes
    for number, path in enumerate(paths, first):
        for label, place in zip(_labels(path, number), _cells(path, unit), strict=True):
            yield label + place


def _thin_rows(paths: Iterable[StitchPath], axes: tuple[str, str], unit: str) -> Iterator[tuple[str, ...]]:
    yield axes
    for number, path in enumerate(paths):
        yield from [()] if number else []
        yield from _cells(path, unit)


def _labels(path: StitchPath, number: int) -> Iterator[tuple[object, ...]]:
    yield path.band, cell(path.stage), number, LIFT
    for span in path.spans:
        label = path.band, cell(span.stage), number, span.move
        for _ in range(span.first, span.last):
            yield label


def _cells(path: StitchPath, unit: str) -> list[tuple[str, str]]:
    points: NDArray[np.float64] = path.coordinates_mm / MM_PER_TABLE_UNIT[unit]
    return fixed_cells(points, decimals=DECIMALS[unit])
