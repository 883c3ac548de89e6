"""A better bound: what connection must at least cost, by cutting planes and a Lagrange multiplier on each.

A linear program over all open edges grows those cuts that its answers miss, until they miss none that are
sought for. The duals of its cuts of connection are multipliers u >= 0, with which the bound is proven in
whole numbers (Geoffrion 1974): pay u(S) for each crossing of S that is missing of two, so that an edge costs
what it did less the u of all cuts that it crosses; then the relaxed problem at these costs, plus twice the
sum of u, bounds every plan from below, whatever the u. Its T-join knows all odd cuts and the worlds.

Multipliers are whole numbers of a finer unit. An edge whose reduced cost falls below zero counts as taken as
often as it may be. If that is once, it is required in the relaxed problem, where taking a copy stands for
leaving it out, at what that loses; if twice, it costs nothing there. A door that lies in S crosses it too:
running on from there gives back u(S) more.
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
from stitchpath.postman.cuts.cutting_program import Book, Paid, Raised
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
    begun: Paid | None = None,
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
    begun
        Cuts and rows to begin with; left out, cuts are grown.
    known
        Cuts to begin with; they get no multipliers.
    base
        Rows to make zero-half cuts of, besides those that are found.
    go_on
        Asked after each round with the value; False stops.
    """
    book = Book(net, no_rows(net) if base is None else base)
    book.enter_all(first_cuts(net) + (grown_cuts(net) if begun is None else list(begun.cuts)))
    if begun is not None:
        book.enter_rows(begun.rows)
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
    """Tell whether the last zero-half cuts raised the value by enough, of what all did, to seek more."""
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
