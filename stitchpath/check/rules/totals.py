"""Adds up again what a plan says it costs, and checks that its spans name their lines."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.check.measuring.gates import NO_RANK
from stitchpath.check.measuring.intervals import Floats, Interval, Ints, Points
from stitchpath.check.measuring.match import STRETCH_MM
from stitchpath.check.measuring.rounding import STEP_MM, SUM_SHARE
from stitchpath.check.measuring.times_over import times_range
from stitchpath.check.rules.evidence import Evidence, whole_matches, whose
from stitchpath.check.rules.jobs import (
    Key,
    job_key,
    path_cost,
    path_key,
    said_of,
    tells_threads,
    unit_most,
)
from stitchpath.check.rules.resume import resumed, route_ends
from stitchpath.check.rules.stitching import GATES, gates_beside
from stitchpath.check.rules.thread_travel import over_others_range
from stitchpath.errors import Finding
from stitchpath.lines import COVERED_MM, PLAIN_TIMES, Role
from stitchpath.plan import Plan

__all__ = ["names_its_lines", "totals_hold"]

_OFF_JUNCTION_MM = 0.0015
"""How far a line that meets a junction may be from it as drawn: noding, then rounding to 3 decimals."""


def totals_hold(seen: Evidence, plan: Plan) -> Iterator[Finding]:
    """Add up ends and travel: they come to the plan's cost, and to the jobs' in each band, stage, thread.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath.drawing import Drawing
    >>> seen = look_at([], Asked(Drawing(lines=())))
    >>> list(totals_hold(seen, Plan(seen.asked.drawing, (), (), 0.0)))
    []
    """
    bill = _bill(seen, plan)
    (low,), (high,) = bill.sums(np.zeros(len(bill.of), dtype=np.int64), 1)
    if not low <= plan.cost <= high:
        yield Finding("cost", f"the stated cost is {plan.cost:.3f} s; {_between(low, high)}")
        return
    lows, highs = bill.sums(bill.of, len(bill.keys))
    stated = dict.fromkeys(bill.keys, 0.0)
    for job in plan.jobs:
        stated[job_key(job, threads=bill.threads)] += job.cost
    for (key, cost), low, high in zip(stated.items(), lows.tolist(), highs.tolist(), strict=True):
        if not low <= cost <= high:
            yield Finding("cost", f"{said_of(key)} states a cost of {cost:.3f} s; {_between(low, high)}")


def _between(low: float, high: float) -> str:
    return f"ends, travel and leaving blocks come to {low:.3f} s at least and {high:.3f} s at most"


@dataclass(frozen=True, eq=False)
class _Bill:
    """Every single thing that costs: travel by the segment, steps too, ends, and ends that running on saves.

    Attributes
    ----------
    keys, threads
        The jobs that the plan states, told apart as `stitchpath.check.rules.jobs.Key` does.
    of
        (n,) the number of the jobs that each thing is part of.
    low, high
        (n,) what each costs in seconds at least and at most, rounding included.
    """

    keys: tuple[Key, ...]
    threads: bool
    of: Ints
    low: Floats
    high: Floats

    def sums(self, of: Ints, count: int) -> Interval:
        """Return what things come to at least and at most, in each of so many lots."""
        low, high = (np.bincount(of, part, count)[:count] for part in (self.low, self.high))
        noise = SUM_SHARE * np.maximum(np.abs(low), np.abs(high))
        return low - noise, high + noise


def _bill(seen: Evidence, plan: Plan) -> _Bill:
    """Price travel, steps, ends, and leaving blocks; what takes up a line again is no part of the route.

    How often blocks are left is what the jobs state; that it is true is a rule of its own.

    Travel over a line that was sewn in another thread costs more, and so does the third time over a line and
    each further one. A price is a range where lines run within
    `COVERED_MM` of each other without being the same, so that drawn lines alone do not say on which of them
    the needle travels or ends; and by the rounding of coordinates (`STEP_MM` a segment) and of prices (half
    of `unit_most`, each time that thread builds up).
    """
    threads = tells_threads(plan)
    keys = tuple(dict.fromkeys(job_key(job, threads=threads) for job in plan.jobs))
    of_segment, of_end = _owners(seen, keys, threads=threads)
    travel = np.flatnonzero(~seen.segments.sew & ~_taken_up(seen))
    runs_on = np.flatnonzero((np.diff(seen.segments.path) == 0) & (np.diff(seen.segments.stage) != 0)) + 1
    more_times = _more_times(seen, travel)
    slow, dear = _travel_range(seen, travel, more_times)
    least, most = _ends_range(seen, np.concatenate((route_ends(seen), seen.segments.start[runs_on])))
    ends, saved = slice(0, len(of_end)), slice(len(of_end), None)
    room = unit_most(seen) / 2
    left = np.array([job.crossings for job in plan.jobs], dtype=np.int64)
    of_left = np.array([keys.index(job_key(job, threads=threads)) for job in plan.jobs], dtype=np.int64)
    leaving = np.full(int(left.sum()), seen.asked.cost.leaving_block_s)
    owners = (of_segment[travel], of_end, of_segment[runs_on - 1], of_segment[runs_on], of_left.repeat(left))
    rooms = np.full(sum(map(len, owners)), room)
    rooms[: len(travel)] *= 1 + more_times[1]
    return _Bill(
        keys,
        threads,
        np.concatenate(owners),
        np.concatenate((slow, least[ends], least[saved], -most[saved], leaving)) - rooms,
        np.concatenate((dear, most[ends], most[saved], -least[saved], leaving)) + rooms,
    )


def _owners(seen: Evidence, keys: Sequence[Key], *, threads: bool) -> tuple[Ints, Ints]:
    """Return which jobs each segment is part of, and each path's two ends; one more where none is stated."""
    number = {key: i for i, key in enumerate(keys)}
    of = [
        [number.get(path_key(path, stage, threads=threads), len(keys)) for stage in (*seen.stages, "")]
        for path in seen.paths
    ]
    table = np.array(of, dtype=np.int64).reshape(len(seen.paths), len(seen.stages) + 1)
    order = {stage: i for i, stage in enumerate(seen.stages)}
    ends = [[order.get(path.spans[i].stage, -1) for i in (0, -1)] for path in seen.paths]
    path = np.repeat(np.arange(len(seen.paths)), 2)
    return table[seen.segments.path, seen.segments.stage], table[path, np.array(ends, dtype=np.int64).ravel()]


