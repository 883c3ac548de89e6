"""Solves one job: the part of the network that it may use, as a rural postman problem, within all limits."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field, replace
from functools import cached_property
from hashlib import blake2b

import numpy as np
from numpy.typing import NDArray

from stitchpath.errors import DesignError
from stitchpath.planning.faces import Faces, find_faces
from stitchpath.planning.network import Network, who
from stitchpath.planning.part import Part, part_of, usable_part
from stitchpath.planning.schedule import Job
from stitchpath.planning.sides import Sides, split_sides, whole_sides
from stitchpath.planning.weights import Weights
from stitchpath.postman.errors import NoPlanError, PostmanError
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.solve import Solution, lower_bound, narrowed, solve
from stitchpath.settings import Effort

__all__ = ["JobSolver", "Memory", "Progress", "Solved", "first_sewing"]

Progress = Callable[[float, float], bool]
"""Called with a job's cost and bound in seconds as they move; returns False to stop with the best so far."""

Memory = dict[bytes, Solution]
"""Solutions by what was solved, so that the same is not solved again."""

_NONE = np.zeros(0, dtype=np.intp)  # of junctions and edges: no default is made anew


@dataclass(frozen=True, eq=False)
class Solved:
    """A job's solution on its part.

    Attributes
    ----------
    part, solution
        On the part's own numbers.
    cost, bound, forced
        In whole units; first sewing, leaving blocks and thread that builds up are left out of the cost. The
        bound has them in view, thread that builds up as far as earlier jobs sewed.
    """

    part: Part
    solution: Solution
    cost: int
    bound: int
    forced: int

    @property
    def run_into(self) -> int:
        """The network's junction where its first trail begins free, -1 if none does."""
        start = self.solution.start
        return int(self.part.junctions[start]) if start >= 0 else -1

    @property
    def times(self) -> NDArray[np.int64]:
        """(k,) how often each edge of the part is sewn."""
        return _times(self.part, self.solution)


