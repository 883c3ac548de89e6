"""A path as a picture shows it: runs of sewing and of travel, and arrow heads along them."""

from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from stitchpath.plan import Move, StitchPath

__all__ = ["aside", "heads", "runs"]

_APART_MM = 20.0
_SHARPEST = 0.35


def runs(path: StitchPath) -> list[tuple[Move, NDArray[np.float64]]]:
    """Return a path's runs of one move, with points that repeat left out.

    Examples
    --------
    >>> from stitchpath.plan import Span
    >>> spans = (Span(Move.SEW, 0, 1), Span(Move.SEW, 1, 2), Span(Move.TRAVEL, 2, 3))
    >>> path = StitchPath([(0, 0), (1, 0), (2, 0), (1, 0)], spans)
    >>> [(move.value, len(points)) for move, points in runs(path)]
    [('sew', 3), ('travel', 2)]
    """
    found = []
    for move, group in groupby(path.spans, key=lambda span: span.move):
        spans = list(group)
        points = path.coordinates_mm[spans[0].first : spans[-1].last + 1]
        fresh = np.concatenate(([True], (np.diff(points, axis=0) != 0).any(axis=1)))
        if fresh.sum() > 1:
            found.append((move, points[fresh]))
    return found


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


def heads(points: NDArray[np.float64], size: float, *, apart: float = _APART_MM) -> NDArray[np.float64]:
    """Return arrow heads along a run, about `apart` apart, as triangles (M, 3, 2) that point along it.

    Each lies at the middle of its straight piece, so that it keeps clear of junctions; a run shorter than two
    heads has none.

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
