"""The faces that lines make, such as the pieces of a top between its seams, and in which one a place lies."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.geometry.lengths import linestrings
from stitchpath.geometry.noding import GRID_MM

__all__ = ["face_at", "faces_of"]

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


def face_at(faces: Sequence[Any], places_mm: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return for each place the face in which it lies, the first of several that meet there; -1 for none.

    Parameters
    ----------
    faces
        Polygons, as `faces_of` returns them.
    places_mm
        (N, 2) places in millimetres.

    Examples
    --------
    >>> faces = [shapely.box(0, 0, 4, 9), shapely.box(4, 0, 9, 9)]
    >>> face_at(faces, np.array([(5.0, 5.0), (4.0, 5.0), (-5.0, 5.0)])).tolist()
    [1, 0, -1]
    >>> face_at([], np.empty((0, 2))).tolist()
    []
    """
    none = len(faces)
    first = np.full(len(places_mm), none, dtype=np.intp)
    if none:
        place, face = shapely.STRtree(list(faces)).query(shapely.points(places_mm), predicate="intersects")
        np.minimum.at(first, place, face)
    return np.where(first == none, -1, first)
