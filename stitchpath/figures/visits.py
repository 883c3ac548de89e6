"""How often each block is entered to sew something new: its visits; once is ideal.

A visit is a run of sewing in one block, until something new is sewn in another one; travel and lifts end
none. Seams and basting belong to no block and end no visit. Closed lines that no other line meets, such as
inside outlines and single ovals, are not counted: a path of their own takes the needle there in any order.

Sashing and borders count like blocks. A line that names no block is placed bit by bit, in the faces that the
seams make, and where it runs along a seam it is one; a face is called after what else is sewn in it, else
numbered.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, median

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.geometry.faces import BETWEEN, face_at, faces_of
from stitchpath.geometry.lengths import linestrings
from stitchpath.lines import COVERED_MM, SEAM_ROLES
from stitchpath.once import once
from stitchpath.plan import Move, Plan, Span, StitchPath

__all__ = ["BlockVisits", "Visits", "met_by_none", "visits_of"]

_NOWHERE = -1  # no index of a block
_BY_PLACE = -2  # neither
_OUTSIDE = "outside the seams"


@dataclass(frozen=True, slots=True)
class BlockVisits:
    """How often something new is sewn in one block, after something in another one."""

    block: str
    visits: int


@dataclass(frozen=True, slots=True)
class Visits:
    """How often each block is visited.

    Attributes
    ----------
    blocks
        The blocks in which something is sewn that counts, the most visited first. Sashing, borders and the
        faces that seams make are blocks, too.
    """

    blocks: tuple[BlockVisits, ...]

    @property
    def median(self) -> float | None:
        """The median of the blocks' visits; None where nothing counts."""
        return float(median(block.visits for block in self.blocks)) if self.blocks else None

    @property
    def mean(self) -> float | None:
        """The mean of the blocks' visits; None where nothing counts."""
        return fmean(block.visits for block in self.blocks) if self.blocks else None

    @property
    def most(self) -> int:
        """The visits of the most visited block; 0 where nothing counts."""
        return self.blocks[0].visits if self.blocks else 0

    @property
    def most_in(self) -> tuple[str, ...]:
        """The blocks that have the most visits."""
        return tuple(block.block for block in self.blocks if block.visits == self.most)


@once
def visits_of(plan: Plan) -> Visits:
    """Count the visits of each block.

    Parameters
    ----------
    plan
        Its drawing's lines say in which block they lie, by name or by place.

    Examples
    --------
    >>> from stitchpath.lines import Line
    >>> lines = Line([(0, 0), (9, 0)], block="a"), Line([(9, 0), (9, 9)], block="b")
    >>> spans = tuple(Span(Move.SEW, at, at + 1, line) for at, line in enumerate((1, 2, 1)))
    >>> to_and_fro = StitchPath([(0, 0), (5, 0), (9, 0), (0, 0)], spans)
    >>> visits_of(Plan(Drawing(lines), (to_and_fro,), (), 0.0)).blocks
    (BlockVisits(block='a', visits=2), BlockVisits(block='b', visits=1))
    >>> visits_of(Plan(Drawing(()), (), (), 0.0)).most_in
    ()
    """
    names, block = _sewn_in(plan)
    counted = block[block != _NOWHERE]
    begins = np.ones(len(counted), dtype=bool)
    begins[1:] = counted[1:] != counted[:-1]
    visits = np.bincount(counted[begins], minlength=len(names))
    found = [BlockVisits(names[i], int(visits[i])) for i in np.argsort(-visits, kind="stable") if visits[i]]
    return Visits(tuple(found))


def met_by_none(drawing: Drawing) -> NDArray[np.bool_]:
    """Tell of each of a drawing's lines whether it is closed, and no other line or hidden seam meets it.

    Examples
    --------
    >>> from stitchpath.lines import Line
    >>> ring, spoke = Line([(0, 0), (9, 0), (9, 9), (0, 0)]), Line([(9, 0), (20, 0)])
    >>> met_by_none(Drawing((ring,))).tolist(), met_by_none(Drawing((ring, spoke))).tolist()
    ([True], [False, False])
    >>> met_by_none(Drawing(())).tolist()
    []
    """
    alone = np.array([line.closed for line in drawing.lines], dtype=bool)
    closed = np.flatnonzero(alone)
    if len(closed):
        drawn = linestrings([line.points_mm for line in (*drawing.lines, *drawing.hidden)])
        row, other = shapely.STRtree(drawn).query(drawn[closed], predicate="dwithin", distance=COVERED_MM)
        alone[closed[row[closed[row] != other]]] = False
    return alone


