"""Prove the small stitches that secure a path's ends: where they are, how long, and on which line."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain

import numpy as np
import shapely

from stitchpath.check.measuring.intervals import Points
from stitchpath.check.measuring.segments import take_segments, take_stretches
from stitchpath.check.rules.evidence import Evidence
from stitchpath.check.rules.stitching import kept_out
from stitchpath.errors import Finding
from stitchpath.lines import COVERED_MM, SECURE_MM
from stitchpath.plan import Move, Span, StitchPath
from stitchpath.settings import MachineSettings

__all__ = ["secured_as_set", "secures_in_place"]

_LONGER_MM = 0.1
"""How much longer rounding to 3 decimals can make `SECURE_MM` of a finely divided line, there and back."""


def secured_as_set(paths: Sequence[StitchPath], machine: MachineSettings) -> Iterator[Finding]:
    """Small stitches are at both ends of each path where the machine's files hold them, else at none.

    Examples
    --------
    >>> list(secured_as_set([], MachineSettings()))
    []
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> [f.message for f in secured_as_set([path], MachineSettings(secured="small stitches"))]
    ['path 1 has no small stitches that secure its start', 'path 1 has no small stitches that secure its end']
    """
    for number, path in enumerate(paths, 1):
        for name, span in (("start", path.spans[0]), ("end", path.spans[-1])):
            secured = span.move is Move.SECURE
            if machine.secures_in_files and not secured:
                yield Finding("secure", f"path {number} has no small stitches that secure its {name}")
            if secured and not machine.secures_in_files:
                said = f"path {number} has small stitches at its {name}; this machine's files hold none"
                yield Finding("secure", said)


def secures_in_place(seen: Evidence) -> Iterator[Finding]:
    """Small stitches that secure an end are at that end, on the path's own line, and in no keep-out.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath.drawing import Drawing
    >>> path = StitchPath([(0, 0), (0, 3), (0, 0), (9, 0)], (Span(Move.SECURE, 0, 2), Span(Move.SEW, 2, 3)))
    >>> [found.message for found in secures_in_place(look_at([path], Asked(Drawing(lines=()))))]
    ["path 1, start: the small stitches leave the first 3.000 mm of the path's line"]
    >>> list(secures_in_place(look_at([], Asked(Drawing(lines=())))))
    []
    """
    yield from chain.from_iterable(_on_its_line(number, path) for number, path in enumerate(seen.paths, 1))
    segments = take_segments(seen.paths, stages=seen.stages, moves=(Move.SECURE,))
    yield from kept_out(replace(seen, segments=segments, stretches=take_stretches(segments)))


def _on_its_line(number: int, path: StitchPath) -> Iterator[Finding]:
    points, spans = path.coordinates_mm, path.spans
    begins = spans[0].last if spans[0].move is Move.SECURE else 0
    ends = spans[-1].first if spans[-1].move is Move.SECURE else len(points) - 1
    own = points[begins : ends + 1]
    if len(own) < 2 or not (np.diff(own, axis=0) != 0).any():
        yield _finding(f"path {number} has nothing but small stitches that secure its ends", points[0])
        return
    within = next((span for span in spans[1:-1] if span.move is Move.SECURE), None)
    if within is not None:
        said = f"path {number} has small stitches between its ends, where nothing is to be secured"
        yield _finding(said, points[within.first])
        return
    if begins:
        yield from _at_end(f"path {number}, start", points[: begins + 1], own, spans[:2])
    if ends < len(points) - 1:
        yield from _at_end(f"path {number}, end", points[ends:][::-1], own[::-1], spans[:-3:-1])


def _at_end(name: str, small: Points, own: Points, spans: Sequence[Span]) -> Iterator[Finding]:
    """Prove small stitches, which come to the first point of the path's `own`; `spans`: theirs and its."""
    stitches, beside = spans
    if (stitches.stage, stitches.line) != (beside.stage, beside.line):
        yield _finding(f"{name}: the small stitches have another stage or line than the path there", own[0])
    if np.hypot(*(small[0] - own[0])) > COVERED_MM:
        yield _finding(f"{name}: the small stitches do not begin and end in the end point", small[0])
    along = _along(own)
    there, length = min(SECURE_MM, along[-1]), _along(small)[-1]
    if length > 2 * there + _LONGER_MM:
        said = f"{name}: the small stitches are {length:.3f} mm long; {2 * there:.3f} mm is the most"
        yield _finding(said, small[0])
    if length < there - _LONGER_MM:
        said = f"{name}: the small stitches are {length:.3f} mm long; {there:.3f} mm is the least"
        yield _finding(said, small[0])
    if length:
        near = shapely.buffer(_first_part(own, along, there + _LONGER_MM), COVERED_MM)
        off = shapely.difference(shapely.LineString(small), near)
        if not off.is_empty:
            middle = shapely.line_interpolate_point(shapely.get_geometry(off, 0), 0.5, normalized=True)
            said = f"{name}: the small stitches leave the first {there:.3f} mm of the path's line"
            yield _finding(said, shapely.get_coordinates(middle)[0])


def _along(points: Points) -> Points:
    along: Points = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))))
    return along


def _first_part(own: Points, along: Points, length_mm: float) -> shapely.LineString:
    """Return a line from its first point on as far as said, or whole where it is shorter."""
    last = min(length_mm, along[-1])
    end = [[np.interp(last, along, axis) for axis in own.T]]
    return shapely.LineString(np.concatenate((own[along < last], end)))


def _finding(said: str, point: Points) -> Finding:
    return Finding("secure", said, (float(point[0]), float(point[1])))
