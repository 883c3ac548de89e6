"""How far sewing wanders before a block is finished: its wander ratio."""

from dataclasses import dataclass

import numpy as np

from stitchpath.figures.worked import is_worked
from stitchpath.plan import Plan

__all__ = ["Wander", "wander_of"]


@dataclass(frozen=True, slots=True)
class Wander:
    """How far sewing wanders off before one block is finished.

    Attributes
    ----------
    block
        Its name.
    own_mm
        Needle-down length, sewn and travelled, on the block's own lines.
    between_mm
        Needle-down length of the whole plan from first entering the block to last leaving it.
    """

    block: str
    own_mm: float
    between_mm: float

    @property
    def ratio(self) -> float:
        """The wander ratio: 1 where the block is finished in one go."""
        return self.between_mm / self.own_mm


def wander_of(plan: Plan) -> tuple[Wander, ...]:
    """Return how far sewing wanders off each of a plan's blocks, the greatest ratio first.

    Parameters
    ----------
    plan
        Its drawing names the blocks; one of which no line is sewn is left out. A line belongs to the block
        that it names: seams that are drawn for the whole top belong to none.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.lines import Block, Line
    >>> from stitchpath.plan import Move, Span, StitchPath
    >>> lines = Line([(0, 0), (9, 0)], block="a"), Line([(9, 0), (10, 0)])
    >>> top = Drawing(lines, blocks=(Block("a", (0, 0, 9, 9), 1, 1), Block("b", (9, 0, 18, 9), 1, 2)))
    >>> moves = (Move.SEW, 1), (Move.SEW, 2), (Move.TRAVEL, 2), (Move.TRAVEL, 1)
    >>> spans = tuple(Span(move, at, at + 1, line) for at, (move, line) in enumerate(moves))
    >>> there_and_back = StitchPath([(0, 0), (9, 0), (10, 0), (9, 0), (0, 0)], spans)
    >>> wander_of(Plan(top, (there_and_back,), (), 0.0))
    (Wander(block='a', own_mm=18.0, between_mm=20.0),)
    >>> wander_of(Plan(Drawing(()), (), (), 0.0))
    ()
    """
    names = [block.name for block in plan.drawing.blocks]
    number = {name: row for row, name in enumerate(names)}
    none = len(names)
    block_of = np.array([none, *(number.get(line.block, none) for line in plan.drawing.lines)], dtype=np.intp)
    spans = [span for path in plan for span in path.spans]
    kept = np.array([is_worked(span) for span in spans], dtype=bool)
    mm = np.concatenate([np.empty(0), *(path.spans_mm for path in plan)])[kept]
    block = block_of[np.array([span.line or 0 for span in spans], dtype=np.intp)[kept]]
    after = np.cumsum(mm)
    own = np.bincount(block, mm, minlength=none + 1)
    met, first = np.unique(block, return_index=True)
    last = len(block) - 1 - np.unique(block[::-1], return_index=True)[1]
    between = after[last] - after[first] + mm[first]
    wanders = [
        Wander(names[row], float(own[row]), float(far))
        for row, far in zip(met, between, strict=True)
        if row < none and own[row] > 0
    ]
    return tuple(sorted(wanders, key=lambda wander: -wander.ratio))
