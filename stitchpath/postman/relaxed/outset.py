"""What is known before any plan is sought: where trails may run on from, and the relaxed problem's answer."""

from dataclasses import dataclass, replace
from typing import Optional

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.model.net import NO_DOORS, Net, make_net
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.relaxed.answer import Relaxed, way_out
from stitchpath.postman.relaxed.relax import relax
from stitchpath.postman.relaxed.worlds import Worlds, find_worlds

__all__ = ["Outset", "make_outset"]


@dataclass(frozen=True)
class Outset:
    """A problem's network, and a bound from below that holds whichever door is chosen.

    Attributes
    ----------
    net
        Holds the free start, if any.
    relaxed
        (m,) copies of the network's edges that the relaxed problem takes.
    goal
        They bound a plan's price on this network by it, less `refund` for an end already paid.
    worlds
        Its worlds.
    matched
        False where a matching was too much work.
    start
        The vertex at which the first trail begins free, or -1.
    refund
        What running on from it gives back.
    without
        The outset that does not run on.
    """

    net: Net
    relaxed: NDArray[np.int64]
    goal: int
    worlds: Worlds
    matched: bool
    start: int = -1
    refund: int = 0
    without: Optional["Outset"] = None

    @property
    def forced(self) -> int:
        """What the worlds force: two ends each at its cheapest way to the hub, one where it is run into."""
        worlds = self.worlds
        if worlds.ways is None:
            return 0
        entered = self.start >= 0 and worlds.of[self.start] >= 0
        spared = int(worlds.pi[worlds.nearest[worlds.of[self.start]]]) if entered else 0
        return 2 * int(worlds.pi[worlds.nearest].sum()) - spared

    def begun_at(self, start: int, refund: int, net: Net) -> "Outset":
        """Return the outset whose first trail begins free at another door, or at none (-1)."""
        return replace(self, net=net, start=start, refund=refund)


def make_outset(
    problem: Problem,
    *,
    start: int | None = None,
    doors: NDArray[np.intp] = NO_DOORS,
    paid: NDArray[np.int64] | None = None,
) -> Outset:
    """Relax a problem.

    Parameters
    ----------
    problem, start
        As for `solve`.
    doors
        Vertices of which at most one is run on from.
    paid
        What running on from each gives back; None: the cost of an end there.

    Raises
    ------
    NoPlanError
        If required edges cannot be reached.

    Examples
    --------
    >>> one = Problem(2, *(np.array([x]) for x in (0, 1, 3, True, 1)), np.array([4, 5]))
    >>> make_outset(one).goal, make_outset(one, start=0).goal
    (9, 5)
    >>> outset = make_outset(one, doors=np.array([0, 1]))
    >>> outset.goal, outset.refund, outset.start
    (4, 5, 1)
    """
    worlds = find_worlds(make_net(problem))
    if start is not None:
        return _started(problem, worlds, start)
    relaxed = relax(worlds)
    plain = _plain(worlds, relaxed)
    if paid is None and problem.end_cost is not None:
        paid = problem.end_cost[doors]
    return (
        plain
        if paid is None or len(doors) == 0
        else _run_on(problem, worlds, plain, relaxed, _Doors(doors, paid))
    )


@dataclass(frozen=True)
class _Doors:
    """Where earlier trails end, and what running on from there gives back."""

    at: NDArray[np.intp]
    paid: NDArray[np.int64]

    def where(self, chosen: NDArray[np.bool_]) -> "_Doors":
        return _Doors(self.at[chosen], self.paid[chosen])


def _plain(worlds: Worlds, relaxed: Relaxed) -> Outset:
    return Outset(worlds.net, relaxed.copies, int(relaxed.lower.sum()), worlds, relaxed.matched)


def _started(problem: Problem, worlds: Worlds, start: int) -> Outset:
    """Let the first trail begin at `start`."""
    net = make_net(problem, start=start)
    if problem.end_cost is None:
        return replace(_plain(worlds, relax(worlds)), net=net, start=start)
    if worlds.of[start] < 0:
        outset = _plain(worlds, relax(worlds))
        return _way_added(replace(outset, net=net, start=start), worlds)
    relaxed = relax(worlds, doors=np.array([start]), toll=np.zeros(1, np.int64))
    copies = np.append(relaxed.copies, 0)
    return Outset(net, copies, int(relaxed.lower.sum()), worlds, relaxed.matched, start)


def _way_added(outset: Outset, worlds: Worlds) -> Outset:
    """Let a start outside all worlds be left by its cheapest way to an end."""
    copies = np.append(outset.relaxed, 0)
    copies[way_out(worlds, outset.start)] += 1
    return replace(outset, relaxed=copies, goal=outset.goal + int(worlds.pi[outset.start]))


def _run_on(problem: Problem, worlds: Worlds, plain: Outset, own: Relaxed, doors: _Doors) -> Outset:
    """Choose the door that gains most in the relaxed problem, if any does; bounds hold for every choice."""
    inside = worlds.of[doors.at] >= 0
    outsets = [plain]
    if not inside.all():
        outsets.append(_run_outside(problem, worlds, plain, doors.where(~inside)))
    if inside.any():
        outsets.append(_run_in(problem, worlds, plain, own, doors.where(inside)))
    return min(outsets, key=lambda outset: outset.goal - outset.refund)


def _run_outside(problem: Problem, worlds: Worlds, plain: Outset, doors: _Doors) -> Outset:
    """Choose among doors outside all worlds, which are left by their cheapest way to an end."""
    best = int((doors.paid - worlds.pi[doors.at]).argmax())
    door = int(doors.at[best])
    outset = replace(plain, net=make_net(problem, start=door), start=door, without=plain)
    return replace(_way_added(outset, worlds), refund=int(doors.paid[best]))


def _run_in(problem: Problem, worlds: Worlds, plain: Outset, own: Relaxed, doors: _Doors) -> Outset:
    """Choose among doors in worlds; a toll of K - c(p), K over twice the greatest c, is paid once only."""
    great = 2 * int(doors.paid.max()) + 1
    entered = relax(worlds, doors=doors.at, toll=great - doors.paid)
    gain = np.where(entered.door >= 0, own.lower - (entered.lower - great), 0)
    world = int(gain.argmax())
    if gain[world] <= 0:
        return plain
    door = int(entered.door[world])
    refund = int(doors.paid[doors.at == door][0])
    net = make_net(problem, start=door)
    mixed = np.where(worlds.of[net.tails[:-1]] == world, entered.copies, own.copies)
    return Outset(
        net,
        np.append(mixed, 0),
        plain.goal - int(gain[world]) + refund,
        worlds,
        plain.matched and entered.matched,
        door,
        refund,
        plain,
    )
