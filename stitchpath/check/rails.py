"""What is asked for, as rails: every raw line straightened out along one common axis.

A place on any line is then one number, a stretch an interval, and all rules are questions about intervals.
Nothing here is noded, snapped or merged: lines that coincide stay apart, and `strands` counts them where it
matters.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.check.intervals import Floats, Interval, Ints, Points
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role, RoleRule
from stitchpath.settings import CostSettings, ScheduleSettings

__all__ = ["NO_STAGE", "Rails", "Strands", "lay_rails", "named", "pieces", "strands"]

_BETWEEN_MM = 1.0
"""Room between two lines on the axis."""

_GATE_MM = 0.007
"""Half a gate: what a path may be off its line (0.0025 at most), and `COVERED_MM`."""

_APART_MM = 3e-4
"""Lines nearer than this coincide. Noding on a grid of 2**-10 mm merges what is nearer than half of it, so
it keeps no two edges this near; lines asked for twice differ by rounding, about 1e-9."""

_BESIDE = 0.9
"""Least cosine between a strand and the stitching; one that crosses more steeply is near for 0.02 mm only."""

NO_STAGE = 10**6
"""Stands for the stage of what is in none: hidden seams."""


@dataclass(frozen=True, eq=False)
class Rails:
    """All lines, asked and hidden, cut into their straight pieces.

    Attributes
    ----------
    lines
        The asked ones, then the hidden ones.
    asked
        How many were asked for.
    start, end, line, at
        For each piece: its ends in millimetres, its line's index, and where it begins on the axis.
    extent
        For each line: from where to where it runs on the axis.
    stage
        For each line: the index of its stage; `NO_STAGE` for hidden seams and for roles in no stage.
    rules
        For each line: what its role says.
    tree
        The pieces' STRtree.
    """

    lines: tuple[Line, ...]
    asked: int
    start: Points
    end: Points
    line: Ints
    at: Floats
    extent: Interval
    stage: Ints
    rules: tuple[RoleRule, ...]
    tree: Any

    @property
    def hidden(self) -> NDArray[np.bool_]:
        """For each line: whether nobody asked for it."""
        return np.arange(len(self.lines)) >= self.asked

    def most_times(self) -> Ints:
        """Return for each line how often it may be sewn."""
        return np.array([rule.most_times for rule in self.rules], dtype=np.int64)

    def shows(self) -> Floats:
        """Return for each line how much a second of travel over it counts."""
        return np.array([rule.shows for rule in self.rules], dtype=np.float64)

    def piece(self, place: Floats) -> Ints:
        """Return on which piece places on the axis lie."""
        return np.maximum(np.searchsorted(self.at, place, side="right") - 1, 0)

    def locate(self, place: Floats) -> tuple[Points, Points]:
        """Return the points at places on the axis, and the direction of the line there."""
        piece = self.piece(place)
        along = self.end[piece] - self.start[piece]
        along = along / np.hypot(*along.T)[:, None]
        return self.start[piece] + along * (place - self.at[piece])[:, None], along


def lay_rails(drawing: Drawing, *, cost: CostSettings, schedule: ScheduleSettings) -> Rails:
    """Cut a drawing's lines into straight pieces along one axis.

    Examples
    --------
    >>> lay_rails(Drawing(lines=()), cost=CostSettings(), schedule=ScheduleSettings()).line
    array([], dtype=int64)
    """
    lines = (*drawing.lines, *drawing.hidden)
    counts = np.array([len(line.points_mm) for line in lines], dtype=np.int64)
    points = np.concatenate([line.points_mm for line in lines]) if lines else np.zeros((0, 2))
    owner = np.repeat(np.arange(len(lines)), counts)
    axis = _axis(points, owner)
    kept = np.flatnonzero((owner[1:] == owner[:-1]) & (axis[1:] > axis[:-1]))
    firsts = np.concatenate(([0], np.cumsum(counts)))
    start, end = points[kept], points[kept + 1]
    table = cost.rules()
    return Rails(
        lines,
        len(drawing.lines),
        start,
        end,
        owner[kept],
        axis[kept],
        (axis[firsts[:-1]], axis[firsts[1:] - 1]),
        np.array(_stages(lines, len(drawing.lines), schedule), dtype=np.int64),
        tuple(table[line.role] for line in lines),
        shapely.STRtree(pieces(start, end)),
    )


def _axis(points: Points, owner: Ints) -> Floats:
    """Return each point's place on the axis."""
    if not len(points):
        return np.zeros(0)
    steps = np.hypot(*np.diff(points, axis=0).T)
    return np.concatenate(([0.0], np.cumsum(np.where(np.diff(owner) > 0, _BETWEEN_MM, steps))))


