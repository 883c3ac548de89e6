"""What must hold of stitching on its lines: one rule a function, and the list of them, `RULES`."""

from collections.abc import Callable, Iterator

import numpy as np
import shapely

from stitchpath.check.measuring.gates import Gates, set_gates
from stitchpath.check.measuring.intervals import Ints, gaps, runs
from stitchpath.check.measuring.match import STRETCH_MM
from stitchpath.check.measuring.rails import NO_STAGE, named
from stitchpath.check.measuring.segments import NEVER
from stitchpath.check.rules.bobbins import bobbins_reach
from stitchpath.check.rules.cuts import parts_only_what_it_may
from stitchpath.check.rules.evidence import (
    NOISE_MM,
    Evidence,
    finding,
    left_over,
    lies_on,
    mm,
    told_on_rails,
    told_on_stretches,
    whose,
)
from stitchpath.check.rules.order import (
    bands_in_order,
    groups_are_finished,
    stages_in_order,
    threads_in_order,
    turns_are_kept,
)
from stitchpath.check.rules.reach import within_reach
from stitchpath.check.rules.resume import resumed_times
from stitchpath.check.rules.rows import rows_go_down
from stitchpath.check.rules.steps import steps_over_open_cloth
from stitchpath.check.rules.thread_travel import keeps_threads_clear
from stitchpath.check.rules.travel import leaves_open_seams_alone, leaves_to_hand, travel_is_sewn
from stitchpath.errors import Finding
from stitchpath.lines import COVERED_MM

__all__ = ["GATES", "RULES", "covered", "gates_beside", "kept_out", "not_too_often", "sewn_once"]

_FRACTIONS = np.array([0.02, 0.25, 0.5, 0.75, 0.98])
"""Where along a stretch gates are set up; lines that touch somewhere are apart at another of these."""

GATES = len(_FRACTIONS)


def covered(seen: Evidence) -> Iterator[Finding]:
    """Every line asked for and not left to the hand is sewn within `COVERED_MM` over its whole length.

    Of the hand's part by itself nothing is said: where lines coincide the frame sews them.
    """
    if seen.asked.part == "hand":
        return
    rails, matches = seen.rails, seen.matches
    wanted, (first, last) = seen.wanted, rails.extent
    sewn = wanted[matches.line] & (seen.stretches.sews[matches.stretch] > 0)
    low, high = matches.covers
    open_at = gaps((low[sewn], high[sewn]), (first[wanted], last[wanted]), over_mm=NOISE_MM)
    yield from told_on_rails(rails, open_at, "covered", lambda name, over: f"{name} is not sewn over {over}")


def open_cloth(seen: Evidence) -> Iterator[Finding]:
    """Every needle-down move but a step lies on a line asked for or on a hidden seam."""
    (first, last), on_line = seen.stretches.extent, seen.stretches.steps < seen.stretches.times
    open_at = gaps(seen.matches.lies, (first[on_line], last[on_line]), over_mm=NOISE_MM)
    yield from told_on_stretches(seen, open_at, "open cloth", "leaves its lines and crosses open cloth")


def sewing_is_asked(seen: Evidence) -> Iterator[Finding]:
    """Where only a hidden seam lies nothing is to be sewn: it is travel."""
    hidden = seen.rails.hidden
    strange = left_over(seen, hidden, lies_on(seen, ~hidden), seen.stretches.sews > 0)
    yield from told_on_stretches(seen, strange, "sew", "is called sewing where nothing is asked for")


def not_too_often(seen: Evidence) -> Iterator[Finding]:
    """Nothing is sewn more often than its role allows; where lines run side by side their numbers add.

    What an earlier band sewed may be taken up again besides.
    """
    cells, rails = seen.cells, seen.rails
    yield from _excess(
        seen, cells.times - resumed_times(seen), rails.most_times(), Gates.allowed, "times",
        lambda name, over, count, most: f"{name} is sewn {count} times over {over}; {most} is the most",
    )  # fmt: skip


