"""Whether what a plan states about its jobs can be true: which paths each one begins, and its numbers.

What a job's paths cost is added up in `stitchpath.check.rules.totals`. Costs were rounded to whole units when
the plan was made, and how much rounding to allow follows from the design, not from the plan: the dearest way
along a whole line, or the dearest end, has at least 22 bits in whole units, so no coarser unit can have been
used, whatever a plan states. Costs are added up for each band, stage and thread; spans do not name groups, so
how the jobs of one stage share their cost cannot be told (2026-11-30).
"""

import math
from collections import Counter
from collections.abc import Iterator

import numpy as np

from stitchpath.check.measuring.intervals import Ints
from stitchpath.check.measuring.rounding import SUM_SHARE
from stitchpath.check.rules.evidence import Evidence, path_named
from stitchpath.check.rules.order import surely_in_groups
from stitchpath.check.rules.thread_travel import different_threads
from stitchpath.errors import Finding
from stitchpath.plan import Plan, RoutedJob, StitchPath

__all__ = [
    "Key",
    "job_key",
    "jobs_hold",
    "path_cost",
    "path_key",
    "said_of",
    "tells_threads",
    "unit_most",
]

Key = tuple[int, str, str]
"""A band, a stage and a thread: what tells jobs apart but groups, which spans do not name."""


_COST_BITS = 22
"""The dearest way or end has so many bits at least in whole units, unless all costs are whole anyway."""


def jobs_hold(seen: Evidence, plan: Plan) -> Iterator[Finding]:
    """Jobs begin the paths that there are, and their costs, bounds and units can be true.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Move, Span
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> seen = look_at([path], Asked(Drawing(lines=())))
    >>> [found.message for found in jobs_hold(seen, Plan(Drawing(lines=()), (path,), (), 0.0))]
    ['the jobs state 0 paths together; there are 1', 'band 1, stage "" states 0 paths; 1 begin in it']
    >>> list(jobs_hold(look_at([], seen.asked), Plan(Drawing(lines=()), (), (), 0.0)))
    []
    """
    yield from _counted(plan)
    yield from _numbers(seen, plan)
    yield from _run_on(plan)
    yield from _grouped(seen, plan)


def path_cost(seen: Evidence) -> float:
    """Return what a path's two ends cost, where an end counts once.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import CostSettings, Drawing
    >>> path_cost(look_at([], Asked(Drawing(lines=()))))
    60.0
    >>> path_cost(look_at([], Asked(Drawing(lines=()), cost=CostSettings(path_cost_s=9))))
    9.0
    """
    asked = seen.asked
    return asked.machine.path_cost_s if asked.cost.path_cost_s is None else asked.cost.path_cost_s


def unit_most(seen: Evidence) -> float:
    """Return the coarsest unit in seconds to which costs can have been rounded.

    It has `_COST_BITS` bits below the dearest thing that is priced: travel along a whole line, or an end. A
    coarser one is taken only where all costs are whole in it, and then nothing is rounded.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath.drawing import Drawing
    >>> unit_most(look_at([], Asked(Drawing(lines=())))) < 1e-3
    True
    """
    first, last = seen.rails.extent
    shows = np.array([rule.shows_at(rule.most_times) for rule in seen.rails.rules])
    travel = (last - first) * shows / seen.asked.machine.speed_mm_s
    travel = travel * seen.asked.cost.other_thread_shows if different_threads(seen) else travel
    return math.ldexp(max(float(travel.max(initial=0.0)), dearest_end(seen)), -_COST_BITS)


def dearest_end(seen: Evidence) -> float:
    """Return what a path's end costs at most."""
    return path_cost(seen) / 2 * max((rule.end_shows for rule in seen.rails.rules), default=0.0)


def tells_threads(plan: Plan) -> bool:
    """Tell whether all jobs name their thread.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> tells_threads(Plan(Drawing(lines=()), (), (), 0.0))
    True
    """
    return all(job.thread for job in plan.jobs)


def job_key(job: RoutedJob, *, threads: bool) -> Key:
    """Return what tells a job apart; threads only where all jobs name theirs.

    Examples
    --------
    >>> job = RoutedJob(2, "detail", 0.0, 0.0, 0.0, 0, run_on=False, unit_s=1.0, thread="green")
    >>> job_key(job, threads=True), job_key(job, threads=False)
    ((2, 'detail', 'green'), (2, 'detail', ''))
    """
    return job.band, job.stage, job.thread if threads else ""


def path_key(path: StitchPath, stage: str, *, threads: bool) -> Key:
    """Return to which jobs a path belongs while it is in a stage.

    Parameters
    ----------
    path
        Any path.
    stage
        The stage that one of its spans is in.
    threads
        Whether jobs name their thread.

    Returns
    -------
    tuple
        Band, stage and thread.

    Examples
    --------
    >>> from stitchpath.plan import Move, Span
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),), thread="green")
    >>> path_key(path, "detail", threads=True), path_key(path, "detail", threads=False)
    ((1, 'detail', 'green'), (1, 'detail', ''))
    """
    return path.band, stage, path.thread if threads else ""


def said_of(key: Key) -> str:
    """Return which jobs are meant, in words.

    Examples
    --------
    >>> said_of((1, "seams", "")), said_of((2, "detail", "green"))
    ('band 1, stage "seams"', 'band 2, stage "detail", thread "green"')
    """
    band, stage, thread = key
    return f'band {band}, stage "{stage}"' + (f', thread "{thread}"' if thread else "")


