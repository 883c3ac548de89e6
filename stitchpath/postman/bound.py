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
from stitchpath.postman.core import Known
from stitchpath.postman.cuts import (
    CONNECTED,
    ODD,
    Cuts,
    crossing_rows,
    first_cuts,
    missed_cuts,
    parting_cuts,
)
from stitchpath.postman.ladders import Ladder, ladder_row, missed_ladders
from stitchpath.postman.net import Net, make_net
from stitchpath.postman.problem import Problem
from stitchpath.postman.program import Growing
from stitchpath.postman.worlds import find_worlds

__all__ = ["Raised", "Relaxation", "Task", "raise_bound", "relaxed_at"]

_FINE_BITS = 19
_PATIENCE, _DULL = 6, 3
_LEAST_GAIN = 0.02
_BINDS = 1e-6
_EARLY = 5
_NO_SETS = Cuts(np.zeros(1, np.intp), np.zeros(0, np.intp), ODD)

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
        (m,) how often its last answer takes each edge.
    used
        (m,) whether any late answer takes it.
    reduced
        (m,) reduced cost of each edge, in whole units; infinite where no copies can be taken.
    known
        The cuts that bind.
    certificate
        The cuts of connection that bind and their multipliers.
    stopped
        Whether it was stopped early.
    """

    value: float
    taken: _Floats
    used: NDArray[np.bool_]
    reduced: _Floats
    known: Known
    certificate: Certificate
    stopped: bool


def raise_bound(
    net: Net,
    *,
    most: int,
    rounds: int,
    climb: bool = False,
    known: Known | None = None,
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
    climb
        Whether K-C inequalities are sought too.
    known
        Cuts to begin with; they get no multipliers.
    go_on
        Asked after each round with the value; False stops.
    """
    book = _Book(net)
    for first in first_cuts(net):
        book.enter(first)
    if known is not None:
        book.enter_rows(known)
    used, stopped, mark, idle, climbing = np.zeros(len(net.tails), bool), False, -np.inf, 0, not climb
    for number in range(rounds):
        value, taken = book.solve()
        used |= (taken > _BINDS) & (number >= _EARLY)
        mark, idle = (value, 0) if value - mark > _LEAST_GAIN * (most - value) else (mark, idle + 1)
        stopped = not go_on(value)
        if value > most - 1 or (idle > _PATIENCE and climbing) or stopped:
            break
        new = book.enter_all(missed_cuts(net, taken))
        if idle > _DULL or not new:
            new |= book.enter_all(parting_cuts(net, taken))
        if climb and (not new or idle > (_DULL if climbing else _PATIENCE)):
            climbing, idle = True, idle if climbing else 0
            new |= book.climb(missed_ladders(net, taken))
        if not new:
            break
    return book.close(used | (taken > _BINDS), stopped=stopped)


