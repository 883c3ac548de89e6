"""Columns of the programs: an edge's single copy and, where two copies of an optional edge may pay, its pair.

Then the singles alone tell parity. With up to two copies in one column a program could not say it: it would
take half of two and call it one.

Without these columns and without cocircuit inequalities, which use them, the linear program of a fill sewn
last (10 x 10 blocks, 1,390 parts) crept on for 300 rounds and stopped 5 % too low: at 242.9 million units
instead of 255.5. With both it reaches the value that the T-join proves, in 130 rounds (measured 2026-11-26).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts.cut_sets import CONNECTED, Cuts, Taken, crossings, sparse_rows
from stitchpath.postman.model.net import Copies, Net

__all__ = ["Columns", "Known", "known_cuts", "no_cuts"]

_Ints = NDArray[np.intp]
_Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Known:
    """Cuts known: (k, 2 m) sparse rows of singles, then of pairs, and (k,) what each comes to at least.

    `learned` are those of them that integer programs added, one page at a time.
    """

    rows: Any
    least: _Floats
    learned: tuple[Cuts, ...] = ()

    def and_more(self, net: Net, *cuts: Cuts) -> "Known":
        """Return these and more."""
        return self.and_those(known_cuts(net, cuts))

    def and_those(self, *others: "Known") -> "Known":
        """Return these and others."""
        from scipy.sparse import vstack

        all_of_them = (self, *others)
        rows = vstack([one.rows for one in all_of_them]).tocsr()
        learned = tuple(cuts for one in all_of_them for cuts in one.learned)
        return Known(rows, np.concatenate([one.least for one in all_of_them]), learned)


def no_cuts(net: Net) -> Known:
    """Return that no cut is known."""
    from scipy.sparse import csr_array

    return Known(csr_array((0, 2 * len(net.tails))), np.zeros(0))


def known_cuts(net: Net, found: Sequence[Cuts]) -> Known:
    """Return the rows of cuts, in their order; pairs count for connection only."""
    rows, columns, least, count, pairs = [], [], [], 0, len(net.tails)
    for cuts in found:
        row, edge = crossings(net, cuts)
        twice = cuts.least == CONNECTED
        rows += [row + count] * (1 + twice)
        columns += [edge, edge + pairs][: 1 + twice]
        least.append(np.full(len(cuts.chosen), float(cuts.least)))
        count += len(cuts.chosen)
    column = np.concatenate([*columns, np.zeros(0, np.intp)])
    values = np.where(column < pairs, 1.0, 2.0)
    entries = sparse_rows(np.concatenate([*rows, np.zeros(0, np.intp)]), column, values, (count, 2 * pairs))
    return Known(entries, np.concatenate([*least, np.zeros(0)]), tuple(found))


@dataclass(frozen=True)
class Columns:
    """The columns of some edges' singles, then those of some edges' pairs."""

    net: Net
    single: _Ints
    pair: _Ints

    @classmethod
    def of(cls, net: Net, able: NDArray[np.bool_]) -> "Columns":
        """Return the columns of those edges that are able to have copies that count."""
        able = able & (net.extra > 0) & (net.tails != net.heads)
        return cls(net, np.flatnonzero(able), np.flatnonzero(able & (net.most > 1)))

    def __len__(self) -> int:
        return len(self.single) + len(self.pair)

    @property
    def edge(self) -> _Ints:
        """The edge of each column."""
        return np.append(self.single, self.pair)

    @property
    def costs(self) -> _Floats:
        """What each costs, in whole units."""
        cost = self.net.cost.astype(np.float64)
        return np.append(cost[self.single], 2 * cost[self.pair])

    @cached_property
    def _place(self) -> _Ints:
        """(2 m,) the column of each edge's single, then of each edge's pair, -1 where there is none."""
        place = np.full(2 * len(self.net.tails), -1)
        place[np.append(self.single, len(self.net.tails) + self.pair)] = np.arange(len(self))
        return place

    def of_rows(self, rows: Any) -> Any:
        """Return those columns of (k, 2 m) sparse rows."""
        from scipy.sparse import csr_array

        column = self._place[rows.indices]
        kept = column >= 0
        begin = np.append(0, np.cumsum(kept))[rows.indptr]
        return csr_array((rows.data[kept], column[kept], begin), shape=(rows.shape[0], len(self)))

    def lacking(self, known: Known, kept: Taken) -> tuple[Any, _Floats]:
        """Return the cuts, in these columns, that kept copies cross too seldom, and what each lacks."""
        lack = known.least - known.rows @ np.append(kept.single, kept.pair)
        able = self.of_rows(known.rows)
        lacking = np.flatnonzero(lack - able.minimum(0).sum(axis=1) > 0)
        return able[lacking], lack[lacking]

    def choices(self) -> Any:
        """Return the row that counts gates, and the way back to the hub."""
        from scipy.sparse import csr_array

        return csr_array((self.edge >= self.net.choices.start)[None].astype(np.float64))

    def of_copies(self, copies: Copies) -> _Floats:
        """Return the columns that stand for copies, one of each if there are three."""
        return np.append(copies[self.single] % 2, copies[self.pair] > 1).astype(np.float64)

    def taken(self, values: _Floats) -> Taken:
        """Return what columns take of each edge."""
        single, pair = np.zeros((2, len(self.net.tails)))
        single[self.single], pair[self.pair] = values[: len(self.single)], values[len(self.single) :]
        return Taken(single, pair)
