"""Whether each band's own files hold its part of the whole table, and where that part lies on the machine.

The band is turned here by arithmetic of the check's own, not by that of `stitchpath.figures.band_frames`.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.check.files.same_paths import ROUNDED_MM, moved, same_paths
from stitchpath.drawing import Drawing
from stitchpath.errors import FileError, Finding
from stitchpath.formats.read_bands import BandRow, read_bands
from stitchpath.formats.read_svg import read_svg
from stitchpath.formats.read_table import read_band_csv
from stitchpath.lines import COVERED_MM
from stitchpath.plan import StitchPath

__all__ = ["TWICE_MM", "bands_fit", "laid", "zero_mm"]

TWICE_MM = 2 * ROUNDED_MM + 1e-6
"""Two files round, and so does where a band's files have (0, 0)."""

T = TypeVar("T")


def bands_fit(
    folder: Path,
    stem: str,
    paths: Sequence[StitchPath],
    windows: Sequence[tuple[float, float]],
    drawing: Drawing,
    *,
    sideways: bool,
    turns: Sequence[NDArray[np.float64]],
) -> Iterator[Finding]:
    """Tell where the files of bands do not fit the whole table.

    Each band's table and sewing SVG must hold the band's paths, all of them and in order, from the left end
    of its window's start as the top lies on the machine; turned by a quarter to the right where it lies with
    its left side uppermost, and never a mirror image, but with y up in all sewing SVGs where the whole top's
    has it so. What a band is aligned on must lie in its window, where an earlier band sewed.

    Parameters
    ----------
    folder, stem
        Where the files are, and what their names begin with.
    paths
        Those of the whole table.
    windows
        What each band reaches, down the frame; under two: there are no files of bands.
    drawing
        Of the design.
    sideways
        Whether the top lies with its left side uppermost.
    turns
        Which signs of x and y the sewing SVG of the whole top has; more than one where that cannot be told.

    Examples
    --------
    >>> list(bands_fit(Path(), "pear", [], [], Drawing(()), sideways=False, turns=()))
    []
    """
    if len(windows) < 2:  # all is in reach at once
        return
    rows = _read(read_bands, folder / f"{stem}-bands.csv", "bands") or ()
    if isinstance(rows, Finding):
        yield rows
        rows = ()
    else:
        yield from _rows_complete(rows, len(windows))
    for band, window in enumerate(windows, 1):
        zero = zero_mm(window, paths, drawing, sideways=sideways)
        yield from _band_fits(folder / f"{stem}-band-{band}", band, paths, zero, turns, sideways=sideways)
        own = [row for row in rows if row.band == band and row.place_mm is not None]
        yield from _rows_fit(own, band, window, zero, paths, sideways=sideways)


def _read(reader: Callable[[Path], T], file: Path, kind: str) -> T | Finding:
    try:
        return reader(file)
    except FileError as error:
        return Finding(kind, str(error))


def zero_mm(
    window: tuple[float, float], paths: Sequence[StitchPath], drawing: Drawing, *, sideways: bool
) -> NDArray[np.float64]:
    """Return the place of the top that is (0, 0) in a band's files.

    Parameters
    ----------
    window
        From where to where the band's window goes down the frame, in millimetres.
    paths
        All paths; they tell where the top lies if its outline does not.
    drawing
        Of the design.
    sideways
        Whether the top lies with its left side uppermost.

    Returns
    -------
    ndarray
        (2,) in millimetres.

    Examples
    --------
    >>> from stitchpath.plan import Move, Span
    >>> paths = [StitchPath([(3, 0), (90, 700)], (Span(Move.SEW, 0, 1),))]
    >>> [zero_mm((400, 700), paths, Drawing(()), sideways=sideways).tolist() for sideways in (False, True)]
    [[3.0, 400.0], [400.0, 700.0]]
    """
    if drawing.outline is not None:
        left, _, _, bottom = drawing.outline.bounds
    else:
        points = np.concatenate([*(path.coordinates_mm for path in paths), np.zeros((0, 2))])
        left, bottom = points[:, 0].min(initial=np.inf), points[:, 1].max(initial=-np.inf)
    return np.array([window[0], bottom] if sideways else [left, window[0]])


def laid(points: NDArray[np.float64], zero: NDArray[np.float64], *, sideways: bool) -> NDArray[np.float64]:
    """Return places of the top as the band's files should have them.

    Parameters
    ----------
    points
        (N, 2) in millimetres.
    zero
        What is (0, 0) in the band's files; see `zero_mm`.
    sideways
        Whether the top lies with its left side uppermost.

    Returns
    -------
    ndarray
        (N, 2) in millimetres.

    Examples
    --------
    >>> points, zero = np.array([[50.0, 410.0]]), np.array([10.0, 400.0])
    >>> laid(points, zero, sideways=False).tolist(), laid(points, zero, sideways=True).tolist()
    ([[40.0, 10.0]], [[-10.0, 40.0]])
    >>> laid(points[:0], zero, sideways=False).shape
    (0, 2)
    """
    x, y = (points - zero).T
    return np.column_stack([-y, x] if sideways else [x, y])