def _stages(lines: Sequence[Line], asked: int, schedule: ScheduleSettings) -> list[int]:
    order = {role: i for i, stage in enumerate(schedule.stages) for role in stage.roles}
    return [order.get(Role(x.role), NO_STAGE) if i < asked else NO_STAGE for i, x in enumerate(lines)]


def pieces(start: Points, end: Points) -> Any:
    """Return straight pieces as an array of shapely linestrings."""
    return shapely.linestrings(np.stack((start, end), axis=1))


@dataclass(frozen=True, eq=False)
class Strands:
    """Which different lines run through places, one row a strand; lines that coincide are one strand.

    Attributes
    ----------
    place
        Index of the place.
    most_times
        The greatest number of times that a line of the strand may be sewn.
    stage
        The earliest stage of a line of the strand that was asked for.
    shows
        How much travel shows on the least visible line of the strand.
    """

    place: Ints
    most_times: Ints
    stage: Ints
    shows: Floats

    def allowed(self, count: int) -> Ints:
        """Return how often stitching may pass each of `count` places."""
        return np.bincount(self.place, self.most_times, count).astype(np.int64)

    def asked(self, count: int) -> Ints:
        """Return how many strands that were asked for pass each of `count` places."""
        return np.bincount(self.place, self.stage < NO_STAGE, count).astype(np.int64)


def strands(rails: Rails, points: Points, along: Points) -> Strands:
    """Count the lines that run through places, by a small gate set up across each.

    Parameters
    ----------
    rails
        The lines.
    points, along
        (N, 2): the places in millimetres, and the direction of the stitching there.
    """
    across = np.stack((-along[:, 1], along[:, 0]), axis=1)
    gates = pieces(points - across * _GATE_MM, points + across * _GATE_MM)
    place, piece = rails.tree.query(gates, predicate="intersects")
    beside = np.abs(_cosine(rails, piece, along[place])) > _BESIDE
    place, piece = place[beside], piece[beside]
    offset = _crossing(rails, piece, points[place], across[place])
    order = np.lexsort((offset, place))
    place, piece, offset = place[order], piece[order], offset[order]
    fresh = np.ones(len(place), dtype=bool)
    fresh[1:] = (np.diff(place) > 0) | (np.diff(offset) > _APART_MM)
    first = np.flatnonzero(fresh)
    if not len(first):
        return Strands(place, place, place, offset)
    line = rails.line[piece]
    return Strands(
        place[first],
        np.maximum.reduceat(rails.most_times()[line], first),
        np.minimum.reduceat(rails.stage[line], first),
        np.minimum.reduceat(rails.shows()[line], first),
    )


def _crossing(rails: Rails, piece: Ints, points: Points, across: Points) -> Floats:
    """Return how far from the place each piece crosses its gate."""
    a, d = rails.start[piece] - points, rails.end[piece] - rails.start[piece]
    slope = across[:, 0] * d[:, 1] - across[:, 1] * d[:, 0]
    offset: Floats = (a[:, 0] * d[:, 1] - a[:, 1] * d[:, 0]) / slope
    return offset


def _cosine(rails: Rails, piece: Ints, along: Points) -> Floats:
    d = rails.end[piece] - rails.start[piece]
    cosine: Floats = (d * along).sum(axis=1) / np.hypot(*d.T)
    return cosine


def named(line: Line) -> str:
    """Return a line's name in the quilter's words: where it is and who asked.

    Examples
    --------
    >>> named(Line([(0, 0), (1, 0)], Role.FILL, motif="fill", block="row 1, column 2"))
    'row 1, column 2: fill'
    >>> named(Line([(0, 0), (1, 0)], Role.HIDDEN))
    'a hidden line'
    """
    return ": ".join(part for part in (line.block, line.motif) if part) or f"a {line.role} line"
