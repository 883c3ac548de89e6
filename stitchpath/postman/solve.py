"""The recipe: solve the relaxed problem; if its answer is not connected, buy connection and improve it."""

from dataclasses import dataclass, replace
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts.certificate import NO_CUTS, Certificate
from stitchpath.postman.cuts.columns import no_cuts
from stitchpath.postman.cuts.cutting_planes import Task
from stitchpath.postman.errors import NoPlanError, PostmanError, PromiseError, brief
from stitchpath.postman.model.net import Copies, Net, capped, is_plan, make_net, price, stripped
from stitchpath.postman.model.problem import MOST_TOTAL, Problem
from stitchpath.postman.relaxed.outset import Outset, make_outset
from stitchpath.postman.search.connect import Held, Watch, connect, searched, settled
from stitchpath.postman.search.core import core_plan
from stitchpath.postman.search.fewer_vertices import fewer, on_fewer, restored
from stitchpath.postman.search.first_plan import cheaper, first_plan, near_plan
from stitchpath.postman.search.rotation import rotate

__all__ = ["Effort", "Solution", "lower_bound", "narrowed", "solve"]

Effort = Literal["quick", "standard", "proof"]

_SMALL, _TRAILS_SMALL = 400, 600
"""Networks of so few links are searched whole. Trails' hang together by the hub, so that more can be
searched: jobs of one block have 160 to 390. With 1,500 a row of five blocks, cut by blocks, took 20 s."""

_NEAR = 0.002
"""A small network whose plan and bound are this near, as a share, gets no more work at "standard"."""

_RARE_NODES, _RARE_WORK = 20_000, 5_000_000
"""Most nodes of each program, and simplex iterations, where limits keep all quick ways from a plan: a stop
for a search that may take time without end."""


@dataclass(frozen=True)
class Solution:
    """A plan and what is proven about it, in whole units.

    Attributes
    ----------
    copies
        (m,) traversals of each edge beyond the required first one.
    ends
        (size,) trail ends at each vertex, the free one at `start` left out; all 0 for a closed walk.
    cost
        Required first traversals, copies and ends; less the end already paid where a candidate is run on
        from.
    bound
        No plan costs less.
    forced
        What the worlds force: two ends a world at its cheapest way to the hub, one where it is run into; less
        the end already paid, as the cost is.
    start
        The vertex at which the first trail begins free, -1 if none.
    matched
        False where a matching was too much work, so that the bound is weaker than it might be.
    certificate
        What the bound rests on.
    """

    copies: NDArray[np.int8]
    ends: NDArray[np.int64]
    cost: int
    bound: int
    forced: int
    start: int
    matched: bool
    certificate: Certificate = NO_CUTS

    @property
    def optimal(self) -> bool:
        """Whether the plan is proven to be a cheapest one."""
        return self.cost == self.bound


def solve(
    problem: Problem,
    *,
    start: int | None = None,
    candidates: NDArray[np.intp] | None = None,
    effort: Effort = "standard",
    seed: int = 0,
    progress: Watch | None = None,
    turns: int | None = None,
) -> Solution:
    """Solve a rural postman problem.

    Parameters
    ----------
    problem
        See `Problem`.
    start
        The first trail begins here free. Where that gains nothing it is empty, and its end is paid for at
        once.
        For a closed walk: a vertex it passes.
    candidates
        Vertices that earlier trails end at, their ends paid for: at most one of them may be run on from,
        which gives that end's cost back. Never dearer than without.
    effort
        ``"quick"`` buys connection and improves it by rotation; ``"standard"`` also raises the bound and
        searches the most promising edges; ``"proof"`` searches all that matter, within limits that are
        counted, so that it may take minutes for a thousand edges.
    seed
        Of all that is random.
    progress
        Called with (cost, bound) now and then; if it returns False, the best so far is the answer.
    turns
        Most rounds in which the first plan's tree is turned; None: as many as pay.

    Returns
    -------
    Solution
        With a proven bound.

    Raises
    ------
    PostmanError
        If an argument is wrong, or no plan exists.

    Examples
    --------
    >>> triangle = np.array([0, 1, 2]), np.array([1, 2, 0]), np.array([3, 4, 5])
    >>> two = Problem(3, *triangle, np.array([True, True, False]), np.array([1, 1, 2]), None)
    >>> solve(two).cost, solve(two).optimal, solve(two).copies
    (12, True, array([0, 0, 1], dtype=int8))
    >>> solve(Problem(0, *[np.array([])] * 5, None))
    Traceback (most recent call last):
    stitchpath.postman.errors.PostmanError: no edge is required, so there is nothing to traverse
    """
    doors = np.unique(np.asarray([] if candidates is None else candidates, np.intp))
    _check(problem, start, doors, effort)
    watch = _watch(progress, int(problem.cost[problem.required].sum()))
    task = Task(problem, start, doors)
    held = _best(task, make_outset(problem, start=start, doors=doors), effort, seed, watch, turns)
    return _solution(problem, held)


