"""The faces that a drawing's seams make, and on which of them stitching lies: what crossings are counted by.

A seam that is cut at a keep-out dangles there, and then the cloth on both of its sides is one face. What lies
beyond the outermost seams is a face only if something lies there: a line, or a seam that encloses nothing.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.check.measuring.crossings import fewest_crossings
from stitchpath.check.measuring.intervals import Points, pieces
from stitchpath.check.measuring.rails import Rails
from stitchpath.lines import COVERED_MM, SEAM_ROLES

__all__ = ["OUTSIDE", "SeamFaces", "crossings_of", "lay_seam_faces"]

OUTSIDE = -1  # the face of what lies beyond the outermost seams

_GRID_MM = 2.0**-10
"""Seams are cut where they meet on this grid: a power of two, on which no end is left dangling."""

_SIDE_MM = COVERED_MM / 2
"""A face is beside a seam if it is nearer than this to the middle of the seam's edge."""


@dataclass(frozen=True, eq=False)
class SeamFaces:
    """The faces between seams, and the seams' edges between the faces.

    Attributes
    ----------
    faces, edges
        STRtrees of the faces' polygons, and of the edges from junction to junction of seams.
    beside
        For each edge the faces on its two sides, twice the same where it dangles; `OUTSIDE` for none.
    sewn_outside
        Whether a line, or a seam that encloses nothing, lies outside all faces.
    """

    faces: Any
    edges: Any
    beside: tuple[tuple[int, int], ...]
    sewn_outside: bool


def lay_seam_faces(rails: Rails) -> SeamFaces:
    """Cut a drawing's seams where they meet, and find the faces that they make.

    Parameters
    ----------
    rails
        All lines; seams, stitched or not, basting and the edge line are taken.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line, Role
    >>> square, across = [(0, 0), (9, 0), (9, 9), (0, 9), (0, 0)], [(4, 0), (4, 9)]
    >>> drawing = Drawing((Line(square, Role.DITCH),), (Line(across, Role.HIDDEN),))
    >>> laid = lay_seam_faces(look_at([], Asked(drawing)).rails)
    >>> len(laid.faces.geometries), sorted(laid.beside)
    (2, [(-1, 0), (-1, 1), (0, 1)])
    >>> lay_seam_faces(look_at([], Asked(Drawing(()))).rails).beside
    ()
    """
    seam = np.array([line.role in SEAM_ROLES for line in rails.lines], dtype=bool)[rails.line]
    drawn = pieces(rails.start[seam], rails.end[seam])
    noded = shapely.line_merge(shapely.union_all(drawn, grid_size=_GRID_MM))
    edges = [edge for edge in shapely.get_parts(noded) if not edge.is_empty]
    faces = shapely.STRtree(shapely.get_parts(shapely.polygonize(edges)))
    inside = shapely.buffer(shapely.union_all(faces.geometries), COVERED_MM)
    shapely.prepare(inside)
    others = pieces(rails.start[~seam], rails.end[~seam])
    beside = tuple(_beside(faces, edges))
    sewn_outside = (OUTSIDE, OUTSIDE) in beside or not shapely.covers(inside, others).all()
    return SeamFaces(faces, shapely.STRtree(edges), beside, sewn_outside)


def _beside(faces: Any, edges: list[Any]) -> Iterator[tuple[int, int]]:
    middles = [shapely.line_interpolate_point(edge, 0.5, normalized=True) for edge in edges]
    near: list[list[int]] = [[] for _ in edges]
    if edges:
        for edge, face in zip(*faces.query(middles, predicate="dwithin", distance=_SIDE_MM), strict=True):
            near[edge].append(int(face))
    for middle, found in zip(middles, near, strict=True):
        if len(found) > 1:
            yield min(found), max(found)
        elif found and faces.geometries[found[0]].boundary.distance(middle) > _SIDE_MM:
            yield found[0], found[0]
        else:
            yield OUTSIDE, *(found or (OUTSIDE,))


def crossings_of(laid: SeamFaces, points_mm: Points, *, within_mm: float = COVERED_MM) -> int | None:
    """Return how often at least a path crosses from one side of a seam to the other.

    Parameters
    ----------
    laid
        The seams' faces.
    points_mm
        (N, 2) the path's points; it goes from face to face at points only, as on lines cut at junctions.
    within_mm
        A point or stretch nearer than this to a face or a seam lies there.

    Returns
    -------
    int or None
        None where it goes into another face with no point on the seam between them.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line, Role
    >>> square, across = [(0, 0), (9, 0), (9, 9), (0, 9), (0, 0)], [(4, 0), (4, 9)]
    >>> drawing = Drawing((Line(square, Role.DITCH),), (Line(across, Role.HIDDEN),))
    >>> laid = lay_seam_faces(look_at([], Asked(drawing)).rails)
    >>> crossings_of(laid, np.array([(1.0, 5.0), (4.0, 5.0), (4.0, 9.0), (1.0, 8.0)]))
    0
    >>> crossings_of(laid, np.array([(1.0, 5.0), (4.0, 5.0), (8.0, 5.0)]))
    1
    """
    moved = np.concatenate(([True], (np.diff(points_mm, axis=0) != 0).any(axis=1)))
    points = points_mm[moved]
    middles = (points[:-1] + points[1:]) / 2
    sides = _sides(laid, middles, within_mm)
    across = _together(laid.edges, points[1:-1], within_mm)
    pairs = {at: [laid.beside[edge] for edge in edges] for at, edges in enumerate(across)}
    return fewest_crossings([found or [OUTSIDE] for found in sides], range(len(across)), pairs)


def _together(tree: Any, places: NDArray[np.float64], within_mm: float) -> list[list[int]]:
    """Return for each place what is nearer to it than so much."""
    found: list[list[int]] = [[] for _ in places]
    for place, near in zip(
        *tree.query(shapely.points(places), predicate="dwithin", distance=within_mm), strict=True
    ):
        found[place].append(int(near))
    return found


def _sides(laid: SeamFaces, middles: Points, within_mm: float) -> list[list[int]]:
    """Return the faces in which each place may be taken to lie; none for the outside alone."""
    sides = _together(laid.faces, middles, within_mm)
    if laid.sewn_outside:
        alone = [at for at, found in enumerate(sides) if len(found) == 1]
        rims = shapely.boundary(laid.faces.geometries[[sides[at][0] for at in alone]])
        near = shapely.dwithin(shapely.points(middles[alone]), rims, within_mm)
        for at in np.array(alone, dtype=np.int64)[near].tolist():
            sides[at].append(OUTSIDE)
    return sides
