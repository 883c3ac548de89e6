"""How many lines, and how many strands of stitching, run through a place: counted at a gate set up there.

Lines that coincide are one line to the needle. Lines a thousandth of a millimetre apart may have been planned
as two lines or as one; measuring the lines does not tell which, but the stitching does. So the strands of
stitching are counted, and believed up to the number of lines that run there.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stitchpath.check.measuring.intervals import Floats, Ints, Points, pieces
from stitchpath.check.measuring.rails import NO_STAGE, Rails
from stitchpath.check.measuring.segments import Stretches

__all__ = ["NO_RANK", "Gates", "set_gates"]

_GATE_MM = 0.007
"""Half a gate: `COVERED_MM`, and what stitching may be off its own line (0.0025 mm at most)."""

_BESIDE = 0.9
"""Least cosine between what passes a gate and the stitching; what is steeper is near for 0.02 mm only."""

_ONE_EDGE_MM = 1e-8
"""What passes a gate farther apart than this is two; one and the same edge sewn twice differs by 1e-12."""

NO_RANK = 10**6
"""Stands for how much a line shows where there is none: more than any."""

_GATES_AT_ONCE = 4_000
"""Where hundreds of lines meet in a point, each gate there is near all of them."""


@dataclass(frozen=True, eq=False)
class Gates:
    """What passes gates.

    Attributes
    ----------
    strands
        For each gate: the number of different strands of stitching.
    gate, line
        Which lines pass which gates; a row for each, by gate.
    rails
        The lines.
    """

    strands: Ints
    gate: Ints
    line: Ints
    rails: Rails

    def allowed(self) -> Ints:
        """Return how often the needle may pass each gate: the strands' most times, the greatest first."""
        most = self.rails.most_times()[self.line]
        order = np.lexsort((-most, self.gate))
        rank = np.arange(len(order)) - np.searchsorted(self.gate, self.gate)
        kept = order[rank < np.maximum(self.strands, 1)[self.gate]]
        return np.bincount(self.gate[kept], most[kept], len(self.strands)).astype(np.int64)

    def asked(self) -> Ints:
        """Return how often each gate may be passed sewing: once a strand, as far as lines ask for it."""
        asked = np.bincount(self.gate[self.line < self.rails.asked], minlength=len(self.strands))
        once: Ints = np.minimum(asked, np.maximum(self.strands, 1))
        return once

    def stages(self) -> list[set[int]]:
        """Return in which stages each gate's lines may be sewn: the earliest, or any of many strands."""
        found: list[set[int]] = [set() for _ in self.strands]
        for gate, stage in zip(self.gate.tolist(), self.rails.stage[self.line].tolist(), strict=True):
            if stage != NO_STAGE:
                found[gate].add(stage)
        pairs = zip(found, self.strands.tolist(), strict=True)
        return [{min(stages)} if stages and strands < 2 else stages for stages, strands in pairs]

    def visibility(self) -> Ints:
        """Return how much travel through each gate shows at most, as a rank; `NO_RANK`: no line passes."""
        rank = self.rails.visibility()[0][self.line]
        least, most = np.full(len(self.strands), NO_RANK), np.zeros(len(self.strands), dtype=np.int64)
        np.minimum.at(least, self.gate, rank)
        np.maximum.at(most, self.gate, rank)
        return np.where((self.strands < 2) | (least == NO_RANK), least, most)


def set_gates(rails: Rails, stretches: Stretches, points: Points, along: Points) -> Gates:
    """Set up a gate across each of some places.

    Parameters
    ----------
    rails, stretches
        The lines and the stitching.
    points, along
        (N, 2): the places in millimetres, and the direction of the stitching there.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line
    >>> seen = look_at([], Asked(Drawing(lines=(Line([(0, 0), (9, 0)]), Line([(0, 0), (9, 0)])))))
    >>> gates = set_gates(seen.rails, seen.stretches, np.array([[4.0, 0.0]]), np.array([[1.0, 0.0]]))
    >>> gates.line.tolist(), gates.strands.tolist()
    ([0, 1], [0])
    """
    lines = _lines(rails, *_passing(rails.tree, rails.start, rails.end, points, along))
    strands = _strands(*_passing(stretches.tree, stretches.start, stretches.end, points, along), len(points))
    return Gates(strands, *lines, rails)


def _passing(
    tree: Any, start: Points, end: Points, points: Points, along: Points
) -> tuple[Ints, Ints, Floats]:
    """Return which pieces pass which gates, and how far from the place."""
    length = np.hypot(*(end - start).T)
    unit = (end - start) / length[:, None]
    found = [(np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64), np.zeros(0))]
    for first in range(0, len(points), _GATES_AT_ONCE):
        lot = slice(first, first + _GATES_AT_ONCE)
        gate, piece, offset = _passing_some(tree, start, unit, length, points[lot], along[lot])
        found.append((gate + first, piece, offset))
    gates, passing, offsets = zip(*found, strict=True)
    return np.concatenate(gates), np.concatenate(passing), np.concatenate(offsets)


def _passing_some(
    tree: Any, start: Points, unit: Points, length: Floats, points: Points, along: Points
) -> tuple[Ints, Ints, Floats]:
    """Return the same of some gates: found by boxes, and met by arithmetic."""
    across = np.stack((-along[:, 1], along[:, 0]), axis=1)
    gate, piece = tree.query(pieces(points - across * _GATE_MM, points + across * _GATE_MM))
    slant = unit[piece, 0] * along[gate, 0] + unit[piece, 1] * along[gate, 1]
    beside = np.abs(slant) > _BESIDE
    gate, piece, slant = gate[beside], piece[beside], slant[beside]
    a, d, n = start[piece] - points[gate], unit[piece], across[gate]
    offset = (a[:, 1] * d[:, 0] - a[:, 0] * d[:, 1]) / slant
    far = (a[:, 1] * n[:, 0] - a[:, 0] * n[:, 1]) / slant
    met = (np.abs(offset) <= _GATE_MM) & (far >= -_ONE_EDGE_MM) & (far <= length[piece] + _ONE_EDGE_MM)
    return gate[met], piece[met], offset[met]


def _lines(rails: Rails, gate: Ints, piece: Ints, offset: Floats) -> tuple[Ints, Ints]:
    """Return the lines that pass each gate; two pieces that meet in it are one passage."""
    order = np.lexsort((piece, gate))
    gate, piece, offset = gate[order], piece[order], offset[order]
    line = rails.line[piece]
    fresh = np.ones(len(gate), dtype=bool)
    fresh[1:] = (
        (np.diff(gate) > 0)
        | (np.diff(line) > 0)
        | (np.diff(piece) > 1)
        | (np.abs(np.diff(offset)) > _ONE_EDGE_MM)
    )
    return gate[fresh], line[fresh]


def _strands(gate: Ints, _: Ints, offset: Floats, count: int) -> Ints:
    """Return how many different strands of stitching pass each gate."""
    order = np.lexsort((offset, gate))
    gate, offset = gate[order], offset[order]
    fresh = np.ones(len(gate), dtype=bool)
    fresh[1:] = (np.diff(gate) > 0) | (np.diff(offset) > _ONE_EDGE_MM)
    return np.bincount(gate[fresh], minlength=count)