def _taken_up(seen: Evidence) -> NDArray[np.bool_]:
    """Return for each segment whether it takes up a line again."""
    taken = np.zeros(len(seen.segments.path), dtype=bool)
    for segments in resumed(seen):
        taken[segments] = True
    return taken


def _travel_range(seen: Evidence, travel: Ints, more_times: tuple[Ints, Ints]) -> Interval:
    """Return what each segment of travel costs, at least and at most."""
    stretch, place = np.unique(seen.stretches.of[travel], return_inverse=True)
    rule, step = seen.asked.cost.rules()[Role.STEP], seen.segments.step[travel]
    least, most = (rank[place] for rank in _rank_range(seen, stretch))
    shows = _shows_range(seen.rails.visibility()[1], least, most, more_times)
    low, high = (
        np.where(step, rule.shows * (1 + rule.builds_up * more), on_line * other)
        for on_line, other, more in zip(shows, over_others_range(seen, travel), more_times, strict=True)
    )
    length, speed = seen.segments.length[travel], seen.asked.machine.speed_mm_s
    return np.maximum(length - STEP_MM, 0) * low / speed, (length + STEP_MM) * high / speed


def _more_times(seen: Evidence, travel: Ints) -> tuple[Ints, Ints]:
    """Return how often each segment of travel costs more, since thread builds up, at least and at most."""
    if not any(rule.builds_up for rule in seen.asked.cost.rules().values()):
        return np.zeros(len(travel), dtype=np.int64), np.zeros(len(travel), dtype=np.int64)
    passes = np.flatnonzero(~_taken_up(seen))
    least, most = times_range(seen.stretches, seen.matches, seen.cells, passes, travel)
    return np.maximum(least - PLAIN_TIMES, 0), np.maximum(most - PLAIN_TIMES, 0)