def sewn_once(seen: Evidence) -> Iterator[Finding]:
    """Sewing is for the first time only; afterwards it is travel."""
    yield from _excess(
        seen, seen.cells.sews, np.ones(len(seen.rails.lines), dtype=np.int64), Gates.asked, "sew",
        lambda name, over, count, most: f"{name} is called sewn {count} times over {over}; "
        f"after {'once' if most < 2 else f'{most} times'} it is travel",
    )  # fmt: skip


def _excess(
    seen: Evidence,
    count: Ints,
    most: Ints,
    allowed: Callable[[Gates], Ints],
    kind: str,
    words: Callable[[str, str, int, int], str],
) -> Iterator[Finding]:
    """Tell where more needle passes than the lines there allow, beside every line but once."""
    cells, rails = seen.cells, seen.rails
    line = rails.line[rails.piece(cells.bounds[:-1])] if len(rails.line) else np.zeros(0, dtype=np.int64)
    doubtful = np.flatnonzero(count > most[line])
    limit = _limits(seen, doubtful, count[doubtful], allowed)
    bad = np.zeros(len(count), dtype=bool)
    bad[doubtful] = count[doubtful] > limit
    first, last = runs(bad)
    limits = dict(zip(doubtful.tolist(), limit.tolist(), strict=True))
    for i, j in zip(first.tolist(), last.tolist(), strict=True):
        low, high = cells.bounds[i], cells.bounds[j]
        if high - low > STRETCH_MM:
            worst = i + int(np.argmax(count[i:j]))
            said = words(named(rails.lines[line[i]]), mm(high - low), int(count[worst]), limits[worst])
            yield finding(kind, said, rails.locate(np.array([(low + high) / 2]))[0][0])


def _limits(seen: Evidence, cell: Ints, count: Ints, allowed: Callable[[Gates], Ints]) -> Ints:
    """Return how much each cell bears, at the place along it where lines are most apart.

    From the middle out, and no farther than until a cell bears its count: most do at once.
    """
    bounds = seen.cells.bounds
    most = np.zeros(len(cell), dtype=np.int64)
    for fraction in sorted(_FRACTIONS, key=lambda fraction: abs(fraction - 0.5)):
        left = np.flatnonzero(most < count)
        begin, end = bounds[cell[left]], bounds[cell[left] + 1]
        points, along = seen.rails.locate(begin + (end - begin) * fraction)
        bears = allowed(set_gates(seen.rails, seen.stretches, points, along))
        most[left] = np.maximum(most[left], bears)
    return most


def in_its_stage(seen: Evidence) -> Iterator[Finding]:
    """Lines are sewn in their stage: the earliest one of the lines that coincide there."""
    stretches, segments = seen.stretches, seen.segments
    sewn = np.flatnonzero(stretches.first_sew < NEVER)
    stage = segments.stage[stretches.first_sew[sewn]]
    doubtful = np.flatnonzero(stage != _least_stage(seen)[sewn])
    wanted = _stages_near(seen, sewn[doubtful])
    for i, stretch, found in zip(doubtful.tolist(), sewn[doubtful].tolist(), wanted, strict=True):
        if found and stage[i] not in found and stage[i] >= 0:
            middle = (stretches.start[stretch] + stretches.end[stretch]) / 2
            right = " or ".join(f'"{seen.stages[s]}"' for s in sorted(found))
            said = f'is sewn in stage "{seen.stages[stage[i]]}"; its line belongs to {right}'
            yield finding("stage", f"{whose(seen, stretches.first_sew[stretch])} {said}", middle)


def _least_stage(seen: Evidence) -> Ints:
    """Return for each stretch the earliest stage of the lines that it follows as a whole."""
    matches = seen.matches
    begin, end = seen.stretches.extent
    low, high = matches.lies
    whole = (
        matches.follows
        & (low - begin[matches.stretch] < STRETCH_MM)
        & (end[matches.stretch] - high < STRETCH_MM)
    )
    least = np.full(len(begin), NO_STAGE)
    np.minimum.at(least, matches.stretch[whole], seen.rails.stage[matches.line[whole]])
    return least


