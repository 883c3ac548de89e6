"""How far along a line each of its points is; and lines of points as shapely's linestrings."""

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

__all__ = ["along", "linestrings"]


def along(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return (N,) how far along a line its (N, 2) points are, 0 at the first one.

    Examples
    --------
    >>> along(np.array([[0.0, 0.0], [3.0, 4.0], [3.0, 5.0]]))
    array([0., 5., 6.])
    >>> along(np.zeros((1, 2)))
    array([0.])
    """
    return np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))))


def linestrings(lines: Sequence[NDArray[np.float64]]) -> NDArray[np.object_]:
    """Return lines, (N, 2) points each, as shapely linestrings: all in one call.

    Examples
    --------
    >>> [line.wkt for line in linestrings([np.array([(0.0, 0.0), (3.0, 4.0)])])]
    ['LINESTRING (0 0, 3 4)']
    >>> linestrings([])
    array([], dtype=object)
    """
    if not lines:
        return np.empty(0, dtype=object)
    row = np.repeat(np.arange(len(lines)), [len(points) for points in lines])
    drawn: NDArray[np.object_] = shapely.linestrings(np.concatenate(list(lines)), indices=row)
    return drawn
