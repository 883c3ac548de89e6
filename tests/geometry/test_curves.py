import math

import numpy as np
import pytest
import shapely
from curve_lines import flatten
from hypothesis import given, settings
from scipy.special import ellipe
from strategies import angles_deg, ellipses, lengths_mm, picked, shares

from stitchpath.geometry.curves import EllipseCurve, half_extent, parallel


def length(points):
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def true_points(ellipse, distance, count=4001):
    """The parallel curve from the parametric ellipse and its normal, written out anew."""
    (a, b), turn = ellipse.semi_axes, math.radians(ellipse.tilt_deg)
    t = np.linspace(0, 2 * np.pi, count)
    speed = np.hypot(a * np.sin(t), b * np.cos(t))
    x, y = a * np.cos(t) + distance * b * np.cos(t) / speed, b * np.sin(t) + distance * a * np.sin(t) / speed
    return np.column_stack(
        [
            ellipse.centre[0] + x * math.cos(turn) - y * math.sin(turn),
            ellipse.centre[1] + x * math.sin(turn) + y * math.cos(turn),
        ]
    )


@pytest.mark.parametrize(
    ("semi_axes", "perimeter"), [((5, 2.5), 24.221120551), ((4, 3), 22.103492161), ((2.5, 5), 24.221120551)]
)
def test_perimeter_is_that_of_the_elliptic_integral(semi_axes, perimeter):
    # 4 a E(e): NIST DLMF 19.9.9; scipy.special.ellipe takes the parameter m = e².
    a, b = max(semi_axes), min(semi_axes)
    assert 4 * a * ellipe(1 - (b / a) ** 2) == pytest.approx(perimeter, abs=1e-9)
    assert length(flatten(EllipseCurve((7, -3), semi_axes, 33), 1e-7)) == pytest.approx(perimeter, abs=2e-6)


@settings(deadline=None, derandomize=True, max_examples=60)
@given(ellipses(), lengths_mm(0, 200))
def test_steiners_length_and_area(ellipse, distance):
    # Steiner 1840: length L + 2 pi d, area A + L d + pi d² outside a convex closed curve.
    a, b = max(ellipse.semi_axes), min(ellipse.semi_axes)
    around = 4 * a * ellipe(1 - (b / a) ** 2)
    ring = parallel(ellipse, distance, 1e-4)
    assert length(ring) == pytest.approx(around + 2 * math.pi * distance, rel=1e-4)
    area = math.pi * a * b + around * distance + math.pi * distance**2
    assert shapely.Polygon(ring).area == pytest.approx(area, rel=1e-3)


@settings(deadline=None, derandomize=True, max_examples=60)
@given(ellipses(), lengths_mm(-1, 50), picked(0.02, 0.5, 0.001))
def test_chords_stay_within_the_tolerance(ellipse, reach, tolerance):
    a, b = max(ellipse.semi_axes), min(ellipse.semi_axes)
    distance = reach if reach >= 0 else reach * b * b / a
    ring = parallel(ellipse, distance, tolerance)
    off = shapely.distance(shapely.LineString(ring), shapely.points(true_points(ellipse, distance, 1001)))
    assert off.max() <= tolerance + 1e-9


@settings(deadline=None, derandomize=True, max_examples=40)
@given(ellipses(), shares(0.05, 0.97))
def test_inwards_is_what_lies_that_deep(ellipse, share):
    # Reference: GEOS buffer of a finely flattened ellipse (used in tests alone).
    depth = share * min(ellipse.semi_axes)
    found = shapely.Polygon(parallel(ellipse, -depth, 0.001))
    deep = shapely.Polygon(true_points(ellipse, 0.0, 8001)).buffer(-depth, quad_segs=64)
    assert found.is_valid
    slack = 0.01 * length(np.asarray(found.exterior.coords)) + 1e-6
    assert found.symmetric_difference(deep).area <= slack


