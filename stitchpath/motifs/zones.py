"""Where in a place lines may run: outside its ovals, and inside them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import shapely
from shapely import Polygon

from stitchpath.motifs.place import Place, Shape

__all__ = [
    "Zone",
    "container",
    "holds",
    "inside_zone",
    "outside_zone",
    "polygons_of",
    "width_of",
]


@dataclass(frozen=True)
class Zone:
    """Cloth in any of `within` and in none of `without`; what to call it."""

    part: str
    within: tuple[Polygon, ...]
    without: tuple[Polygon, ...]


def holds(shape: Shape, other: Shape) -> bool:
    """Tell whether another shape lies wholly in a shape's core.

    Examples
    --------
    >>> from stitchpath.geometry.curves import EllipseCurve as Curve
    >>> discs = [shapely.Point(0, 0).buffer(radius) for radius in (9, 4)]
    >>> large, small = (Shape("", Curve((0, 0), (9, 9)), disc, disc, None) for disc in discs)
    >>> holds(large, small), holds(small, large), holds(large, large)
    (True, False, False)
    """
    return shape.core is not None and bool(shapely.contains_properly(shape.core, other.stop))


def polygons_of(geometry: Any) -> tuple[Polygon, ...]:
    """Return the polygons in any shapely geometry, or array of them.

    Examples
    --------
    >>> len(polygons_of(shapely.box(0, 0, 1, 1))), polygons_of(shapely.Point(0, 0)), polygons_of(Polygon())
    (1, (), ())
    """
    parts = shapely.get_parts(geometry)
    return tuple(part for part in parts if isinstance(part, Polygon) and not part.is_empty)


def container(shape: Shape, shapes: Sequence[Shape]) -> Polygon | None:
    """Return the smallest core of another shape that a shape lies in; None on open cloth.

    Examples
    --------
    >>> from stitchpath.geometry.curves import EllipseCurve as Curve
    >>> discs = [shapely.Point(0, 0).buffer(radius) for radius in (9, 4)]
    >>> large, small = (Shape("", Curve((0, 0), (9, 9)), disc, disc, None) for disc in discs)
    >>> container(small, [large, small]) == large.core, container(small, [])
    (True, None)
    """
    cores = polygons_of([other.core for other in shapes if other is not shape and holds(other, shape)])
    return min(cores, key=lambda core: float(core.area), default=None)


def outside_zone(place: Place) -> Zone:
    """Return the place's room outside its ovals.

    Examples
    --------
    >>> zone = outside_zone(Place("row 1, column 1", (0, 0, 90, 60), (0, 0, 90, 60)))
    >>> [room.area for room in zone.within], zone.without
    ([5400.0], ())
    """
    stops = tuple(shape.stop for shape in place.shapes)
    return Zone("outside", (shapely.box(*place.room_mm),), stops)


def inside_zone(place: Place, without: Sequence[Polygon] = ()) -> Zone:
    """Return the cloth in the place's ovals, less ovals that lie in others, and less `without`.

    The core of an oval in an oval counts again, so `within` has the rooms with all of that cut out. No
    core reaches into a keep-out.

    Examples
    --------
    >>> inside_zone(Place("row 1, column 1", (0, 0, 90, 60), (0, 0, 90, 60))).within
    ()
    """
    rooms = [room for shape in place.shapes for room in _rooms(shape, place.shapes, without)]
    return Zone("inside", tuple(rooms), ())


def _rooms(shape: Shape, shapes: Sequence[Shape], without: Sequence[Polygon]) -> tuple[Polygon, ...]:
    if shape.core is None:
        return ()
    nested = [other.stop for other in shapes if other is not shape and holds(shape, other)]
    cut = [polygon for polygon in (*nested, *without) if polygon.intersects(shape.core)]
    return polygons_of(shape.core.difference(shapely.union_all(cut))) if cut else (shape.core,)


def width_of(room: Polygon) -> float:
    """Return the diameter of the greatest circle in a room, in millimetres, good to 1 in 1000.

    Examples
    --------
    >>> round(width_of(shapely.box(0, 0, 40, 10)), 2)
    10.0
    """
    return 2 * float(shapely.length(shapely.maximum_inscribed_circle(room)))