def _shows_range(ranked: Floats, least: Ints, most: Ints, more_times: tuple[Ints, Ints]) -> Interval:
    """Return how much travel shows at least and at most, somewhere between two ranks."""
    rank, (plain, builds_up) = np.arange(-1, len(ranked)), np.vstack(([[0.0, 0.0]], ranked)).T
    between = (rank >= least[:, None]) & (rank <= most[:, None])
    low, high = (plain * (1 + builds_up * more[:, None]) for more in more_times)
    return np.where(between, low, np.inf).min(axis=1), np.where(between, high, 0.0).max(axis=1)


def _rank_range(seen: Evidence, stretch: Ints) -> tuple[Ints, Ints]:
    """Return how visible the line is that each stretch goes along, at least and at most, as ranks.

    Where no line is, it is anything from -1, nothing, up.
    """
    count = len(seen.stretches.times)
    whole = whole_matches(seen)
    rank, ranked = seen.rails.visibility()
    near = rank[seen.matches.line[whole]]
    least, most = np.full(count, NO_RANK), np.zeros(count, dtype=np.int64)
    np.minimum.at(least, seen.matches.stretch[whole], near)
    np.maximum.at(most, seen.matches.stretch[whole], near)
    first, last = seen.stretches.extent
    doubtful = stretch[(least[stretch] < most[stretch]) & ((last - first)[stretch] >= STRETCH_MM)]
    gates = gates_beside(seen, doubtful).visibility().reshape(-1, GATES)
    most[doubtful] = gates.min(axis=1, initial=NO_RANK)
    lost = least == NO_RANK
    least[lost], most[lost] = -1, len(ranked) - 1
    return least[stretch], np.maximum(most, least)[stretch]


def _ends_range(seen: Evidence, places: Points) -> Interval:
    """Return what a path's end costs at each of some places, at least and at most."""
    shows = np.array([rule.end_shows for rule in seen.rails.rules])
    dearest = shows.max(initial=0.0)
    least, most = np.full(len(places), dearest), np.full(len(places), dearest)
    for value, within in ((least, COVERED_MM), (most, _OFF_JUNCTION_MM)):
        end, piece = seen.rails.tree.query(shapely.points(places), predicate="dwithin", distance=within)
        np.minimum.at(value, end, shows[seen.rails.line[piece]])
    return path_cost(seen) / 2 * least, path_cost(seen) / 2 * most


def names_its_lines(seen: Evidence) -> Iterator[Finding]:
    """Every span lies on the line that it names; only travel on a hidden seam and steps name none.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line, Move, Span, StitchPath
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1, line=1),))
    >>> asked = Asked(Drawing(lines=(Line([(0, 5), (9, 5)]), Line([(0, 0), (9, 0)]))))
    >>> [found.message for found in names_its_lines(look_at([path], asked))]
    ['path 1 names line 1 and is not on it']
    >>> list(names_its_lines(look_at([], asked)))
    []
    """
    segments, rails = seen.segments, seen.rails
    hidden, strange = rails.asked, rails.asked + 1
    follows = seen.matches.follows
    line = np.minimum(seen.matches.line[follows], hidden)
    on = np.unique(seen.matches.stretch[follows] * (strange + 1) + line)
    named = np.where(segments.line < 0, hidden, np.where(segments.line < rails.asked, segments.line, strange))
    lies = np.isin(seen.stretches.of * (strange + 1) + named, on) | segments.step
    wrong = np.flatnonzero(~lies | (segments.sew & (segments.line < 0)))
    _, first = np.unique(segments.span[wrong], return_index=True)
    for segment in wrong[first].tolist():
        line_id, (x, y) = int(segments.line[segment]) + 1, segments.start[segment].tolist()
        said = (
            f"names line {line_id} and is not on it" if line_id else "names no line and is on no hidden seam"
        )
        yield Finding("line", f"{whose(seen, segment)} {said}", (x, y))