class _Book:
    """A linear program, and the cuts that its rows stand for, each entered once."""

    def __init__(self, net: Net) -> None:
        self._net = net
        self._columns = columns = net.open[net.tails[net.open] != net.heads[net.open]]
        self._scale = float(max(1, np.abs(net.cost[columns]).max(initial=0))) / 1000
        upper = np.minimum(net.extra, np.where(net.required, 1, 2))[columns].astype(np.float64)
        self._program = Growing(net.cost[columns] / self._scale, upper)
        self._names = np.random.default_rng(0).integers(0, 2**63, net.size).astype(np.uint64)
        self._known: set[tuple[int, int]] = set()
        self._climbed: set[bytes] = set()
        self._proof: Certificate | None = None
        none = Cuts(np.zeros(net.size, np.intp), np.zeros(0, np.intp), CONNECTED)
        self._pages: list[tuple[Cuts, Any]] = [(none, crossing_rows(net, none))]
        self._least: list[float] = []
        if net.gates:
            gates = columns >= len(net.tails) - net.gates
            self._program.add(sparse_rows(gates[None]), np.full(1, -np.inf), np.ones(1))

    def enter_all(self, found: Iterable[Cuts]) -> bool:
        """Tell whether any cut is new."""
        return any([self.enter(cuts) for cuts in found])  # noqa: C419 - all of them are entered

    def enter(self, cuts: Cuts) -> bool:
        """Add rows for those cuts that are new; tell whether there are any."""
        keys = self._keys(cuts)
        new = np.array([place for place, key in enumerate(keys) if key not in self._known], np.intp)
        self._known.update(keys)
        if len(new):
            fresh = replace(cuts, chosen=cuts.chosen[new])
            self._add(fresh, crossing_rows(self._net, fresh), [float(cuts.least)] * len(new))
        return bool(len(new))

    def climb(self, found: list[Ladder]) -> bool:
        """Add rows for new ladders; tell whether there are any. Multipliers are from before the first."""
        new = [ladder for ladder in found if ladder.name not in self._climbed]
        self._climbed.update(ladder.name for ladder in new)
        if new:
            self._proof = self._proof or self._certificate()
            rows = sparse_rows(np.array([ladder_row(self._net, ladder) for ladder in new]))
            self.enter_rows(Known(rows, np.array([ladder.least for ladder in new])))
        return bool(new)

    def enter_rows(self, known: Known) -> None:
        """Add rows that get no multipliers."""
        self._add(_NO_SETS, known.rows, known.least.tolist())

    def _add(self, cuts: Cuts, rows: Any, least: list[float]) -> None:
        self._program.add(rows[:, self._columns], np.array(least), np.full(len(least), np.inf))
        self._pages.append((cuts, rows))
        self._least += least

    def _keys(self, cuts: Cuts) -> list[tuple[int, int]]:
        """Tell cuts apart by sums of random names; a set and all else are the same cut."""
        key = np.zeros(int(cuts.label.max()) + 1, np.uint64)
        np.add.at(key, cuts.label, self._names)
        key = np.minimum(key, self._names.sum() - key)[cuts.chosen]
        return [(one, cuts.least) for one in key.tolist()]

    def solve(self) -> tuple[float, _Floats]:
        """Return the program's value in whole units, and how often it takes each edge."""
        self._answer = self._program.solve()
        return self._answer.value * self._scale, self._spread(self._answer.columns, 0.0)

    def _spread(self, columns: _Floats, other: float) -> _Floats:
        spread = np.full(len(self._net.tails), other)
        spread[self._columns] = columns
        return spread

    def close(self, used: NDArray[np.bool_], *, stopped: bool) -> Raised:
        """Keep what binds."""
        from scipy.sparse import vstack

        answer, skip = self._answer, 1 if self._net.gates else 0
        duals, least = answer.duals[skip:], np.array(self._least)
        slack = answer.rows[skip:] - least[: len(duals)]
        binds = np.flatnonzero((duals > _BINDS) | (slack < _BINDS))
        return Raised(
            value=answer.value * self._scale,
            taken=self._spread(answer.columns, 0.0),
            used=used,
            reduced=self._spread(answer.reduced * self._scale, np.inf),
            known=Known(vstack([rows for _, rows in self._pages]).tocsr()[binds], least[binds]),
            certificate=self._proof or self._certificate(),
            stopped=stopped,
        )

    def _certificate(self) -> Certificate:
        duals = self._answer.duals[1 if self._net.gates else 0 :] * self._scale
        fine = _fine(self._net)
        pay = np.floor(np.ldexp(np.maximum(duals, 0), fine)).astype(np.int64)
        members, kept, place = [], [], 0
        for cuts, rows in self._pages:
            own = pay[place : place + rows.shape[0]]
            place += rows.shape[0]
            for index in np.flatnonzero(own) if cuts.least == CONNECTED else ():
                members.append(np.flatnonzero(cuts.label == cuts.chosen[index]))
                kept.append(int(own[index]))
        if not members:
            return NO_CUTS
        cut = np.repeat(np.arange(len(members)), [len(inside) for inside in members])
        return Certificate(np.concatenate(members), cut, np.array(kept), fine)


def sparse_rows(values: NDArray[Any]) -> Any:
    """Return rows of numbers as sparse ones."""
    from scipy.sparse import csr_array

    return csr_array(values.astype(np.float64))


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
    most = np.minimum(net.extra, np.where(net.required, 1, 2))[:plain].astype(np.int64)
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
