"""A better bound: what connection must cost at least, by cutting planes and a Lagrange multiplier on each.

A linear program over all open edges (HiGHS, started warm in each round) is given the cuts that its answers
violate, until they violate none that can be found. The duals of its connection cuts are multipliers u >= 0.
They prove a bound in whole numbers (Geoffrion 1974): let each cut S charge u(S) for every crossing that is
missing of the two it needs, so that an edge costs what it did, less the u of all cuts that it crosses. Then
the relaxed problem at these costs, plus twice the sum of u, bounds every plan from below, whatever the u are.
The T-join that solves the relaxed problem heeds all odd cuts and the worlds. No floating-point number is
trusted for this.

Multipliers are whole numbers of a finer unit. An edge whose reduced cost falls below zero counts as taken as
often as allowed. If that is once, the relaxed problem requires it, and taking a copy there stands for leaving
it out, at the price of what that loses. If it is twice, it costs nothing there. A door in S crosses S too:
running on from it gives back u(S) more.

Why cutting planes: on the published instances they come to 0.1 % below the optimum on average within two
seconds; ninety rounds of a subgradient method (Polyak's steps) stayed 0.3 % below (measured 2026-11-25).

How long to go on: a round must gain some share of the distance to the best known plan. That plan may be 20 %
too dear when trails are first laid, which used to end the cutting too early; so the distance counts for 2 %
at most. On a fill sewn last (10 x 10 blocks) the bound rises by 0.2 %, and plan and bound are 0.9 % apart
instead of 1.1, in twice the time. The same holds for closed walks: on 1,000 random points with four
neighbours each the bound rose by 0.8 %, in 7.7 s instead of 3.1 (before vertices were bypassed), and the
published instances take no longer than they may (measured 2026-11-27).

What is left open: with laps always, closed outlines remain as ways to travel, and the linear program takes
half of each. On 3 x 3 blocks the optimum is 47.97 million units (an integer program, 224 s). Cuts and joins
prove 47.74; zero-half cuts reach 47.86 in eight rounds and 47.89 in twelve, after which there are no more. At
10 x 10 each round gains more and takes longer: plan and bound are 0.21 % apart after six minutes of CPU, and
0.23 % at 20 x 20 after 28. A fill sewn last (10 x 10) is left 0.9 % apart, and one with an angle of its own
in each block (4,361 parts) 2.7 %. What is missing is of higher rank: K-C and path-bridge inequalities over
many lines (measured 2026-11-26).
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts.certificate import Certificate
from stitchpath.postman.cuts.cocircuits import cocircuits
from stitchpath.postman.cuts.columns import Known
from stitchpath.postman.cuts.cut_sets import (
    first_cuts,
    missed_cuts,
    parting_cuts,
)
from stitchpath.postman.cuts.cutting_program import Book, Raised
from stitchpath.postman.cuts.dead_ends import onward_rows
from stitchpath.postman.cuts.growing import grown_cuts
from stitchpath.postman.cuts.whole_rows import Rows, no_rows
from stitchpath.postman.model.net import Net, make_net
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.relaxed.outset import make_outset
from stitchpath.postman.relaxed.worlds import find_worlds

__all__ = ["Raised", "Relaxation", "Task", "raise_bound", "relaxed_at"]

_LEAST_GAIN, _PATIENCE, _DULL = 0.02, 6, 3
"""A round gains little that closes less than this share of what is left. After so many in a row (the second
number) the work ends; from the third on, cuts that take longer to find are sought beside the others."""

_BINDS = 1e-6
"""What an answer takes less of an edge is nothing: HiGHS keeps columns' limits to 1e-7."""

_EARLY = 5
"""What only the answers before take is no hint at a plan: few cuts are known by then."""

_PARTED = 8
"""Least cuts between all pairs are sought in every eighth round of zero-half cuts: at first, they were
slower."""

_LIKELY = 0.02
"""A far plan does not mean that so much is left to gain: a better one will be found."""

_HALVES, _WORTH = 3, 0.15
"""Zero-half cuts are sought on while their last three rounds gained more than this share of what all did."""

_Ints = NDArray[np.intp]
_Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Task:
    """What is bounded: a problem, and which of its doors may be run on from (or the start that must be)."""

    problem: Problem
    start: int | None
    doors: _Ints

    @property
    def net(self) -> Net:
        """Return the network, with the free start or with a gate for each door."""
        return make_net(self.problem, start=-1 if self.start is None else self.start, doors=self.doors)


