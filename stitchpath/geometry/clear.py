"""Lines cut where they would enter polygons in which no stitch may go.

Step by step: shapely's difference of a whole line is cut where it crosses itself, too, and has no sure order.
"""

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

__all__ = ["Entered", "entered", "parts_outside"]

_Point = tuple[float, ...]


@dataclass(frozen=True, eq=False)
class Entered:
    """Which lines enter which polygons: pairs of indices, by line, then polygon."""

    line: NDArray[np.intp]
    polygon: NDArray[np.intp]


def entered(lines: NDArray[np.object_], polygons: NDArray[np.object_], *, over_mm: float) -> Entered:
    """Return which lines enter which polygons.

    Parameters
    ----------
    lines, polygons
        Shapely lines, and valid polygons, in millimetres.
    over_mm
        A line that is no deeper in a polygon runs along its edge.

    Examples
    --------
    >>> square = np.array([shapely.box(0, 0, 9, 9)])
    >>> lines = shapely.linestrings([[(0, 0), (9, 0)], [(5, 5), (20, 5)]])
    >>> entered(lines, square, over_mm=0.003).line.tolist()
    [1]
    >>> entered(lines[:0], square, over_mm=0.003).line.tolist()
    []
    """
    inner = shapely.buffer(polygons, -over_mm)
    polygon, line = shapely.STRtree(lines).query(inner, predicate="intersects")
    order = np.lexsort((polygon, line))
    return Entered(line[order], polygon[order])


def parts_outside(
    line: shapely.LineString, polygons: NDArray[np.object_], *, least_mm: float
) -> list[shapely.LineString]:
    """Return the parts of a line that lie outside polygons, in its own order and direction.

    Parameters
    ----------
    line
        It may be closed: then the part that runs through its first point is one.
    polygons
        What it enters.
    least_mm
        Shorter parts are left out.

    Examples
    --------
    >>> square = np.array([shapely.box(2, -1, 4, 1)])
    >>> [part.wkt for part in parts_outside(shapely.LineString([(0, 0), (9, 0)]), square, least_mm=0.1)]
    ['LINESTRING (0 0, 2 0)', 'LINESTRING (4 0, 9 0)']
    >>> parts_outside(shapely.LineString([(2, 0), (4, 0)]), square, least_mm=0.1)
    []
    """
    points = shapely.get_coordinates(line)
    steps = shapely.linestrings(np.stack((points[:-1], points[1:]), axis=1))
    parts: list[list[_Point]] = []
    for start, left in zip(points[:-1], shapely.difference(steps, shapely.union_all(polygons)), strict=True):
        for first, last in _in_order(left, start):
            if parts and parts[-1][-1] == first:
                parts[-1].append(last)
            else:
                parts.append([first, last])
    if line.is_closed and len(parts) > 1 and parts[-1][-1] == parts[0][0]:
        parts[0] = parts.pop() + parts[0][1:]
    cut = (shapely.LineString(part) for part in parts)
    return [part for part in cut if part.length >= least_mm]


def _in_order(left: BaseGeometry, start: NDArray[np.float64]) -> list[tuple[_Point, _Point]]:
    """Return the straight parts left of one step as it goes."""
    ends = [sorted(part.coords, key=lambda end: math.dist(end, start)) for part in shapely.get_parts(left)]
    return sorted(((part[0], part[-1]) for part in ends if part), key=lambda part: math.dist(part[0], start))
