"""Parallel lines in a path that are sewn to and fro, told as one."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from stitchpath.directions.hand_moves import HandMove, ring_turn
from stitchpath.lines import Role
from stitchpath.plan import Move

__all__ = ["Connector", "ParallelLines", "folded", "turn_of"]

_LEAST_LINES = 3  # two lines are told as fast one by one: chosen
_LONGEST_CONNECTOR_MM = 3 * 25.4
"""What joins two lines told as one is no longer than this: chosen; past lines sewn before it is over 2 in."""

_MOST_PARTS = 3  # hand moves in what joins two lines: along a seam, round a corner, and on; chosen
_MOST_GAPS = 4  # lines told as one that are not as far on as the others; each is named, so few: chosen

_PARALLEL = 1e-4  # the sine of the angle between lines that are parallel to the eye: chosen
_EVEN_MM = 0.1  # spacing that differs by less is even: cloth is good to 1 mm
_SEWN_TO_AND_FRO = frozenset({Role.FILL, Role.STRIP, Role.DRAWN})


@dataclass(frozen=True, eq=False, slots=True)
class Connector:
    """What joins two neighbouring lines: a few hand moves, and what each lies on."""

    hand_moves: tuple[HandMove, ...]
    names: tuple[str, ...]

    @property
    def length_mm(self) -> float:
        """Its length."""
        return sum(hand_move.length_mm for hand_move in self.hand_moves)

    @property
    def kind(self) -> tuple[Move, str, int] | None:
        """Its move, what it lies on, and which way round it goes, if all of it is one of each."""
        first = self.hand_moves[0]
        one = {(hand_move.move, name) for hand_move, name in zip(self.hand_moves, self.names, strict=True)}
        if len(one) > 1:
            return None
        straight = all(hand_move.straight for hand_move in self.hand_moves)
        return first.move, self.names[0], 0 if straight else turn_of(first)


@dataclass(frozen=True, eq=False, slots=True)
class ParallelLines:
    """Parallel lines of one motif in a block, sewn to and fro, each farther on; connectors between them."""

    lines: tuple[HandMove, ...]
    connectors: tuple[Connector, ...]

    @property
    def apart_mm(self) -> NDArray[np.float64]:
        """From the first line straight across to the second one."""
        return _across(self.lines[0], self.lines[1])

    @property
    def gaps_mm(self) -> tuple[float, ...]:
        """From each line to the next one."""
        return tuple(float(np.hypot(*_across(a, b))) for a, b in pairwise(self.lines))

    @property
    def spacing_mm(self) -> float:
        """From line to line, most often."""
        return _usual(self.gaps_mm)

    @property
    def uneven(self) -> tuple[int, ...]:
        """Which gaps are not as wide as the others, counted from 0."""
        gaps, usual = self.gaps_mm, self.spacing_mm
        return tuple(i for i, gap in enumerate(gaps) if abs(gap - usual) > _EVEN_MM)

    @property
    def by_turns(self) -> bool:
        """Whether the lines are joined by two kinds of connectors, or one, by turns."""
        kinds = [connector.kind for connector in self.connectors]
        return None not in kinds and all(len(set(side)) <= 1 for side in (kinds[::2], kinds[1::2]))


def folded(hand_moves: Sequence[HandMove], names: Sequence[str]) -> list[HandMove | ParallelLines]:
    """Return a path's hand moves with parallel lines put together.

    Parameters
    ----------
    hand_moves, names
        The hand moves, and what each lies on.

    Examples
    --------
    >>> folded([], [])
    []
    """
    items: list[HandMove | ParallelLines] = []
    at = 0
    while at < len(hand_moves):
        parallel, end = _lines_from(hand_moves, names, at)
        if len(parallel.lines) >= _LEAST_LINES:
            items.append(parallel)
            at = end
        else:
            items.append(hand_moves[at])
            at += 1
    return items


def _lines_from(hand_moves: Sequence[HandMove], names: Sequence[str], at: int) -> tuple[ParallelLines, int]:
    """Return the most parallel lines that begin with a hand move, and where they end."""
    lines, connectors, gaps = [hand_moves[at]], list[Connector](), list[float]()
    while True:
        after = _next_line(hand_moves, at) if _may_be_one(lines[0]) else at
        if after == at or not _goes_on(lines, gaps, hand_moves[after]):
            return ParallelLines(tuple(lines), tuple(connectors)), at + 1
        gaps.append(float(np.hypot(*_across(lines[-1], hand_moves[after]))))
        lines.append(hand_moves[after])
        connectors.append(Connector(tuple(hand_moves[at + 1 : after]), tuple(names[at + 1 : after])))
        at = after


def _next_line(hand_moves: Sequence[HandMove], at: int) -> int:
    """Return the next line like one, if what joins them is short and simple enough; else that one."""
    line, length = hand_moves[at], 0.0
    for after in range(at + 1, min(at + 2 + _MOST_PARTS, len(hand_moves))):
        hand_move = hand_moves[after]
        if _may_be_one(hand_move) and _key(hand_move) == _key(line):
            return after if after > at + 1 and hand_move.stage == line.stage else at
        length += hand_move.length_mm
        if length > _LONGEST_CONNECTOR_MM or not _joins(hand_move):
            break
    return at


def _joins(hand_move: HandMove) -> bool:
    """Tell whether a hand move may be a part of what joins two lines."""
    if hand_move.move not in {Move.SEW, Move.TRAVEL} or hand_move.role is Role.FILL or hand_move.lap:
        return False
    line = hand_move.line
    return line is None or not line.closed or hand_move.length_mm < line.length_mm / 2


def _goes_on(lines: Sequence[HandMove], gaps: Sequence[float], line: HandMove) -> bool:
    """Tell whether a line carries on those before it: parallel, the other way, farther on."""
    last = lines[-1]
    one, other = last.chord_mm / last.length_mm, line.chord_mm / line.length_mm
    if one @ other > 0 or abs(one[0] * other[1] - one[1] * other[0]) > _PARALLEL:
        return False
    apart = _across(last, line)
    gap = float(np.hypot(*apart))
    if gap <= _EVEN_MM or (gaps and apart @ _across(*lines[:2]) < 0):
        return False
    every = [*gaps, gap]
    usual = _usual(every)
    uneven = sum(abs(each - usual) > _EVEN_MM for each in every)
    return uneven <= _MOST_GAPS and 2 * uneven < len(every)


def _usual(gaps: Sequence[float]) -> float:
    """Return the gap that stands in the middle when all are put in order."""
    return sorted(gaps)[(len(gaps) - 1) // 2]


def turn_of(hand_move: HandMove) -> int:
    """Return 1 if a hand move goes clockwise as seen (y is down), -1 if anticlockwise."""
    line = hand_move.line
    if line is not None and line.closed:
        return ring_turn(hand_move.points_mm, line.points_mm)
    steps = np.diff(hand_move.points_mm, axis=0)
    turned = steps[:-1, 0] * steps[1:, 1] - steps[:-1, 1] * steps[1:, 0]
    return 1 if turned.sum() > 0 else -1


def _may_be_one(hand_move: HandMove) -> bool:
    return hand_move.move is Move.SEW and hand_move.straight and hand_move.role in _SEWN_TO_AND_FRO


def _key(hand_move: HandMove) -> tuple[str, str]:
    return ("", "") if hand_move.line is None else (hand_move.line.motif, hand_move.line.block)


def _across(one: HandMove, other: HandMove) -> NDArray[np.float64]:
    """Return the way from a line straight across to a parallel one."""
    unit = one.chord_mm / np.hypot(*one.chord_mm)
    normal = np.array([-unit[1], unit[0]])
    return np.asarray(((other.points_mm[0] - one.points_mm[-1]) @ normal) * normal)
