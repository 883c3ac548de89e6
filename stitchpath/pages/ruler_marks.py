"""Where to mark a ruler for each spacing of background lines.

The foot's edge runs along the ruler's edge, so the needle sews at the foot's radius from it. The ruler lies
over what is sewn, and a mark on it, parallel to its edge, is laid on a line sewn before. For a spacing s and
a radius r the mark is s - r from the edge. Where s is less than r, the last line is under the foot itself;
then the mark is for an earlier line, the first one that comes to lie on the ruler.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

import numpy as np

from stitchpath.drawing import Drawing
from stitchpath.formats.numbers import fixed
from stitchpath.formats.svg_text import Mark, true_size_svg
from stitchpath.lines import Line, Role, motif_name
from stitchpath.pages.paper import TEXT_MM
from stitchpath.pictures import strokes
from stitchpath.pictures.colours import PALE

__all__ = ["RulerMark", "mark_picture", "ruler_marks"]

_STILL_LEVEL_DEG = 0.05
"""Lines turned by less are level: over a metre it comes to 0.9 mm, and cloth is good to 1 mm."""
_SAME_SPACING_MM = 0.01
"""Spacings are one if they differ by less: far under what a mark on a ruler is good to."""
_WIDE_MM, _FREE_MM = 150.0, 3.0  # a picture's width, and what is free above and below: chosen by eye


@dataclass(frozen=True, slots=True)
class RulerMark:
    """How to mark a ruler for a spacing.

    Attributes
    ----------
    spacing_mm
        From line to line.
    fills
        Which motifs have it.
    back
        On which line sewn before the mark is laid: 1 the last one, 2 the one before it.
    mark_mm
        From the ruler's edge to the mark.
    """

    spacing_mm: float
    fills: tuple[str, ...]
    back: int
    mark_mm: float


def ruler_marks(drawing: Drawing, foot_radius_mm: float) -> tuple[RulerMark, ...]:
    """Return the marks for all spacings of straight fills, the closest lines first.

    Examples
    --------
    >>> lines = tuple(Line([(0, y), (50, y)], Role.FILL, "", "background") for y in (0, 12.7, 25.4))
    >>> [(mark.back, round(mark.mark_mm, 2)) for mark in ruler_marks(Drawing(lines), 6.35)]
    [(1, 6.35)]
    >>> [(mark.back, round(mark.mark_mm, 2)) for mark in ruler_marks(Drawing(lines), 20.0)]
    [(2, 5.4)]
    >>> ruler_marks(Drawing(()), 6.35)
    ()
    """
    found: list[tuple[float, list[str]]] = []
    for name, spacing in sorted(_spacings(drawing), key=lambda told: told[1]):
        if found and spacing - found[-1][0] <= _SAME_SPACING_MM:
            found[-1][1].append(name)
        else:
            found.append((spacing, [name]))
    return tuple(
        RulerMark(spacing, tuple(dict.fromkeys(names)), back, max(back * spacing - foot_radius_mm, 0.0))
        for spacing, names in found
        for back in [max(ceil((foot_radius_mm - _SAME_SPACING_MM) / spacing), 1)]
    )


def _spacings(drawing: Drawing) -> Iterator[tuple[str, float]]:
    """Yield for each fill of each block the spacing that most of its lines have."""
    fills: dict[tuple[str, str], list[Line]] = {}
    for line in drawing.lines:
        if line.role is Role.FILL and len(line.points_mm) == 2:
            fills.setdefault((motif_name(line.motif), line.block), []).append(line)
    for (name, _), lines in fills.items():
        spacing = _spacing(lines)
        if spacing is not None:
            yield name or "fill", spacing


def _spacing(lines: list[Line]) -> float | None:
    points = np.array([line.points_mm for line in lines])
    steps = points[:, 1] - points[:, 0]
    angles = np.arctan2(steps[:, 1], steps[:, 0])
    turned = np.degrees(angles - angles[0] + np.pi / 2) % 180 - 90
    level = np.abs(turned) < _STILL_LEVEL_DEG
    across = np.array([-np.sin(angles[0]), np.cos(angles[0])])
    offsets = np.sort(points[level].mean(axis=1) @ across)
    gaps = np.diff(offsets)
    gaps = np.round(gaps[gaps > _SAME_SPACING_MM], 3)
    if not len(gaps):
        return None
    (spacing, _), *_ = sorted(Counter(gaps.tolist()).items(), key=lambda told: (-told[1], told[0]))
    return float(spacing)


def mark_picture(mark: RulerMark, foot_radius_mm: float) -> str:
    """Return a picture of a ruler and its mark, the foot and the lines, at true scale.

    Examples
    --------
    >>> mark_picture(RulerMark(12.7, ("Pear",), 1, 6.35), 6.35).count("<text")
    3
    """
    back = mark.back * mark.spacing_mm
    top = _FREE_MM + 2.0
    sewn, needle = top, top + back
    edge = needle - foot_radius_mm
    height = needle + foot_radius_mm + _FREE_MM
    marks = _marks(mark, foot_radius_mm, sewn=sewn, edge=edge, needle=needle)
    title = f"a ruler's mark {mark.mark_mm:.2f} mm from its edge"
    return true_size_svg(marks, (_WIDE_MM, height), title=title)


def _marks(mark: RulerMark, radius: float, *, sewn: float, edge: float, needle: float) -> Iterator[Mark]:
    ruler = {"x": "2.000", "y": "0.500", "width": "70.000", "height": fixed(edge - 0.5)}
    yield Mark("rect", {**ruler, "fill": PALE, "stroke": strokes.BLACK, "stroke-width": "0.300"})
    for number in range(mark.back):
        y = sewn + number * mark.spacing_mm
        yield strokes.solid([np.array([(0.0, y), (76.0, y)])], strokes.BLACK, 0.4)
    yield strokes.dashes([np.array([(0.0, needle), (76.0, needle)])], strokes.BLACK, 0.4)
    foot = {"cx": "40.000", "cy": fixed(needle), "r": fixed(radius), "fill": "none"}
    yield Mark("circle", {**foot, "stroke": strokes.BLACK, "stroke-width": "0.250"})
    yield Mark("circle", {"cx": "40.000", "cy": fixed(needle), "r": "0.700", "fill": strokes.BLACK})
    words = [(sewn, "mark, on the line sewn before"), (edge, "the ruler's edge"), (needle, "needle")]
    base = 0.0
    for y, said in words:
        base = max(base + 3.9, y + 1.1)
        leader = np.array([(76.5, y), (79.0, base - 1.1)])
        yield strokes.solid([leader], strokes.BLACK, 0.15)
        yield strokes.text(80.0, base, said, size_mm=TEXT_MM)