def _best(
    task: Task, outset: Outset, effort: Effort, seed: int, watch: Watch, turns: int | None = None
) -> Held:
    held = _begun(outset, seed, watch, turns)
    if effort == "quick" or _is_done(held, watch):
        return held
    smaller = fewer(task)
    if smaller is None:
        return _bettered(task, held, effort, seed, watch)
    less = on_fewer(task, smaller)
    begun = _begun(make_outset(less.problem, start=less.start, doors=less.doors), seed, watch)
    found = restored(task, outset, smaller, _bettered(less, begun, effort, seed, watch))
    return found if found.cost <= held.cost else held.at_least(found.bound, found.certificate)


def _begun(outset: Outset, seed: int, watch: Watch, turns: int | None = None) -> Held:
    return Held(outset, _search(outset, seed, watch, turns), outset.goal - outset.refund, no_cuts(outset.net))


def _is_done(held: Held, watch: Watch) -> bool:
    return not held.outset.matched or held.cost <= held.bound or not watch(held.cost, held.bound)


def _bettered(task: Task, held: Held, effort: Effort, seed: int, watch: Watch) -> Held:
    if _is_done(held, watch):
        return held
    if _is_small(held.outset.net):
        held, ended = searched(task, held, watch)
        near = effort == "standard" and held.cost - held.bound <= _NEAR * held.bound
        if ended or near or not watch(held.cost, held.bound):
            return settled(task, held)
    return settled(task, connect(task, held, proof=effort == "proof", seed=seed, watch=watch))


def narrowed(problem: Problem, near: Solution) -> Solution | None:
    """Return a plan close to another one that was made when some limits were wider.

    It is made with little work, and proves no more than the other one did.

    Parameters
    ----------
    problem
        As it was solved before, but for `extra`, which may be less here and there.
    near
        What was found then.

    Returns
    -------
    Solution or None
        None where none was found that is like it.

    Examples
    --------
    Two ways lead from one line to the other; the shorter one is shut.

    >>> tails, heads = np.array([0, 1, 1, 2]), np.array([1, 2, 2, 3])
    >>> asked, cost = np.array([True, False, False, True]), np.array([4, 1, 3, 4])
    >>> wide = Problem(4, tails, heads, cost, asked, np.array([0, 2, 2, 0]), np.array([9, -1, -1, 9]))
    >>> found = solve(wide)
    >>> tight = replace(wide, extra=np.array([0, 0, 2, 0]))
    >>> less = narrowed(tight, found)
    >>> found.cost, less.cost, less.copies.tolist()
    (27, 29, [0, 0, 1, 0])
    """
    net = make_net(problem, start=near.start)
    before = np.append(near.copies, np.zeros(len(net.tails) - net.asked, np.int8))
    if problem.end_cost is not None:
        doors = np.flatnonzero(problem.end_cost >= 0)
        before[net.asked : net.asked + len(doors)] = near.ends[doors]
    plan = near_plan(net, before)
    if plan is None:
        return None
    cost = near.cost + price(net, plan) - price(net, before)
    if not is_plan(net, plan) or cost < near.bound:
        raise PromiseError("a mended plan is broken, or cheaper than its bound")
    copies, ends = _told(problem, net, plan)
    return replace(near, copies=copies, ends=ends, cost=cost)


def lower_bound(
    problem: Problem, *, candidates: NDArray[np.intp] | None = None, paid: NDArray[np.int64] | None = None
) -> int:
    """Return what every plan must at least cost, in whole units, without seeking one.

    Parameters
    ----------
    problem, candidates
        As for `solve`: the bound holds whichever candidate is run on from, or none.
    paid
        What running on from each candidate gives back, in their order; left out, the cost of an end there.

    Examples
    --------
    >>> one = Problem(2, *(np.array([x]) for x in (0, 1, 3, True, 1)), np.array([4, 5]))
    >>> lower_bound(one), lower_bound(one, candidates=np.array([0]))
    (12, 4)
    >>> lower_bound(one, candidates=np.array([0]), paid=np.array([1]))
    7
    """
    doors, first = np.unique(np.asarray([] if candidates is None else candidates, np.intp), return_index=True)
    _check(problem, None, doors, "quick")
    outset = make_outset(problem, doors=doors, paid=None if paid is None else paid[first])
    return int(problem.cost[problem.required].sum()) + outset.goal - outset.refund


