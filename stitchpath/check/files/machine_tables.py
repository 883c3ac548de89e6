"""Whether the tables for a machine hold the plan's paths: x and y only, or a point for each stitch.

Stitches are laid out again here, with no code of the writer: each span of a path is divided at points where
it turns by more than 15°, and each part gets as few equal stitches as the length allows. Both kinds of table
are in millimetres or inches, as their header says. They are never moved or turned, except as a band's own
files are.

The writer and the check agree that a corner turns by 15° and a millionth more. At 15° itself, as in a polygon
of 24 corners, rounding decided (2026-11-30).
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from stitchpath.check.files.same_paths import ROUNDED_MM, moved, same_paths
from stitchpath.errors import FileError, Finding
from stitchpath.files import MachineTables
from stitchpath.formats.read_table import read_band_csv
from stitchpath.formats.read_thin import read_thin
from stitchpath.lines import LEAST_STITCH_MM, SECURE_STITCHES, Line, Role
from stitchpath.plan import Move, Span, StitchPath

__all__ = ["machine_tables_fit", "stitched"]

_CORNER_RADIANS = math.radians(15) + 1e-6
"""A little over 15°, so that rounding decides nothing where a line turns by just that, as a 24-gon does."""
_OVER_WHOLE = 1e-9
"""How far a length may be over a whole number of stitches, of one stitch."""


def machine_tables_fit(
    file: Path,
    tables: MachineTables,
    paths: Sequence[StitchPath],
    *,
    laid: Callable[[NDArray[np.float64]], NDArray[np.float64]],
    lines: Sequence[Line],
    first: int = 1,
    within_mm: float = ROUNDED_MM,
) -> Iterator[Finding]:
    """Tell where the tables for a machine are not the plan's paths.

    Parameters
    ----------
    file
        What their names begin with.
    tables
        Which there are, and how long their stitches.
    paths
        What they should hold, with numbers in full, as the top has them.
    laid
        Takes points to where the files have them.
    lines
        The drawing's, which spans name: some are basting.
    first
        The number of the first path.
    within_mm
        What rounding may come to in x or y.

    Examples
    --------
    >>> list(machine_tables_fit(Path("pear"), MachineTables(), [], laid=np.array, lines=()))
    []
    """
    if tables.stitch_length_mm is not None:
        paths = [stitched(path, tables, lines) for path in paths]
    wanted = [replace(path, coordinates_mm=laid(path.coordinates_mm)) for path in paths]
    if tables.stitch_length_mm is not None:
        yield from _stitches_fit(file.with_name(f"{file.name}-stitches.csv"), wanted, first, within_mm)
    if tables.thin:
        yield from _thin_fits(file.with_name(f"{file.name}-thin.csv"), wanted, first, within_mm)


def stitched(path: StitchPath, tables: MachineTables, lines: Sequence[Line]) -> StitchPath:
    """Return a path with a point for each stitch.

    Parameters
    ----------
    path
        Whose spans name lines.
    tables
        How long stitches are, and those of basting.
    lines
        The drawing's: those of the role of basting have longer stitches.

    Returns
    -------
    StitchPath
        The same path with more points; its spans count them.

    Examples
    --------
    >>> path = StitchPath([(0, 0), (5, 0), (5, 1)], (Span(Move.SEW, 0, 2),))
    >>> stitched(path, MachineTables(False, 2.5, 5.0), ()).coordinates_mm.tolist()
    [[0.0, 0.0], [2.5, 0.0], [5.0, 0.0], [5.0, 1.0]]
    """
    points: list[NDArray[np.float64]] = [path.coordinates_mm[:1]]
    spans, count = [], 0
    for span in path.spans:
        own = path.coordinates_mm[span.first : span.last + 1]
        stitches = _stitches(own, _longest_mm(span, own, tables, lines))
        spans.append(replace(span, first=count, last=count + len(stitches)))
        count += len(stitches)
        points.append(stitches)
    return replace(path, coordinates_mm=np.concatenate(points), spans=tuple(spans))


def _stitches_fit(
    file: Path, wanted: Sequence[StitchPath], first: int, within_mm: float
) -> Iterator[Finding]:
    try:
        number, found = read_band_csv(file)
    except FileError as error:
        yield Finding("csv", str(error))
        return
    if number != first:
        yield Finding("csv", f"{file.name} begins with path {number}, the plan's is {first}")
    names = file.name, "the plan at this stitch length"
    yield from same_paths(found, wanted, names=names, first=first, within_mm=within_mm)


def _thin_fits(file: Path, wanted: Sequence[StitchPath], first: int, within_mm: float) -> Iterator[Finding]:
    try:
        found = read_thin(file)
    except FileError as error:
        yield Finding("csv", str(error))
        return
    if len(found) != len(wanted):
        yield Finding("csv", f"{file.name} has {len(found)} paths, the plan {len(wanted)}")
        return
    for number, (points, path) in enumerate(zip(found, wanted, strict=True), first):
        if len(points) != len(path.coordinates_mm):
            counts = f"{len(points)} points in {file.name}, {len(path.coordinates_mm)} in the plan"
            yield Finding("csv", f"path {number} has {counts}")
        else:
            off = points - path.coordinates_mm
            yield from moved(f"path {number} of {file.name}", off, points, "csv", within_mm)


def _longest_mm(
    span: Span, points: NDArray[np.float64], tables: MachineTables, lines: Sequence[Line]
) -> float:
    longest = tables.stitch_length_mm or math.inf
    if span.move is Move.SECURE:
        small = float(_lengths(points).sum()) / SECURE_STITCHES
        return min(longest, max(small, LEAST_STITCH_MM))
    if span.line is not None and span.line <= len(lines) and lines[span.line - 1].role is Role.BASTE:
        return tables.basting_length_mm or longest
    return longest


def _lengths(points: NDArray[np.float64]) -> NDArray[np.float64]:
    lengths: NDArray[np.float64] = np.sqrt((np.diff(points, axis=0) ** 2).sum(axis=1))
    return lengths


def _stitches(points: NDArray[np.float64], longest_mm: float) -> NDArray[np.float64]:
    """Return the stitch points of one span, without its first one."""
    different = points[[0, *(np.flatnonzero(np.diff(points, axis=0).any(axis=1)) + 1)]]
    if len(different) < 2:  # a span without length
        return points[-1:]
    return np.concatenate([_equal(run, longest_mm) for run in _between_corners(different)])


def _between_corners(points: NDArray[np.float64]) -> list[NDArray[np.float64]]:
    segments = np.diff(points, axis=0)
    before, after = segments[:-1], segments[1:]
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turns = np.abs(np.arctan2(cross, (before * after).sum(axis=1)))
    ends = [0, *(np.flatnonzero(turns > _CORNER_RADIANS) + 1).tolist(), len(points) - 1]
    return [points[a : b + 1] for a, b in pairwise(ends)]


def _equal(run: NDArray[np.float64], longest_mm: float) -> NDArray[np.float64]:
    """Return the ends of as few equal stitches along a run as their length allows."""
    ends = np.cumsum(_lengths(run))
    count = max(1, math.ceil(ends[-1] / longest_mm - _OVER_WHOLE))
    far = ends[-1] * np.arange(1, count + 1) / count
    segment = np.minimum(np.searchsorted(ends, far), len(ends) - 1)
    lengths = np.diff(ends, prepend=0.0)[segment]
    part = np.clip((far - (ends[segment] - lengths)) / lengths, 0.0, 1.0)[:, None]
    points: NDArray[np.float64] = run[segment] * (1.0 - part) + run[segment + 1] * part
    return points
