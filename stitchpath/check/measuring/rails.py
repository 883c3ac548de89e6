"""What is asked for, as rails: every drawn line straightened out along one common axis.

A place on any line is then a single number, a stretch is an interval, and all rules are questions about
intervals. Nothing is cut at junctions, snapped or merged here: lines that coincide stay apart, and gates
count them where it matters.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.check.measuring.intervals import Floats, Interval, Ints, Points, pieces
from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.lines import Line, Role, RoleRule
from stitchpath.settings import CostSettings, ScheduleSettings

__all__ = ["NO_STAGE", "Rails", "lay_rails", "named"]

_BETWEEN_MM = 1.0
"""Room between two lines on the axis."""

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
        For each line: the index of its stage; `NO_STAGE` for hidden seams, for what is left to others and for
        roles in no stage.
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

    def visibility(self) -> tuple[Ints, Floats]:
        """Return lines' ranks, 0 where travel shows least; and (R, 2) each rank's `shows` and `builds_up`."""
        pairs = np.array([(rule.shows, rule.builds_up) for rule in self.rules]).reshape(-1, 2)
        ranked, rank = np.unique(pairs, axis=0, return_inverse=True)
        return rank.reshape(-1), ranked

    def piece(self, place: Floats) -> Ints:
        """Return on which piece places on the axis lie."""
        return np.maximum(np.searchsorted(self.at, place, side="right") - 1, 0)

    def locate(self, place: Floats) -> tuple[Points, Points]:
        """Return the points at places on the axis, and the direction of the line there."""
        piece = self.piece(place)
        along = self.end[piece] - self.start[piece]
        along = along / np.hypot(*along.T)[:, None]
        return self.start[piece] + along * (place - self.at[piece])[:, None], along


def lay_rails(
    drawing: Drawing,
    *,
    cost: CostSettings,
    schedule: ScheduleSettings,
    left: Sequence[bool] | NDArray[np.bool_] = (),
) -> Rails:
    """Cut a drawing's lines into straight pieces along one axis.

    Parameters
    ----------
    drawing
        What is asked for.
    cost, schedule
        For what follows from roles, and for stages.
    left
        For each line, the asked ones first: whether it is left to somebody else, and so in no stage.

    Raises
    ------
    DesignError
        If a coordinate is not finite.

    Examples
    --------
    >>> lay_rails(Drawing(lines=()), cost=CostSettings(), schedule=ScheduleSettings()).line
    array([], dtype=int64)
    """
    lines = (*drawing.lines, *drawing.hidden)
    counts = np.array([len(line.points_mm) for line in lines], dtype=np.int64)
    points = np.concatenate([line.points_mm for line in lines]) if lines else np.zeros((0, 2))
    owner = np.repeat(np.arange(len(lines)), counts)
    if not np.isfinite(points).all():
        raise DesignError("a line has a coordinate that is not finite", "give finite numbers", key="lines")
    axis = _axis(points, owner)
    kept = np.flatnonzero((owner[1:] == owner[:-1]) & (axis[1:] > axis[:-1]))
    firsts = np.concatenate(([0], np.cumsum(counts)))
    start, end = points[kept], points[kept + 1]
    table = cost.rules()
    stages = np.array(_stages(lines, len(drawing.lines), schedule), dtype=np.int64)
    stages[: len(left)][np.asarray(left, dtype=bool)] = NO_STAGE
    return Rails(
        lines,
        len(drawing.lines),
        start,
        end,
        owner[kept],
        axis[kept],
        (axis[firsts[:-1]], axis[firsts[1:] - 1]),
        stages,
        tuple(table[line.role] for line in lines),
        shapely.STRtree(pieces(start, end)),
    )


def _axis(points: Points, owner: Ints) -> Floats:
    """Return each point's place on the axis."""
    if not len(points):
        return np.zeros(0)
    segments = np.hypot(*np.diff(points, axis=0).T)
    return np.concatenate(([0.0], np.cumsum(np.where(np.diff(owner) > 0, _BETWEEN_MM, segments))))


def _stages(lines: Sequence[Line], asked: int, schedule: ScheduleSettings) -> list[int]:
    order = {role: i for i, stage in enumerate(schedule.stages) for role in stage.roles}
    return [order.get(Role(x.role), NO_STAGE) if i < asked else NO_STAGE for i, x in enumerate(lines)]


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