def _check(problem: Problem, start: int | None, doors: NDArray[np.intp], effort: str) -> None:
    if not problem.required.any():
        raise PostmanError("no edge is required, so there is nothing to traverse")
    if not isinstance(effort, str) or effort not in get_args(Effort):
        remedy = f"write one of {', '.join(get_args(Effort))}"
        raise PostmanError(f"{brief(effort)} is no effort", remedy, place="effort", value=effort)
    for vertex in ([] if start is None else [start]) + doors.tolist():
        if not 0 <= vertex < problem.size:
            remedy = f"they count from 0 to {problem.size - 1}"
            raise PostmanError(f"{vertex} is no vertex", remedy, value=vertex)
    if len(doors) and (problem.end_cost is None or start is not None):
        raise PostmanError("candidates need trail ends and no start", "leave one of them out")
    if problem.end_cost is not None and (problem.end_cost[doors] < 0).any():
        vertex = int(doors[problem.end_cost[doors] < 0][0])
        said = f"no trail may end at vertex {vertex}, so no trail can run on from it"
        raise PostmanError(said, value=vertex)


def _search(outset: Outset, seed: int, watch: Watch, turns: int | None) -> Copies:
    net, bound = outset.net, outset.goal - outset.refund
    plan = _first(outset)
    plan = _rare_plan(net) if plan is None else plan
    rounds, patience = _rounds(net) if turns is None else (turns, turns)
    go_on = watch(price(net, plan) - outset.refund, bound)
    if not go_on or not outset.matched:  # where no matching was tried, each round might take as long
        return plan
    return rotate(
        net,
        plan,
        goal=outset.goal,
        rounds=rounds,
        patience=patience,
        seed=seed,
        go_on=lambda cost: watch(cost - outset.refund, bound),
    )


def _first(outset: Outset) -> Copies | None:
    """Return the better of first plans that run on and that do not; None where limits keep both away."""
    plan = first_plan(outset.net, outset.relaxed, goal=outset.goal)
    if outset.without is None or (plan is not None and price(outset.net, plan) == outset.goal):
        return plan
    other = _first(outset.without)
    return cheaper(outset.net, plan, None if other is None else _run_on_from(outset, other))


def _rare_plan(net: Net) -> Copies:
    """Seek a plan where limits on copies keep every quick method from one.

    It is rare or impossible then: finding one is as hard as a spanning Eulerian subgraph, NP-complete.
    """
    everything = np.ones(len(net.tails), bool)
    found = core_plan(net, None, free=everything, known=no_cuts(net), nodes=_RARE_NODES, work=_RARE_WORK)
    if found.plan is not None:
        return found.plan
    if found.ended:
        problem = "no walk covers the required edges within the limits on copies"
        raise NoPlanError(problem, "allow more (extra)")
    raise PostmanError("no plan was found within the limits on copies", "allow more of them (extra)")


def _is_small(net: Net) -> bool:
    """Tell whether to search a network whole: trails' hang together by the hub, so more can be searched."""
    return len(net.links) <= (_SMALL if net.hub < 0 else _TRAILS_SMALL)


def _rounds(net: Net) -> tuple[int, int]:
    """Return the most rounds, and idle ones: fewer if each takes longer or something better follows."""
    if _is_small(net):
        return 16, 5
    rounds = int(np.clip(200_000 // len(net.tails), 3, 60))
    return rounds, max(4, rounds // 3)


def _run_on_from(outset: Outset, plan: Copies) -> Copies:
    """Make a plan that does not run on into one that does, at the same cost: its trail ends at once."""
    net = outset.net
    times = np.append(plan.astype(np.int64), 0)
    times[np.flatnonzero((net.tails == outset.start) & (net.heads == net.hub))[0]] += 1
    return stripped(net, capped(net, times))


def _watch(progress: Watch | None, firsts: int) -> Watch:
    """Tell of progress until it was stopped: the least cost and the greatest bound so far."""
    stopped, least, most = progress is None, MOST_TOTAL, -MOST_TOTAL

    def watch(cost: int, bound: int) -> bool:
        nonlocal stopped, least, most
        if progress is not None and not stopped:
            least, most = min(least, cost), max(most, bound)
            stopped = progress(firsts + least, firsts + most) is False
        return progress is None or not stopped

    return watch


def _solution(problem: Problem, held: Held) -> Solution:
    outset, plan = held.outset, held.plan
    net, base = outset.net, int(problem.cost[problem.required].sum())
    if not is_plan(net, plan) or held.cost < held.bound:
        raise PromiseError("a plan is broken, or cheaper than its bound")
    copies, ends = _told(problem, net, plan)
    return Solution(
        copies,
        ends,
        cost=base + held.cost,
        bound=base + held.bound,
        forced=outset.forced - outset.refund,
        start=outset.start,
        matched=outset.matched,
        certificate=held.certificate,
    )


def _told(problem: Problem, net: Net, plan: Copies) -> tuple[Copies, NDArray[np.int64]]:
    """Return a plan's copies of the problem's edges, and its trail ends at each vertex."""
    ends = np.zeros(problem.size, np.int64)
    doors = net.tails[net.asked :]
    np.add.at(ends, doors, plan[net.asked :])
    copies = plan[: net.asked].copy()
    for array in (copies, ends):
        array.setflags(write=False)
    return copies, ends
