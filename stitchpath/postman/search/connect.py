"""Connecting the parts with more effort: a better bound, plans grown from it, and integer programs.

"standard" raises the bound (`stitchpath.postman.cuts.cutting_planes`), then improves the plan in four ways:
plans grown from the relaxed answers near the best multipliers; a dive from the linear program's answer, if
the plan is still far off (`stitchpath.postman.search.dive`); an integer program over the edges in which those
plans differ (`stitchpath.postman.search.core`); and the same region by region. "proof" then searches all
edges that a cheaper plan may take.

A plan is not always merged into another piece by piece: where pieces depend on each other, the cheaper of the
two plans counts (2026-11-26).

A small network is searched whole (`searched`), since on those the linear program can creep on for as long as
it likes; what it leaves is proven by an integer program. When it stopped after six idle rounds instead, it
was 25 and 42 % below the optimum on two jobs. On 24 jobs of 16 blocks all plans are proven; rotation alone
was 2.5 % above the optimum, and first plans 17 % (measured 2026-11-26).

The search has two steps. The first takes only what the program or the plan uses: a tenth of the time, and it
nearly always finds the best plan. With that plan known, the second takes everything that a cheaper plan may
use, unless the first took longer than the second may. With many gates it does: a job of outlines by
themselves took 75 s, and 37 without the second search, for the same plan (measured 2026-11-27).

What each step gains (measured 2026-11-30; the gap between plan and bound in % of what travel and ends cost,
and seconds of CPU):

                                                    gap without    with  s without   with
    grown plans: UR745                                    0.871   0.165        3.9    4.6
    grown plans: UR752                                    0.910   0.532        9.0    8.1
    core by regions: UR532                                0.454   0.414        2.8    4.2
    core by regions: UR752                                0.926   0.804        5.2    6.7
    small networks searched: jobs of blocks, 4 x 4            0       0       16.7    4.7
    the part first: the same                                  0       0        5.4    4.7
    then the whole: the same                                  0       0       10.1    4.7
    the part first: blocks, 3 x 3, laps always            0.002       0       17.3   10.5
    the part first: fill sewn last, 2 x 2, 136 doors      0.714   0.370       18.6   19.0
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts.certificate import NO_CUTS, Certificate
from stitchpath.postman.cuts.columns import Known
from stitchpath.postman.cuts.cutting_planes import Raised, Task, raise_bound, relaxed_at
from stitchpath.postman.cuts.whole_rows import cut_rows, with_rows
from stitchpath.postman.model.net import Copies, Net, make_net, price
from stitchpath.postman.relaxed.outset import Outset
from stitchpath.postman.search.core import Found, core_plan, regional_plan
from stitchpath.postman.search.dive import dived_plan
from stitchpath.postman.search.first_plan import grown_plan
from stitchpath.postman.search.limits import (
    CORE,
    FAR,
    GROWN,
    HALVES,
    PROOF,
    ROUNDS,
    SETTLED,
    SMALL,
    TRUST,
    TURNED,
)
from stitchpath.postman.search.rotation import guided, merged, rotate
from stitchpath.postman.search.whole_proof import costs_at_least

__all__ = ["Held", "Watch", "connect", "searched", "settled"]

Watch = Callable[[int, int], bool]
"""Called with a plan's price and the bound, refunds taken off; False stops."""

_Kind = TypeVar("_Kind", bound=np.generic)


@dataclass(frozen=True)
class Held:
    """The best that is known: a plan on an outset's network, and a bound.

    Attributes
    ----------
    outset, plan
        The outset's network has the free start that the plan uses.
    bound
        On every plan's price, whichever door it runs on from, what that gives back taken off.
    certificate
        What the bound rests on.
    known
        Cuts, those learned from integer programs among them.
    """

    outset: Outset
    plan: Copies
    bound: int
    known: Known
    certificate: Certificate = NO_CUTS

    @property
    def cost(self) -> int:
        """What the plan costs beyond first traversals, refund taken off."""
        return price(self.outset.net, self.plan) - self.outset.refund

    def at_least(self, bound: int, certificate: Certificate) -> "Held":
        """Take over a higher bound."""
        return replace(self, bound=bound, certificate=certificate) if bound > self.bound else self