@dataclass(frozen=True, eq=False)
class JobSolver:
    """Solves jobs on a network.

    Attributes
    ----------
    effort, seed, progress
        As in `stitchpath.make_plan`.
    memory
        Filled with what was solved.
    turns
        Most rounds in which a first plan is bettered; None: as many as pay.
    """

    network: Network
    weights: Weights
    effort: Effort = "standard"
    seed: int = 0
    progress: Progress | None = None
    memory: Memory = field(default_factory=dict, repr=False)
    turns: int | None = None

    @cached_property
    def whole(self) -> Sides:
        """The network as it is."""
        return whole_sides(self.network)

    @cached_property
    def faces(self) -> Faces:
        """What the seams cut the top into."""
        return find_faces(self.network, self.weights.seam_edge)

    @cached_property
    def split(self) -> Sides:
        """The network cut by blocks; as it is where there are none, or leaving a block costs nothing."""
        cut = self.weights.leaving > 0 and self.faces.divide
        return split_sides(self.network, self.faces, self.weights.seam_edge) if cut else self.whole

    def sides_for(self, required: NDArray[np.bool_]) -> Sides:
        """Return the network as a job sees it: uncut where it sews nothing but seams."""
        return self.whole if self.weights.seam_edge[required].all() else self.split

    def solved(
        self,
        job: Job,
        required: NDArray[np.bool_],
        sewn: NDArray[np.int64],
        doors: NDArray[np.intp],
        *,
        kept: NDArray[np.int64] | None = None,
    ) -> Solved:
        """Solve a job; without ends in open cloth, if that is asked for and possible.

        Parameters
        ----------
        job
            For its reach, and its name where it cannot be sewn.
        required
            (m,) what it must sew.
        sewn
            (m,) how often each edge was sewn before, or will be besides.
        doors
            Junctions that it may run on from.
        kept
            (m,) how often it must leave each edge to later jobs; None: never.
        """
        if not self.weights.open_ends:
            with suppress(NoPlanError):
                return self._within_limits(job, required, sewn, doors, kept, open_ends=False)
        return self._within_limits(job, required, sewn, doors, kept, open_ends=True)

    def least(
        self,
        job: Job,
        required: NDArray[np.bool_],
        sewn: NDArray[np.int64],
        doors: NDArray[np.intp] = _NONE,
        paid: NDArray[np.int64] | None = None,
    ) -> int:
        """Return what sewing a job must at least cost, in whole units, the first sewing left out.

        Parameters
        ----------
        job, required, sewn, doors
            As for `solved`.
        paid
            What running on from each door gives back.
        """
        weights = self.weights.in_thread(job.thread).after(sewn + required)
        part = part_of(weights, self.usable(job, required, sewn), doors)
        problem = part.problem(weights)
        own = part.own(doors)
        back = None if paid is None else paid[np.searchsorted(doors, part.junctions[own])]
        return lower_bound(problem, candidates=own, paid=back) - first_sewing(problem)

    def usable(self, job: Job, required: NDArray[np.bool_], sewn: NDArray[np.int64]) -> Part:
        """Return what a job is bounded on: uncut where it sews any seam, since either side of it would do."""
        sides = self.whole if self.weights.seam_edge[required].any() else self.split
        return usable_part(sides, self.weights.in_thread(job.thread), required, sewn, job.reached)

    def as_free(
        self, job: Job, required: NDArray[np.bool_], least: NDArray[np.int64], sewn: NDArray[np.int64]
    ) -> bool:
        """Tell whether a job can use as much, at one price, where edges were sewn more often than at least.

        Parameters
        ----------
        job, required
            As for `solved`.
        least, sewn
            (m,) how often each edge was sewn before at the least, and in truth.
        """
        able = (self.weights.stage < 0) | (least > 0)
        able[required] = True
        if job.reached is not None:
            able &= np.isin(np.arange(len(able)), job.reached)
        weights = self.weights.in_thread(job.thread)
        left = [np.clip(weights.most - often - required, 0, 2)[able] for often in (least, sewn)]
        paid = [weights.after(often + required).travel[able] for often in (least, sewn)]
        return bool((left[0] == left[1]).all() and ((paid[0] == paid[1]) | (left[0] == 0)).all())

    def _within_limits(
        self,
        job: Job,
        required: NDArray[np.bool_],
        sewn: NDArray[np.int64],
        doors: NDArray[np.intp],
        kept: NDArray[np.int64] | None,
        *,
        open_ends: bool,
    ) -> Solved:
        """Solve a job; where both sides of a seam are sewn too often together, one of them is shut.

        At "quick" the plan is mended then; otherwise, or where it cannot be mended, the job is solved anew.
        What is proven without the shut sides holds with them.
        """
        sides, plain = self.sides_for(required), self.weights.in_thread(job.thread)
        weights = plain.after(sewn + required)
        shut, bound = np.zeros(len(sides.edge), dtype=bool), None
        while True:
            usable = usable_part(sides, weights, required, sewn, job.reached, shut=shut, kept=kept)
            part = part_of(weights, usable, doors, open_ends=open_ends)
            problem = part.problem(weights, open_ends=open_ends)
            found = self._solve(job, part, problem, doors, open_ends=open_ends)
            bound = found.bound - first_sewing(problem) if bound is None else bound
            if self.effort == "quick":
                found = self._mended(part, problem, found, sewn) or found
            over = self._sewn_too_often(part, found, sewn)
            if not len(over):
                break
            shut |= _one_of_two(part, found, over)
        if sides is self.split and sides is not self.whole and weights.seam_edge[required].any():
            bound = self.least(job, required, sewn, doors)
        crossed = int((found.copies * part.crossings).sum())
        built_up = int((found.copies * (problem.cost - part.travel(plain))).sum())
        cost = found.cost - first_sewing(problem) - crossed * weights.leaving - built_up
        return Solved(part, found, cost, bound, found.forced)

    def _mended(
        self, part: Part, problem: Problem, found: Solution, sewn: NDArray[np.int64]
    ) -> Solution | None:
        """Return a plan close to one that sews both sides of seams too often together, but does not."""
        near: Solution | None = found
        while near is not None and len(over := self._sewn_too_often(part, near, sewn)):
            shut = part.holds(_one_of_two(part, near, over)) & ~part.required
            problem = replace(problem, extra=np.where(shut, 0, problem.extra).astype(np.int8))
            near = narrowed(problem, near)
        return near

    def _sewn_too_often(self, part: Part, found: Solution, sewn: NDArray[np.int64]) -> NDArray[np.intp]:
        """Return the edges whose two sides together are sewn more often than may be."""
        times = part.times(_times(part, found))
        side = ~part.sides.crossing
        total = np.bincount(part.sides.edge[side], times[side], len(sewn))
        return np.flatnonzero((total > 0) & (total + sewn > self.weights.most))

    def _solve(
        self, job: Job, part: Part, problem: Problem, doors: NDArray[np.intp], *, open_ends: bool
    ) -> Solution:
        own = part.own(doors)
        own = own[part.end_cost(self.weights, open_ends=open_ends)[own] >= 0]
        key = _digest(problem, own, f"{self.effort} {self.turns}")
        tell, base, unit = self.progress, first_sewing(problem), problem.unit

        def watch(cost: int, bound: int) -> bool:
            return tell is None or tell((cost - base) * unit, (bound - base) * unit)

        if key not in self.memory:
            self.memory[key] = self._found(job, part, problem, own, watch, open_ends=open_ends)
        found = self.memory[key]
        watch(found.cost, found.bound)
        return found

    def _found(
        self,
        job: Job,
        part: Part,
        problem: Problem,
        own: NDArray[np.intp],
        watch: Callable[[int, int], bool],
        *,
        open_ends: bool,
    ) -> Solution:
        try:
            return solve(
                problem,
                candidates=own,
                effort=self.effort,
                seed=self.seed,
                progress=watch,
                turns=self.turns,
            )
        except NoPlanError as error:
            if not open_ends:
                raise
            raise self._unsewable(job, part, error.vertex) from error
        except PostmanError as error:
            raise self._unsewable(job, part, -1) from error

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
    >>> part = usable_part(whole_sides(network), weights, np.array([True]), np.array([0]))
    >>> round(first_sewing(part.problem(weights)) * weights.unit_s, 3)
    40.0
    """
    return int(problem.cost[problem.required].sum())


def _digest(problem: Problem, doors: NDArray[np.intp], effort: str) -> bytes:
    """Return what tells one problem from another."""
    digest = blake2b(effort.encode())
    values = (problem.tails, problem.heads, problem.cost, problem.required, problem.extra, problem.end_cost)
    for array in (*values, doors):
        digest.update(b"|" if array is None else array.tobytes() + b"|")
    return digest.digest()


def _times(part: Part, found: Solution) -> NDArray[np.int64]:
    times: NDArray[np.int64] = part.required.astype(np.int64) + found.copies
    return times


def _one_of_two(part: Part, found: Solution, over: NDArray[np.intp]) -> NDArray[np.bool_]:
    """Return (M,) for each of some seams the side that is sewn less often, and is not the required one."""
    times = part.times(_times(part, found))
    times += (len(times) + 9) * part.times(part.required.astype(np.int64))
    rows = np.flatnonzero(np.isin(part.sides.edge, over))
    rows = rows[np.lexsort((rows, -times[rows], part.sides.edge[rows]))]
    less = np.zeros(len(times), dtype=bool)
    less[rows[np.flatnonzero(np.diff(part.sides.edge[rows], prepend=-1) == 0)]] = True
    return less
