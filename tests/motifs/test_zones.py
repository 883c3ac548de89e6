"""Where lines may run: outside ovals and inside them, by areas worked out by hand."""

from dataclasses import replace
from math import pi, sqrt

import pytest
import shapely
from places import block, drawn_in
from shapely import Polygon

from stitchpath.motifs import Ellipse
from stitchpath.motifs.zones import (
    container,
    holds,
    inside_zone,
    outside_zone,
    polygons_of,
    width_of,
)


def circle(name, size, x=0.0, **about):
    return Ellipse(name=name, height=size, ratio=1, centre=(x, 0), **about)


def place_of(*ovals):
    return drawn_in(block(254), list(ovals))[1]


BIG, MIDDLE, SMALL = circle("big", 200), circle("middle", 100), circle("small", 40)
NESTED = place_of(BIG, MIDDLE, SMALL)


def area(polygons):
    return sum(polygon.area for polygon in polygons)


def test_an_oval_holds_what_lies_wholly_in_its_core():
    big, middle, small = NESTED.shapes
    assert [holds(a, b) for a, b in ((big, small), (big, middle), (middle, small))] == [True] * 3
    assert [holds(a, b) for a, b in ((small, big), (big, big), (middle, big))] == [False] * 3
    left, right = place_of(circle("left", 60, -20), circle("right", 60, 20)).shapes
    assert not holds(left, right)
    assert not holds(right, left)
    assert not holds(replace(big, core=None), small)


def test_the_container_is_the_smallest_core_around():
    big, middle, small = NESTED.shapes
    assert container(small, NESTED.shapes) == middle.core
    assert container(middle, NESTED.shapes) == big.core
    assert container(big, NESTED.shapes) is None
    assert container(small, [small]) is None


def test_outside_is_the_room_without_the_ovals():
    zone = outside_zone(NESTED)
    assert (zone.part, zone.without) == ("outside", tuple(shape.stop for shape in NESTED.shapes))
    assert area(zone.within) == 254**2
    assert outside_zone(block()).without == ()


def test_inside_is_each_oval_without_those_that_lie_in_it():
    """Rings of 200 - 100 and of 100 - 40 mm across, and the smallest oval: together the largest one."""
    zone = inside_zone(NESTED)
    assert (zone.part, zone.without, len(zone.within)) == ("inside", (), 3)
    areas = sorted(polygon.area for polygon in zone.within)
    wanted = sorted([pi * 20**2, pi * (50**2 - 20**2), pi * (100**2 - 50**2)])
    assert areas == pytest.approx(wanted, rel=2e-3)
    assert inside_zone(block()).within == ()


def test_inside_an_applique_is_within_its_inside_outline_or_nowhere():
    (room,) = inside_zone(place_of(circle("pear", 100, applique=True, inside_clearance=5))).within
    assert room.area == pytest.approx(pi * 45**2, rel=2e-3)
    assert inside_zone(place_of(circle("pear", 100, applique=True, keep_out="whole"))).within == ()


def test_what_is_to_be_left_out_is_cut_out():
    middle = NESTED.shapes[2].core.centroid
    half = shapely.box(middle.x, 0, 1000, 1000)
    cut = inside_zone(NESTED, [half])
    assert area(cut.within) == pytest.approx(pi * 100**2 / 2, rel=3e-3)
    assert inside_zone(NESTED, [shapely.box(0, 0, 1, 1)]) == inside_zone(NESTED)


@pytest.mark.parametrize(
    ("geometry", "count"),
    [
        (Polygon(), 0),
        (shapely.MultiPolygon([shapely.box(0, 0, 1, 1), shapely.box(2, 0, 3, 1)]), 2),
        (shapely.GeometryCollection([shapely.Point(0, 0), shapely.box(0, 0, 1, 1)]), 1),
        ([shapely.box(0, 0, 1, 1), None, shapely.Point(0, 0)], 1),
        ([], 0),
    ],
)
def test_the_polygons_in_whatever_comes(geometry, count):
    assert len(polygons_of(geometry)) == count


@pytest.mark.parametrize(
    ("room", "width"),
    [
        (shapely.box(0, 0, 40, 10), 10),
        (shapely.Point(0, 0).buffer(7, 64), 14),
        (Polygon([(0, 0), (6, 0), (0, 8)]), 4),  # the incircle of 6, 8, 10: (6 + 8 - 10) across
        (Polygon([(0, 0), (10, 0), (5, 5 * sqrt(3))]), 10 / sqrt(3)),
        (shapely.box(0, 0, 30, 30).difference(shapely.box(10, 10, 30, 30)), None),
    ],
)
def test_the_greatest_circle_in_a_room(room, width):
    # In an L of arms 10 wide the circle goes into the elbow: r + r / sqrt(2) = sqrt(2) (10 - r) ... by hand
    # 2 r = 20 (2 - sqrt(2)), where it touches both outer sides and the inner corner.
    assert width_of(room) == pytest.approx(width or 20 * (2 - sqrt(2)), rel=2e-3)