def connect(task: Task, held: Held, *, proof: bool, seed: int, watch: Watch) -> Held:
    """Better a plan and its bound.

    Parameters
    ----------
    task
        What is solved.
    held
        What is known.
    proof
        Whether to search until it is proven, within limits that are counted.
    seed
        Of all that is random.
    watch
        Told of all progress.
    """
    wide = task.net
    if wide.hub >= 0 and not proof:
        return _hastened(task, held, seed, watch)
    raised = raise_bound(
        wide,
        most=held.cost,
        rounds=ROUNDS.standard.on(wide),
        halves=HALVES.walks if wide.hub < 0 else HALVES.trails,
        go_on=lambda _: watch(held.cost, held.bound),
    )
    held = replace(held, known=raised.known)
    steps: list[Callable[[Held], Held]] = [
        lambda now: _bounded(task, now, raised),
        lambda now: _grown(task, now, raised, seed, watch),
        lambda now: _turned(now, raised, seed, watch),
        lambda now: _dived(task, now, raised, seed, watch),
        lambda now: _cored(task, now, raised, seed, watch),
    ]
    if proof:
        steps.append(lambda now: _proven(task, now, raised, watch))
    for step in steps[:1] if raised.stopped else steps:
        held = step(held)
        if held.cost <= held.bound or not watch(held.cost, held.bound):
            break
    return held


def _hastened(task: Task, held: Held, seed: int, watch: Watch) -> Held:
    """Better a plan of trails and its bound as far as that goes fast.

    The bound is raised by what is found soon, and the plan's trees are turned towards the program's answer.
    """
    wide = task.net
    raised = raise_bound(
        wide,
        most=held.cost,
        rounds=ROUNDS.standard.on(wide),
        halves=HALVES.hastened,
        go_on=lambda _: watch(held.cost, held.bound),
    )
    held = _bounded(task, replace(held, known=raised.known), raised)
    return held if raised.stopped or held.cost <= held.bound else _turned(held, raised, seed, watch)


def searched(task: Task, held: Held, watch: Watch) -> tuple[Held, bool]:
    """Raise the bound on a small network, then search what a cheaper plan may take.

    First a part of it; then the whole, if that did not take longer than the whole may. Returns what is known
    then, and whether no cheaper plan is left.

    Parameters
    ----------
    task, held, watch
        As for `connect`.
    """
    raised = raise_bound(
        task.net,
        most=held.cost,
        rounds=SMALL.rounds,
        halves=SMALL.halves,
        patience=SMALL.patience,
        go_on=lambda _: watch(held.cost, held.bound),
    )
    held = _bounded(task, replace(held, known=raised.known), raised)
    if raised.stopped or held.cost <= held.bound:
        return held, not raised.stopped
    most = SMALL.work.on(task.net)
    held, part = _searched_in(task, held, raised, watch, nodes=CORE.nodes, work=CORE.merging)
    if held.cost <= held.bound or part.work >= most:
        return held, held.cost <= held.bound
    nodes = SMALL.nodes.on(task.net)
    held, found = _searched_in(task, held, raised, watch, nodes=nodes, work=most, whole=True)
    return held, found.ended or held.cost <= held.bound


def _searched_in(
    task: Task, held: Held, raised: Raised, watch: Watch, *, nodes: int, work: int, whole: bool = False
) -> tuple[Held, Found]:
    """Search a small network: what the linear program or the plan uses, or the whole of it."""
    wide, bound = task.net, held.bound
    best = _widened(task, held, wide)
    able = _able(raised, held, best)
    found = core_plan(
        wide,
        best,
        free=able if whole else able & (raised.used | (best > 0)),
        known=held.known,
        nodes=nodes,
        work=work,
        go_on=lambda cost: watch(cost, bound),
    )
    return _taken_over(task, held, raised.certificate, found, complete=whole), found


