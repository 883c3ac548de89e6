"""A plan by diving: what a linear program takes most of is taken whole, and the rest is asked anew.

Step by step some columns are fixed at one, one at most of what hangs together by fractional ones, since that
decides the rest of it: of a closed outline every other edge is taken, or the others. Cuts that the answers
miss are added on the way, until all is whole.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cocircuits import cocircuits
from stitchpath.postman.columns import Columns, Known
from stitchpath.postman.cuts import Taken, first_cuts, missed_cuts
from stitchpath.postman.graphs import components
from stitchpath.postman.net import Copies, Net, capped, is_plan, stripped
from stitchpath.postman.program import Growing

__all__ = ["dived_plan"]

_SHARE = 0.3
_WORK, _EACH = 60_000, 3
_ROUNDS, _LAST_ROUNDS = 8, 40
_WHOLE, _DIGITS = 1e-5, 6

_Ints = NDArray[np.intp]
_Floats = NDArray[np.float64]


def dived_plan(
    net: Net, known: Known, taken: Taken, *, go_on: Callable[[], bool] = lambda: True
) -> Copies | None:
    """Return a plan, not always a good one; None where what is fixed leaves none, or it takes too long.

    Parameters
    ----------
    net
        The network.
    known
        Cuts known.
    taken
        An answer that misses none of them.
    go_on
        Asked after each step; False stops without a plan.
    """
    if _EACH * len(_split(np.append(taken.single, taken.pair))) > _WORK:
        return None
    program = _Program(net, known)
    while (values := program.solved()) is not None and program.work < _WORK and go_on():
        split = _split(values)
        if not len(split):
            copies = program.columns.taken(np.rint(values)).copies
            plan = stripped(net, capped(net, copies.astype(np.int64)))
            return plan if is_plan(net, plan) else None
        first = _promising(program.columns, values, split)
        program.fix(first[: max(1, int(_SHARE * len(first)))])
    return None


def _split(values: _Floats) -> _Ints:
    """Return which values are not whole."""
    return np.flatnonzero(np.abs(values - np.rint(values)) > _WHOLE)


def _promising(columns: Columns, values: _Floats, split: _Ints) -> _Ints:
    """Return columns taken most, in order, one of what hangs together by others than the hub's."""
    net, edge = columns.net, columns.edge[split]
    inner = edge[(net.tails[edge] != net.hub) & (net.heads[edge] != net.hub)]
    label = components(net.size, net.tails, net.heads, inner)[1]
    piece = label[np.where(net.tails[edge] == net.hub, net.heads[edge], net.tails[edge])]
    most = -np.round(values[split], _DIGITS)
    order = np.lexsort((split, most, piece))
    first = order[np.flatnonzero(np.diff(piece[order], prepend=-1))]
    return split[first[np.argsort(most[first], kind="stable")]]


class _Program:
    """The linear program over all copies, with the cuts known."""

    def __init__(self, net: Net, known: Known) -> None:
        self._net, self.columns, self.work = net, Columns.of(net, np.ones(len(net.tails), bool)), 0
        self._program = Growing(self.columns.costs, np.ones(len(self.columns)))
        if net.gates:
            self._program.add(self.columns.gates(), np.full(1, -np.inf), np.ones(1))
        self._enter(known.and_more(net, *first_cuts(net)))

    def solved(self) -> _Floats | None:
        """Return an answer's columns, a few rounds of cuts on, or many if they are whole; None if none."""
        for number in range(_LAST_ROUNDS):
            answer = self._program.solve()
            self.work += answer.work
            if not answer.feasible:
                break
            values = answer.columns
            if not self._cut(values) or (number >= _ROUNDS - 1 and len(_split(values))):
                return values
        return None

    def fix(self, columns: _Ints) -> None:
        """Take columns whole."""
        self._program.fix(columns)

    def _cut(self, values: _Floats) -> bool:
        """Add cuts that an answer misses; tell whether there are any."""
        taken = self.columns.taken(values)
        more = cocircuits(self._net, taken).and_more(self._net, *missed_cuts(self._net, taken))
        self._enter(more)
        return bool(len(more.least))

    def _enter(self, known: Known) -> None:
        self._program.add(self.columns.of_rows(known.rows), known.least, np.full(len(known.least), np.inf))
