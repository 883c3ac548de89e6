"""Whether two files hold the same paths."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from stitchpath.errors import Finding
from stitchpath.plan import StitchPath

__all__ = ["ROUNDED_MM", "moved", "same_paths"]

ROUNDED_MM = 0.0005 + 1e-9
"""What 3 decimals can move a coordinate."""


def same_paths(
    paths: Sequence[StitchPath],
    others: Sequence[StitchPath],
    *,
    names: tuple[str, str] = ("the table", "the plan"),
    first: int = 1,
    within_mm: float = ROUNDED_MM,
) -> Iterator[Finding]:
    """Tell where a table's paths differ from others by more than rounding.

    Parameters
    ----------
    paths, others
        Those of the table, and those that it should hold.
    names
        How both are called.
    first
        The number of the first path.
    within_mm
        What rounding may come to in x or y.

    Examples
    --------
    >>> list(same_paths([], []))
    []
    """
    here, there = names
    if len(paths) != len(others):
        yield Finding("csv", f"{here} has {len(paths)} paths, {there} {len(others)}")
        return
    for number, (path, other) in enumerate(zip(paths, others, strict=True), first):
        if len(path.coordinates_mm) != len(other.coordinates_mm):
            counts = f"{len(path.coordinates_mm)} points in {here}, {len(other.coordinates_mm)} in {there}"
            yield Finding("csv", f"path {number} has {counts}")
        elif path.band != other.band or _moves(path) != _moves(other):
            yield Finding("csv", f"path {number} has other bands, stages or moves in {here} than in {there}")
        else:
            off = path.coordinates_mm - other.coordinates_mm
            yield from moved(f"path {number} of {here}", off, path.coordinates_mm, "csv", within_mm)


def _moves(path: StitchPath) -> list[tuple[str, str]]:
    return [(span.move, span.stage) for span in path.spans for _ in range(span.first, span.last)]


def moved(
    name: str, off: NDArray[np.float64], points: NDArray[np.float64], kind: str, within_mm: float
) -> Iterator[Finding]:
    """Tell of the first point that is farther off than rounding comes to.

    Parameters
    ----------
    name
        What the points belong to, such as ``"path 1"``.
    off
        (N, 2) how far each is off in x and y, in millimetres.
    points
        (N, 2) where they are.
    kind
        Of the finding.
    within_mm
        What rounding comes to in x or y.

    Yields
    ------
    Finding
        One at most.

    Examples
    --------
    >>> points = np.array([[0.0, 0.0], [9.0, 0.0]])
    >>> off = np.array([[0.0, 0.0], [0.3, 0.4]])
    >>> [found.message for found in moved("path 1", off, points, "svg", 0.001)]
    ['path 1, point 2 is 0.500 mm from where another file has it']
    >>> list(moved("path 1", off[:0], points[:0], "svg", 0.001))
    []
    """
    far = np.flatnonzero(~(np.abs(off) <= within_mm).all(axis=1))
    if len(far):
        x, y = points[far[0]].tolist()
        by = float(np.hypot(*off[far[0]]))
        said = f"{name}, point {far[0] + 1} is {by:.3f} mm from where another file has it"
        yield Finding(kind, said, (x, y))
