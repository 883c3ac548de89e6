"""The recipe: relax, and where that does not hang together, buy the connection and improve it."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.errors import NoPlanError, PostmanError, PromiseError
from stitchpath.postman.exact import exact_plan
from stitchpath.postman.net import Copies, Net, capped, is_plan, make_net, price, stripped
from stitchpath.postman.problem import Problem
from stitchpath.postman.rotation import rotate
from stitchpath.postman.start import cheaper, first_plan
from stitchpath.postman.worlds import Relaxed, Worlds, find_worlds, relax, way_out

__all__ = ["Effort", "Progress", "Solution", "lower_bound", "solve"]

Effort = Literal["quick", "standard", "proof"]
Progress = Callable[[int, int], bool]


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
        False where a matching spent its budget, so that the bound is weaker than it might be.
    """

    copies: NDArray[np.int8]
    ends: NDArray[np.int64]
    cost: int
    bound: int
    forced: int
    start: int
    matched: bool

    @property
    def optimal(self) -> bool:
        """Whether the plan is proven to be a cheapest one."""
        return self.cost == self.bound


@dataclass(frozen=True)
class _Case:
    """What is known before any plan is sought.

    `net` holds the free start, if any; `relaxed` copies bound its price by `goal`, less `refund` for an end
    already paid. `without` is the case that does not run on.
    """

    net: Net
    relaxed: NDArray[np.int64]
    goal: int
    forced: int
    matched: bool
    start: int = -1
    refund: int = 0
    without: "_Case | None" = None