def _bounded(task: Task, held: Held, raised: Raised) -> Held:
    """Take over what multipliers prove, and what the linear program comes to: its rows may be more."""
    held = held.at_least(relaxed_at(task, raised.certificate).bound, raised.certificate)
    return held.at_least(_trusted(raised.value), replace(raised.certificate, program=True))


def settled(task: Task, held: Held) -> Held:
    """Prove a plan a cheapest one in whole numbers, where a program's bound falls short by rounding only.

    Parameters
    ----------
    task, held
        As for `connect`.
    """
    short, most = held.cost - held.bound, SETTLED.short * max(1.0, TRUST * abs(held.cost))
    if not 0 < short <= most or len(task.net.links) > SETTLED.links:
        return held
    nodes = SETTLED.nodes.on(task.net)
    proven = costs_at_least(task.net, held.cost, known=held.known, nodes=nodes)
    return held.at_least(held.cost, replace(held.certificate, program=True)) if proven else held


def _trusted(value: float) -> int:
    """Return a program's value in whole units, less what reckoning in floating point may err."""
    return math.ceil(value - max(0.5, TRUST * abs(value)))


def _grown(task: Task, held: Held, raised: Raised, seed: int, watch: Watch) -> Held:
    """Grow plans from the relaxed answers near the best multipliers, and search what they differ in."""
    net, rng, certificate = held.outset.net, np.random.default_rng(seed), raised.certificate
    best, plans = held.plan, [held.plan]
    for number in range(GROWN.plans.on(net)):
        share = rng.uniform(*GROWN.prices, len(certificate.pay)) if number else 1.0
        pay = (certificate.pay * share).astype(np.int64)
        answer = relaxed_at(task, replace(certificate, pay=pay))
        taken = _fitted(answer.times, net, np.int8) > 0
        other = grown_plan(net, taken & ~net.required & (net.extra > 0)) if answer.matched else None
        if other is None or not watch(held.cost, held.bound):
            break
        best = merged(net, best, other)
        plans.append(other)
    differing = (np.stack(plans) != best).any(axis=0)
    held = replace(held, plan=best)
    wide = task.net
    found = core_plan(
        wide,
        _widened(task, held, wide),
        free=_fitted(differing, wide, np.bool_),
        known=held.known,
        nodes=CORE.nodes,
        work=CORE.merging,
    )
    return _narrowed(task, replace(held, known=found.known), found.plan, wide)


def _dived(task: Task, held: Held, raised: Raised, seed: int, watch: Watch) -> Held:
    """Dive from where the linear program came to, if the plan is far off: it takes long. Then turn again."""
    wide = task.net
    if held.cost - held.bound <= (FAR.walks if wide.hub < 0 else FAR.trails) * held.bound:
        return held
    best = dived_plan(
        wide,
        _widened(task, held, wide),
        known=raised.known,
        taken=raised.taken,
        go_on=lambda: watch(held.cost, held.bound),
    )
    return _turned(_narrowed(task, held, best, wide), raised, seed, watch)


