"""Add up again what a plan states, and see whether its spans name their lines."""

import math
from collections import Counter
from collections.abc import Iterator

import numpy as np
import shapely

from stitchpath.check.evidence import Evidence
from stitchpath.check.intervals import Floats, Interval, Ints
from stitchpath.check.match import SHORT_MM
from stitchpath.check.resume import resumed_passes, route_ends
from stitchpath.check.rules import GATES, gates_beside
from stitchpath.errors import Finding
from stitchpath.lines import COVERED_MM
from stitchpath.plan import Plan

__all__ = ["names_its_lines", "totals_hold"]

_MEETS_MM = 0.0015
"""How far a line that meets a junction may be from it as drawn: noding, then rounding to 3 decimals."""

_STEP_MM = 0.0015
"""How much longer or shorter rounding to 3 decimals can make one step."""

_SAME = 1e-9
"""Relative error of adding up many floating-point numbers."""


def totals_hold(seen: Evidence, plan: Plan) -> Iterator[Finding]:
    """Paths and cost are as stated, and no bound is above its cost."""
    yield from _counted(plan)
    yield from _bounds(plan)
    low, high = _cost_range(seen, plan)
    if not low <= plan.cost <= high:
        yield Finding(
            "cost",
            f"the stated cost is {plan.cost:.3f} s; ends and travel come to "
            f"{low:.3f} s at least and {high:.3f} s at most",
        )


def _counted(plan: Plan) -> Iterator[Finding]:
    stated = sum(job.paths for job in plan.jobs)
    if stated != len(plan.paths):
        yield Finding("totals", f"the jobs state {stated} paths together; there are {len(plan.paths)}")
    begun = Counter((path.band, path.stage) for path in plan.paths)
    counted: Counter[tuple[int, str]] = Counter()
    for job in plan.jobs:
        counted[job.band, job.stage] += job.paths
    for band, stage in sorted(key for key in counted if counted[key] != begun[key]):
        yield Finding(
            "totals",
            f'band {band}, stage "{stage}" states {counted[band, stage]} paths; '
            f"{begun[band, stage]} begin in it",
        )


def _bounds(plan: Plan) -> Iterator[Finding]:
    whole = [("the plan", plan.cost, plan.bound)]
    jobs = [(f'band {job.band}, stage "{job.stage}"', job.cost, job.bound) for job in plan.jobs]
    for name, cost, bound in whole + jobs:
        if not (math.isfinite(cost) and math.isfinite(bound)):
            yield Finding("bound", f"{name} states a cost of {cost} s and a bound of {bound} s: no numbers")
        elif bound > cost + _SAME * abs(cost):
            yield Finding("bound", f"{name} states a bound of {bound:.3f} s above its cost of {cost:.3f} s")


def _cost_range(seen: Evidence, plan: Plan) -> Interval | tuple[float, float]:
    """Return between what the cost must lie; what takes up a line again is no part of the route.

    It is a range where lines run within `COVERED_MM` of each other without being the same, so that drawn
    lines alone do not say on which of them the needle travels or ends; and by the rounding of coordinates
    (`_STEP_MM` a step) and of costs (half a job's unit for each end and each step travelled).
    """
    routed = seen.stretches.times - seen.stretches.sews - resumed_passes(seen)
    travelled = np.flatnonzero(routed)
    times = routed[travelled]
    first, last = seen.stretches.extent
    speed = plan.machine.sewing_speed_mm_s
    seconds = (last - first)[travelled] * times / speed
    low, high = _shows_range(seen, travelled)
    set_path_cost = plan.cost_settings.path_cost_s
    path_cost = plan.machine.path_cost_s if set_path_cost is None else set_path_cost
    least, most = _ends_range(seen)
    unit = max((job.unit_s for job in plan.jobs), default=0.0)
    room = unit / 2 * (2 * len(plan.paths) + int(times.sum())) + _SAME * abs(plan.cost)
    room += float((high * times).sum()) * _STEP_MM / speed
    return (
        float((seconds * low).sum()) + path_cost / 2 * float(least.sum()) - room,
        float((seconds * high).sum()) + path_cost / 2 * float(most.sum()) + room,
    )


def _shows_range(seen: Evidence, stretch: Ints) -> Interval:
    """Return how much travel over each stretch shows, at least and at most."""
    count = len(seen.stretches.times)
    whole = _whole(seen)
    near = seen.rails.shows()[seen.matches.line[whole]]
    least, most = np.full(count, np.inf), np.zeros(count)
    np.minimum.at(least, seen.matches.stretch[whole], near)
    np.maximum.at(most, seen.matches.stretch[whole], near)
    doubtful = stretch[least[stretch] < most[stretch]]
    most[doubtful] = gates_beside(seen, doubtful).shows().reshape(-1, GATES).min(axis=1, initial=np.inf)
    lost = ~np.isfinite(least)
    least[lost], most[lost] = 0.0, seen.rails.shows().max(initial=0.0)
    return least[stretch], np.maximum(most, least)[stretch]


def _whole(seen: Evidence) -> Ints:
    """Return the matches in which the whole stretch lies along the line's piece."""
    matches = seen.matches
    first, last = seen.stretches.extent
    low, high = matches.lies
    ends = (low - first[matches.stretch] < SHORT_MM) & (last[matches.stretch] - high < SHORT_MM)
    return np.flatnonzero(matches.follows & ends)


def _ends_range(seen: Evidence) -> tuple[Floats, Floats]:
    """Return how much each path's end shows, at least and at most."""
    places = route_ends(seen)
    shows = np.array([rule.end_shows for rule in seen.rails.rules])
    dearest = shows.max(initial=0.0)
    least, most = np.full(len(places), dearest), np.full(len(places), dearest)
    for value, within in ((least, COVERED_MM), (most, _MEETS_MM)):
        end, piece = seen.rails.tree.query(shapely.points(places), predicate="dwithin", distance=within)
        np.minimum.at(value, end, shows[seen.rails.line[piece]])
    return least, most


def names_its_lines(seen: Evidence) -> Iterator[Finding]:
    """Every span lies on the line that it names; only travel on a hidden seam names none."""
    steps, rails = seen.steps, seen.rails
    hidden, strange = rails.asked, rails.asked + 1
    follows = seen.matches.follows
    line = np.minimum(seen.matches.line[follows], hidden)
    on = np.unique(seen.matches.stretch[follows] * (strange + 1) + line)
    named = np.where(steps.line < 0, hidden, np.where(steps.line < rails.asked, steps.line, strange))
    lies = np.isin(seen.stretches.of * (strange + 1) + named, on)
    wrong = np.flatnonzero(~lies | (steps.sew & (steps.line < 0)))
    _, first = np.unique(steps.span[wrong], return_index=True)
    for step in wrong[first].tolist():
        line_id, (x, y) = int(steps.line[step]) + 1, steps.start[step].tolist()
        said = (
            f"names line {line_id} and is not on it" if line_id else "names no line and is on no hidden seam"
        )
        yield Finding("line", f"path {steps.path[step] + 1} {said}", (x, y))
