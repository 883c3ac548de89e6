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

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.case import make_case
from stitchpath.postman.certificate import NO_CUTS, Certificate
from stitchpath.postman.cocircuits import cocircuits
from stitchpath.postman.columns import Columns, Known, no_cuts
from stitchpath.postman.cuts import (
    CONNECTED,
    Cuts,
    Taken,
    first_cuts,
    missed_cuts,
    parting_cuts,
)
from stitchpath.postman.halves import half_rows
from stitchpath.postman.net import Net, make_net
from stitchpath.postman.problem import Problem
from stitchpath.postman.program import Growing
from stitchpath.postman.wholes import Rows, cut_rows, no_rows, spread_rows, with_rows
from stitchpath.postman.worlds import find_worlds

__all__ = ["Raised", "Relaxation", "Task", "raise_bound", "relaxed_at"]

_FINE_BITS = 19
_PATIENCE, _DULL = 6, 3
_LEAST_GAIN = 0.02
_BINDS = 1e-6
_EARLY = 5
_PARTED = 8
_HALVES, _WORTH = 3, 0.15

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


@dataclass(frozen=True)
class Raised:
    """What the linear program came to.

    Attributes
    ----------
    value
        Its value, in whole units.
    taken
        What its last answer takes of each edge.
    used
        (m,) whether any late answer takes it.
    reduced
        (m,) reduced cost of each edge, in whole units; infinite where no copies can be taken.
    known
        The cuts that bind.
    certificate
        The cuts of connection that bind and their multipliers.
    base
        All cuts found, as rows in whole numbers.
    stopped
        Whether it was stopped early.
    """

    value: float
    taken: Taken
    used: NDArray[np.bool_]
    reduced: _Floats
    known: Known
    certificate: Certificate
    base: Rows
    stopped: bool


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
    book = _Book(net, no_rows(net) if base is None else base)
    for first in first_cuts(net):
        book.enter(first)
    if known is not None:
        book.enter_rows(known)
    used, stopped, mark, idle = np.zeros(len(net.tails), bool), False, -np.inf, 0
    marks: list[float] = []
    for number in range(rounds):
        value, taken = book.solve()
        used |= (taken.copies > _BINDS) & (number >= _EARLY)
        mark, idle = (value, 0) if value - mark > _LEAST_GAIN * (most - value) else (mark, idle + 1)
        halving = len(marks) < halves and _worth(marks, value)
        stopped = not go_on(value)
        if value > most - 1 or (idle > patience and not halving) or stopped:
            break
        new, parted = book.enter_all(missed_cuts(net, taken)), (len(marks) + (halves > 0)) % _PARTED == 0
        new |= book.enter_rows(cocircuits(net, taken))
        if parted and (idle > _DULL or not new):
            new |= book.enter_all(parting_cuts(net, taken))
        if halving and (not new or (idle > _DULL and net.hub >= 0)):
            marks.append(value)
            new = book.enter_halves(taken, seed=len(marks))
        if not (new or parted):
            new = book.enter_all(parting_cuts(net, taken))
        if not new:
            break
    return book.close(used | (taken.copies > _BINDS), stopped=stopped)


def _worth(marks: list[float], value: float) -> bool:
    """Tell whether the last zero-half cuts raised the value by enough, of what all did, to seek more."""
    return len(marks) < _HALVES or value - marks[-_HALVES] > _WORTH * (value - marks[0])