def _turned(held: Held, raised: Raised, seed: int, watch: Watch) -> Held:
    """Turn the plan's trees, and those of the linear program's answer."""
    net, goal, turns = (
        held.outset.net,
        held.bound + held.outset.refund,
        TURNED.on(held.outset.net),
    )
    taken = _fitted(raised.taken.copies, net, np.float64)
    plan = guided(net, held.plan, taken=taken, goal=goal, rounds=turns, seed=seed)
    plan = rotate(
        net,
        plan,
        goal=goal,
        rounds=turns,
        patience=max(4, turns // 3),
        seed=seed,
        go_on=lambda cost: watch(cost - held.outset.refund, held.bound),
    )
    return replace(held, plan=plan)


def _cored(task: Task, held: Held, raised: Raised, seed: int, watch: Watch) -> Held:
    """Search the most promising edges."""
    wide = task.net
    best = _widened(task, held, wide)
    able = _able(raised, held, best)
    order = np.argsort(np.where(raised.used | (best > 0), -np.inf, raised.reduced), kind="stable")
    few = order[: int(CORE.share * np.count_nonzero(raised.used | (best > 0)))]
    free = np.zeros(len(able), bool)
    free[few] = able[few]
    found = regional_plan(
        wide,
        best,
        free=free,
        known=held.known,
        goal=held.bound,
        nodes=CORE.nodes,
        work=min(CORE.each * int(np.count_nonzero(free)), CORE.most),
        seed=seed,
        go_on=lambda cost: watch(cost, held.bound),
    )
    return _taken_over(task, held, raised.certificate, found, complete=bool((free == able).all()))


def _proven(task: Task, held: Held, raised: Raised, watch: Watch) -> Held:
    """Search all edges that a cheaper plan may take: fewer with each cheaper plan that is found."""
    wide, work = task.net, 0
    raised = raise_bound(
        wide,
        most=held.cost,
        rounds=ROUNDS.proof.on(wide),
        halves=HALVES.proof,
        known=held.known,
        base=with_rows(raised.base, cut_rows(wide, *held.known.learned)),
        go_on=lambda _: watch(held.cost, held.bound),
    )
    held = replace(_bounded(task, held, raised), known=raised.known.and_those(held.known))
    while held.bound < held.cost and work < PROOF.work and not raised.stopped:
        cost = held.cost
        best = _widened(task, held, wide)
        found = core_plan(
            wide,
            best,
            free=_able(raised, held, best),
            known=held.known,
            nodes=PROOF.nodes,
            work=PROOF.work - work,
            go_on=_till_cheaper(cost, held.bound, watch),
        )
        held, work = _taken_over(task, held, raised.certificate, found, complete=True), work + found.work
        if held.cost == cost:
            break
    return held


def _till_cheaper(cost: int, bound: int, watch: Watch) -> Callable[[int], bool]:
    return lambda now: watch(now, bound) and now >= cost


def _able(raised: Raised, held: Held, best: Copies) -> NDArray[np.bool_]:
    """Tell which edges a cheaper plan may take, and which the plan takes."""
    slack = held.cost - raised.value
    return (raised.reduced <= slack + TRUST * abs(held.cost)) | (best > 0)


def _taken_over(task: Task, held: Held, proof: Certificate, found: Found, *, complete: bool) -> Held:
    """Take over a plan; and where the search left no edge out that may matter, its bound.

    The program reckons in floating point: the bound is lowered by what that may err.
    """
    held = _narrowed(task, replace(held, known=found.known), found.plan, task.net)
    if not complete or (not found.ended and found.bound <= held.bound):
        return held
    proven = held.cost if found.ended else min(held.cost, math.floor(found.bound))
    return held.at_least(_trusted(proven), replace(proof, program=True))


def _fitted(values: NDArray[Any], net: Net, kind: type[_Kind]) -> NDArray[_Kind]:
    """Cut values of edges, or fill up with none, to as many as a network has."""
    size = min(len(net.tails), len(values))
    filled = np.zeros(len(net.tails), kind)
    filled[:size] = values[:size]
    return filled


def _widened(task: Task, held: Held, wide: Net) -> Copies:
    """Put a gate in place of the free start, or the way back to the hub in place of none."""
    if not wide.gates:
        return held.plan
    first = len(wide.tails) - wide.gates
    plan = _fitted(held.plan[:first], wide, np.int8)
    start = held.outset.start
    plan[first - 1 if start < 0 else first + int(np.searchsorted(task.doors, start))] = 1
    return plan


def _narrowed(task: Task, held: Held, plan: Copies | None, wide: Net) -> Held:
    """Take over a plan, with a free start in place of the gate taken."""
    if plan is None or not wide.gates:
        return held if plan is None else replace(held, plan=plan)
    first = len(plan) - wide.gates
    taken, inner = np.flatnonzero(plan[first:]), first - 2
    if not len(taken):
        return replace(held, outset=held.outset.begun_at(-1, 0, make_net(task.problem)), plan=plan[:inner])
    door = int(task.doors[taken[0]])
    net = make_net(task.problem, start=door)
    outset = held.outset.begun_at(door, -int(wide.cost[first + taken[0]]), net)
    return replace(held, outset=outset, plan=np.append(plan[:inner], 0).astype(np.int8))