def raise_bound(
    net: Net,
    *,
    most: int,
    rounds: int,
    halves: int = 0,
    patience: int = _PATIENCE,
    known: Known | None = None,
    base: Rows | None = None,
    go_on: Callable[[float], bool] = lambda _: True,
) -> Raised:
    """Grow the linear program.

    Parameters
    ----------
    net
        The network, gates included.
    most
        What the best plan known costs: near that, the work is done.
    rounds
        Most rounds.
    halves
        Most rounds of zero-half cuts: where no other cut is missed or, with trails, others gain little.
    patience
        Most rounds in a row that gain little.
    known
        Cuts to begin with; they get no multipliers.
    base
        Rows to make zero-half cuts of, besides those that are found.
    go_on
        Asked after each round with the value; False stops.
    """
    book = Book(net, no_rows(net) if base is None else base)
    book.enter_all(first_cuts(net) + grown_cuts(net))
    if known is not None:
        book.enter_rows(known)
    used, stopped, pace = np.zeros(len(net.tails), bool), False, _Pace()
    marks: list[float] = []
    for number in range(rounds):
        value, taken = book.solve()
        used |= (taken.copies > _BINDS) & (number >= _EARLY)
        pace.keep(value, min(most - value, _LIKELY * abs(value)))
        halving = len(marks) < halves and _worth(marks, value)
        stopped = not go_on(value)
        dull = pace.idle > patience and not halving
        if value > most - 1 or dull or stopped:
            break
        new, parted = book.enter_all(missed_cuts(net, taken)), (len(marks) + (halves > 0)) % _PARTED == 0
        new |= book.enter_rows(cocircuits(net, taken))
        new |= book.enter_rows(onward_rows(net, taken))
        if parted and (pace.idle > _DULL or not new):
            new |= book.enter_all(parting_cuts(net, taken))
        if halving and (not new or (pace.idle > _DULL and net.hub >= 0)):
            marks.append(value)
            new |= book.enter_halves(taken, seed=len(marks))
        if not (new or parted):
            new = book.enter_all(parting_cuts(net, taken))
        if not new:
            break
    return book.close(used | (taken.copies > _BINDS), stopped=stopped)


class _Pace:
    """How many rounds in a row gained little of what is left."""

    def __init__(self) -> None:
        self.idle, self._mark = 0, -np.inf

    def keep(self, value: float, left: float) -> None:
        """Count a round that came to a value."""
        if value - self._mark > _LEAST_GAIN * left:
            self.idle, self._mark = 0, value
        else:
            self.idle += 1


def _worth(marks: list[float], value: float) -> bool:
    """Tell whether the last zero-half cuts gained enough, compared with all of them, to look for more."""
    return len(marks) < _HALVES or value - marks[-_HALVES] > _WORTH * (value - marks[0])


@dataclass(frozen=True)
class Relaxation:
    """The relaxed problem's answer at some multipliers.

    Attributes
    ----------
    bound
        What every plan costs at least beyond first traversals, refund taken off, in whole units.
    times
        (m,) how often it takes each edge of the network without start and gates.
    matched
        False where a matching was too much work.
    """

    bound: int
    times: NDArray[np.int64]
    matched: bool


def relaxed_at(task: Task, certificate: Certificate) -> Relaxation:
    """Solve the relaxed problem at the multipliers of a certificate."""
    net, problem, fine = task.net, task.problem, certificate.fine
    load = _load(net, certificate)
    plain = len(make_net(problem).tails)
    reduced = (net.cost[:plain] << fine) - load[:plain]
    most = net.most[:plain]
    inside = find_worlds(make_net(problem)).of[net.tails[:plain]] >= 0
    flipped = (reduced < 0) & (most == 1) & inside
    cost = np.where(flipped, -reduced, np.maximum(reduced, 0))
    changed = replace(problem, cost=cost[: net.asked], required=problem.required | flipped[: net.asked])
    if problem.end_cost is not None:
        ends = problem.end_cost.copy()
        ends[ends >= 0] = cost[net.asked :]
        changed = replace(changed, end_cost=ends)
    gates = np.arange(len(net.tails) - net.gates, len(net.tails))
    paid = -(net.cost[gates] << fine) + load[gates]
    outset = make_outset(changed, start=task.start, doors=task.doors, paid=paid)
    value = outset.goal - (outset.refund if task.start is None else 0)
    value += int(most @ np.minimum(reduced, 0)) + 2 * int(certificate.pay.sum())
    copies = outset.relaxed[:plain]
    times = np.where(flipped, 1 - copies, np.where(reduced < 0, most, copies))
    return Relaxation(-(-value >> fine), times, outset.matched)


def _load(net: Net, certificate: Certificate) -> NDArray[np.int64]:
    """Return the multipliers of all cuts that each edge crosses."""
    load = np.zeros(len(net.tails), np.int64)
    inside = np.zeros(net.size, bool)
    for one, pay in enumerate(certificate.pay.tolist()):
        inside[:] = False
        inside[certificate.members[certificate.cut == one]] = True
        load[inside[net.tails] != inside[net.heads]] += pay
    return load
