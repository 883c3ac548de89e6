"""What the needle does, as segments from point to point, and as stretches: each distinct segment once."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.check.measuring.intervals import Floats, Interval, Ints, Points, pieces
from stitchpath.errors import Finding
from stitchpath.plan import Move, StitchPath

__all__ = ["NEVER", "STITCHED", "Segments", "Stretches", "broken_paths", "take_segments", "take_stretches"]

NEVER = np.iinfo(np.int64).max
"""Later than every segment."""

STITCHED = frozenset(Move) - {Move.SECURE}
"""The moves that go along a path; small stitches that secure an end go along what is a path without them."""


def broken_paths(paths: Sequence[StitchPath]) -> tuple[Finding, ...]:
    """Return what keeps paths from being one unbroken line of stitching each.

    Examples
    --------
    >>> broken_paths([])
    ()
    >>> broken_paths([StitchPath([(0, 0)], ())])[0].message
    'path 1 has 1 point; it takes two to sew'
    """
    return tuple(finding for number, path in enumerate(paths, 1) for finding in _broken(number, path))


def _broken(number: int, path: StitchPath) -> Iterator[Finding]:
    points = path.coordinates_mm
    if len(points) < 2:
        yield Finding("path", f"path {number} has {len(points)} point; it takes two to sew")
        return
    bad = np.flatnonzero(~np.isfinite(points).all(axis=1))
    if len(bad):
        yield Finding("path", f"path {number}, point {bad[0] + 1} is not a place: it holds no finite number")
    elif not (np.diff(points, axis=0) != 0).any():
        yield Finding("path", f"path {number} stays in one place", _place(points[0]))
    ends = [0, *(span.last for span in path.spans)]
    starts = [*(span.first for span in path.spans), len(points) - 1]
    if ends != starts or any(span.last <= span.first for span in path.spans):
        yield Finding("path", f"path {number}: its spans do not follow each other from first to last point")


def _place(point: Points) -> tuple[float, float]:
    return float(point[0]), float(point[1])


@dataclass(frozen=True, eq=False)
class Segments:
    """Every needle-down segment of all paths with some moves, in sewing order; its index is its time.

    Attributes
    ----------
    start, end
        (N, 2) in millimetres.
    path, span
        Index of its path, and of its span counted through all paths.
    sew, step
        Whether its move is to sew, or to step over open cloth.
    stage
        The index of its stage's name; -1 where the schedule has no such stage.
    line
        The index of the line that its span names; -1 for none.
    """

    start: Points
    end: Points
    path: Ints
    span: Ints
    sew: NDArray[np.bool_]
    step: NDArray[np.bool_]
    stage: Ints
    line: Ints

    @property
    def length(self) -> Floats:
        """Length of each in millimetres."""
        length: Floats = np.hypot(*(self.end - self.start).T)
        return length


def take_segments(
    paths: Sequence[StitchPath],
    *,
    stages: Sequence[str],
    moves: Collection[Move] = STITCHED,
) -> Segments:
    """Take unbroken paths apart into segments; points that repeat make none.

    Parameters
    ----------
    paths
        With spans from first to last point.
    stages
        The schedule's, in order.
    moves
        Segments with other moves are left out.

    Examples
    --------
    >>> len(take_segments([], stages=["detail"]).path)
    0
    """
    spans = [span for path in paths for span in path.spans]
    counts = np.array([span.last - span.first for span in spans], dtype=np.int64)
    order = {name: index for index, name in enumerate(stages)}
    none = np.zeros((0, 2))
    start = np.concatenate([none, *(path.coordinates_mm[:-1] for path in paths)])
    end = np.concatenate([none, *(path.coordinates_mm[1:] for path in paths)])
    asked = np.repeat(np.array([span.move in moves for span in spans], dtype=bool), counts)
    moved = asked & (start != end).any(axis=1)
    path = np.repeat(np.arange(len(paths)), [len(path.coordinates_mm) - 1 for path in paths])
    span = np.repeat(np.arange(len(spans)), counts)[moved]
    sew, step = (np.array([s.move is m for s in spans], dtype=bool) for m in (Move.SEW, Move.STEP))
    stage = np.array([order.get(s.stage, -1) for s in spans], dtype=np.int64)
    line = np.array([(s.line or 0) - 1 for s in spans], dtype=np.int64)
    return Segments(
        start[moved], end[moved], path[moved], span, sew[span], step[span], stage[span], line[span]
    )


@dataclass(frozen=True, eq=False)
class Stretches:
    """Each different segment once, whichever way it is taken, laid along an axis of its own.

    Attributes
    ----------
    of
        For each segment: the index of its stretch.
    start, end
        (N, 2) in millimetres.
    extent
        From where to where it runs on the axis.
    times, sews, steps
        How often it is passed, and how often that is called sewing, and a step over open cloth.
    first_sew, first_travel, first_step
        The times of the first of each; `NEVER` if there is none.
    drawn, tree
        The stretches as shapely linestrings, and their STRtree.
    """

    of: Ints
    start: Points
    end: Points
    extent: Interval
    times: Ints
    sews: Ints
    steps: Ints
    first_sew: Ints
    first_travel: Ints
    first_step: Ints
    drawn: NDArray[np.object_]
    tree: Any

    def locate(self, place: Floats) -> tuple[Ints, Points]:
        """Return the stretches and the points at places on the axis."""
        stretch = np.maximum(np.searchsorted(self.extent[0], place, side="right") - 1, 0)
        along = self.end[stretch] - self.start[stretch]
        along = along / np.hypot(*along.T)[:, None]
        return stretch, self.start[stretch] + along * (place - self.extent[0][stretch])[:, None]


def take_stretches(segments: Segments) -> Stretches:
    """Find each different segment once.

    Examples
    --------
    >>> len(take_stretches(take_segments([], stages=[])).times)
    0
    """
    low, high = _ends(segments)
    _, first, of = np.unique(low * (high.max(initial=0) + 1) + high, return_index=True, return_inverse=True)
    count = len(first)
    length = segments.length[first]
    drawn = pieces(segments.start[first], segments.end[first])
    begin = np.cumsum(length + 1.0) - length
    return Stretches(
        of,
        segments.start[first],
        segments.end[first],
        (begin, begin + length),
        np.bincount(of, minlength=count),
        np.bincount(of[segments.sew], minlength=count),
        np.bincount(of[segments.step], minlength=count),
        _earliest(of, count, segments.sew),
        _earliest(of, count, ~(segments.sew | segments.step)),
        _earliest(of, count, segments.step),
        drawn,
        shapely.STRtree(drawn),
    )


def _ends(segments: Segments) -> tuple[Ints, Ints]:
    """Return the numbers of each segment's lower and higher end; equal points have one number."""
    points = np.concatenate((segments.start, segments.end))
    order = np.lexsort(points.T)
    fresh = (np.diff(points[order], axis=0) != 0).any(axis=1)
    number = np.empty(len(points), dtype=np.int64)
    number[order] = np.concatenate(([0], np.cumsum(fresh)))[: len(points)]
    one, two = number[: len(segments.start)], number[len(segments.start) :]
    return np.minimum(one, two), np.maximum(one, two)


def _earliest(of: Ints, count: int, marked: NDArray[np.bool_]) -> Ints:
    first = np.full(count, NEVER)
    np.minimum.at(first, of[marked], np.flatnonzero(marked))
    return first
