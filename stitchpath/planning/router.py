"""Routes jobs one after another; out come trails in sewing order.

One trail of a job, at most, runs on from where the job before ended. So a job's trails are put in order only
when the next job has said where it would run on from.
"""

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Self

import numpy as np
from numpy.typing import NDArray

from stitchpath.errors import DesignError
from stitchpath.plan import RoutedJob
from stitchpath.planning.network import Network, who
from stitchpath.planning.outlines import Rings, closed_outlines, lap_ids, reachable
from stitchpath.planning.schedule import Job, Part, part_of, usable_part
from stitchpath.planning.weights import Weights
from stitchpath.postman.errors import NoPlanError, PostmanError
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.solve import Solution, solve
from stitchpath.postman.trails.laps import insert_laps, loose_laps
from stitchpath.postman.trails.trail_order import order_trails
from stitchpath.postman.trails.walks import Trail, reverse, rotate_closed, trace
from stitchpath.settings import Effort

__all__ = ["JobBegins", "Progress", "Route", "Router", "first_sewing", "first_sewn"]

Progress = Callable[[float, float], bool]
"""Called with a job's cost and bound in seconds as they move; returns False to stop with the best so far."""

JobBegins = Callable[[Job, int, int], None]
"""Called with a job before it is routed, its number in order from 1, and how many jobs there are."""


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


