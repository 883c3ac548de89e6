"""A path as hand moves: as far as the hand goes on one line, one way, in one move, without turning a corner.

A hand move has one length and one way, so that both can be told. ``tests/directions/directions_parser.py``
follows the words from one end of each path to the other: a new kind of sentence needs its pattern there
(2026-11-27).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.lines import COVERED_MM, Line, Role
from stitchpath.plan import Move, Plan, Span, StitchPath

__all__ = ["HandMove", "ends_at_corner", "hand_moves_of", "ring_turn", "turns_back"]

_CORNER_DEG, _BACK_DEG = 30.0, 179.0
"""A turn as sharp as this is a corner, or the way back: chosen; a curve's chords turn by far less."""
_BACK = -0.87  # the cosine of a turn of 150 degrees, from which on a hand move goes back: chosen
_STRAIGHT_MM = 0.05
"""A hand move that strays less from its chord is straight; cloth is good to 1 mm."""


@dataclass(frozen=True, eq=False, slots=True)
class HandMove:
    """A stretch of a path without a corner.

    Attributes
    ----------
    move, stage
        As its span has them.
    line
        The line that it lies on; None on a hidden seam and over open cloth.
    first, last
        Point indices in the path, inclusive; neighbouring hand moves share their border point.
    points_mm
        (N, 2).
    length_mm
        Its length.
    straight
        Whether it is.
    lap
        Whether it is the whole of a closed line, in one round with all its corners.
    """

    move: Move
    stage: str
    line: Line | None
    first: int
    last: int
    points_mm: NDArray[np.float64]
    length_mm: float
    straight: bool
    lap: bool

    @property
    def chord_mm(self) -> NDArray[np.float64]:
        """From its first point to its last."""
        return np.asarray(self.points_mm[-1] - self.points_mm[0])

    @property
    def role(self) -> Role:
        """What it lies on."""
        if self.move is Move.STEP:
            return Role.STEP
        return Role.HIDDEN if self.line is None else self.line.role


def hand_moves_of(plan: Plan, path: StitchPath) -> tuple[HandMove, ...]:
    """Return a path's hand moves, in order; small stitches at its ends are hand moves of their own.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> corner = StitchPath([(0, 0), (3, 0), (3, 4)], (Span(Move.SEW, 0, 2, 1),))
    >>> plan = Plan(Drawing((Line([(0, 0), (3, 0), (3, 4)]),)), (corner,), (), 0.0)
    >>> [hand_move.length_mm for hand_move in hand_moves_of(plan, corner)]
    [3.0, 4.0]
    """
    return tuple(hand_move for span in path.spans for hand_move in _hand_moves(plan, path, span))


def _hand_moves(plan: Plan, path: StitchPath, span: Span) -> Iterator[HandMove]:
    line = None if span.line is None else plan.drawing.lines[span.line - 1]
    points = path.coordinates_mm[span.first : span.last + 1]
    lap = _is_lap(points, path.span_mm(span), line)
    whole = lap or span.move is Move.SECURE
    places = [0, len(points) - 1] if whole else [0, *_corners(points), len(points) - 1]
    for a, b in pairwise(places):
        part = points[a : b + 1]
        length = float(np.hypot(*np.diff(part, axis=0).T).sum())
        if length or b - a == len(points) - 1:
            first, last = span.first + a, span.first + b
            yield HandMove(
                span.move, span.stage, line, first, last, part, length, not whole and _straight(part), lap
            )


def _is_lap(points: NDArray[np.float64], length: float, line: Line | None) -> bool:
    if line is None or not line.closed or (points[0] != points[-1]).any():
        return False
    return abs(length - line.length_mm) <= max(1.0, length / 100) and not _corners(
        points, sharp_deg=_BACK_DEG
    )


def _corners(points: NDArray[np.float64], *, sharp_deg: float = _CORNER_DEG) -> list[int]:
    """Return where a stretch turns sharply."""
    steps = np.diff(points, axis=0)
    moves = np.flatnonzero((steps != 0).any(axis=1))
    ways = np.arctan2(steps[moves, 1], steps[moves, 0])
    turns = np.abs((np.diff(ways) + np.pi) % (2 * np.pi) - np.pi)
    return [int(i) for i in moves[1:][turns > np.radians(sharp_deg)]]


def ends_at_corner(hand_move: HandMove) -> bool:
    """Tell whether a hand move ends where its line turns sharply, so that it can be seen.

    Examples
    --------
    >>> line = Line([(0, 0), (3, 0), (3, 4)])
    >>> [ends_at_corner(HandMove(Move.SEW, "", line, 0, 1, line.points_mm[a:b], 3.0, True, False))
    ...  for a, b in ((0, 2), (1, 3))]
    [True, False]
    """
    if hand_move.line is None:
        return False
    points = hand_move.line.points_mm
    if hand_move.line.closed:
        points = np.concatenate((points, points[1:2]))
    off = points[_corners(points)] - hand_move.points_mm[-1]
    return bool((np.hypot(*off.T) <= COVERED_MM).any())


def _straight(points: NDArray[np.float64]) -> bool:
    chord = points[-1] - points[0]
    length = np.hypot(*chord)
    if length <= COVERED_MM:
        return False
    off = (points - points[0]) @ np.array([-chord[1], chord[0]]) / length
    return bool(np.abs(off).max() <= _STRAIGHT_MM)


def _unit_step(points_mm: NDArray[np.float64], *, last: bool = False) -> NDArray[np.float64]:
    """Return the direction in which a stretch sets off, or arrives, as a unit vector; (0, 0) of nothing.

    Examples
    --------
    >>> _unit_step(np.array([[0.0, 0.0], [2.0, 0.0]])).tolist(), _unit_step(np.zeros((1, 2))).tolist()
    ([1.0, 0.0], [0.0, 0.0])
    """
    steps = np.diff(points_mm, axis=0)
    sizes = np.hypot(*steps.T)
    moves = np.flatnonzero(sizes > 0)
    if not len(moves):
        return np.zeros(2)
    i = moves[-1 if last else 0]
    return np.asarray(steps[i] / sizes[i])


def turns_back(before: HandMove | None, hand_move: HandMove) -> bool:
    """Tell whether a hand move goes back where the one before came from."""
    if before is None or before.lap or hand_move.lap:
        return False
    return bool(_unit_step(before.points_mm, last=True) @ _unit_step(hand_move.points_mm) < _BACK)


def ring_turn(points: NDArray[np.float64], ring: NDArray[np.float64]) -> int:
    """Return 1 if a stretch goes round a closed line clockwise as seen (y is down), -1 if anticlockwise.

    Examples
    --------
    >>> square = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0), (0.0, 0.0)])
    >>> ring_turn(square[1:4], square), ring_turn(square[2::-1], square)
    (1, -1)
    """
    line = shapely.LineString(ring)
    along = shapely.line_locate_point(line, shapely.points(points))
    steps = (np.diff(along) + line.length / 2) % line.length - line.length / 2
    x, y = ring.T
    clockwise = (x[:-1] * y[1:] - x[1:] * y[:-1]).sum() > 0
    return 1 if (steps.sum() > 0) == clockwise else -1
