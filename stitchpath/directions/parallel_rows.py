"""Parallel lines in a path that are sewn to and fro, told as one."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.directions.hand_moves import Leg, ring_turn
from stitchpath.directions.walk_steps import HOP_MM
from stitchpath.lines import Role
from stitchpath.plan import Move

__all__ = ["Hop", "Rows", "folded", "turn_of"]

_LEAST_ROWS = 3
_PARALLEL = 1e-4
_EVEN_MM = 0.1
_ROWED = frozenset({Role.FILL, Role.STRIP, Role.DRAWN})


@dataclass(frozen=True, eq=False, slots=True)
class Hop:
    """What joins two neighbouring lines: one leg or two, on one thing, with one move."""

    legs: tuple[Leg, ...]
    move: Move
    what: str

    @property
    def length_mm(self) -> float:
        """Its length."""
        return sum(leg.length_mm for leg in self.legs)


@dataclass(frozen=True, eq=False, slots=True)
class Rows:
    """Parallel lines of one motif in a block, sewn to and fro, evenly apart; hops between them."""

    lines: tuple[Leg, ...]
    hops: tuple[Hop, ...]

    @property
    def apart_mm(self) -> NDArray[np.float64]:
        """From each line straight across to the next one."""
        return _across(self.lines[0], self.lines[1])

    @property
    def spacing_mm(self) -> float:
        """From line to line."""
        return float(np.hypot(*self.apart_mm))


def folded(legs: Sequence[Leg], names: Sequence[str]) -> list[Leg | Rows]:
    """Return a path's legs with rows put together.

    Parameters
    ----------
    legs, names
        The legs, and what each lies on.

    Examples
    --------
    >>> folded([], [])
    []
    """
    items: list[Leg | Rows] = []
    at = 0
    while at < len(legs):
        rows, end = _rows_from(legs, names, at)
        if len(rows.lines) >= _LEAST_ROWS:
            items.append(rows)
            at = end
        else:
            items.append(legs[at])
            at += 1
    return items


def _rows_from(legs: Sequence[Leg], names: Sequence[str], at: int) -> tuple[Rows, int]:
    """Return the longest rows that begin at a leg, and where they end."""
    lines, hops = [legs[at]], list[Hop]()
    while True:
        hop = _hop(legs, names, at + 1)
        after = at + 1 + (len(hop.legs) if hop else 0)
        if hop is None or after >= len(legs) or not _goes_on(lines, hops, hop, legs[after]):
            return Rows(tuple(lines), tuple(hops)), at + 1
        lines.append(legs[after])
        hops.append(hop)
        at = after


def _hop(legs: Sequence[Leg], names: Sequence[str], at: int) -> Hop | None:
    """Return the legs from one on that lie on one thing with one move, if they are short enough together."""
    end = at
    while end < len(legs) and end - at < 2 and (legs[end].move, names[end]) == (legs[at].move, names[at]):
        end += 1
        if end < len(legs) and legs[end].role is not legs[at].role:
            break
    hop = tuple(legs[at:end])
    if not hop or hop[0].move not in {Move.SEW, Move.TRAVEL} or hop[0].role in _ROWED & {Role.FILL}:
        return None
    told = Hop(hop, hop[0].move, names[at])
    return told if told.length_mm <= HOP_MM and not any(leg.lap for leg in hop) else None


def _goes_on(lines: Sequence[Leg], hops: Sequence[Hop], hop: Hop, line: Leg) -> bool:
    """Tell whether a line carries on the rows before it."""
    last = lines[-1]
    if not (_is_row(last) and _is_row(line)) or _key(last) != _key(line) or last.stage != line.stage:
        return False
    one, other = last.chord_mm / last.length_mm, line.chord_mm / line.length_mm
    if one @ other > 0 or abs(one[0] * other[1] - one[1] * other[0]) > _PARALLEL:
        return False
    apart = _across(last, line)
    if np.hypot(*apart) <= _EVEN_MM or (
        len(lines) > 1 and np.hypot(*(apart - _across(*lines[:2]))) > _EVEN_MM
    ):
        return False
    alike = len(hops) < 2 or (hops[-2].move, hops[-2].what) == (hop.move, hop.what)
    return alike and (len(hops) < 2 or _turning(hops[-2]) == _turning(hop))


def _turning(hop: Hop) -> tuple[bool, int]:
    """Return whether a hop is straight, and else which way round it goes."""
    if all(leg.straight for leg in hop.legs):
        return True, 0
    return False, turn_of(hop.legs[0])


def turn_of(leg: Leg) -> int:
    """Return 1 if a leg goes clockwise as seen (y is down), -1 if anticlockwise."""
    line = leg.line
    if line is not None and line.closed:
        return ring_turn(leg.points_mm, line.points_mm)
    steps = np.diff(leg.points_mm, axis=0)
    turned = steps[:-1, 0] * steps[1:, 1] - steps[:-1, 1] * steps[1:, 0]
    return 1 if turned.sum() > 0 else -1


def _is_row(leg: Leg) -> bool:
    return leg.move is Move.SEW and leg.straight and leg.role in _ROWED


def _key(leg: Leg) -> tuple[str, str]:
    return ("", "") if leg.line is None else (leg.line.motif, leg.line.block)


def _across(one: Leg, other: Leg) -> NDArray[np.float64]:
    """Return the way from a line straight across to a parallel one."""
    unit = one.chord_mm / np.hypot(*one.chord_mm)
    normal = np.array([-unit[1], unit[0]])
    return np.asarray(((other.points_mm[0] - one.points_mm[-1]) @ normal) * normal)