def _band_fits(
    file: Path,
    band: int,
    paths: Sequence[StitchPath],
    zero: NDArray[np.float64],
    turns: Sequence[NDArray[np.float64]],
    *,
    sideways: bool,
) -> Iterator[Finding]:
    wanted = [
        replace(path, coordinates_mm=laid(path.coordinates_mm, zero, sideways=sideways))
        for path in paths
        if path.band == band
    ]
    if not wanted:
        return
    first = next(number for number, path in enumerate(paths, 1) if path.band == band)
    table = _read(read_band_csv, file.with_name(f"{file.name}.csv"), "csv")
    if isinstance(table, Finding):
        yield table
    else:
        number, own = table
        if number != first:
            yield Finding("csv", f"{file.name}.csv begins with path {number}, the whole table's is {first}")
        names = f"{file.name}.csv", f"band {band} of the whole table"
        yield from same_paths(own, wanted, names=names, first=first, within_mm=TWICE_MM)
    sewing = _read(read_svg, file.with_name(f"{file.name}.svg"), "svg")
    if isinstance(sewing, Finding):
        yield sewing
    else:
        yield from _svg_fits(sewing, wanted, f"{file.name}.svg", first, turns)


def _svg_fits(
    sewing: Sequence[NDArray[np.float64]],
    wanted: Sequence[StitchPath],
    name: str,
    first: int,
    turns: Sequence[NDArray[np.float64]],
) -> Iterator[Finding]:
    counts = [len(points) for points in sewing], [len(path.coordinates_mm) for path in wanted]
    if counts[0] != counts[1]:
        said = f"{len(counts[0])} paths of {sum(counts[0])} points"
        yield Finding("svg", f"{name} has {said}, its band {len(counts[1])} of {sum(counts[1])}")
        return
    drawn, whole = np.concatenate(sewing), np.concatenate([path.coordinates_mm for path in wanted])
    off = min((drawn * turn - whole for turn in turns), key=lambda off: float(np.abs(off).sum()))
    for number, (at, count) in enumerate(zip(np.cumsum([0, *counts[1][:-1]]), counts[1], strict=True), first):
        part = slice(at, at + count)
        yield from moved(f"path {number} of {name}", off[part], drawn[part], "svg", TWICE_MM)


def _rows_complete(rows: Sequence[BandRow], count: int) -> Iterator[Finding]:
    for band in range(1, count + 1):
        marks = [row.mark for row in rows if row.band == band]
        if marks.count("start") != 1 or marks.count("end") != 1:
            yield Finding("bands", f"the table of bands does not say once where band {band} starts and ends")
        if len(set(marks)) < len(marks):
            yield Finding("bands", f"the table of bands names two places of band {band} alike")
        letters = [mark for mark in marks if len(mark) == 1]
        if band > 1 and len(letters) < 2 and "note" not in marks:
            yield Finding("bands", f"band {band} has under two places to align on, and no note says why")
    if any(row.band > count for row in rows):
        yield Finding("bands", f"the table of bands has more bands than the plan: {count}")


def _rows_fit(
    rows: Sequence[BandRow],
    band: int,
    window: tuple[float, float],
    zero: NDArray[np.float64],
    paths: Sequence[StitchPath],
    *,
    sideways: bool,
) -> Iterator[Finding]:
    """Tell where rows do not fit their band's files, or a place to align on is not sewn earlier in reach."""
    sewn = [shapely.LineString(path.coordinates_mm) for path in paths if path.band < band]
    far = zero + (np.array([window[1] - window[0], 0.0])[:: 1 if sideways else -1])
    edges = {"start": zero, "end": far}
    for row in rows:
        place, said = np.array(row.place_mm), np.array(row.file_mm)
        there = laid(place[None], zero, sideways=sideways)[0]
        at = (float(place[0]), float(place[1]))
        name = f"{row.mark} of band {band}"
        if (np.abs(there - said) > TWICE_MM).any():
            yield Finding("bands", f"{name} is not where the band's files have it", at)
        if row.mark in edges and (np.abs(place - edges[row.mark]) > TWICE_MM).any():
            yield Finding("bands", f"{name} is not where its window is", at)
        if row.mark in edges:
            continue
        down = place[0 if sideways else 1]
        if not window[0] - COVERED_MM - TWICE_MM <= down <= window[1] + COVERED_MM + TWICE_MM:
            yield Finding("bands", f"{name} is out of reach", at)
        near = shapely.distance(shapely.Point(place), sewn).min(initial=np.inf)
        if near > COVERED_MM + TWICE_MM:
            yield Finding("bands", f"{name} is to be aligned on, and no earlier band sews there", at)
