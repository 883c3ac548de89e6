"""Routes jobs one after another; out come trails in sewing order.

One trail of a job, at most, runs on from where the job before ended. So a job's trails are put in order only
when the next job has said where it would run on from.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from stitchpath.plan import RoutedJob
from stitchpath.planning.network import Network
from stitchpath.planning.outlines import Rings, closed_outlines, lap_ids, reachable
from stitchpath.planning.part import Part
from stitchpath.planning.schedule import Job
from stitchpath.planning.solving import JobSolver, Memory, Progress, Solved
from stitchpath.planning.weights import Weights
from stitchpath.postman.trails.laps import insert_laps, loose_laps
from stitchpath.postman.trails.trail_order import order_trails
from stitchpath.postman.trails.walks import Trail, reverse, rotate_closed, trace
from stitchpath.settings import Effort

__all__ = ["JobBegins", "Route", "Router", "Working", "first_sewn"]

JobBegins = Callable[[Job, int, int], None]
"""Called with a job before it is routed, its number in order from 1, and how many jobs there are."""

Working = Callable[[str, float], None]
"""Called with what is being done, empty where that is told otherwise, and which share of the work is done."""


@dataclass(frozen=True, eq=False)
class Route:
    """One job's trails over the network's edges, in sewing order.

    Attributes
    ----------
    job, routed
        Which job, and what it came to.
    trails
        The first one continues the trail before it if ``routed.run_on``.
    """

    job: Job
    routed: RoutedJob
    trails: tuple[Trail, ...]


@dataclass(frozen=True, eq=False)
class _Open:
    """A job whose trails are found but not yet in order: the next job may run on from any of them."""

    job: Job
    routed: RoutedJob
    run_into: int
    trails: tuple[Trail, ...]
    laps: Rings

    @property
    def free(self) -> tuple[Trail, ...]:
        """The trails whose ends are all their own: not the one that was run into, which comes first."""
        return self.trails[1:] if self.run_into >= 0 else self.trails


@dataclass(eq=False)
class _Line:
    """Routes as they come to be in line, and the chain of those that a path runs through, at its end.

    Attributes
    ----------
    routes
        In sewing order.
    waiting
        The job that comes next in line, to be closed once it is known where the one after it runs on from.
    alone
        The route of what no line touches in the group of the job that comes after it.
    first, at
        The first job of the chain, and its place in line.
    """

    routes: list[Route] = field(default_factory=list)
    waiting: _Open | None = None
    alone: Route | None = None
    first: Job | None = None
    at: int = 0

    def before(self, job: Job) -> _Open | None:
        """Return the job that one may run on from, if it may run on from any.

        What no line touches comes before the chain, but never before a turn that comes before its own. On a
        frame that is no more than one row further up than the job.
        """
        if (
            self.waiting is None
            or self.first is None
            or job.alone
            or not job.may_run_on_from(self.waiting.job)
        ):
            return None
        alike = (job.stage, job.turn) == (self.first.stage, self.first.turn)
        far = job.after_alone and (job.row > self.first.row + 1 or not alike)
        return None if far else self.waiting

    def join(self, opened: _Open) -> None:
        """Let a job wait at the end of the line; it is part of the chain if it runs on."""
        if opened.run_into < 0 or self.first is None:
            self.first, self.at = opened.job, len(self.routes)
        if self.alone is not None:
            self.routes.insert(self.at, self.alone)
            self.alone, self.at = None, self.at + 1
        self.waiting = opened


@dataclass(frozen=True, eq=False)
class Router:
    """Routes jobs on a network.

    Attributes
    ----------
    laps
        ``"free"``: closed outlines in one round where it costs nothing; ``"always"``: in one round.
    effort, seed, progress, job_begins
        As in `stitchpath.make_plan`.
    memory, turns
        As in `JobSolver`.
    working
        Called before each job, which is weighed by its size.
    """

    network: Network
    weights: Weights
    laps: str = "free"
    effort: Effort = "standard"
    seed: int = 0
    progress: Progress | None = None
    job_begins: JobBegins | None = None
    memory: Memory = field(default_factory=dict, repr=False)
    turns: int | None = None
    working: Working | None = None

    @cached_property
    def solver(self) -> JobSolver:
        """What solves each job."""
        return JobSolver(
            self.network, self.weights, self.effort, self.seed, self.progress, self.memory, self.turns
        )

    @cached_property
    def rings(self) -> Rings:
        """The closed outlines."""
        return closed_outlines(self.network)

    def route(
        self, jobs: Sequence[Job], *, kept: Sequence[NDArray[np.int64]] | None = None
    ) -> tuple[Route, ...]:
        """Route jobs in their order.

        What no line touches is sewn before the path begins that runs through its group.

        Parameters
        ----------
        jobs
            In their order.
        kept
            For each job, (m,) how often it must leave each edge to later ones; None: it may take all.

        Raises
        ------
        DesignError
            If a job's lines cannot be sewn as often as they would have to be.
        """
        rings = self.rings
        sewn = np.zeros(len(self.network.tails), dtype=np.int64)
        line = _Line()
        sizes = np.cumsum([0, *(len(job.edges) for job in jobs)])
        for number, job in enumerate(jobs, 1):
            if self.working is not None:
                self.working("", float(sizes[number - 1] / max(sizes[-1], 1)))
            if self.job_begins is not None:
                self.job_begins(job, number, len(jobs))
            left = None if kept is None else kept[number - 1]
            opened = self._open(job, rings, sewn, line.before(job), left)
            sewn = sewn + _times(opened, len(sewn))
            if job.alone:
                line.alone = self._close(opened, -1, line.routes)
                continue
            if line.waiting is not None:
                line.routes.append(self._close(line.waiting, opened.run_into, line.routes))
            line.join(opened)
        if line.waiting is not None:
            line.routes.append(self._close(line.waiting, -1, line.routes))
        return tuple(line.routes)

    def _open(
        self,
        job: Job,
        rings: Rings,
        sewn: NDArray[np.int64],
        before: _Open | None,
        kept: NDArray[np.int64] | None = None,
    ) -> _Open:
        """Solve a job and trace its trails."""
        required, taken = self.split(job, rings)
        lapped = sewn + _count(taken, len(sewn))
        solved = self.solver.solved(job, required, lapped, self._run_on_ends(before), kept=kept)
        part, solution, times = solved.part, solved.solution, solved.times
        laps = taken
        if self.laps != "always":
            laps = self._loose(part, _own(rings, required), times, solution.ends)
            times -= part.required * _count(laps, len(sewn))[part.edges]
        trails = trace(
            size=len(part.vertices),
            tails=part.tails,
            heads=part.heads,
            times=times,
            ends=solution.ends,
            start=solution.start,
            headings=part.headings,
        )
        run_on = solution.start >= 0 and len(trails[0]) > 0
        if solution.start >= 0 and not run_on:
            trails = trails[1:]
        run_into = solved.run_into if run_on else -1
        routed = _routed(job, solved, self.weights.unit_s, run_on=run_on)
        return _Open(job, routed, run_into, tuple(map(part.whole, trails)), laps)

    def split(self, job: Job, rings: Rings) -> tuple[NDArray[np.bool_], Rings]:
        """Return (m,) what the job's problem requires, and the laps that leave it.

        With laps always, an outline leaves the problem if another required line comes by to bring it in.
        """
        required = np.zeros(len(self.network.tails), dtype=bool)
        required[job.edges] = True
        if self.laps != "always":
            return required, ()
        own = _own(rings, required)
        near = reachable(self.network, own, required)
        taken = tuple(ring for ring, ok in zip(own, near, strict=True) if ok)
        required[_count(taken, len(required)) > 0] = False
        return required, taken

    def _loose(self, part: Part, rings: Rings, times: NDArray[np.int64], ends: NDArray[np.int64]) -> Rings:
        """Return the outlines that can be taken out whole and put back as laps, at no cost."""
        loose = loose_laps(
            size=len(part.vertices),
            tails=part.tails,
            heads=part.heads,
            times=times,
            required=part.required,
            laps=np.where(part.required, lap_ids(rings, len(self.network.tails))[part.edges], -1),
            ends=ends,
        )
        return tuple(ring for ring, out in zip(rings, loose, strict=True) if out)

    def _run_on_ends(self, before: _Open | None) -> NDArray[np.intp]:
        """Return the junctions where the job before may end its last path."""
        if before is None:
            return np.empty(0, dtype=np.intp)
        if before.run_into >= 0 and len(before.trails) == 1:
            return np.array([before.trails[0].last])
        return np.unique(np.concatenate([self._may_end(trail) for trail in before.free]))

    def _may_end(self, trail: Trail) -> NDArray[np.intp]:
        """Return where a trail may end: a closed one wherever an end costs the same."""
        if not trail.closed:
            return np.array([trail.first, trail.last])
        at = np.unique(np.concatenate((self.network.tails[trail.edges], self.network.heads[trail.edges])))
        alike: NDArray[np.intp] = at[self.weights.end[at] == self.weights.end[trail.first]]
        return alike

    def _close(self, opened: _Open, end: int, before: Sequence[Route]) -> Route:
        """Order a job's trails, ending at `end` if the next job runs on from there; insert its laps."""
        trails = list(opened.trails)
        first = 0 if opened.run_into >= 0 else None
        last = self._end_at(trails, end, first) if end >= 0 else None
        place = self.network.junctions_mm[before[-1].trails[-1].last] if before else None
        order, turned = order_trails(
            self.network.junctions_mm[np.array([[t.first, t.last] for t in trails])],
            closed=np.array([t.closed for t in trails]),
            start_xy=place,
            first=first,
            last=last,
            seed=self.seed,
        )
        fixed = {first, last}
        ordered = [reverse(trails[i]) if back else trails[i] for i, back in zip(order, turned, strict=True)]
        for at, i in enumerate(order):
            here = ordered[at - 1].last if at else before[-1].trails[-1].last if before else -1
            if int(i) not in fixed and here >= 0:
                ordered[at] = self._start_near(ordered[at], here)
        return Route(opened.job, opened.routed, self._with_laps(ordered, opened.laps))

    def _end_at(self, trails: list[Trail], end: int, first: int | None) -> int:
        """Turn the trail that ends at a junction so that it does; return which one it is."""
        for i, trail in enumerate(trails):
            if i == first and len(trails) > 1:
                continue
            if trail.last == end or (trail.first == end and i != first):
                trails[i] = trail if trail.last == end else reverse(trail)
                return i
        for i, trail in enumerate(trails):
            if i != first and trail.closed and end in self._may_end(trail):
                trails[i] = rotate_closed(trail, end, tails=self.network.tails, heads=self.network.heads)
                return i
        raise ValueError(f"no trail can end at junction {end}")

    def _start_near(self, trail: Trail, junction: int) -> Trail:
        """Start a closed trail where the lift to it is shortest, if its ends cost no more there."""
        if not trail.closed or not len(trail):
            return trail
        at = self._may_end(trail)
        apart = np.hypot(*(self.network.junctions_mm[at] - self.network.junctions_mm[junction]).T)
        nearest = int(at[np.argmin(apart)])
        return rotate_closed(trail, nearest, tails=self.network.tails, heads=self.network.heads)

    def _with_laps(self, trails: Sequence[Trail], laps: Rings) -> tuple[Trail, ...]:
        return insert_laps(
            tuple(trails),
            tails=self.network.tails,
            heads=self.network.heads,
            laps_edges=laps,
            headings=self.network.headings,
        )


