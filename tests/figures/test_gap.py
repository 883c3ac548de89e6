"""The largest empty circle: known cases, and a plain search on a grid."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from strategies import seeds, segments

from stitchpath.drawing import Drawing
from stitchpath.figures import largest_gap
from stitchpath.figures.gap import _Cloth
from stitchpath.lines import Line, Role
from stitchpath.settings import BattingSettings

BOX = shapely.box(0, 0, 300, 200)


def top(*lines, role=Role.FILL, outline=BOX):
    return Drawing(tuple(Line(points, role) for points in lines), outline=outline)


@pytest.mark.parametrize("spacing", [10, 12.5, 40, 66])
def test_between_parallel_lines_it_is_their_spacing(spacing):
    lines = [[(x, 0), (x, 200)] for x in np.arange(spacing, 300, spacing)]
    gap = largest_gap(top(*lines))
    assert gap.across_mm == pytest.approx(spacing, abs=0.01)
    assert gap.error_mm <= 0.25


def test_in_a_grid_of_squares_it_is_a_square():
    lines = [[(x, 0), (x, 200)] for x in range(25, 300, 25)] + [
        [(0, y), (300, y)] for y in range(25, 200, 25)
    ]
    gap = largest_gap(top(*lines))
    assert (gap.across_mm, gap.error_mm <= 0.25) == (pytest.approx(25, abs=0.01), True)


def test_a_circle_without_quilting_is_found_where_it_is():
    angles = np.linspace(0, 2 * np.pi, 361)
    ring = np.column_stack((110 + 41 * np.cos(angles), 90 + 41 * np.sin(angles)))
    lines = [[(x, 0), (x, 200)] for x in range(10, 300, 10) if not 69 < x < 151]
    beside = [
        [(x, y), (x, end)]
        for x in range(70, 151, 10)
        for half in [np.sqrt(max(41**2 - (x - 110) ** 2, 0))]
        for y, end in ((0, 90 - half), (90 + half, 200))
    ]
    gap = largest_gap(top(ring, *lines, *beside))
    assert (gap.x_mm, gap.y_mm, gap.radius_mm) == pytest.approx((110, 90, 41), abs=0.05)


def test_basting_is_no_quilting_and_the_edge_closes_a_gap():
    assert largest_gap(top([(150, 0), (150, 200)])).radius_mm == pytest.approx(75, abs=0.01)
    assert largest_gap(top([(150, 0), (150, 200)], role=Role.BASTE)).radius_mm == pytest.approx(100, abs=0.01)
    assert largest_gap(top(outline=shapely.box(0, 0, 80, 80).difference(shapely.box(0, 0, 40, 40))))


def test_what_the_batting_allows():
    drawing = top([(150, 0), (150, 200)])
    allows = [largest_gap(drawing, BattingSettings(gap=gap)) for gap in (None, "149 mm", "151 mm")]
    assert [(gap.allowed_mm, gap.too_wide) for gap in allows] == [(None, False), (149, True), (151, False)]
    assert largest_gap(Drawing(())) is None


@given(segments((0, 30), (0, 20), step_mm=10.0, up_to=12))
@settings(derandomize=True, deadline=None, max_examples=40)
def test_against_a_search_on_a_grid(lines):
    """No place of a fine grid has more room than told, but for the error; the circle told is empty."""
    gap = largest_gap(top(*lines))
    cloth = shapely.union_all([BOX.exterior, *map(shapely.LineString, lines)])
    x, y = np.meshgrid(np.arange(1, 300, 2.0), np.arange(1, 200, 2.0))
    room = shapely.distance(shapely.points(x.ravel(), y.ravel()), cloth).max()
    assert room <= gap.radius_mm + gap.error_mm
    assert gap.error_mm <= 0.25
    assert gap.radius_mm == pytest.approx(cloth.distance(shapely.Point(gap.x_mm, gap.y_mm)))


@given(segments((0, 30), (0, 20), step_mm=10.0, up_to=6), seeds())
@settings(derandomize=True, deadline=None, max_examples=40)
def test_no_place_in_a_square_has_more_room_than_the_square_is_said_to_have(lines, seed):
    """Places all over squares of 30 mm, corners among them, against distances by GEOS."""
    drawing = top(*lines)
    middles = np.random.default_rng(seed).uniform((0, 0), (300, 200), (40, 2))
    _, most = _Cloth(drawing).most_room(middles, 15.0)
    cloth = shapely.union_all([BOX.exterior, *map(shapely.LineString, lines)])
    steps = np.stack(np.meshgrid(*[np.linspace(-15, 15, 7)] * 2), axis=-1).reshape(-1, 2)
    places = shapely.points(middles[:, None] + steps)
    room = np.where(shapely.covers(BOX, places), shapely.distance(places, cloth), 0.0)
    assert (room.max(axis=1) <= most + 1e-9).all()
    assert _Cloth(drawing).room(middles) == pytest.approx(shapely.distance(shapely.points(middles), cloth))
