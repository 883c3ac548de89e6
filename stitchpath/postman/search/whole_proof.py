"""A plan proven to be a cheapest one in whole numbers, where programs in floating point say that it is.

What a linear or an integer program says of its value is good to about a millionth. A bound that rests on it
is lowered by as much, and so a cheapest plan stays unproven by a few units. Here a search tree over the same
columns and rows is closed without trusting any float. At each node a linear program is solved, and its duals,
rounded to fractions with one denominator, give a bound that is reckoned in whole numbers: any duals do, as
long as the rows hold (Neumaier and Shcherbina 2004, Math. Program. 99, 283-296; from memory). Where no
columns fit, a ray of duals shows that in the same way. What floats decide is only where to look.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts.columns import Columns, Known
from stitchpath.postman.cuts.highs import Answer, Growing
from stitchpath.postman.model.net import Net
from stitchpath.postman.search.core import Core

__all__ = ["costs_at_least"]

_BITS = 20
"""Duals are rounded to 2**-20 of a whole unit, so that a thousand columns together err by a thousandth."""

_MOST = 2.0**61
"""Sums of 64 bits are kept under this; where one is not, nothing is proven."""

_WHOLE = 1e-6
"""A column this near to a whole number is not branched on."""

_Wholes = NDArray[np.int64]
_Floats = NDArray[np.float64]


@dataclass(frozen=True)
class _Rows:
    """Rows in whole numbers, and what each comes to; infinite where there is no limit."""

    entries: Any
    least: _Floats
    most: _Floats

    def proven(self, duals: _Floats, costs: _Wholes, low: _Wholes, high: _Wholes) -> int | None:
        """Return what whole columns from `low` to `high` cost at least; None where a number is too large."""
        fine = np.ldexp(duals, _BITS)
        fine[((fine > 0) & np.isinf(self.least)) | ((fine < 0) & np.isinf(self.most))] = 0
        if not (np.abs(fine) @ abs(self.entries) + np.ldexp(np.abs(costs), _BITS) < _MOST).all():
            return None
        pay = np.rint(fine).astype(np.int64)
        left = (costs << _BITS) - pay @ self.entries
        held = np.where(pay > 0, self.least, np.where(pay < 0, self.most, 0)).astype(np.int64)
        total = sum(map(int.__mul__, pay.tolist(), held.tolist()))
        total += sum(map(int.__mul__, left.tolist(), np.where(left > 0, low, high).tolist()))
        return -(-total // (1 << _BITS))


def costs_at_least(net: Net, target: int, *, known: Known, nodes: int) -> bool:
    """Tell whether it is proven that every plan has at least some price.

    Parameters
    ----------
    net
        The network.
    target
        The price, whole units.
    known
        Cuts that every plan crosses often enough, and other rows that hold for every plan.
    nodes
        So many linear programs are solved at most.

    Returns
    -------
    bool
        False where it is not true, or was not proven by then.
    """
    everything = np.ones(len(net.tails), bool)
    program = Core(Columns.of(net, everything), np.zeros(len(net.tails), np.int8)).program(known)
    rows = _Rows(program.rows.astype(np.int64), program.least, program.most)
    costs, high = program.costs.astype(np.int64), program.upper.astype(np.int64)
    solver = Growing(program.costs, program.upper)
    solver.add(program.rows, program.least, program.most)
    every = np.arange(len(costs))
    open_nodes = [(np.zeros(len(costs), np.int64), high)]
    while open_nodes:
        low, high = open_nodes.pop()
        nodes -= 1
        solver.hold(every, low, high)
        answer = solver.solve()
        if _is_closed(rows, answer, solver, costs, low, high, target):
            continue
        column = _branched(answer)
        if nodes <= 0 or column < 0:
            return False
        at = int(np.floor(answer.columns[column]))
        below, above = high.copy(), low.copy()
        below[column], above[column] = at, at + 1
        open_nodes += [(low, below), (above, high)]
    return True


def _is_closed(
    rows: _Rows, answer: Answer, solver: Growing, costs: _Wholes, low: _Wholes, high: _Wholes, target: int
) -> bool:
    """Tell whether no whole columns within these limits cost less than the target."""
    if answer.feasible:
        proven = rows.proven(answer.duals, costs, low, high)
        return proven is not None and proven >= target
    ray = solver.ray()
    proven = None if ray is None else rows.proven(ray, np.zeros_like(costs), low, high)
    return proven is not None and proven > 0


def _branched(answer: Answer) -> int:
    """Return the column farthest from a whole number; -1 where all are whole, or none were found."""
    off = np.abs(answer.columns - np.rint(answer.columns))
    return int(off.argmax()) if answer.feasible and off.max(initial=0) > _WHOLE else -1
