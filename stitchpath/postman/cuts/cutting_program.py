"""Bookkeeping for a linear program: which cut each row stands for, its answers, and what they prove."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts.certificate import NO_CUTS, Certificate
from stitchpath.postman.cuts.columns import Columns, Known, known_cuts, no_cuts
from stitchpath.postman.cuts.cut_sets import CONNECTED, Cuts, Taken
from stitchpath.postman.cuts.highs import Answer, Growing
from stitchpath.postman.cuts.whole_rows import Rows, cut_rows, spread_rows, with_rows
from stitchpath.postman.cuts.zero_half import half_rows
from stitchpath.postman.errors import PromiseError
from stitchpath.postman.model.net import Net

__all__ = ["Book", "Raised"]

_FINE_BITS = 19
"""The greatest cost has so many bits in fine units, 24 being what a join's weight may have: five are left for
edges that multipliers make dearer to leave out than they were to take."""

_BINDS = 1e-6
"""A dual or a slack below this is nothing: HiGHS keeps both to 1e-7."""

_Ints = NDArray[np.intp]
_Floats = NDArray[np.float64]


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


class Book:
    """A linear program, and the cuts that its rows stand for, each entered once."""

    def __init__(self, net: Net, base: Rows) -> None:
        self._net, self._base, self._based = net, base, 0
        self._columns = columns = Columns.of(net, np.ones(len(net.tails), bool))
        self._program = Growing(columns.costs, np.ones(len(columns)))
        self._names = np.random.default_rng(0).integers(0, 2**63, net.size).astype(np.uint64)
        self._entered: set[Any] = set()
        self._proof: Certificate | None = None
        self._pages: list[Known] = []
        self._cuts: list[tuple[Cuts, int]] = []
        self._rows = 0
        self._last: Answer | None = None
        if net.gates:
            self._program.add(columns.choices(), np.full(1, -np.inf), np.ones(1))

    def enter_all(self, found: Iterable[Cuts]) -> bool:
        """Add rows for those cuts that are new; tell whether there are any."""
        fresh = [own for cuts in found if len((own := self._fresh(cuts)).chosen)]
        if fresh:
            first = np.cumsum([self._rows, *(len(cuts.chosen) for cuts in fresh)]).tolist()
            self._cuts += zip(fresh, first, strict=False)
            self.enter_rows(known_cuts(self._net, fresh))
        return bool(fresh)

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
        fresh = [cuts for cuts, _ in self._cuts[self._based :]]
        self._base, self._based = with_rows(self._base, cut_rows(self._net, *fresh)), len(self._cuts)
        return self._base

    def enter_rows(self, known: Known) -> bool:
        """Add rows that get no multipliers; tell whether there are any."""
        if len(known.least):
            most = np.full(len(known.least), np.inf)
            self._program.add(self._columns.of_rows(known.rows), known.least, most)
            self._pages.append(known)
            self._rows += len(known.least)
        return bool(len(known.least))

    def _fresh(self, cuts: Cuts) -> Cuts:
        """Leave out those that were entered before."""
        keys = self._keys(cuts)
        new = [place for place, key in enumerate(keys) if key not in self._entered]
        self._entered.update(keys)
        return cuts if len(new) == len(keys) else replace(cuts, chosen=cuts.chosen[new])

    def _keys(self, cuts: Cuts) -> list[tuple[int, int]]:
        """Tell cuts apart by sums of random names; a set and all else are the same cut."""
        key = np.zeros(int(cuts.label.max()) + 1, np.uint64)
        np.add.at(key, cuts.label, self._names)
        key = np.minimum(key, self._names.sum() - key)[cuts.chosen]
        return [(one, cuts.least) for one in key.tolist()]

    def solve(self) -> tuple[float, Taken]:
        """Return the value, and what the answer takes of each edge."""
        self._last = answer = self._program.solve()
        return answer.value, self._columns.taken(answer.columns)

    @property
    def _answer(self) -> Answer:
        if self._last is None:
            raise PromiseError("a program was to be closed that was never solved")
        return self._last

    def _reduced(self) -> _Floats:
        """Return each edge's reduced cost: the least of its single's and its pair's."""
        reduced = np.full(len(self._net.tails), np.inf)
        np.minimum.at(reduced, self._columns.edge, self._answer.reduced)
        return reduced

    def close(self, used: NDArray[np.bool_], *, stopped: bool) -> Raised:
        """Keep what binds."""
        answer, known = self._answer, no_cuts(self._net).and_those(*self._pages)
        duals, rows = self._of_cuts(answer.duals), self._of_cuts(answer.rows)
        binds = np.zeros(self._rows, bool)
        binds[: len(rows)] = (duals > _BINDS) | (rows < known.least[: len(rows)] + _BINDS)
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
        members, kept = [], []
        for cuts, first in self._cuts:
            own = pay[first : first + len(cuts.chosen)]
            for index in np.flatnonzero(own) if cuts.least == CONNECTED else ():
                members.append(np.flatnonzero(cuts.label == cuts.chosen[index]))
                kept.append(int(own[index]))
        if not members:
            return NO_CUTS
        cut = np.repeat(np.arange(len(members)), [len(inside) for inside in members])
        return Certificate(np.concatenate(members), cut, np.array(kept), fine)


def _fine(net: Net) -> int:
    """Return the fine units in one whole unit, as a power of two."""
    return max(0, _FINE_BITS - int(np.abs(net.cost).max(initial=0)).bit_length())
