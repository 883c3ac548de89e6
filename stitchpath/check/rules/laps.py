"""Closed outlines counted again: those that another line touches, and those sewn in one unbroken round.

The count is a range. Where an outline runs along another line, or only a hidden seam touches it, the drawn
lines do not tell whether the outline is touched (2026-11-30).
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.check.measuring.intervals import Interval, Ints, gaps, near, pieces
from stitchpath.check.measuring.match import STRETCH_MM
from stitchpath.check.rules.evidence import NOISE_MM, Evidence
from stitchpath.errors import Finding
from stitchpath.lines import COVERED_MM, Role
from stitchpath.plan import Plan

__all__ = ["laps_hold"]

_TOUCHING_MM = 1e-6
"""Lines drawn nearer than this meet; farther apart than `COVERED_MM` they do not; else either may be."""

_BESIDE_SHARE = 0.45
"""Pieces run beside each other at least for this share of the shorter one."""

Bools = NDArray[np.bool_]


def laps_hold(seen: Evidence, plan: Plan) -> Iterator[Finding]:
    """As many closed outlines are touched by another line, and sewn in one round, as a plan states.

    Those left to others are not counted. It is a range where drawn lines do not tell: where an outline runs
    along another line, or near one, or only hidden seams touch it, which may have been cut off.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line
    >>> ring = Line([(0, 0), (9, 0), (9, 9), (0, 0)], Role.OUTLINE)
    >>> seen = look_at([], Asked(Drawing(lines=(ring,))))
    >>> list(laps_hold(seen, Plan(seen.asked.drawing, (), (), 0.0)))
    []
    """
    rings = _closed_outlines(seen)
    touched = _touched(seen, rings)
    least, most = _in_one_round(seen, rings)
    alone = ~touched.beside
    own = ~seen.asked.left[rings]
    may = touched.most & (own | touched.beside)
    yield from _told(plan.laps.touched, (touched.least & alone & own, may), "touched by another line")
    both = touched.least & least & alone, may & most
    yield from _told(plan.laps.in_one_lap, both, "touched and sewn in one lap")


def _told(stated: int, rings: tuple[Bools, Bools], what: str) -> Iterator[Finding]:
    low, high = (int(ring.sum()) for ring in rings)
    if not low <= stated <= high:
        there = f"{low}" if low == high else f"between {low} and {high}"
        said = f"the plan states {stated} closed outlines {what}; it has {there}"
        yield Finding("laps", said)


def _closed_outlines(seen: Evidence) -> Ints:
    """Return the asked lines that are closed outlines."""
    asked = seen.asked.drawing.lines
    return np.array(
        [i for i, line in enumerate(asked) if line.closed and line.role is Role.OUTLINE], dtype=np.int64
    )


@dataclass(frozen=True, eq=False)
class _Touched:
    """For each ring: whether another line surely touches it, or may; and whether one runs along it."""

    least: Bools
    most: Bools
    beside: Bools


def _touched(seen: Evidence, rings: Ints) -> _Touched:
    rails = seen.rails
    own = np.flatnonzero(np.isin(rails.line, rings))
    drawn = pieces(rails.start[own], rails.end[own])
    place, other = rails.tree.query(drawn, predicate="dwithin", distance=COVERED_MM)
    piece = own[place]
    apart = rails.line[piece] != rails.line[other]
    place, piece, other = place[apart], piece[apart], other[apart]
    meets = shapely.distance(drawn[place], rails.tree.geometries[other]) <= _TOUCHING_MM
    sure = meets & (rails.line[other] < rails.asked)
    low, high = near(
        rails.start[piece], rails.end[piece], rails.start[other], rails.end[other],
        within_mm=COVERED_MM, caps=False,
    )  # fmt: skip
    lengths = np.hypot(*(rails.end - rails.start).T)
    along = high - low >= np.minimum(STRETCH_MM, _BESIDE_SHARE * np.minimum(lengths[piece], lengths[other]))

    def of(marked: Bools) -> Bools:
        return np.isin(rings, rails.line[piece[marked]])

    folded = np.array([not shapely.LineString(rails.lines[ring].points_mm).is_simple for ring in rings], bool)
    return _Touched(of(sure), of(np.ones(len(piece), dtype=bool)) | folded, of(along))


def _in_one_round(seen: Evidence, rings: Ints) -> tuple[Bools, Bools]:
    """Return which rings surely are, and which may be, sewn in one unbroken round."""
    least, most = np.zeros(len(rings), dtype=bool), np.zeros(len(rings), dtype=bool)
    segments = _Sewing(seen)
    for i, ring in enumerate(rings.tolist()):
        if seen.asked.left[ring]:
            most[i] = True
            continue
        for run in segments.runs(ring):
            if segments.goes_round(ring, run):
                most[i] = True
                least[i] |= bool((seen.segments.start[run[0]] == seen.segments.end[run[-1]]).all())
    return least, most


class _Sewing:
    """The segments of sewing along each line."""

    def __init__(self, seen: Evidence) -> None:
        matches, self._seen = seen.matches, seen
        kept = np.flatnonzero(matches.follows & (seen.stretches.sews[matches.stretch] > 0))
        self._pairs = kept[np.argsort(matches.line[kept], kind="stable")]
        self._line = matches.line[self._pairs]
        sewn = np.flatnonzero(seen.segments.sew)
        self._segments = sewn[np.argsort(seen.stretches.of[sewn], kind="stable")]
        self._stretch = seen.stretches.of[self._segments]

    def runs(self, line: int) -> list[Ints]:
        """Return the unbroken runs of segments that sew along a line, each within one path."""
        stretch = np.unique(self._seen.matches.stretch[self._on(line)])
        first, last = (np.searchsorted(self._stretch, stretch, side) for side in ("left", "right"))
        segments = np.sort(np.concatenate([self._segments[:0], *map(self._between, first, last)]))
        path = self._seen.segments.path[segments]
        return np.split(segments, np.flatnonzero((np.diff(segments) > 1) | (np.diff(path) != 0)) + 1)

    def goes_round(self, line: int, run: Ints) -> bool:
        """Tell whether a run of segments sews the whole of a line."""
        pairs = self._on(line)
        kept = pairs[np.isin(self._seen.matches.stretch[pairs], self._seen.stretches.of[run])]
        low, high = (end[kept] for end in self._seen.matches.covers)
        first, last = (end[[line]] for end in self._seen.rails.extent)
        open_at: Interval = gaps((low, high), (first, last), over_mm=NOISE_MM)
        return not len(open_at[0])

    def _on(self, line: int) -> Ints:
        first, last = np.searchsorted(self._line, [line, line + 1])
        return self._pairs[first:last]

    def _between(self, first: int, last: int) -> Ints:
        return self._segments[first:last]
