"""Where the needle steps over open cloth, from one ring of an echo or of nested ovals to the next.

A step is straight, from ring to ring, no longer than they are apart and than the design allows, and meets
nothing on its way. That it enters no keep-out and stays in reach is asked of it as of all stitching.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
import shapely

from stitchpath.check.measuring.intervals import Ints, Points
from stitchpath.check.measuring.match import STRETCH_MM
from stitchpath.check.measuring.rails import named
from stitchpath.check.rules.evidence import Evidence, finding, mm, whose
from stitchpath.errors import Finding
from stitchpath.lines import COVERED_MM, STEP_SLACK_MM, Line, Role

__all__ = ["steps_over_open_cloth"]


@dataclass(frozen=True, eq=False)
class _Step:
    """One step: the segments that make it, and the asked lines at both its ends."""

    segments: Ints
    points: Points
    lines: tuple[tuple[int, ...], tuple[int, ...]]

    @property
    def length_mm(self) -> float:
        return float(np.hypot(*(self.points[-1] - self.points[0])))

    @property
    def core(self) -> shapely.LineString:
        """What is neither of its ends."""
        along = (self.points[-1] - self.points[0]) * min(STRETCH_MM / max(self.length_mm, STRETCH_MM), 0.25)
        return shapely.LineString([self.points[0] + along, self.points[-1] - along])


def steps_over_open_cloth(seen: Evidence) -> Iterator[Finding]:
    """Each step goes straight to the next ring, no farther than it may, over no line, and not too often.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Move, Span, StitchPath
    >>> path = StitchPath([(0, 0), (0, 9)], (Span(Move.STEP, 0, 1),))
    >>> echoes = Line([(-9, 0), (9, 0)], Role.ECHO), Line([(-9, 9), (9, 9)], Role.ECHO)
    >>> list(steps_over_open_cloth(look_at([path], Asked(Drawing(echoes)))))
    []
    >>> asked = Asked(Drawing((*echoes, Line([(-9, 5), (9, 5)]))))
    >>> [found.message for found in steps_over_open_cloth(look_at([path], asked))]
    ['path 1 steps over a drawn line']
    >>> list(steps_over_open_cloth(look_at([], asked)))
    []
    """
    steps = tuple(_steps(seen))
    if not steps:
        return
    for step in steps:
        for said in _wrong(seen, step):
            yield finding("step", f"{whose(seen, int(step.segments[0]))} {said}", step.points.mean(axis=0))
    yield from _too_often(seen)
    yield from _crossing(seen, steps)


def _steps(seen: Evidence) -> Iterator[_Step]:
    """Yield the steps: segments on end that are called one, parted where they come to a ring."""
    segments = seen.segments
    stepped = np.flatnonzero(segments.step)
    if not len(stepped):
        return
    ends = [_rings_at(seen, places[stepped]) for places in (segments.start, segments.end)]
    on_end = (np.diff(stepped) == 1) & (np.diff(segments.path[stepped]) == 0)
    goes_on = on_end & ~np.array([bool(rings) for rings in ends[0][1:]], dtype=bool)
    for run in np.split(np.arange(len(stepped)), np.flatnonzero(~goes_on) + 1):
        own = stepped[run]
        points = np.concatenate((segments.start[own], segments.end[own[-1:]]))
        yield _Step(own, points, (ends[0][run[0]], ends[1][run[-1]]))


def _rings_at(seen: Evidence, places: Points) -> list[tuple[int, ...]]:
    """Return the rings on which places lie."""
    rails = seen.rails
    place, piece = rails.tree.query(shapely.points(places), predicate="dwithin", distance=COVERED_MM)
    rings: list[set[int]] = [set() for _ in places]
    for i, line in zip(place.tolist(), rails.line[piece].tolist(), strict=True):
        if line < rails.asked and rails.lines[line].role in (Role.OUTLINE, Role.ECHO):
            rings[i].add(line)
    return [tuple(sorted(found)) for found in rings]


def _wrong(seen: Evidence, step: _Step) -> Iterator[str]:
    """Yield what is wrong with a step by itself."""
    most, length = seen.asked.cost.open_travel, step.length_mm
    if most <= 0:
        yield f"steps over {mm(length)} of open cloth; the design wants no open travel"
        return
    if length > most + COVERED_MM:
        yield f"steps over {mm(length)} of open cloth; {mm(most)} is the most"
    chord = shapely.LineString(step.points[[0, -1]])
    if shapely.distance(shapely.points(step.points), chord).max() > COVERED_MM:
        yield "does not step straight over open cloth"
    if any(seen.segments.line[step.segments] >= 0):
        yield "names a line for a step over open cloth"
    if not all(step.lines):
        where = "end" if step.lines[0] else "begin"
        yield f"steps over open cloth and does not {where} on an outline or an echo"
        return
    pairs = [pair for pair in product(*step.lines) if _follow(*(seen.rails.lines[line] for line in pair))]
    if not pairs:
        one, two = (named(seen.rails.lines[rings[0]]) for rings in step.lines)
        yield f"steps from {one} to {two}, which are no rings of one echo or of nested ovals"
        return
    apart = max(_apart(seen, *pair) for pair in pairs)
    if length > apart + STEP_SLACK_MM:
        yield f"steps over {mm(length)} of open cloth between rings that are {mm(apart)} apart"
    for line in _met(seen, step):
        yield f"steps over {named(seen.rails.lines[line])}"


def _follow(one: Line, two: Line) -> bool:
    """Tell whether two rings may be next to each other: an echo and any other, or an oval and one in it."""
    if one is two or one.block != two.block:
        return False
    if one.role is Role.ECHO or two.role is Role.ECHO:
        return True
    return one.closed and two.closed and (_holds(one, two) or _holds(two, one))


def _holds(one: Line, two: Line) -> bool:
    middle = shapely.line_interpolate_point(shapely.LineString(two.points_mm), 0.5, normalized=True)
    inside = shapely.make_valid(shapely.Polygon(one.points_mm))
    return bool(inside.contains(middle) and inside.contains(shapely.Point(two.points_mm[0])))


def _apart(seen: Evidence, one: int, two: int) -> float:
    lines = (shapely.LineString(seen.rails.lines[line].points_mm) for line in (one, two))
    return float(shapely.distance(*lines))


def _met(seen: Evidence, step: _Step) -> list[int]:
    """Return the lines, asked or hidden, that a step comes to between its ends."""
    piece = seen.rails.tree.query(step.core, predicate="dwithin", distance=COVERED_MM)
    return sorted(set(seen.rails.line[piece].tolist()))


def _too_often(seen: Evidence) -> Iterator[Finding]:
    """Tell of steps taken more often than they may be."""
    stretches, most = seen.stretches, seen.asked.cost.rules()[Role.STEP].most_times
    for stretch in np.flatnonzero((stretches.steps > 0) & (stretches.times > most)).tolist():
        said = f"steps {stretches.times[stretch]} times over the same open cloth; {most} is the most"
        middle = (stretches.start[stretch] + stretches.end[stretch]) / 2
        yield finding("step", f"{whose(seen, seen.when(stretch))} {said}", middle)


def _crossing(seen: Evidence, steps: Sequence[_Step]) -> Iterator[Finding]:
    """Tell of steps that cross others, each two once."""
    drawn: dict[tuple[tuple[float, ...], ...], _Step] = {}
    for step in steps:
        drawn.setdefault(tuple(sorted(map(tuple, step.points[[0, -1]].tolist()))), step)
    different = tuple(drawn.values())
    cores = np.array([step.core for step in different], dtype=object)
    for i, j in sorted(
        shapely.STRtree(cores).query(cores, predicate="dwithin", distance=COVERED_MM).T.tolist()
    ):
        if i < j:
            one, two = (whose(seen, int(different[k].segments[0])) for k in (j, i))
            said = f"{one} steps over another step, of {two}"
            yield finding("step", said, different[j].points.mean(axis=0))
