"""What a needle cannot tell apart becomes one, moves by a hair at most, and all else stays as it is."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from strategies import near_lines

from stitchpath.geometry.snapped import SNAP_MM, snapped

SAME_MM = 1e-9


def bends(*points):
    return np.array(points, dtype=float)


@given(near_lines(points=4, up_to=7, step_mm=20.0))
@settings(max_examples=150, deadline=None)
def test_nothing_near_is_left_and_nothing_moves_far(lines):
    done = snapped(lines)
    points = shapely.points(np.concatenate(done))
    drawn = np.array([shapely.LineString(line) for line in done])
    apart = shapely.distance(points[:, None], drawn[None, :])
    corners = np.array([shapely.MultiPoint(line) for line in done])
    beside = shapely.distance(points[:, None], corners[None, :]) <= 2 * SNAP_MM
    assert ((apart <= SAME_MM) | (apart > SNAP_MM - SAME_MM) | beside).all()
    between = shapely.distance(points[:, None], points[None, :])
    assert ((between <= SAME_MM) | (between > SNAP_MM - SAME_MM)).all()
    for before, after in zip(lines, drawn, strict=True):
        assert shapely.hausdorff_distance(shapely.LineString(before), after) <= 3 * SNAP_MM
    again = snapped(done)
    assert all(one is other for one, other in zip(done, again, strict=True))


def test_points_and_steps_do_not_take_turns():
    """A point just too far from a corner, beside the step that ends there, was put in again and again."""
    lines = [bends((0, 0), (0, 20), (20, 20.004), (0, 40)), bends((20, 19.996), (0, 0))]
    assert [len(line) for line in snapped(lines)] == [4, 2]


def test_lines_a_hair_apart_become_the_same_piece_by_piece():
    """The seam runs on where the fill line ends, and both have each other's points."""
    seam, fill = bends((0, 0), (0, 100)), bends((0.001, 20), (0.003, 80))
    done = snapped([seam, fill])
    assert [line.tolist() for line in done] == [
        [[0, 0], [0.001, 20], [0.003, 80], [0, 100]],
        [[0.001, 20], [0.003, 80]],
    ]


def test_what_ends_on_a_line_that_is_moved_ends_on_it_still():
    seam, fill, stub = bends((0, 0), (0, 100)), bends((0.004, 0), (0.004, 100)), bends((0.004, 50), (30, 50))
    done = [shapely.LineString(line) for line in snapped([seam, fill, stub])]
    tip = shapely.Point(done[2].coords[0])
    assert shapely.distance(tip, done[:2]).max() <= SAME_MM


def test_an_oval_that_passes_a_seam_by_a_hair_touches_it():
    angles = np.linspace(0, 2 * np.pi, 73)
    oval = np.column_stack((30 * np.cos(angles), 20 * np.sin(angles)))
    oval[-1] = oval[0]
    seam, oval = (shapely.LineString(line) for line in snapped([bends((30.0015, -90), (30.0015, 90)), oval]))
    assert oval.is_closed
    assert seam.intersects(oval)


@pytest.mark.parametrize("apart", [0.0, 1e-10, 0.009, 0.05])
def test_what_coincides_or_is_farther_apart_is_left_alone(apart):
    lines = [bends((0, 0), (0, 100)), bends((apart, 0), (apart, 100)), bends((0, 50), (40, 50))]
    assert all(one is other for one, other in zip(snapped(lines), lines, strict=True))


def test_a_line_that_would_shrink_to_a_point_stays():
    tiny = bends((0, 0), (0.003, 0))
    assert snapped([tiny])[0] is tiny