@dataclass(frozen=True, eq=False)
class Router:
    """Routes jobs on a network.

    Attributes
    ----------
    laps
        ``"free"``: closed outlines in one round where it costs nothing; ``"always"``: in one round.
    effort, seed, progress, job_begins
        As in `stitchpath.make_plan`.
    """

    network: Network
    weights: Weights
    laps: str = "free"
    effort: Effort = "standard"
    seed: int = 0
    progress: Progress | None = None
    job_begins: JobBegins | None = None

    def route(self, jobs: Sequence[Job]) -> tuple[Route, ...]:
        """Route jobs in their order.

        Raises
        ------
        DesignError
            If a job's lines cannot be sewn as often as they would have to be.
        """
        rings = closed_outlines(self.network)
        sewn = np.zeros(len(self.network.tails), dtype=np.int64)
        routes: list[Route] = []
        waiting: _Open | None = None
        for number, job in enumerate(jobs, 1):
            if self.job_begins is not None:
                self.job_begins(job, number, len(jobs))
            before = waiting if waiting is not None and job.may_run_on_from(waiting.job) else None
            opened = self.in_thread(job.thread)._open(job, rings, sewn, before)  # noqa: SLF001  (its own)
            if waiting is not None:
                routes.append(self._close(waiting, opened.run_into, routes))
            sewn = sewn + _times(opened, len(sewn))
            waiting = opened
        if waiting is not None:
            routes.append(self._close(waiting, -1, routes))
        return tuple(routes)

    def in_thread(self, thread: str) -> Self:
        """Return it with what edges cost and may bear for paths of one thread."""
        return replace(self, weights=self.weights.in_thread(thread))

    def _open(self, job: Job, rings: Rings, sewn: NDArray[np.int64], before: _Open | None) -> _Open:
        """Solve a job and trace its trails."""
        required, taken = self.split(job, rings)
        lapped = sewn + _count(taken, len(sewn))
        usable = usable_part(self.network, self.weights, required, lapped, job.reached)
        part, problem, solution = self._solved(job, usable, self._run_on_ends(before))
        times = part.required.astype(np.int64) + solution.copies
        laps = taken
        if self.laps != "always":
            laps = self._loose(part, _own(rings, required), times, solution.ends)
            times -= _count(laps, len(sewn))[part.edges]
        trails = trace(
            size=problem.size,
            tails=problem.tails,
            heads=problem.heads,
            times=times,
            ends=solution.ends,
            start=solution.start,
            headings=part.headings(self.network),
        )
        run_on = solution.start >= 0 and len(trails[0]) > 0
        if solution.start >= 0 and not run_on:
            trails = trails[1:]
        run_into = int(part.junctions[solution.start]) if run_on else -1
        routed = _routed(job, problem, solution, run_on=run_on)
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

    def _solved(self, job: Job, usable: Part, doors: NDArray[np.intp]) -> tuple[Part, Problem, Solution]:
        """Solve a job; without ends in open cloth, if that is asked for and possible."""
        if not self.weights.open_ends:
            with suppress(NoPlanError):
                return self._solved_with(job, usable, doors, open_ends=False)
        return self._solved_with(job, usable, doors, open_ends=True)

    def _solved_with(
        self, job: Job, usable: Part, doors: NDArray[np.intp], *, open_ends: bool
    ) -> tuple[Part, Problem, Solution]:
        part = part_of(self.network, self.weights, usable, doors, open_ends=open_ends)
        problem = part.problem(self.weights, open_ends=open_ends)
        own = part.own(doors)
        own = own[part.end_cost(self.weights, open_ends=open_ends)[own] >= 0]
        try:
            return part, problem, self._solve(problem, own)
        except NoPlanError as error:
            if not open_ends:
                raise
            raise self._unsewable(job, part, error.vertex) from error
        except PostmanError as error:
            raise self._unsewable(job, part, -1) from error

    def _solve(self, problem: Problem, candidates: NDArray[np.intp]) -> Solution:
        tell, base, unit = self.progress, first_sewing(problem), problem.unit

        def watch(cost: int, bound: int) -> bool:
            return tell is None or tell((cost - base) * unit, (bound - base) * unit)

        found = solve(problem, candidates=candidates, effort=self.effort, seed=self.seed, progress=watch)
        watch(found.cost, found.bound)
        return found

    def _unsewable(self, job: Job, part: Part, vertex: int) -> DesignError:
        """Return what to tell a quilter of a job that has no plan, where its graph fails at a vertex."""
        if vertex < 0:
            problem = f"the lines of {job.stage} cannot be sewn within the most times each may be sewn"
            return DesignError(problem, "let lines be sewn more times", key="cost.roles")
        x, y = self.network.junctions_mm[part.junctions[vertex]].tolist()
        here = part.required & ((part.tails == vertex) | (part.heads == vertex))
        edge = part.edges[np.flatnonzero(here if here.any() else part.required)[0]]
        line = self.network.lines[self.weights.line[edge]]
        return DesignError(
            f"{who(line)}, a line of role {line.role}, cannot be sewn in {job.stage}: "
            f"at x {x:.1f} mm, y {y:.1f} mm no path may end, and none can be led on",
            "let it be sewn more times, or ask for a seam that leads on",
            key=f"cost.roles.{line.role}.most_times",
        )

    def _loose(self, part: Part, rings: Rings, times: NDArray[np.int64], ends: NDArray[np.int64]) -> Rings:
        """Return the outlines that can be taken out whole and put back as laps, at no cost."""
        loose = loose_laps(
            size=len(part.junctions),
            tails=part.tails,
            heads=part.heads,
            times=times,
            required=part.required,
            laps=lap_ids(rings, len(self.network.tails))[part.edges],
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


def first_sewing(problem: Problem) -> int:
    """Return what the first sewing costs: it stands beside the plan's cost, not in it.

    Examples
    --------
    >>> from stitchpath import Drawing, Line
    >>> from stitchpath.planning.network import build_network
    >>> from stitchpath.planning.weights import weigh
    >>> from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings
    >>> network = build_network(Drawing((Line([(0, 0), (100, 0)]),)))
    >>> weights = weigh(network, cost=CostSettings(), machine=MachineSettings(), schedule=ScheduleSettings())
    >>> part = usable_part(network, weights, np.array([True]), np.array([0]))
    >>> round(first_sewing(part.problem(weights)) * weights.unit_s, 3)
    40.0
    """
    return int(problem.cost[problem.required].sum())


def _routed(job: Job, problem: Problem, solution: Solution, *, run_on: bool) -> RoutedJob:
    base, unit, entered = first_sewing(problem), problem.unit, solution.start >= 0
    return RoutedJob(
        band=job.band,
        stage=job.stage,
        cost=(solution.cost - base) * unit,
        bound=(solution.bound - base) * unit,
        forced=solution.forced * unit,
        paths=(int(solution.ends.sum()) + entered) // 2 - entered,
        run_on=run_on,
        unit_s=unit,
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
