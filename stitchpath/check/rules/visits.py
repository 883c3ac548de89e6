"""Whether blocks are visited as often as the figures say: counted again from the design and the stitching.

What is counted is told in `stitchpath.figures.visits`. Stitching is taken to lie on the line that the plan's
spans name; that it does so is a rule of its own.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import groupby
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.check.measuring.intervals import Ints, pieces
from stitchpath.check.measuring.rails import Rails
from stitchpath.check.rules.evidence import Evidence
from stitchpath.errors import Finding
from stitchpath.figures import visits_of
from stitchpath.geometry.noding import GRID_MM
from stitchpath.lines import COVERED_MM, SEAM_ROLES
from stitchpath.plan import Plan

__all__ = ["visits_hold"]

_Place = str | int
"""A block's name, or the number of a face that has none."""

_OUTSIDE = -1  # the face of what lies in none
_ON_SEAM = -2  # that of what several faces meet in, which is none


def visits_hold(seen: Evidence, plan: Plan) -> Iterator[Finding]:
    """Blocks are visited as often as the plan's figures say.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing
    >>> seen = look_at([], Asked(Drawing(lines=())))
    >>> list(visits_hold(seen, Plan(seen.asked.drawing, (), (), 0.0)))
    []
    """
    if (seen.segments.line >= seen.rails.asked).any():
        return  # a rule of its own tells of lines that do not exist
    counted = Counter(place for place, _ in groupby(p for p in _places(seen) if p != _ON_SEAM))
    figures = visits_of(replace(plan, drawing=seen.asked.drawing))
    stated = {one.block: one.visits for one in figures.blocks}
    for name in sorted({place for place in counted if isinstance(place, str)}):
        if counted[name] != stated.pop(name, 0):
            said = f"{name} is entered {counted[name]} times to sew something new; the figures say otherwise"
            yield Finding("visits", said)
    others = sorted(count for place, count in counted.items() if not isinstance(place, str))
    if others != sorted(stated.values()):
        yield Finding(
            "visits", "pieces of the top without a name are not entered as often as the figures say"
        )


def _places(seen: Evidence) -> Iterator[_Place]:
    """Yield where each segment lies that sews something new, in order; seams and lone rings are left out."""
    segments, lines = seen.segments, seen.asked.drawing.lines
    lone = _lone_rings(seen.rails)
    counts = np.array([line.role not in SEAM_ROLES and not lone[i] for i, line in enumerate(lines)], bool)
    sewn = np.flatnonzero(segments.sew & (segments.line >= 0))
    sewn = sewn[counts[segments.line[sewn]]]
    names = [lines[i].block for i in segments.line[sewn].tolist()]
    nameless = np.flatnonzero([not name for name in names])
    middle = (segments.start + segments.end)[sewn[nameless]] / 2
    found = dict(zip(nameless.tolist(), _in_faces(seen, middle, counts), strict=True))
    yield from (name or found[i] for i, name in enumerate(names))


def _lone_rings(rails: Rails) -> NDArray[np.bool_]:
    """Tell of each line whether it is closed, and none of another line's pieces is near one of its own."""
    lone = np.array([line.closed for line in rails.lines], dtype=bool)
    own = np.flatnonzero(lone[rails.line])
    row, other = rails.tree.query(
        pieces(rails.start[own], rails.end[own]), predicate="dwithin", distance=COVERED_MM
    )
    met = rails.line[own[row]]
    lone[met[met != rails.line[other]]] = False
    return lone


def _in_faces(seen: Evidence, middle: NDArray[np.float64], counts: NDArray[np.bool_]) -> Sequence[_Place]:
    """Return the place of each point that no block names: the face between seams in which it lies."""
    if not len(middle):
        return ()
    rails, drawing = seen.rails, seen.asked.drawing
    seam = np.array([line.role in SEAM_ROLES for line in rails.lines], dtype=bool)[rails.line]
    drawn = [*pieces(rails.start[seam], rails.end[seam])]
    drawn += [] if drawing.outline is None else [drawing.outline.boundary]
    cut = shapely.get_parts(shapely.union_all(drawn, grid_size=GRID_MM))
    tree = shapely.STRtree(shapely.get_parts(shapely.polygonize(cut)))
    names = _names(seen, tree, counts)
    return [names.get(face, face) for face in _face(tree, middle).tolist()]


def _names(seen: Evidence, tree: Any, counts: NDArray[np.bool_]) -> Mapping[int, _Place]:
    """Return the names of faces: the block that each lies in, or that of the first line that names one."""
    drawing = seen.asked.drawing
    named = [line for line, kept in zip(drawing.lines, counts, strict=True) if kept and line.block]
    ends = [line.points_mm[len(line.points_mm) // 2 - 1 : len(line.points_mm) // 2 + 1] for line in named]
    middles = np.array([points.mean(axis=0) for points in ends]).reshape(-1, 2)
    names: dict[int, _Place] = {}
    for face, line in zip(_face(tree, middles).tolist(), named, strict=True):
        names.setdefault(face, line.block)
    names.pop(_OUTSIDE, None)
    names.pop(_ON_SEAM, None)
    for face, polygon in enumerate(tree.geometries):
        x, y = shapely.get_coordinates(polygon.point_on_surface())[0].tolist()
        for block in drawing.blocks:
            x0, y0, x1, y1 = block.box_mm
            if x0 <= x <= x1 and y0 <= y <= y1:
                names[face] = block.name
                break
    return names


def _face(tree: Any, places: NDArray[np.float64]) -> Ints:
    """Return the face that each place lies in, or `_OUTSIDE`; `_ON_SEAM` where it is as near to another."""
    face = np.full(len(places), _OUTSIDE)
    for place, found in zip(
        *tree.query(shapely.points(places), predicate="dwithin", distance=COVERED_MM), strict=True
    ):
        face[place] = found if face[place] == _OUTSIDE else _ON_SEAM
    return face