def gates_beside(seen: Evidence, stretch: Ints) -> Gates:
    """Set up `GATES` gates along each of some stretches.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line, Move, Span, StitchPath
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> seen = look_at([path], Asked(Drawing(lines=(Line([(0, 0), (9, 0)]),))))
    >>> gates_beside(seen, np.array([0])).strands.tolist() == [1] * GATES
    True
    """
    start, along = seen.stretches.start[stretch], (seen.stretches.end - seen.stretches.start)[stretch]
    points = (start[:, None] + along[:, None] * _FRACTIONS[:, None]).reshape(-1, 2)
    unit = along / np.hypot(*along.T)[:, None]
    return set_gates(seen.rails, seen.stretches, points, np.repeat(unit, GATES, axis=0))


def _stages_near(seen: Evidence, stretch: Ints) -> list[set[int]]:
    """Return for each stretch in which stages it may be sewn."""
    found = gates_beside(seen, stretch).stages()
    return [set().union(*found[i : i + GATES]) for i in range(0, len(found), GATES)]


def kept_out(seen: Evidence) -> Iterator[Finding]:
    """No stitch is deeper than `COVERED_MM` in a keep-out.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, KeepOut, Move, Span, StitchPath
    >>> path = StitchPath([(0, 5), (20, 5)], (Span(Move.SEW, 0, 1),))
    >>> drawing = Drawing(lines=(), keep_outs=(KeepOut(shapely.box(5, 0, 15, 10)),))
    >>> [found.message for found in kept_out(look_at([path], Asked(drawing)))]
    ['path 1 enters the keep-out of keep-out 1, 5.000 mm deep and for 10.000 mm']
    >>> list(kept_out(look_at([], Asked(drawing))))
    []
    """
    stretches = seen.stretches
    if not seen.asked.drawing.keep_outs or not len(stretches.times):
        return
    whole = np.array([keep_out.polygon for keep_out in seen.asked.drawing.keep_outs], dtype=object)
    for k in np.flatnonzero(~shapely.is_valid(whole)).tolist():
        yield Finding("keep-out", f"the outline of keep-out {k + 1} crosses itself: nothing is proven there")
    keep_out, stretch = stretches.tree.query(shapely.buffer(whole, -COVERED_MM), predicate="intersects")
    for k, s in zip(keep_out.tolist(), stretch.tolist(), strict=True):
        inside = shapely.intersection(stretches.drawn[s], whole[k])
        edge = shapely.boundary(whole[k])
        middle = shapely.line_interpolate_point(shapely.get_geometry(inside, 0), 0.5, normalized=True)
        deep = max(float(shapely.distance(middle, edge)), COVERED_MM)
        yield finding(
            "keep-out",
            _entered(seen, s, k, float(shapely.length(inside)), deep),
            shapely.get_coordinates(middle)[0],
        )


def _entered(seen: Evidence, stretch: int, keep_out: int, length: float, deep: float) -> str:
    where = seen.asked.drawing.keep_outs[keep_out]
    name = ": ".join(part for part in (where.block, where.motif) if part) or f"keep-out {keep_out + 1}"
    path = whose(seen, seen.when(stretch))
    return f"{path} enters the keep-out of {name}, {mm(deep)} deep and for {mm(length)}"


RULES: tuple[Callable[[Evidence], Iterator[Finding]], ...] = (
    stages_in_order, bands_in_order, covered, open_cloth, sewing_is_asked, travel_is_sewn,
    leaves_open_seams_alone, leaves_to_hand, sewn_once, not_too_often, in_its_stage, kept_out,
    steps_over_open_cloth, within_reach, parts_only_what_it_may, groups_are_finished, rows_go_down,
    turns_are_kept, threads_in_order, keeps_threads_clear, bobbins_reach,
)  # fmt: skip