def first_sewn(walk: NDArray[np.intp], weights: Weights) -> NDArray[np.bool_]:
    """Return which steps of a plan's whole walk sew: an asked edge for the first time.

    Examples
    --------
    >>> from stitchpath import Drawing, Line
    >>> from stitchpath.planning.network import build_network
    >>> from stitchpath.planning.weights import weigh
    >>> from stitchpath import CostSettings, MachineSettings, ScheduleSettings
    >>> network = build_network(Drawing((Line([(0, 0), (9, 0)]),)))
    >>> weights = weigh(network, cost=CostSettings(), machine=MachineSettings(), schedule=ScheduleSettings())
    >>> first_sewn(np.array([0, 0]), weights).tolist(), first_sewn(np.empty(0, int), weights).tolist()
    ([True, False], [])
    """
    first = np.zeros(len(walk), dtype=bool)
    first[np.unique(walk, return_index=True)[1]] = True
    return first & (weights.stage[walk] >= 0)


def _routed(job: Job, solved: Solved, unit_s: float, *, run_on: bool) -> RoutedJob:
    solution, entered = solved.solution, solved.solution.start >= 0
    return RoutedJob(
        band=job.band,
        stage=job.stage,
        cost=solved.cost * unit_s,
        bound=solved.bound * unit_s,
        forced=solved.forced * unit_s,
        paths=(int(solution.ends.sum()) + entered) // 2 - entered,
        run_on=run_on,
        unit_s=unit_s,
        thread=job.thread,
        group=job.group,
    )


def _own(rings: Rings, required: NDArray[np.bool_]) -> Rings:
    """Return the rings that are required all round."""
    return [ring for ring in rings if required[ring[0]] and required[ring].all()]


def _count(rings: Rings, size: int) -> NDArray[np.int64]:
    """Return how often each edge is on a ring."""
    flat = np.concatenate(rings) if rings else np.empty(0, dtype=np.intp)
    return np.bincount(flat, minlength=size)


def _times(opened: _Open, size: int) -> NDArray[np.int64]:
    """Return how often a job sews each edge."""
    return _count([t.edges for t in opened.trails], size) + _count(opened.laps, size)
