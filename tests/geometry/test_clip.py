import math

import numpy as np
import pytest
import shapely
from curve_lines import flatten
from hypothesis import given, settings
from strategies import angles_deg, lengths_mm, numbers, polygons, whole

from stitchpath.geometry.clip import (
    clipped,
    direction,
    even_offsets,
    extent,
    frame,
    offset_count,
    offsets,
)
from stitchpath.geometry.curves import EllipseCurve


@settings(deadline=None, derandomize=True, max_examples=150)
@given(polygons(fewest=1), polygons(), angles_deg(), whole(-20, 20))
def test_agrees_with_an_overlay(within, without, angle, start):
    # Reference: GEOS overlay of every line, one by one.
    # No line of these lies along an edge, where it is a matter of taste whether it is in.
    at = offsets((-110, 110), spacing=7.3, start=start + 0.1234567)
    pieces = clipped(at, angle, within=within, without=without)
    cloth = shapely.union_all(within).difference(shapely.union_all(without))
    cos, sin = direction(angle)
    whole = [
        shapely.LineString(
            [(-v * sin - 300 * cos, v * cos - 300 * sin), (300 * cos - v * sin, 300 * sin + v * cos)]
        )
        for v in at
    ]
    expected = shapely.length(shapely.intersection(np.array(whole), cloth))
    found = np.zeros(len(at))
    np.add.at(found, np.searchsorted(at, pieces.offset_mm), pieces.length_mm)
    assert found == pytest.approx(expected, abs=1e-6)
    long = pieces.length_mm > 1e-9  # where cloth is left out edge on edge, a crumb of rounding may stay
    middles = shapely.points(pieces.ends_mm[long].mean(axis=1))
    assert (shapely.distance(cloth, middles) < 1e-9).all()


def test_order_is_by_offset_then_along():
    square, holes = shapely.box(0, 0, 30, 30), [shapely.box(x, 5, x + 5, 25) for x in (20, 5)]
    pieces = clipped([10.0, 20.0], 0, within=[square], without=holes)
    assert pieces.start_mm.tolist() == [0, 10, 25] * 2
    assert pieces.offset_mm.tolist() == [10] * 3 + [20] * 3


def test_touching_polygons_neither_cut_a_line_nor_leave_a_crumb():
    left, right = shapely.box(0, 0, 10, 10), shapely.box(10, 0, 20, 10)
    assert clipped([5.0], 0, within=[left, right]).ends_mm.tolist() == [[[0, 5], [20, 5]]]
    assert len(clipped([5.0], 0, within=[shapely.box(0, 0, 20, 10)], without=[left, right])) == 0
    diamond = shapely.Polygon([(5, 5), (8, 8), (5, 11), (2, 8)])  # its upper corner only touches the line
    assert clipped([5.0], 0, within=[left], without=[diamond]).length_mm.sum() == 10


def test_ends_lie_exactly_on_a_level_edge():
    pieces = clipped(offsets((0, 300), spacing=12.7, start=0), 90, within=[shapely.box(-300.1, 0, 0, 254.3)])
    assert set(pieces.ends_mm[:, 0, 1]) == {0.0}
    assert set(pieces.ends_mm[:, 1, 1]) == {254.3}


@pytest.mark.parametrize(("a", "b", "spacing"), [(90.0, 60.0, 1.0), (100.0, 25.0, 0.5)])
def test_chords_of_an_ellipse(a, b, spacing):
    # A chord at height y is 2 a sqrt(1 - y²/b²) long; their sum times the spacing is the area, pi a b (the
    # trapezoid rule: the error falls faster than spacing / b).
    oval = shapely.Polygon(flatten(EllipseCurve((0, 0), (a, b)), 1e-6))
    pieces = clipped(offsets((-b, b), spacing=spacing, start=0.0), 0, within=[oval])
    assert pieces.length_mm == pytest.approx(2 * a * np.sqrt(1 - (pieces.offset_mm / b) ** 2), abs=2e-3)
    assert pieces.length_mm.sum() * spacing == pytest.approx(math.pi * a * b, rel=spacing / b)


@settings(deadline=None, derandomize=True, max_examples=60)
@given(lengths_mm(0, 500), lengths_mm(0.5, 50), numbers(1e3))
def test_the_count_predicted_is_enough_and_nearly_right(room, spacing, start):
    made = len(offsets((0.0, room), spacing=spacing, start=start))
    assert made <= offset_count((0.0, room), spacing) <= made + 2


@settings(deadline=None, derandomize=True, max_examples=60)
@given(lengths_mm(1, 500), lengths_mm(0.5, 200))
def test_no_even_spacing_is_nearer(room, spacing):
    found = even_offsets((3.0, 3.0 + room), spacing=spacing)
    gaps = np.diff(np.concatenate([[3.0], found, [3.0 + room]]))
    assert np.ptp(gaps) < 1e-9
    best = min(abs(room / count - spacing) for count in range(1, 1002))
    assert abs(gaps[0] - spacing) == pytest.approx(best, abs=1e-9)


@settings(deadline=None, derandomize=True, max_examples=40)
@given(angles_deg(), numbers(9), numbers(9))
def test_frame_is_a_turn(angle, x, y):
    point = x, y
    along, across = frame([point], angle)[0]
    assert math.hypot(along, across) == pytest.approx(math.hypot(*point), abs=1e-12)
    assert along == pytest.approx(np.dot(direction(angle), point), abs=1e-12)
    low, high = extent((-9, -9, 9, 9), angle)
    assert low - 1e-9 <= across <= high + 1e-9


def test_below_a_level_line_is_a_greater_offset():
    assert frame([(0, 1)], 0)[0, 1] == 1
