"""Parallel lines in a path that are sewn to and fro, told as one."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.directions.hand_moves import HandMove, ring_turn
from stitchpath.lines import Role
from stitchpath.plan import Move

__all__ = ["Connector", "ParallelLines", "folded", "turn_of"]

_LEAST_LINES = 3  # two lines are told as fast one by one: chosen
_LONGEST_CONNECTOR_MM = 2 * 25.4
"""What joins two lines told as one is no longer than this: common practice, no source."""

_PARALLEL = 1e-4  # the sine of the angle between lines that are parallel to the eye: chosen
_EVEN_MM = 0.1  # spacing that differs by less is even: cloth is good to 1 mm
_SEWN_TO_AND_FRO = frozenset({Role.FILL, Role.STRIP, Role.DRAWN})


@dataclass(frozen=True, eq=False, slots=True)
class Connector:
    """What joins two neighbouring lines: one hand move or two, on one thing, with one move."""

    hand_moves: tuple[HandMove, ...]
    move: Move
    what: str

    @property
    def length_mm(self) -> float:
        """Its length."""
        return sum(hand_move.length_mm for hand_move in self.hand_moves)


@dataclass(frozen=True, eq=False, slots=True)
class ParallelLines:
    """Parallel lines of one motif in a block, sewn to and fro, evenly apart; connectors between them."""

    lines: tuple[HandMove, ...]
    connectors: tuple[Connector, ...]

    @property
    def apart_mm(self) -> NDArray[np.float64]:
        """From each line straight across to the next one."""
        return _across(self.lines[0], self.lines[1])

    @property
    def spacing_mm(self) -> float:
        """From line to line."""
        return float(np.hypot(*self.apart_mm))


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
    lines, connectors = [hand_moves[at]], list[Connector]()
    while True:
        connector = _connector(hand_moves, names, at + 1)
        after = at + 1 + (len(connector.hand_moves) if connector else 0)
        if (
            connector is None
            or after >= len(hand_moves)
            or not _goes_on(lines, connectors, connector, hand_moves[after])
        ):
            return ParallelLines(tuple(lines), tuple(connectors)), at + 1
        lines.append(hand_moves[after])
        connectors.append(connector)
        at = after


def _connector(hand_moves: Sequence[HandMove], names: Sequence[str], at: int) -> Connector | None:
    """Return the hand moves from one on that lie on one thing with one move, if short enough together."""
    end = at
    while (
        end < len(hand_moves)
        and end - at < 2
        and (hand_moves[end].move, names[end]) == (hand_moves[at].move, names[at])
    ):
        end += 1
        if end < len(hand_moves) and hand_moves[end].role is not hand_moves[at].role:
            break
    connector = tuple(hand_moves[at:end])
    if (
        not connector
        or connector[0].move not in {Move.SEW, Move.TRAVEL}
        or connector[0].role in _SEWN_TO_AND_FRO & {Role.FILL}
    ):
        return None
    told = Connector(connector, connector[0].move, names[at])
    return (
        told
        if told.length_mm <= _LONGEST_CONNECTOR_MM and not any(hand_move.lap for hand_move in connector)
        else None
    )


def _goes_on(
    lines: Sequence[HandMove], connectors: Sequence[Connector], connector: Connector, line: HandMove
) -> bool:
    """Tell whether a line carries on those before it."""
    last = lines[-1]
    if not (_may_be_one(last) and _may_be_one(line)) or _key(last) != _key(line) or last.stage != line.stage:
        return False
    one, other = last.chord_mm / last.length_mm, line.chord_mm / line.length_mm
    if one @ other > 0 or abs(one[0] * other[1] - one[1] * other[0]) > _PARALLEL:
        return False
    apart = _across(last, line)
    if np.hypot(*apart) <= _EVEN_MM or (
        len(lines) > 1 and np.hypot(*(apart - _across(*lines[:2]))) > _EVEN_MM
    ):
        return False
    alike = len(connectors) < 2 or (connectors[-2].move, connectors[-2].what) == (
        connector.move,
        connector.what,
    )
    return alike and (len(connectors) < 2 or _turning(connectors[-2]) == _turning(connector))


def _turning(connector: Connector) -> tuple[bool, int]:
    """Return whether a connector is straight, and else which way round it goes."""
    if all(hand_move.straight for hand_move in connector.hand_moves):
        return True, 0
    return False, turn_of(connector.hand_moves[0])


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
