"""What must hold of stitching on its lines, one rule a function, each telling where it does not."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.check.gates import Gates, set_gates
from stitchpath.check.intervals import Floats, Ints, Points, gaps, runs
from stitchpath.check.match import SHORT_MM, Cells, Matches, spread
from stitchpath.check.rails import NO_STAGE, Rails, named
from stitchpath.check.steps import NEVER, Steps, Stretches
from stitchpath.errors import Finding
from stitchpath.lines import COVERED_MM, KeepOut

__all__ = ["RULES", "Evidence", "kept_out", "stages_in_order"]

_NOISE_MM = 1e-4
"""Shorter gaps are arithmetic: coordinates have 13 digits before they are subtracted."""

_FRACTIONS = np.array([0.02, 0.25, 0.5, 0.75, 0.98])
"""Where along a stretch gates are set up; lines that touch somewhere are apart at another of these."""

GATES = len(_FRACTIONS)


@dataclass(frozen=True, eq=False)
class Evidence:
    """All that the rules look at."""

    rails: Rails
    steps: Steps
    stretches: Stretches
    matches: Matches
    cells: Cells
    stages: tuple[str, ...]
    keep_outs: tuple[KeepOut, ...]


def covered(seen: Evidence) -> Iterator[Finding]:
    """Every line asked for is sewn within `COVERED_MM` over its whole length."""
    rails, matches = seen.rails, seen.matches
    sewn = (matches.line < rails.asked) & (seen.stretches.sews[matches.stretch] > 0)
    low, high = matches.covers
    asked = slice(0, rails.asked)
    first, last = rails.extent
    open_at = gaps((low[sewn], high[sewn]), (first[asked], last[asked]), over_mm=_NOISE_MM)
    yield from _told_on_rails(rails, open_at, "covered", lambda name, mm: f"{name} is not sewn over {mm}")


def open_cloth(seen: Evidence) -> Iterator[Finding]:
    """Every needle-down move lies on a line asked for or on a hidden seam."""
    open_at = gaps(seen.matches.lies, seen.stretches.extent, over_mm=_NOISE_MM)
    yield from _told_on_stretches(seen, open_at, "open cloth", "leaves its lines and crosses open cloth")


def sewing_is_asked(seen: Evidence) -> Iterator[Finding]:
    """Where only a hidden seam lies nothing is to be sewn: it is travel."""
    low, high = seen.matches.lies
    asked = seen.matches.line < seen.rails.asked
    lost = gaps(seen.matches.lies, seen.stretches.extent, over_mm=_NOISE_MM)
    sewn = seen.stretches.sews > 0
    first, last = seen.stretches.extent
    hidden = gaps(
        (np.concatenate((low[asked], lost[0])), np.concatenate((high[asked], lost[1]))),
        (first[sewn], last[sewn]),
        over_mm=SHORT_MM,
    )
    yield from _told_on_stretches(seen, hidden, "sew", "is called sewing where nothing is asked for")


def travel_is_sewn(seen: Evidence) -> Iterator[Finding]:
    """Travel goes over hidden seams, and over lines asked for only after they were sewn."""
    matches, stretches = seen.matches, seen.stretches
    on_stretch, cell = _cells_of(seen, np.flatnonzero(matches.follows))
    pair, low, high = on_stretch
    stretch = matches.stretch[pair]
    good = seen.cells.first_sew[cell] < stretches.first_travel[stretch]
    hidden = np.flatnonzero(seen.rails.hidden[matches.line])
    travelled = np.flatnonzero(stretches.first_travel < NEVER)
    lost = gaps(matches.lies, stretches.extent, over_mm=_NOISE_MM)
    fine = (
        np.concatenate((low[good], matches.lies[0][hidden], lost[0])),
        np.concatenate((high[good], matches.lies[1][hidden], lost[1])),
    )
    first, last = stretches.extent
    early = gaps(fine, (first[travelled], last[travelled]), over_mm=SHORT_MM)
    yield from _told_on_stretches(
        seen, early, "travel", "travels where nothing is sewn yet", when=stretches.first_travel
    )


def _cells_of(seen: Evidence, pairs: Ints) -> tuple[tuple[Ints, Floats, Floats], Ints]:
    """Lay each matched pair's cells onto its stretch: pair, from, to; and the cell."""
    matches, cells = seen.matches, seen.cells
    low, high = matches.beside[0][pairs], matches.beside[1][pairs]
    owner, cell = spread(np.searchsorted(cells.bounds, low), np.searchsorted(cells.bounds, high))
    pair = pairs[owner]
    share = (matches.lies[1] - matches.lies[0])[pair] / (high - low)[owner]
    one = (cells.bounds[cell] - low[owner]) * share
    two = (cells.bounds[cell + 1] - low[owner]) * share
    forth = matches.same_way[pair]
    begin, end = matches.lies[0][pair], matches.lies[1][pair]
    return (pair, np.where(forth, begin + one, end - two), np.where(forth, begin + two, end - one)), cell


