"""Where a path takes up a line that an earlier band left: a little way back over its sewn end."""

import numpy as np
from numpy.typing import NDArray

from stitchpath.check.measuring.intervals import Ints, Points
from stitchpath.check.measuring.match import spread, tally
from stitchpath.check.measuring.segments import NEVER
from stitchpath.check.rules.evidence import Evidence
from stitchpath.lines import COVERED_MM, RESUME_MM
from stitchpath.plan import Move

__all__ = ["resumed", "resumed_passes", "resumed_times", "route_ends"]


def resumed(seen: Evidence) -> tuple[Ints, ...]:
    """Return the pieces in which a line is taken up again, as the segments of each.

    Such a piece is said to be one, and is all that is not sewing before a path's first sewing, or after its
    last; it is no longer than `RESUME_MM`, and goes one way along a line that an earlier band sewed there
    and that the path sews on. Travel to an end in a seam may be all that, too, but for being said to be.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath.drawing import Drawing
    >>> resumed(look_at([], Asked(Drawing(lines=()))))
    ()
    """
    if not seen.banded:
        return ()
    said = np.array([span.move is Move.RESUME for path in seen.paths for span in path.spans], dtype=bool)
    pieces = [piece for path in range(len(seen.paths)) for piece in _ends(seen, path)]
    return tuple(
        segments
        for segments, beside in pieces
        if said[seen.segments.span[segments]].all() and _takes_up(seen, segments, beside)
    )


def resumed_passes(seen: Evidence) -> Ints:
    """Return how often each stretch is passed in taking up a line again.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Span, StitchPath
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> resumed_passes(look_at([path], Asked(Drawing(lines=())))).tolist()
    [0]
    """
    taken = [seen.stretches.of[segments] for segments in resumed(seen)]
    return np.bincount(np.concatenate([np.zeros(0, np.int64), *taken]), minlength=len(seen.stretches.times))


def resumed_times(seen: Evidence) -> Ints:
    """Return how often each cell is passed in taking up a line again.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line
    >>> resumed_times(look_at([], Asked(Drawing(lines=(Line([(0, 0), (9, 0)]),))))).tolist()
    [0]
    """
    passes = resumed_passes(seen)
    matches, bounds = seen.matches, seen.cells.bounds
    kept = np.flatnonzero(matches.follows & (passes[matches.stretch] > 0))
    first, last = (np.searchsorted(bounds, end[kept]) for end in matches.beside)
    return tally(first, last, passes[matches.stretch[kept]], len(seen.cells.times))


def route_ends(seen: Evidence) -> Points:
    """Return (2 n, 2) where each path would begin and end if it took no line up again.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Span, StitchPath
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> route_ends(look_at([path], Asked(Drawing(lines=())))).tolist()
    [[0.0, 0.0], [9.0, 0.0]]
    >>> route_ends(look_at([], Asked(Drawing(lines=())))).shape
    (0, 2)
    """
    none = np.zeros((0, 2))
    places = np.concatenate([none, *(path.coordinates_mm[[0, -1]] for path in seen.paths)])
    for segments in resumed(seen):
        path = seen.segments.path[segments[0]]
        at_start = segments[0] == 0 or seen.segments.path[segments[0] - 1] != path
        places[2 * path + (not at_start)] = (
            seen.segments.end[segments[-1]] if at_start else seen.segments.start[segments[0]]
        )
    return places


def _ends(seen: Evidence, path: int) -> list[tuple[Ints, int]]:
    """Return the segments of travel at a path's start and end, each with the segment of sewing beside it."""
    first, last = np.searchsorted(seen.segments.path, [path, path + 1])
    sewn = first + np.flatnonzero(seen.segments.sew[first:last])
    if not len(sewn):
        return []
    pieces = [(np.arange(first, sewn[0]), int(sewn[0])), (np.arange(sewn[-1] + 1, last), int(sewn[-1]))]
    return [(segments, beside) for segments, beside in pieces if len(segments)]


def _takes_up(seen: Evidence, segments: Ints, beside: int) -> bool:
    if seen.segments.length[segments].sum() > RESUME_MM + COVERED_MM:
        return False
    ways = [_ways(seen, segment) for segment in (*segments.tolist(), beside)]
    shared = set.intersection(*(set(way) for way in ways))
    band = seen.band[beside]
    return any(all(_sewn_before(seen, way[one], band) for way in ways[:-1]) for one in shared)


def _ways(seen: Evidence, segment: int) -> dict[tuple[int, bool], list[int]]:
    """Return the lines that a segment follows, and which way it goes, each with its matches."""
    matches, of = seen.matches, seen.stretches.of[segment]
    turned = bool((seen.segments.start[segment] != seen.stretches.start[of]).any())
    ways: dict[tuple[int, bool], list[int]] = {}
    for pair in seen.follows(int(of)).tolist():
        way = int(matches.line[pair]), bool(matches.same_way[pair]) != turned
        ways.setdefault(way, []).append(pair)
    return ways


def _sewn_before(seen: Evidence, pairs: list[int], band: int) -> bool:
    """Tell whether all of a line's cells beside a segment were sewn in an earlier band."""
    low, high = (end[pairs] for end in seen.matches.beside)
    bounds = seen.cells.bounds
    room = np.minimum(COVERED_MM, (high - low) / 2)  # where cells meet there may be one as wide as rounding
    _, cell = spread(
        np.searchsorted(bounds, low + room, side="right") - 1, np.searchsorted(bounds, high - room)
    )
    time = seen.cells.first_sew[cell]
    sewn: NDArray[np.bool_] = time < NEVER
    return bool(sewn.all()) and bool((seen.band[time] < band).all())