class _Book:
    """A linear program, and the cuts that its rows stand for, each entered once."""

    def __init__(self, net: Net, base: Rows) -> None:
        self._net, self._base, self._based = net, base, 0
        self._columns = columns = Columns.of(net, np.ones(len(net.tails), bool))
        self._program = Growing(columns.costs, np.ones(len(columns)))
        self._names = np.random.default_rng(0).integers(0, 2**63, net.size).astype(np.uint64)
        self._entered: set[Any] = set()
        self._proof: Certificate | None = None
        self._pages: list[tuple[Cuts | None, Known]] = []
        if net.gates:
            self._program.add(columns.gates(), np.full(1, -np.inf), np.ones(1))

    def enter_all(self, found: Iterable[Cuts]) -> bool:
        """Tell whether any cut is new."""
        return any([self.enter(cuts) for cuts in found])  # noqa: C419 - all of them are entered

    def enter(self, cuts: Cuts) -> bool:
        """Add rows for those cuts that are new; tell whether there are any."""
        keys = self._keys(cuts)
        new = np.array([place for place, key in enumerate(keys) if key not in self._entered], np.intp)
        self._entered.update(keys)
        if len(new):
            fresh = replace(cuts, chosen=cuts.chosen[new])
            self._add(fresh, no_cuts(self._net).and_more(self._net, fresh))
        return bool(len(new))

    def enter_halves(self, taken: Taken, *, seed: int) -> bool:
        """Add zero-half cuts that an answer misses; tell whether there are any."""
        rows = half_rows(self._net, taken, self._whole_rows(), seed=seed)
        if len(rows.least):
            self._proof = self._proof or self._certificate()
            self._base = with_rows(self._base, rows)
            entries, least = spread_rows(self._net, rows)
            self.enter_rows(Known(entries.astype(np.float64), least.astype(np.float64)))
        return bool(len(rows.least))

    def _whole_rows(self) -> Rows:
        """Return all rows in whole numbers."""
        fresh = [cut_rows(self._net, cuts) for cuts, _ in self._pages[self._based :] if cuts is not None]
        self._base, self._based = with_rows(self._base, *fresh), len(self._pages)
        return self._base

    def enter_rows(self, known: Known) -> bool:
        """Add rows that get no multipliers; tell whether there are any."""
        if len(known.least):
            self._add(None, known)
        return bool(len(known.least))

    def _add(self, cuts: Cuts | None, known: Known) -> None:
        most = np.full(len(known.least), np.inf)
        self._program.add(self._columns.of_rows(known.rows), known.least, most)
        self._pages.append((cuts, known))

    def _keys(self, cuts: Cuts) -> list[tuple[int, int]]:
        """Tell cuts apart by sums of random names; a set and all else are the same cut."""
        key = np.zeros(int(cuts.label.max()) + 1, np.uint64)
        np.add.at(key, cuts.label, self._names)
        key = np.minimum(key, self._names.sum() - key)[cuts.chosen]
        return [(one, cuts.least) for one in key.tolist()]

    def solve(self) -> tuple[float, Taken]:
        """Return the program's value in whole units, and what it takes of each edge."""
        self._answer = self._program.solve()
        return self._answer.value, self._columns.taken(self._answer.columns)

    def _reduced(self) -> _Floats:
        """Return each edge's reduced cost: the less of its single's and its pair's."""
        reduced = np.full(len(self._net.tails), np.inf)
        np.minimum.at(reduced, self._columns.edge, self._answer.reduced)
        return reduced

    def close(self, used: NDArray[np.bool_], *, stopped: bool) -> Raised:
        """Keep what binds."""
        answer = self._answer
        known = no_cuts(self._net).and_those(*(page for _, page in self._pages))
        duals, rows = self._of_cuts(answer.duals), self._of_cuts(answer.rows)
        binds = np.flatnonzero((duals > _BINDS) | (rows < known.least[: len(rows)] + _BINDS))
        return Raised(
            value=answer.value,
            taken=self._columns.taken(answer.columns),
            used=used,
            reduced=self._reduced(),
            known=Known(known.rows[binds], known.least[binds]),
            certificate=self._proof or self._certificate(),
            base=self._whole_rows(),
            stopped=stopped,
        )

    def _of_cuts(self, values: _Floats) -> _Floats:
        """Leave out the row that counts gates."""
        return values[1:] if self._net.gates else values

    def _certificate(self) -> Certificate:
        duals = self._of_cuts(self._answer.duals)
        fine = _fine(self._net)
        pay = np.floor(np.ldexp(np.maximum(duals, 0), fine)).astype(np.int64)
        members, kept, place = [], [], 0
        for cuts, known in self._pages:
            own = pay[place : place + len(known.least)]
            place += len(known.least)
            if cuts is None or cuts.least != CONNECTED:
                continue
            for index in np.flatnonzero(own):
                members.append(np.flatnonzero(cuts.label == cuts.chosen[index]))
                kept.append(int(own[index]))
        if not members:
            return NO_CUTS
        cut = np.repeat(np.arange(len(members)), [len(inside) for inside in members])
        return Certificate(np.concatenate(members), cut, np.array(kept), fine)


def _fine(net: Net) -> int:
    """Return the fine units in one whole unit, as a power of two."""
    return max(0, _FINE_BITS - int(np.abs(net.cost).max(initial=0)).bit_length())


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
        False where a matching spent its budget.
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
    paid = -(net.cost[plain:] << fine) + load[plain:]
    case = make_case(changed, start=task.start, doors=task.doors, paid=paid)
    value = case.goal - (case.refund if task.start is None else 0)
    value += int(most @ np.minimum(reduced, 0)) + 2 * int(certificate.pay.sum())
    copies = case.relaxed[:plain]
    times = np.where(flipped, 1 - copies, np.where(reduced < 0, most, copies))
    return Relaxation(-(-value >> fine), times, case.matched)


def _load(net: Net, certificate: Certificate) -> NDArray[np.int64]:
    """Return the multipliers of all cuts that each edge crosses."""
    load = np.zeros(len(net.tails), np.int64)
    inside = np.zeros(net.size, bool)
    for one, pay in enumerate(certificate.pay.tolist()):
        inside[:] = False
        inside[certificate.members[certificate.cut == one]] = True
        load[inside[net.tails] != inside[net.heads]] += pay
    return load