def not_too_often(seen: Evidence) -> Iterator[Finding]:
    """Nothing is sewn more often than its role allows; where lines run side by side their numbers add."""
    cells, rails = seen.cells, seen.rails
    yield from _excess(
        seen, cells.times, rails.most_times(), Gates.allowed, "times",
        lambda name, mm, count, most: f"{name} is sewn {count} times over {mm}; {most} is the most",
    )  # fmt: skip


def sewn_once(seen: Evidence) -> Iterator[Finding]:
    """Sewing is for the first time only; afterwards it is travel."""
    yield from _excess(
        seen, seen.cells.sews, np.ones(len(seen.rails.lines), dtype=np.int64), Gates.asked, "sew",
        lambda name, mm, count, most: f"{name} is called sewn {count} times over {mm}; "
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
    limit = _limits(seen, doubtful, allowed)
    bad = np.zeros(len(count), dtype=bool)
    bad[doubtful] = count[doubtful] > limit
    first, last = runs(bad)
    limits = dict(zip(doubtful.tolist(), limit.tolist(), strict=True))
    for i, j in zip(first.tolist(), last.tolist(), strict=True):
        low, high = cells.bounds[i], cells.bounds[j]
        if high - low > SHORT_MM:
            worst = i + int(np.argmax(count[i:j]))
            said = words(named(rails.lines[line[i]]), _mm(high - low), int(count[worst]), limits[worst])
            yield _finding(kind, said, rails.locate(np.array([(low + high) / 2]))[0][0])


def _limits(seen: Evidence, cell: Ints, allowed: Callable[[Gates], Ints]) -> Ints:
    """Return how much each cell bears, at the place along it where lines are most apart."""
    bounds = seen.cells.bounds
    place = bounds[cell][:, None] + np.outer(bounds[cell + 1] - bounds[cell], _FRACTIONS)
    points, along = seen.rails.locate(place.ravel())
    limits = allowed(set_gates(seen.rails, seen.stretches, points, along)).reshape(place.shape)
    most: Ints = limits.max(axis=1, initial=0)
    return most


def in_its_stage(seen: Evidence) -> Iterator[Finding]:
    """Lines are sewn in their stage: the earliest one of the lines that coincide there."""
    stretches, steps = seen.stretches, seen.steps
    sewn = np.flatnonzero(stretches.first_sew < NEVER)
    stage = steps.stage[stretches.first_sew[sewn]]
    doubtful = np.flatnonzero(stage != _least_stage(seen)[sewn])
    wanted = _stages_near(seen, sewn[doubtful])
    for i, stretch, found in zip(doubtful.tolist(), sewn[doubtful].tolist(), wanted, strict=True):
        if found and stage[i] not in found and stage[i] >= 0:
            middle = (stretches.start[stretch] + stretches.end[stretch]) / 2
            right = " or ".join(f'"{seen.stages[s]}"' for s in sorted(found))
            said = f'is sewn in stage "{seen.stages[stage[i]]}"; its line belongs to {right}'
            yield _finding("stage", f"{_whose(seen, stretches.first_sew[stretch])} {said}", middle)


def _least_stage(seen: Evidence) -> Ints:
    """Return for each stretch the earliest stage of the lines that it follows as a whole."""
    matches = seen.matches
    begin, end = seen.stretches.extent
    low, high = matches.lies
    whole = (
        matches.follows & (low - begin[matches.stretch] < SHORT_MM) & (end[matches.stretch] - high < SHORT_MM)
    )
    least = np.full(len(begin), NO_STAGE)
    np.minimum.at(least, matches.stretch[whole], seen.rails.stage[matches.line[whole]])
    return least


def gates_beside(seen: Evidence, stretch: Ints) -> Gates:
    """Set up `GATES` gates along each of some stretches."""
    start, along = seen.stretches.start[stretch], (seen.stretches.end - seen.stretches.start)[stretch]
    points = (start[:, None] + along[:, None] * _FRACTIONS[:, None]).reshape(-1, 2)
    unit = along / np.hypot(*along.T)[:, None]
    return set_gates(seen.rails, seen.stretches, points, np.repeat(unit, GATES, axis=0))


def _stages_near(seen: Evidence, stretch: Ints) -> list[set[int]]:
    """Return for each stretch in which stages it may be sewn."""
    found = gates_beside(seen, stretch).stages()
    return [set().union(*found[i : i + GATES]) for i in range(0, len(found), GATES)]


def stages_in_order(
    steps: Steps, *, stages: Sequence[str], named_so: Sequence[str], bands: Ints
) -> Iterator[Finding]:
    """Stages come in the schedule's order within each band, and bands from the first to the last.

    Parameters
    ----------
    steps
        The steps.
    stages
        The schedule's stages, in order.
    named_so, bands
        For each step: the name its stage is given, and its band.
    """
    for i in np.flatnonzero(steps.stage < 0)[:1].tolist():
        known = ", ".join(stages)
        yield _finding(
            "stage", f'the schedule has no stage "{named_so[i]}"; its stages are {known}', steps.start[i]
        )
    back = np.flatnonzero((np.diff(bands) == 0) & (np.diff(steps.stage) < 0) & (steps.stage[1:] >= 0)) + 1
    for i in back.tolist():
        said = f'path {steps.path[i] + 1} goes back to stage "{named_so[i]}" after "{named_so[i - 1]}"'
        yield _finding("stage", said, steps.start[i])
    for i in (np.flatnonzero(np.diff(bands) < 0) + 1).tolist():
        said = f"path {steps.path[i] + 1} goes back to band {bands[i]} after band {bands[i - 1]}"
        yield _finding("band", said, steps.start[i])


def kept_out(seen: Evidence) -> Iterator[Finding]:
    """No stitch is deeper than `COVERED_MM` in a keep-out."""
    stretches = seen.stretches
    if not seen.keep_outs or not len(stretches.times):
        return
    whole = np.array([keep_out.polygon for keep_out in seen.keep_outs], dtype=object)
    for k in np.flatnonzero(~shapely.is_valid(whole)).tolist():
        yield Finding("keep-out", f"the outline of keep-out {k + 1} crosses itself: nothing is proven there")
    keep_out, stretch = stretches.tree.query(shapely.buffer(whole, -COVERED_MM), predicate="intersects")
    for k, s in zip(keep_out.tolist(), stretch.tolist(), strict=True):
        inside = shapely.intersection(stretches.drawn[s], whole[k])
        edge = shapely.boundary(whole[k])
        middle = shapely.line_interpolate_point(shapely.get_geometry(inside, 0), 0.5, normalized=True)
        deep = max(float(shapely.distance(middle, edge)), COVERED_MM)
        yield _finding("keep-out", _entered(seen, s, k, float(shapely.length(inside)), deep), _xy(middle))


def _entered(seen: Evidence, stretch: int, keep_out: int, length: float, deep: float) -> str:
    where = seen.keep_outs[keep_out]
    name = ": ".join(part for part in (where.block, where.motif) if part) or f"keep-out {keep_out + 1}"
    time = min(seen.stretches.first_sew[stretch], seen.stretches.first_travel[stretch])
    return f"{_whose(seen, time)} enters the keep-out of {name}, {_mm(deep)} deep and for {_mm(length)}"


RULES: tuple[Callable[[Evidence], Iterator[Finding]], ...] = (
    covered, open_cloth, sewing_is_asked, travel_is_sewn, sewn_once, not_too_often, in_its_stage, kept_out,
)  # fmt: skip


def _told_on_rails(
    rails: Rails, open_at: tuple[Floats, Floats], kind: str, words: Callable[[str, str], str]
) -> Iterator[Finding]:
    low, high = open_at
    middle = (low + high) / 2
    points, _ = rails.locate(middle) if len(middle) else (np.zeros((0, 2)), None)
    for i, piece in enumerate(rails.piece(middle).tolist() if len(middle) else []):
        name = named(rails.lines[rails.line[piece]])
        yield _finding(kind, words(name, _mm(high[i] - low[i])), points[i])


def _told_on_stretches(
    seen: Evidence, open_at: tuple[Floats, Floats], kind: str, words: str, *, when: Ints | None = None
) -> Iterator[Finding]:
    low, high = open_at
    stretch, points = seen.stretches.locate((low + high) / 2)
    earliest = np.minimum(seen.stretches.first_sew, seen.stretches.first_travel)
    time = earliest if when is None else when
    for i, s in enumerate(stretch.tolist()):
        yield _finding(kind, f"{_whose(seen, time[s])} {words} for {_mm(high[i] - low[i])}", points[i])


def _whose(seen: Evidence, time: int) -> str:
    return f"path {seen.steps.path[time] + 1}"


def _finding(kind: str, said: str, point: Points) -> Finding:
    return Finding(kind, said, (float(point[0]), float(point[1])))


def _xy(point: Any) -> NDArray[np.float64]:
    coordinates: NDArray[np.float64] = shapely.get_coordinates(point)[0]
    return coordinates


def _mm(length: float) -> str:
    return f"{length:.3f} mm"