def solve(
    problem: Problem,
    *,
    start: int | None = None,
    candidates: NDArray[np.intp] | None = None,
    effort: Effort = "standard",
    seed: int = 0,
    progress: Progress | None = None,
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
        ``"quick"``, ``"standard"`` and ``"proof"`` do the same as yet.
    seed
        Of all that is random.
    progress
        Called with (cost, bound) now and then; if it returns False, the best so far is the answer.

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
    case = _case(problem, start, doors)
    firsts = int(problem.cost[problem.required].sum())
    told = None if progress is None else _teller(progress, firsts - case.refund, case.goal)
    return _solution(problem, case, _search(case, seed, told))


def lower_bound(problem: Problem, *, candidates: NDArray[np.intp] | None = None) -> int:
    """Return what every plan must at least cost, in whole units, without seeking one.

    Parameters
    ----------
    problem, candidates
        As for `solve`: the bound holds whichever candidate is run on from, or none.

    Examples
    --------
    >>> one = Problem(2, *(np.array([x]) for x in (0, 1, 3, True, 1)), np.array([4, 5]))
    >>> lower_bound(one), lower_bound(one, candidates=np.array([0]))
    (12, 4)
    """
    doors = np.unique(np.asarray([] if candidates is None else candidates, np.intp))
    _check(problem, None, doors, "quick")
    case = _case(problem, None, doors)
    return int(problem.cost[problem.required].sum()) + case.goal - case.refund


def _check(problem: Problem, start: int | None, doors: NDArray[np.intp], effort: str) -> None:
    if not problem.required.any():
        raise PostmanError("no edge is required, so there is nothing to traverse")
    if effort not in get_args(Effort):
        raise PostmanError(f"{effort!r} is no effort; write one of {', '.join(get_args(Effort))}")
    for vertex in ([] if start is None else [start]) + doors.tolist():
        if not 0 <= vertex < problem.size:
            raise PostmanError(f"{vertex} is no vertex; they count from 0 to {problem.size - 1}")
    if len(doors) and (problem.end_cost is None or start is not None):
        raise PostmanError("candidates need trail ends and no start; leave one of them out")
    if problem.end_cost is not None and (problem.end_cost[doors] < 0).any():
        vertex = int(doors[problem.end_cost[doors] < 0][0])
        raise PostmanError(f"no trail may end at vertex {vertex}, so no trail can run on from it")


def _case(problem: Problem, start: int | None, doors: NDArray[np.intp]) -> _Case:
    worlds = find_worlds(make_net(problem))
    if start is not None:
        return _started(problem, worlds, start)
    relaxed = relax(worlds)
    plain = _plain(worlds, relaxed)
    return _run_on(problem, worlds, plain, relaxed, doors) if len(doors) else plain


def _plain(worlds: Worlds, relaxed: Relaxed) -> _Case:
    ends = 0 if worlds.ways is None else 2 * int(worlds.pi[worlds.nearest].sum())
    return _Case(worlds.net, relaxed.copies, int(relaxed.lower.sum()), ends, relaxed.matched)


def _started(problem: Problem, worlds: Worlds, start: int) -> _Case:
    """Let the first trail begin at `start`."""
    net = make_net(problem, start=start)
    if problem.end_cost is None:
        return replace(_plain(worlds, relax(worlds)), net=net, start=start)
    if worlds.of[start] < 0:
        case = _plain(worlds, relax(worlds))
        return _way_added(replace(case, net=net, start=start), worlds)
    relaxed = relax(worlds, doors=np.array([start]), toll=np.zeros(1, np.int64))
    forced = int(2 * worlds.pi[worlds.nearest].sum() - worlds.pi[worlds.nearest[worlds.of[start]]])
    copies = np.append(relaxed.copies, 0)
    return _Case(net, copies, int(relaxed.lower.sum()), forced, relaxed.matched, start)


def _way_added(case: _Case, worlds: Worlds) -> _Case:
    """Let a start outside all worlds be left by its cheapest way to an end."""
    copies = np.append(case.relaxed, 0)
    copies[way_out(worlds, case.start)] += 1
    return replace(case, relaxed=copies, goal=case.goal + int(worlds.pi[case.start]))


def _run_on(
    problem: Problem, worlds: Worlds, plain: _Case, relaxed: Relaxed, doors: NDArray[np.intp]
) -> _Case:
    """Choose the door that gains most in the relaxed problem, if any does; bounds hold for every choice."""
    end_cost = problem.end_cost if problem.end_cost is not None else doors
    outer = doors[worlds.of[doors] < 0]
    gain = end_cost[outer] - worlds.pi[outer]
    best = plain
    if len(outer) and gain.max() > 0:
        door = int(outer[gain.argmax()])
        case = replace(plain, net=make_net(problem, start=door), start=door, without=plain)
        best = replace(_way_added(case, worlds), refund=int(end_cost[door]))
    inner = np.setdiff1d(doors, outer)
    inside = _run_in(problem, worlds, plain, relaxed, inner) if len(inner) else plain
    return min(best, inside, key=lambda case: case.goal - case.refund)


def _run_in(problem: Problem, worlds: Worlds, plain: _Case, own: Relaxed, doors: NDArray[np.intp]) -> _Case:
    """Choose among doors in worlds; a toll of K - c(p), K over twice the greatest c, is paid once only."""
    paid = np.zeros(0, np.int64) if problem.end_cost is None else problem.end_cost[doors]
    great = 2 * int(paid.max()) + 1
    entered = relax(worlds, doors=doors, toll=great - paid)
    gain = np.where(entered.door >= 0, own.lower - (entered.lower - great), 0)
    world = int(gain.argmax())
    if gain[world] <= 0:
        return plain
    door = int(entered.door[world])
    refund = int(paid[doors == door][0])
    net = make_net(problem, start=door)
    mixed = np.where(worlds.of[net.tails[:-1]] == world, entered.copies, own.copies)
    return _Case(
        net,
        np.append(mixed, 0),
        plain.goal - int(gain[world]) + refund,
        plain.forced - int(worlds.pi[worlds.nearest[world]]),
        plain.matched and entered.matched,
        door,
        refund,
        plain,
    )


def _search(case: _Case, seed: int, told: Callable[[int], bool] | None) -> Copies:
    net = case.net
    plan = first_plan(net, case.relaxed, goal=case.goal)
    if plan is not None and price(net, plan) == case.goal:
        return plan
    if case.without is not None:
        plan = cheaper(net, plan, _run_on_from(case, _search(case.without, seed, None)))
    plan = exact_plan(net) if plan is None else plan
    if plan is None:
        raise NoPlanError("no walk covers the required edges within the limits on copies; allow more (extra)")
    rounds, patience = _rounds(net)
    go_on = told or (lambda _: True)
    if not go_on(price(net, plan)) or not case.matched:  # each round might take as long again
        return plan
    return rotate(net, plan, goal=case.goal, rounds=rounds, patience=patience, seed=seed, go_on=go_on)


def _rounds(net: Net) -> tuple[int, int]:
    """So many rounds, and so many idle ones: fewer where each takes longer."""
    rounds = int(np.clip(200_000 // len(net.tails), 6, 60))
    return rounds, max(4, rounds // 3)


def _run_on_from(case: _Case, plan: Copies) -> Copies:
    """Make a plan that does not run on into one that does, at the same cost: its trail ends at once."""
    net = case.net
    times = np.append(plan.astype(np.int64), 0)
    times[np.flatnonzero((net.tails == case.start) & (net.heads == net.hub))[0]] += 1
    return stripped(net, capped(net, times))


def _teller(progress: Progress, base: int, goal: int) -> Callable[[int], bool]:
    return lambda now: progress(base + now, base + goal) is not False


def _solution(problem: Problem, case: _Case, plan: Copies) -> Solution:
    net, base = case.net, int(problem.cost[problem.required].sum()) - case.refund
    if not is_plan(net, plan) or price(net, plan) < case.goal:
        raise PromiseError("a plan is broken, or cheaper than its bound")
    ends = np.zeros(problem.size, np.int64)
    doors = net.tails[net.asked :]
    np.add.at(ends, doors, plan[net.asked :])
    copies = plan[: net.asked].copy()
    for array in (copies, ends):
        array.setflags(write=False)
    cost = base + price(net, plan)
    forced = case.forced - case.refund
    return Solution(copies, ends, cost, base + case.goal, forced, case.start, case.matched)
