"""How far along a line its points are, and lines as linestrings: against shapely."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from strategies import lines, polylines

from stitchpath.geometry.lengths import along, linestrings


@settings(deadline=None, max_examples=40)
@given(polylines((0, 9), (0, 9), up_to=9, step_mm=2.3))
def test_how_far_along_is_the_length_so_far(points):
    far = along(np.array(points))
    assert far[0] == 0
    for n in range(2, len(points) + 1):
        assert far[n - 1] == pytest.approx(shapely.LineString(points[:n]).length)


@settings(deadline=None, max_examples=40)
@given(lines(points=6, up_to=6))
def test_lines_are_the_same_as_one_by_one(drawn):
    made = linestrings([line.points_mm for line in drawn])
    assert [one.wkt for one in made] == [shapely.LineString(line.points_mm).wkt for line in drawn]


def test_one_point_and_points_that_repeat():
    assert along(np.array([(3.0, 4.0)])).tolist() == [0]
    assert along(np.array([(0.0, 0.0), (0.0, 0.0), (3.0, 4.0), (3.0, 4.0)])).tolist() == [0, 0, 5, 5]


def test_no_lines():
    assert linestrings([]).shape == (0,)
