"""A plan by diving: what a linear program takes most of is taken whole, then the program is solved again.

In each step some columns are fixed at one, but at most one of those that fractional columns tie together,
since it decides the others: of a closed outline, either every other edge is taken or the rest. Cuts that the
answers violate are added on the way, until everything is whole.

A dive matters where lines hang on closed outlines: each offers every other edge or the rest, and trees cannot
tell which. On a fill sewn last (10 x 10 blocks) the plans grown from trees are 6.6 % above the bound, the
dive's is 1.0 %. It needs the cuts of several rounds after each step: with one or two rounds instead of eight,
its plans were 6 to 11 % above (measured 2026-11-26).

Dives keep the gate that the plan has, and one more is made without it. A dive that may fix gates fixes them
when little is left to choose, since a program takes a little of many at once: on that fill it ended 4 % above
the bound, after 400 s. Keeping the plan's gate, too, brought a row of fills from 5.0 to 1.1 % above its
bound; diving again with each other gate found nothing more. Trees are turned before all this
(`stitchpath.postman.search.rotation`), since often the plan is then near enough: UR742 took 3.5 s instead of
6 (measured 2026-11-27).

What dives gain (measured 2026-11-30; the gap between plan and bound in % of what travel and ends cost, and
seconds of CPU):

                                                     gap without    with  s without   with
    fill sewn last, 5 x 5 blocks, 410 doors                0.765   0.144       22.6   30.6
    crossings priced, 3 x 3 blocks                         0.130   0.075       10.8   13.1

The second beginning, without the gate, gains nothing on the first of these (26.5 s without it), but on that
fill of 10 x 10 blocks, with 1,707 doors: the dive that keeps the gate ends at 247.2 million units after 101
s, and this one at 244.7 after 18 more.

Three devices for large networks were taken out, since they gained too little (measured 2026-11-30):

- Cuts found window by window before the linear program. Its value with laps always, without and with them, in
  millions of units: 9 x 9 blocks 420.22 and 420.19, after 103 and 108 s; 10 x 10 517.70 and 517.71, 142 and
  146 s.
- Dives from window to window: with laps always at 9 x 9 blocks the dive over the whole ends 0.03 % cheaper.
- Dives around the plan's ends at the last, to settle where it runs on. The gap on a fill sewn last, without
  and with them: 3 x 3 blocks 0.897 and 1.173 %, 5 x 5 0.184 and 0.144 %, 7 x 7 0.123 and 0.123 % (76.3 and
  71.5 s).

At 20 x 20 blocks they were not measured: at "standard", large networks with trail ends no longer come to a
dive at all (`stitchpath.postman.search.connect`).
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts.cocircuits import cocircuits
from stitchpath.postman.cuts.columns import Columns, Known
from stitchpath.postman.cuts.cut_sets import Taken, first_cuts, missed_cuts
from stitchpath.postman.cuts.highs import Growing
from stitchpath.postman.graphs import components
from stitchpath.postman.model.net import Copies, Net, capped, is_plan, price, stripped
from stitchpath.postman.search.rotation import merged

__all__ = ["dived_plan"]

_SHARE = 0.3
"""So many of the columns that may be fixed together are, before the rest is asked anew."""

_WORK, _EACH = 60_000, 3
"""A dive ends without a plan after so many simplex iterations, and is not begun where so many for each column
that is not whole would be more."""

_ROUNDS, _LAST_ROUNDS = 8, 40
"""Most rounds of cuts after a step, and at the last, when all is whole: with one or two in place of eight a
fill's plans were 6 to 11 % above the bound and not 1."""

_WHOLE, _DIGITS = 1e-5, 6
"""Values so near are whole, and those that are the same to so many digits are equal: HiGHS keeps limits to
1e-7."""

_Ints = NDArray[np.intp]
_Floats = NDArray[np.float64]


def dived_plan(
    net: Net, plan: Copies, *, known: Known, taken: Taken, go_on: Callable[[], bool] = lambda: True
) -> Copies:
    """Improve a plan; never worse.

    Parameters
    ----------
    net, plan
        A plan on a network.
    known
        Cuts known.
    taken
        An answer that misses none of them.
    go_on
        Asked after each step; False stops.
    """
    found = [_dived_from(net, begun, known=known, taken=taken, go_on=go_on) for begun in _begun(net, plan)]
    return min(plan, *found, key=lambda copies: price(net, copies))