@settings(deadline=None, derandomize=True, max_examples=40)
@given(ellipses(), shares(-0.97, 2))
def test_keeps_its_distance_and_is_closed_and_simple(ellipse, share):
    distance = share * min(ellipse.semi_axes)
    ring = parallel(ellipse, distance, 0.005)
    assert (ring[0] == ring[-1]).all()
    assert not ring.flags.writeable
    assert shapely.LinearRing(ring).is_simple
    edge = shapely.LineString(true_points(ellipse, 0.0, 20001))
    assert shapely.distance(edge, shapely.points(ring)) == pytest.approx(abs(distance), abs=0.002)


def test_the_fold_begins_at_the_smallest_radius_of_curvature():
    # b²/a = 40²/80 = 20: up to there the curve is smooth at its tip, past it there is a corner. The corner
    # at depth e lies on the long axis at x where a disc of radius e touches the ellipse twice:
    # x² = (a² - b²)(1 - e²/b²) (from the distance to the ellipse along its axis).
    ellipse = EllipseCurve((0, 0), (80, 40))
    assert parallel(ellipse, -19.99, 0.001)[:, 0].max() == pytest.approx(60.01, abs=1e-9)
    for depth in (20.01, 30.0, 39.9):
        tip = parallel(ellipse, -depth, 0.001)[:, 0].max()
        assert tip == pytest.approx(math.sqrt((80**2 - 40**2) * (1 - depth**2 / 40**2)), abs=1e-9)


def test_nothing_is_left_at_half_the_short_axis():
    ellipse = EllipseCurve((3, 4), (80, 40), 15)
    assert len(parallel(ellipse, -39.999, 0.02)) > 3
    assert parallel(ellipse, -40.0, 0.02).shape == (0, 2)
    assert parallel(EllipseCurve((0, 0), (5, 5)), -5.0, 0.02).shape == (0, 2)
    assert shapely.Polygon(parallel(EllipseCurve((0, 0), (5, 5)), -4.9, 1e-5)).area == pytest.approx(
        math.pi * 0.01, rel=1e-2
    )


def test_tilt_is_clockwise_with_y_down():
    # Turned by 90° clockwise, what pointed right points down.
    ring = flatten(EllipseCurve((0, 0), (5, 2), 90), 0.01)
    assert np.allclose(ring[0], (0, 5))
    ring = flatten(EllipseCurve((0, 0), (5, 2), 45), 0.01)
    assert ring[0, 0] > 0 < ring[0, 1]


@settings(deadline=None, derandomize=True, max_examples=40)
@given(ellipses(), angles_deg())
def test_half_extent_is_the_farthest_point(ellipse, angle):
    points = true_points(ellipse, 0.0) - ellipse.centre
    turn = math.radians(angle)
    reach = (points @ (math.cos(turn), math.sin(turn))).max()
    assert half_extent(ellipse, angle) == pytest.approx(reach, rel=1e-5)


@pytest.mark.parametrize(
    ("ellipse", "distance", "tolerance"),
    [
        (EllipseCurve((0, 0), (5, 0)), 0.0, 0.02),
        (EllipseCurve((0, 0), (5, -1)), 0.0, 0.02),
        (EllipseCurve((0, math.nan), (5, 4)), 0.0, 0.02),
        (EllipseCurve((0, 0), (5, 4)), math.inf, 0.02),
        (EllipseCurve((0, 0), (5, 4)), 0.0, 0.0),
    ],
)
def test_refuses_what_is_no_size(ellipse, distance, tolerance):
    with pytest.raises(ValueError, match="finite sizes above zero"):
        parallel(ellipse, distance, tolerance)


def test_needs_few_points():
    # A circle of radius R needs pi / acos(1 - t / R) chords; the flattening may use one in ten more.
    least = math.pi / math.acos(1 - 0.02 / 100)
    assert least <= len(flatten(EllipseCurve((0, 0), (100, 100)), 0.02)) - 1 <= 1.1 * least + 4
