"""Where each band lies, and where to align it after advancing: CSV (RFC 4180, UTF-8), one place a row.

``band,mark,what,x_mm,y_mm,file_x_mm,file_y_mm``: `what` says in words what is found there; x and y are its
place on the whole top as it hangs, and ``file_x_mm,file_y_mm`` its place in the band's own files. In inches
the columns end in ``_in``. The marks of each band:

- ``start``: where its window starts, which is (0, 0) in its files;
- ``end``: where its window ends, on the same edge of the top;
- ``A`` to ``D``: junctions sewn in earlier bands, from left to right as the top lies on the machine;
- ``note``: a sentence on what is missing, without a place.
"""

from collections.abc import Iterator

import numpy as np

from stitchpath.errors import DesignError
from stitchpath.figures.alignment import alignment
from stitchpath.figures.band_frames import BandFrame, band_frames
from stitchpath.formats.csv_text import cell, csv_text
from stitchpath.formats.numbers import fixed_cells
from stitchpath.formats.stitch_table import DECIMALS, MM_PER_TABLE_UNIT
from stitchpath.plan import Plan

__all__ = ["BANDS_COLUMNS", "END", "NOTE", "START", "bands_table", "places_header"]

BANDS_COLUMNS = ("band", "mark", "what")
START, END, NOTE = "start", "end", "note"


def places_header(unit: str) -> tuple[str, ...]:
    """Return the names of all columns.

    Examples
    --------
    >>> places_header("in")
    ('band', 'mark', 'what', 'x_in', 'y_in', 'file_x_in', 'file_y_in')
    """
    return (*BANDS_COLUMNS, f"x_{unit}", f"y_{unit}", f"file_x_{unit}", f"file_y_{unit}")


def bands_table(plan: Plan, *, unit: str = "mm") -> str:
    r"""Return the table of bands as text, in ``"mm"`` with 3 decimals or in ``"in"`` with 5.

    Raises
    ------
    DesignError
        If there is no such unit.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> bands_table(Plan(Drawing(()), (), (), 0.0))
    'band,mark,what,x_mm,y_mm,file_x_mm,file_y_mm\r\n'
    """
    if unit not in DECIMALS:
        raise DesignError(f"{unit!r} is no unit of a table", 'write "mm" or "in"', key="unit")
    return csv_text([places_header(unit), *_rows(plan, unit)])


def _rows(plan: Plan, unit: str) -> Iterator[tuple[str, ...]]:
    aligned = {told.band: told for told in alignment(plan)}
    for frame in band_frames(plan):
        edge = "lower" if frame.sideways else "left"
        yield _row(frame, START, f"the finished {edge} edge at the window's start", frame.origin_mm, unit)
        yield _row(frame, END, f"the finished {edge} edge at the window's end", frame.far_end_mm, unit)
        told = aligned.get(frame.number)
        if told is None:
            continue
        for mark in told.marks:
            yield _row(frame, mark.letter, mark.what, mark.place_mm, unit)
        if told.note:
            yield (str(frame.number), NOTE, cell(told.note), "", "", "", "")


def _row(frame: BandFrame, mark: str, what: str, place_mm: tuple[float, float], unit: str) -> tuple[str, ...]:
    top = np.array([place_mm])
    places = np.concatenate([top, frame.laid(np.round(top, DECIMALS["mm"]) if unit == "mm" else top)])
    on_top, in_file = fixed_cells(places / MM_PER_TABLE_UNIT[unit], decimals=DECIMALS[unit])
    return (str(frame.number), mark, cell(what), *on_top, *in_file)
