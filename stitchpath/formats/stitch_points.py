"""Lays points along a path at a stitch length."""

from collections.abc import Sequence
from dataclasses import replace
from numbers import Real

import numpy as np
from numpy.typing import NDArray

from stitchpath.errors import DesignError, refuse_other
from stitchpath.geometry.lengths import along
from stitchpath.lines import BASTING_LENGTH_MM, LEAST_STITCH_MM, SECURE_STITCHES, Line, Role
from stitchpath.plan import Move, Span, StitchPath

__all__ = ["BASTING_LENGTH_MM", "stitch_points"]

_CORNER_COSINE = float(np.cos(np.radians(15.0) + 1e-6))
"""A little over 15°, so that rounding decides nothing where a line turns by just that, as a 24-gon does."""


def stitch_points(
    path: StitchPath,
    stitch_length_mm: float,
    *,
    basting_length_mm: float = BASTING_LENGTH_MM,
    lines: Sequence[Line] = (),
) -> StitchPath:
    """Return the path with its points at equal stitches.

    Points where it turns by more than 15°, and where a span ends, stay; between two of them lie as few equal
    stitches as the length allows. Each point lies on the path. Small stitches that secure an end stay
    `SECURE_STITCHES`; only a shorter stitch asked for divides them.

    Parameters
    ----------
    path
        With spans from its first to its last point.
    stitch_length_mm
        The longest stitch.
    basting_length_mm
        The longest stitch of spans on lines that are basting.
    lines
        The drawing's, which the spans name; without them no span is basting.

    Raises
    ------
    DesignError
        If a length is under 0.1 mm or not finite.

    Examples
    --------
    >>> from stitchpath.plan import Move, Span
    >>> path = StitchPath([(0, 0), (5, 0)], (Span(Move.SEW, 0, 1, 1),))
    >>> stitch_points(path, 2.5).coordinates_mm[:, 0].tolist()
    [0.0, 2.5, 5.0]
    >>> stitch_points(path, 2.5, lines=[Line([(0, 0), (5, 0)], Role.BASTE)]).coordinates_mm[:, 0].tolist()
    [0.0, 5.0]
    """
    _refuse("stitch_length_mm", stitch_length_mm)
    _refuse("basting_length_mm", basting_length_mm)
    pieces, spans, count = [path.coordinates_mm[:1]], [], 0
    for span in path.spans:
        longest = basting_length_mm if _bastes(span, lines) else stitch_length_mm
        if span.move is Move.SECURE:
            longest = min(stitch_length_mm, max(path.span_mm(span) / SECURE_STITCHES, LEAST_STITCH_MM))
        laid = _laid(path.coordinates_mm[span.first : span.last + 1], longest)
        spans.append(replace(span, first=count, last=count + len(laid)))
        count += len(laid)
        pieces.append(laid)
    return replace(path, coordinates_mm=np.concatenate(pieces), spans=tuple(spans))


def _refuse(key: str, length_mm: float) -> None:
    refuse_other(key, length_mm, Real, "stitch length", "write millimetres, such as 2.5")
    if not LEAST_STITCH_MM <= length_mm < np.inf:
        raise DesignError(f"{length_mm:g} mm is no stitch length", "write one of at least 0.1 mm", key=key)


def _bastes(span: Span, lines: Sequence[Line]) -> bool:
    if span.line is None or span.line > len(lines):
        return False
    return lines[span.line - 1].role is Role.BASTE


def _laid(points: NDArray[np.float64], stitch_mm: float) -> NDArray[np.float64]:
    """Return the stitch points of one span, without its first point."""
    moves = (np.diff(points, axis=0) != 0).any(axis=1)
    points = points[np.append(True, moves)]  # a step of no length would hide a corner
    far = along(points)
    kept = far[[0, *_corners(points), -1]]
    counts = np.maximum(np.ceil(np.diff(kept) / stitch_mm - 1e-9), 1).astype(int)
    places = [np.linspace(a, b, n + 1)[1:] for a, b, n in zip(kept[:-1], kept[1:], counts, strict=True)]
    where = np.concatenate(places)
    return np.column_stack([np.interp(where, far, axis) for axis in points.T])


def _corners(points: NDArray[np.float64]) -> NDArray[np.intp]:
    steps = np.diff(points, axis=0)
    lengths = np.hypot(*steps.T)
    cosine_by_length = (steps[:-1] * steps[1:]).sum(axis=1)
    return np.flatnonzero(cosine_by_length < _CORNER_COSINE * lengths[:-1] * lengths[1:]) + 1
