"""The faces that lines make, such as the pieces of a top between its seams, and in which one a place lies."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.geometry.lengths import linestrings
from stitchpath.geometry.noding import GRID_MM

__all__ = ["BETWEEN", "OUTSIDE", "face_at", "faces_of"]

OUTSIDE = -1  # no index of a face
BETWEEN = -2  # neither

_SAME_ROW_MM = 1.0
"""Faces whose upper edges differ by less stand in one row: cloth is good to about a millimetre."""


def faces_of(lines: Sequence[NDArray[np.float64]]) -> tuple[Any, ...]:
    """Return the faces that lines enclose, as shapely polygons, row by row from the top, each from the left.

    Parameters
    ----------
    lines
        (N, 2) points of each, in millimetres. They may cross, and ends that stop short of a line enclose
        nothing.

    Examples
    --------
    >>> square, across = [(0, 0), (9, 0), (9, 9), (0, 9), (0, 0)], [(4, -1), (4, 10)]
    >>> [face.bounds for face in faces_of([np.array(square), np.array(across)])]
    [(0.0, 0.0, 4.0, 9.0), (4.0, 0.0, 9.0, 9.0)]
    >>> faces_of([])
    ()
    """
    if not len(lines):
        return ()
    noded = shapely.union_all(linestrings(lines), grid_size=GRID_MM)
    found = shapely.get_parts(shapely.polygonize(shapely.get_parts(noded)))
    boxes = shapely.bounds(found).reshape(-1, 4)
    order = np.lexsort((boxes[:, 3], boxes[:, 2], boxes[:, 0], np.round(boxes[:, 1] / _SAME_ROW_MM)))
    return tuple(found[order])


def face_at(faces: Sequence[Any], places_mm: NDArray[np.float64], *, within_mm: float) -> NDArray[np.intp]:
    """Return for each place the face in which it lies; `BETWEEN` where several meet, `OUTSIDE` for none.

    Parameters
    ----------
    faces
        Polygons, as `faces_of` returns them.
    places_mm
        (N, 2) places in millimetres.
    within_mm
        Faces meet in a place if it is no farther from each of them.

    Examples
    --------
    >>> faces = [shapely.box(0, 0, 4, 9), shapely.box(4, 0, 9, 9)]
    >>> face_at(faces, np.array([(5.0, 5.0), (4.0, 5.0), (-5.0, 5.0)]), within_mm=0.1).tolist()
    [1, -2, -1]
    >>> face_at([], np.empty((0, 2)), within_mm=0.1).tolist()
    []
    """
    at = np.full(len(places_mm), OUTSIDE, dtype=np.intp)
    if len(faces):
        tree, places = shapely.STRtree(list(faces)), shapely.points(places_mm)
        place, face = tree.query(places, predicate="dwithin", distance=within_mm)
        at[place] = face
        at[np.bincount(place, minlength=len(at)) > 1] = BETWEEN
    return at
