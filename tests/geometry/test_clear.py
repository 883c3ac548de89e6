"""Lines cut where they enter polygons: nothing else is lost, and nothing inside is left."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from strategies import polylines, yes_or_no

from stitchpath.geometry.clear import entered, parts_outside

SQUARE = shapely.box(-10, -10, 10, 10)


@given(polylines((-3, 3), (-3, 3), step_mm=5.0, off_mm=0.1, up_to=8), yes_or_no())
@settings(max_examples=150, deadline=None)
def test_parts_are_what_lies_outside_and_no_more(points, closed):
    line = shapely.LineString([*points, points[0]] if closed and len(points) > 2 else points)
    parts = parts_outside(line, np.array([SQUARE]), least_mm=0.0)
    outside = sum(
        shapely.difference(shapely.LineString(step), SQUARE).length
        for step in zip(line.coords[:-1], line.coords[1:], strict=True)
    )
    assert sum(part.length for part in parts) == pytest.approx(outside)
    assert not any(shapely.crosses(part, SQUARE.buffer(-1e-9)) for part in parts)


def test_a_closed_line_that_begins_outside_is_cut_in_one_part():
    ring = shapely.LineString([(0, 0), (30, 0), (30, 30), (0, 30), (0, 0)])
    parts = parts_outside(ring, np.array([shapely.box(25, 10, 40, 20)]), least_mm=0.1)
    assert [list(part.coords) for part in parts] == [
        [(30, 20), (30, 30), (0, 30), (0, 0), (30, 0), (30, 10)],
    ]


def test_parts_keep_the_direction_and_the_order_of_the_line():
    line = shapely.LineString([(50, 0), (-50, 0)])
    parts = parts_outside(line, np.array([SQUARE, shapely.box(20, -1, 30, 1)]), least_mm=0.1)
    assert [list(part.coords) for part in parts] == [
        [(50, 0), (30, 0)],
        [(20, 0), (10, 0)],
        [(-10, 0), (-50, 0)],
    ]


@pytest.mark.parametrize(("deep", "enters"), [(0.0, False), (0.002, False), (0.0035, True), (1.0, True)])
def test_a_line_along_the_edge_does_not_enter(deep, enters):
    line = np.array([shapely.LineString([(10 - deep, -5), (10 - deep, 5)])])
    assert bool(len(entered(line, np.array([SQUARE]), over_mm=0.003).line)) == enters
