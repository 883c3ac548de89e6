import math

import numpy as np
import pytest
import shapely
from curve_lines import flatten
from hypothesis import given
from scipy.special import ellipe
from strategies import angles_deg, lengths_mm, shares, yes_or_no

from stitchpath.geometry.curves import EllipseCurve, parallel
from stitchpath.geometry.rings import beside, left_by, same_but_for, upright


@given(lengths_mm(20, 150), shares(0.3, 1.0), lengths_mm(0.5, 20))
def test_outwards_it_has_steiners_length_and_area(long, flat, distance):
    """Steiner 1840: length L + 2 pi d, area A + L d + pi d² of any convex closed curve."""
    short = long * flat
    perimeter = 4 * long * ellipe(1 - flat**2)  # NIST DLMF 19.9
    (moved,) = beside(flatten(EllipseCurve((3, -4), (long, short), 20.0), 0.02), distance)
    polygon = shapely.Polygon(moved)
    assert polygon.length == pytest.approx(perimeter + 2 * math.pi * distance, rel=2e-3)
    area = math.pi * long * short + perimeter * distance + math.pi * distance**2
    assert polygon.area == pytest.approx(area, abs=0.021 * (perimeter + 7 * distance))


@given(lengths_mm(20, 150), shares(0.3, 1.0), lengths_mm(0.5, 20), yes_or_no())
def test_it_is_the_ovals_own_parallel_curve_but_for_its_chords(long, flat, distance, inwards):
    distance = -min(distance, 0.9 * long * flat) if inwards else distance
    ellipse = EllipseCurve((0, 0), (long, long * flat), 33.0)
    (moved,) = beside(flatten(ellipse, 0.02), distance)
    own = shapely.LineString(parallel(ellipse, distance, 0.001))
    away = shapely.distance(shapely.points(moved), own)
    assert away.max() < 0.03
    scaled = shapely.LineString(
        flatten(EllipseCurve((0, 0), (long + distance, long * flat + distance), 33.0), 0.001)
    )
    if flat < 0.6 and not inwards and distance > 5:
        assert shapely.distance(shapely.points(moved), scaled).max() > 0.1


def test_a_disc_leaves_sharp_ends_by_what_it_cannot_reach():
    oval = flatten(EllipseCurve((0, 0), (80, 20)), 0.02)  # radius of curvature at its ends 20² / 80 = 5
    assert left_by(oval, -4.5) < 0.03
    assert left_by(oval, -6.35) > 0.1
    assert left_by(oval, -25) == math.inf


@given(lengths_mm(20, 150), shares(0.3, 0.95), angles_deg(-89, 89))
def test_an_oval_is_stood_upright(long, flat, tilt):
    stood = upright(flatten(EllipseCurve((500, 70), (long * flat, long), tilt), 0.02))
    assert stood.turned_deg == pytest.approx(tilt, abs=0.01)
    assert np.ptp(stood.points, axis=0) == pytest.approx([2 * long * flat, 2 * long], abs=0.05)
    level = upright(flatten(EllipseCurve((0, 0), (long * flat, long)), 0.02))
    assert same_but_for(level, stood, within=0.05) == ""
    larger = upright(flatten(EllipseCurve((0, 0), (long * flat, long + 1)), 0.02))
    assert same_but_for(level, larger, within=0.05) is None


def test_a_mirrored_shape_is_told_from_a_turned_one():
    hook = np.array([(0, 0), (30, 0), (30, 10), (10, 12), (8, 60), (0, 60), (0, 0)], float)
    cos, sin = math.cos(0.4), math.sin(0.4)
    one, turned, mirrored = (
        upright(points) for points in (hook, hook @ np.array([[cos, sin], [-sin, cos]]), hook * (-1, 1))
    )
    assert same_but_for(one, turned, within=0.05) == ""
    assert same_but_for(one, mirrored, within=0.05) == "mirrored"
