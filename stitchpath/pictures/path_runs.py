"""A path as a picture shows it: its parts, its runs of one move, and arrow heads and ticks along them."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import groupby, pairwise

import numpy as np
from numpy.typing import NDArray

from stitchpath.plan import Move, StitchPath

__all__ = ["aside", "fresh", "heads", "last_step", "parts", "runs", "ticks"]

# chosen by eye in print: how far arrow heads are apart in mm, a limit to mitres, ticks and their slant
_HEADS_APART_MM = 20.0
_SHARPEST = 0.35
_LEAST_TICKS, _SLANT = 3, np.radians(60)


def parts(path: StitchPath, count: int) -> Iterator[StitchPath]:
    """Cut a path at points of its own into at most `count` parts that are about equally long.

    Examples
    --------
    >>> from stitchpath.plan import Span
    >>> path = StitchPath([(0, 0), (1, 0), (2, 0), (3, 0)], (Span(Move.SEW, 0, 3),))
    >>> [len(part.coordinates_mm) for part in parts(path, 2)], [part == path for part in parts(path, 1)]
    ([3, 2], [True])
    """
    along = path.along_mm
    places = np.searchsorted(along, np.linspace(0.0, along[-1], count + 1)[1:-1])
    for start, end in pairwise(np.unique([0, *places, len(along) - 1]).tolist()):
        yield _part(path, start, end)


def _part(path: StitchPath, start: int, end: int) -> StitchPath:
    spans = tuple(
        replace(span, first=max(span.first, start) - start, last=min(span.last, end) - start)
        for span in path.spans
        if span.first < end and span.last > start
    )
    return replace(path, coordinates_mm=path.coordinates_mm[start : end + 1], spans=spans)


def runs(path: StitchPath) -> list[tuple[Move, NDArray[np.float64]]]:
    """Return a path's runs of one move.

    Examples
    --------
    >>> from stitchpath.plan import Span
    >>> spans = (Span(Move.SEW, 0, 1), Span(Move.SEW, 1, 2), Span(Move.TRAVEL, 2, 3))
    >>> path = StitchPath([(0, 0), (1, 0), (2, 0), (1, 0)], spans)
    >>> [(move.value, len(points)) for move, points in runs(path)]
    [('sew', 3), ('travel', 2)]
    """
    grouped = ((move, list(spans)) for move, spans in groupby(path.spans, key=lambda span: span.move))
    return [(move, path.coordinates_mm[spans[0].first : spans[-1].last + 1]) for move, spans in grouped]


def fresh(points: NDArray[np.float64], *, decimals: int = 4) -> NDArray[np.float64]:
    """Return a run rounded, without points that repeat the one before.

    Examples
    --------
    >>> fresh(np.array([[0.0, 0.0], [0.00001, 0.0], [1.0, 0.0], [1.0, 0.0]])).tolist()
    [[0.0, 0.0], [1.0, 0.0]]
    >>> fresh(np.empty((0, 2))).shape
    (0, 2)
    """
    rounded = np.round(points, decimals)
    repeats = (np.diff(rounded, axis=0) == 0).all(axis=1)
    return np.asarray(rounded[np.concatenate((np.ones(min(len(rounded), 1), dtype=bool), ~repeats))])


def last_step(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return a run's last step that moves; to the right where none does.

    Examples
    --------
    >>> last_step(np.array([[0.0, 0.0], [0.0, 2.0], [0.0, 2.0]])).tolist()
    [0.0, 2.0]
    """
    moving = fresh(points)
    return moving[-1] - moving[-2] if len(moving) > 1 else np.array([1.0, 0.0])


def aside(points: NDArray[np.float64], distance: float) -> NDArray[np.float64]:
    """Return a run moved to the right of its direction (y down), corners mitred up to a limit.

    Examples
    --------
    >>> aside(np.array([[0.0, 0.0], [2.0, 0.0]]), 0.5).tolist()
    [[0.0, 0.5], [2.0, 0.5]]
    """
    steps = np.diff(points, axis=0)
    right = np.column_stack([-steps[:, 1], steps[:, 0]]) / np.hypot(*steps.T)[:, None]
    before, after = np.vstack([right[:1], right]), np.vstack([right, right[-1:]])
    mitre = np.maximum(1 + (before * after).sum(axis=1), _SHARPEST)
    return np.asarray(points + distance * (before + after) / mitre[:, None])


def heads(points: NDArray[np.float64], size: float, *, apart: float = _HEADS_APART_MM) -> NDArray[np.float64]:
    """Return arrow heads along a run, about `apart` apart, as triangles (M, 3, 2) that point along it.

    Each lies at the middle of its straight piece, so that it keeps clear of junctions; a run shorter than two
    heads has none.

    Parameters
    ----------
    points
        (N, 2) in printed millimetres.
    size
        How long a head is, in printed millimetres.
    apart
        In printed millimetres.

    Returns
    -------
    ndarray
        (M, 3, 2): tip and both ends of the back.

    Examples
    --------
    >>> heads(np.array([[0.0, 0.0], [20.0, 0.0]]), 2.0).tolist()
    [[[11.0, 0.0], [9.0, 0.8], [9.0, -0.8]]]
    """
    steps = np.diff(points, axis=0)
    lengths = np.hypot(*steps.T)
    along = np.concatenate(([0.0], np.cumsum(lengths)))
    if along[-1] < 2 * size:
        return np.empty((0, 3, 2))
    count = max(round(along[-1] / apart), 1)
    wanted = (np.arange(count) + 0.5) * along[-1] / count
    piece = np.clip(np.searchsorted(along, wanted, side="right") - 1, 0, len(steps) - 1)
    middle = along[piece] + lengths[piece] / 2
    where = np.unique(np.where(lengths[piece] < apart, middle, wanted))
    piece = np.clip(np.searchsorted(along, where, side="right") - 1, 0, len(steps) - 1)
    ahead = steps[piece] / lengths[piece][:, None]
    centre = points[piece] + ahead * (where - along[piece])[:, None]
    across = np.column_stack([-ahead[:, 1], ahead[:, 0]]) * 0.4 * size
    tip, back = centre + ahead * size / 2, centre - ahead * size / 2
    return np.stack([tip, back + across, back - across], axis=1)


def ticks(points: NDArray[np.float64], size: float) -> NDArray[np.float64]:
    """Return slanting ticks (M, 2, 2) across a run, about a third of their size apart.

    There are three at least: those of a run too short for them reach beyond its ends.

    Examples
    --------
    >>> ticks(np.array([[0.0, 0.0], [1.0, 0.0]]), 3.0).mean(axis=1).round(9).tolist()
    [[-0.5, 0.0], [0.5, 0.0], [1.5, 0.0]]
    >>> len(ticks(np.array([[0.0, 0.0], [40.0, 0.0]]), 3.0))
    40
    """
    steps = np.diff(points, axis=0)
    lengths = np.hypot(*steps.T)
    along = np.concatenate(([0.0], np.cumsum(lengths)))
    count = max(round(along[-1] * 3 / size), _LEAST_TICKS)
    where = along[-1] / 2 + size / 3 * (np.arange(count) - (count - 1) / 2)
    piece = np.clip(np.searchsorted(along, where, side="right") - 1, 0, len(steps) - 1)
    ahead = steps[piece] / lengths[piece][:, None]
    centre = points[piece] + ahead * (where - along[piece])[:, None]
    across = np.column_stack([-ahead[:, 1], ahead[:, 0]])
    half = (np.cos(_SLANT) * ahead - np.sin(_SLANT) * across) * size / 2
    return np.stack([centre - half, centre + half], axis=1)