def _counted(plan: Plan) -> Iterator[Finding]:
    stated = sum(job.paths for job in plan.jobs)
    if stated != len(plan.paths):
        yield Finding("totals", f"the jobs state {stated} paths together; there are {len(plan.paths)}")
    threads = tells_threads(plan)
    begun = Counter(path_key(path, path.stage, threads=threads) for path in plan.paths)
    counted: Counter[Key] = Counter()
    for job in plan.jobs:
        counted[job_key(job, threads=threads)] += job.paths
    for key in sorted(key for key in {*counted, *begun} if counted[key] != begun[key]):
        yield Finding("totals", f"{said_of(key)} states {counted[key]} paths; {begun[key]} begin in it")


def _numbers(seen: Evidence, plan: Plan) -> Iterator[Finding]:
    coarsest = max(1.0, unit_most(seen) * (1 + SUM_SHARE))
    wrong = next((job.unit_s for job in plan.jobs if not 0 < job.unit_s <= coarsest), None)
    if wrong is not None:
        yield Finding(
            "unit", f"a job states that costs were rounded to {wrong:g} s; the design asks for less"
        )
    if len({job.unit_s for job in plan.jobs}) > 1:
        yield Finding("unit", "the jobs state different units; a plan has one")
    yield from _bounded("the plan", plan.cost, plan.bound)
    if len(plan.jobs) == 1 and abs(plan.bound - plan.jobs[0].bound) > SUM_SHARE * abs(plan.bound):
        yield Finding("bound", f"the plan states a bound of {plan.bound:.3f} s, and its only job another")
    for job in plan.jobs:
        name = said_of(job_key(job, threads=tells_threads(plan)))
        yield from _bounded(name, job.cost, job.bound)
        yield from _least(seen, name, job)
        yield from _whole(name, job)


def _bounded(name: str, cost: float, bound: float) -> Iterator[Finding]:
    if not (math.isfinite(cost) and math.isfinite(bound)):
        yield Finding("bound", f"{name} states a cost of {cost} s and a bound of {bound} s: no numbers")
    elif bound > cost + SUM_SHARE * abs(cost):
        yield Finding("bound", f"{name} states a bound of {bound:.3f} s above its cost of {cost:.3f} s")


def _least(seen: Evidence, name: str, job: RoutedJob) -> Iterator[Finding]:
    """Tell of a job that costs less than nothing: one that runs on may, by the end that this saves."""
    saved = dearest_end(seen) * (1 + SUM_SHARE)
    if job.cost < (-saved if job.run_on else 0.0):
        yield Finding("cost", f"{name} states a cost of {job.cost:.3f} s, less than nothing")
    if not -saved <= job.forced <= job.cost + SUM_SHARE * abs(job.cost):
        yield Finding(
            "forced", f"{name} states that {job.forced:.3f} s of its cost of {job.cost:.3f} s are forced"
        )


def _whole(name: str, job: RoutedJob) -> Iterator[Finding]:
    """Tell of costs that are no whole multiples of the unit that they are stated in."""
    if not job.unit_s > 0:
        return
    for what, value in (("cost", job.cost), ("bound", job.bound), ("forced part", job.forced)):
        count = value / job.unit_s
        if math.isfinite(count) and abs(count - round(count)) > 1e-6 + SUM_SHARE * abs(count):
            yield Finding("unit", f"{name}: the {what} of {value} s is no multiple of {job.unit_s:g} s")


def _run_on(plan: Plan) -> Iterator[Finding]:
    """Tell where paths run on into a stage more or less often than the jobs state."""
    threads = tells_threads(plan)
    stated: Counter[Key] = Counter()
    for before, job in zip((None, *plan.jobs), plan.jobs, strict=False):
        if not job.run_on:
            continue
        here = job_key(job, threads=threads)
        there = None if before is None else job_key(before, threads=threads)
        if there is None or (there[0], there[2]) != (here[0], here[2]):
            yield Finding("run on", f"{said_of(here)} cannot run on: there is no such job before it")
        elif there[1] != here[1]:
            stated[here] += 1
    made = Counter(
        path_key(path, after.stage, threads=threads)
        for path in plan.paths
        for span, after in zip(path.spans, path.spans[1:], strict=False)
        if span.stage != after.stage
    )
    for key in sorted(key for key in {*stated, *made} if stated[key] != made[key]):
        said = f"{stated[key]} jobs of {said_of(key)} state that they run on; {made[key]} paths do"
        yield Finding("run on", said)


def _grouped(seen: Evidence, plan: Plan) -> Iterator[Finding]:
    """Tell where a path sews nothing of the group of blocks that its job is stated to finish.

    It says nothing of the last path of a job from which the next one runs on, nor of a job that names no
    group.
    """
    if sum(job.paths for job in plan.jobs) != len(plan.paths):
        return
    names, found = surely_in_groups(seen)
    number = 0
    for job, after in zip(plan.jobs, (*plan.jobs[1:], None), strict=False):
        last = number + job.paths
        if job.group and job.group not in names:
            said = said_of(job_key(job, threads=tells_threads(plan)))
            yield Finding("group", f'{said} states a group "{job.group}"; the design has no such group')
        own = job.paths - (after is not None and after.run_on)
        for path in range(number, number + max(own, 0)):
            sewn = {names[i] for i in _groups_of(seen, found, path)}
            if job.group and sewn and job.group not in sewn:
                said = f'{path_named(seen, path)} is stated to be of group "{job.group}"'
                yield Finding("group", f"{said} and sews {', '.join(sorted(sewn))}")
        number = last


def _groups_of(seen: Evidence, found: Ints, path: int) -> list[int]:
    first, last = np.searchsorted(seen.segments.path, [path, path + 1])
    groups = np.unique(found[first:last])
    return [int(group) for group in groups.tolist() if group >= 0]