def _sewn_in(plan: Plan) -> tuple[Sequence[str], NDArray[np.intp]]:
    """Return names of blocks, and the block of each stretch sewn for the first time, in order."""
    names, of_line = _block_of_lines(plan.drawing)
    sewn = [
        (path, span)
        for path in plan.paths
        for span in path.spans
        if span.move is Move.SEW and span.line is not None
    ]
    block = of_line[np.array([(span.line or 0) - 1 for _, span in sewn], dtype=np.intp)]
    by_place = np.flatnonzero(block == _BY_PLACE)
    if not len(by_place):
        return names, block
    middles = [_middles(*sewn[i]) for i in by_place.tolist()]
    faces, of_face, names = _faces(plan.drawing, names, of_line)
    found = face_at(faces, np.concatenate(middles), within_mm=COVERED_MM)
    counts = np.ones(len(block), dtype=np.intp)
    counts[by_place] = [len(places) for places in middles]
    block = np.repeat(block, counts)
    block[block == _BY_PLACE] = np.where(found == BETWEEN, _NOWHERE, of_face[found])
    return names, block


def _block_of_lines(drawing: Drawing) -> tuple[list[str], NDArray[np.intp]]:
    """Return the names of blocks, and for each line its block's number, `_NOWHERE` or `_BY_PLACE`."""
    names = list(dict.fromkeys(block.name for block in drawing.blocks))
    names += sorted({line.block for line in drawing.lines if line.block} - {*names})
    number = {name: i for i, name in enumerate(names)}
    alone = met_by_none(drawing)
    block = [
        _NOWHERE if single or line.role in SEAM_ROLES else number.get(line.block, _BY_PLACE)
        for line, single in zip(drawing.lines, alone.tolist(), strict=True)
    ]
    return names, np.array(block, dtype=np.intp)


def _middles(path: StitchPath, span: Span) -> NDArray[np.float64]:
    points = path.coordinates_mm[span.first : span.last + 1]
    middles: NDArray[np.float64] = (points[:-1] + points[1:]) / 2
    return middles


def _faces(
    drawing: Drawing, names: list[str], of_line: NDArray[np.intp]
) -> tuple[Sequence[object], NDArray[np.intp], list[str]]:
    """Return the faces between seams, each one's block and that of what lies in none, and all names."""
    seams = [line.points_mm for line in (*drawing.lines, *drawing.hidden) if line.role in SEAM_ROLES]
    if drawing.outline is not None:
        seams += [shapely.get_coordinates(ring) for ring in shapely.get_parts(drawing.outline.boundary)]
    faces = faces_of(seams)
    of_face = np.full(len(faces) + 1, _NOWHERE, dtype=np.intp)
    named = np.flatnonzero(of_line >= 0)[::-1]  # the first in the drawing is written last, and stays
    middles = np.array([_middle(drawing.lines[i].points_mm) for i in named]).reshape(-1, 2)
    at = face_at(faces, middles, within_mm=COVERED_MM)
    of_face[at[at >= 0]] = of_line[named[at >= 0]]
    boxes = [shapely.box(*block.box_mm) for block in drawing.blocks]
    within = face_at(boxes, _places_in(faces), within_mm=0)
    in_block = np.flatnonzero(within >= 0)
    of_face[in_block] = within[in_block]
    for face in np.flatnonzero(of_face == _NOWHERE).tolist():
        of_face[face] = len(names)
        names = [*names, f"piece {face + 1}" if face < len(faces) else _OUTSIDE]
    return faces, of_face, names


def _places_in(faces: Sequence[object]) -> NDArray[np.float64]:
    """Return (N, 2) a place in each face."""
    places: NDArray[np.float64] = shapely.get_coordinates(shapely.point_on_surface(list(faces)))
    return places


def _middle(points: NDArray[np.float64]) -> NDArray[np.float64]:
    at = len(points) // 2
    middle: NDArray[np.float64] = (points[at - 1] + points[at]) / 2
    return middle