def _dived_from(net: Net, plan: Copies, *, known: Known, taken: Taken, go_on: Callable[[], bool]) -> Copies:
    """Dive over the whole, but for the gates."""
    free = np.ones(len(net.tails), bool)
    free[net.choices] = False
    other = _dived_in(net, plan, known=known, taken=taken, free=free, go_on=go_on) if go_on() else None
    if other is None:
        return plan
    return min(merged(net, plan, other), other, key=lambda copies: price(net, copies))


def _begun(net: Net, plan: Copies) -> list[Copies]:
    """Return the plan and, where it takes a gate, a plan without."""
    without = _without_gate(net, plan)
    return [plan] if without is plan else [plan, without]


def _without_gate(net: Net, plan: Copies) -> Copies:
    """End a trail where a plan took a gate, and go back to the hub."""
    gate = np.flatnonzero(plan[net.choices][1:]) + net.choices.start + 1
    if not len(gate):
        return plan
    times = plan.astype(np.int64)
    times[gate[0]], times[net.choices.start] = 0, 1
    times[np.flatnonzero((net.tails == net.tails[gate[0]]) & (net.heads == net.hub))[0]] += 1
    return stripped(net, capped(net, times))


def _dived_in(
    net: Net,
    plan: Copies,
    *,
    known: Known,
    taken: Taken,
    free: NDArray[np.bool_],
    go_on: Callable[[], bool],
) -> Copies | None:
    """Return a plan that differs in free edges only, not always a better one.

    None where what is fixed leaves none, or it takes too long.
    """
    if _EACH * len(_split(np.append(taken.single[free], taken.pair[free]))) > _WORK:
        return None
    program = _Program(net, known, free, np.where(free, 0, plan).astype(np.int8))
    while (values := program.solved()) is not None and program.work < _WORK and go_on():
        split = _split(values)
        if not len(split):
            copies = program.taken(np.rint(values)).copies
            found = stripped(net, capped(net, copies.astype(np.int64)))
            return found if is_plan(net, found) else None
        first = _promising(program.columns, values, split)
        program.fix(first[: max(1, int(_SHARE * len(first)))])
    return None


def _split(values: _Floats) -> _Ints:
    """Return which values are not whole."""
    return np.flatnonzero(np.abs(values - np.rint(values)) > _WHOLE)


def _promising(columns: Columns, values: _Floats, split: _Ints) -> _Ints:
    """Return the columns taken most, in order; one of each part that hangs together without the hub."""
    net, edge = columns.net, columns.edge[split]
    inner = edge[(net.tails[edge] != net.hub) & (net.heads[edge] != net.hub)]
    label = components(net.size, net.tails, net.heads, inner)[1]
    piece = label[np.where(net.tails[edge] == net.hub, net.heads[edge], net.tails[edge])]
    most = -np.round(values[split], _DIGITS)
    order = np.lexsort((split, most, piece))
    first = order[np.flatnonzero(np.diff(piece[order], prepend=-1))]
    return split[first[np.argsort(most[first], kind="stable")]]


class _Program:
    """The linear program over copies of free edges, beside those kept of all others, with the cuts known."""

    def __init__(self, net: Net, known: Known, free: NDArray[np.bool_], kept: Copies) -> None:
        self._net, self.columns, self.work = net, Columns.of(net, free), 0
        self._kept = Taken.of_copies(kept)
        self._program = Growing(self.columns.costs, np.ones(len(self.columns)))
        if net.gates:
            left = 1.0 - kept[net.choices].sum()
            self._program.add(self.columns.choices(), np.full(1, -np.inf), np.full(1, left))
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

    def taken(self, values: _Floats) -> Taken:
        """Return how much of each edge is taken by the columns and by what is kept."""
        own = self.columns.taken(values)
        return Taken(own.single + self._kept.single, own.pair + self._kept.pair)

    def _cut(self, values: _Floats) -> bool:
        """Add cuts that an answer misses; tell whether there are any."""
        taken = self.taken(values)
        more = cocircuits(self._net, taken).and_more(self._net, *missed_cuts(self._net, taken))
        return self._enter(more)

    def _enter(self, known: Known) -> bool:
        """Add the rows that the kept copies do not satisfy; tell whether there are any."""
        rows, lack = self.columns.lacking(known, self._kept)
        self._program.add(rows, lack, np.full(len(lack), np.inf))
        return bool(len(lack))
