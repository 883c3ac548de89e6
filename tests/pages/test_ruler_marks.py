"""Where to mark a ruler: the mark and the foot make the spacing."""

import re

import numpy as np
import pytest
from hypothesis import given, settings
from ruled import fill
from strategies import angles_deg, whole

from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.pages.ruler_marks import mark_picture, ruler_marks


def test_a_mark_and_the_foot_make_the_spacing():
    marks = ruler_marks(Drawing(tuple(fill(12.7, angle=30) + fill(5, name="close", angle=90))), 6.35)
    assert [(mark.fills, mark.back) for mark in marks] == [(("close",), 2), (("background",), 1)]
    for mark in marks:
        assert mark.mark_mm + 6.35 == pytest.approx(mark.back * mark.spacing_mm, abs=0.001)


def test_a_fill_that_is_interrupted_has_the_spacing_of_its_lines():
    lines = fill(10, count=9)
    halved = [Line(line.points_mm * (0.4, 1), Role.FILL, "", "background", line.block) for line in lines]
    assert [mark.spacing_mm for mark in ruler_marks(Drawing((*lines[:5], *lines[7:], *halved)), 6.35)] == [
        10.0
    ]


@settings(deadline=None, max_examples=40)
@given(whole(2, 80), angles_deg(), whole(2, 50))
def test_whatever_the_angle_the_mark_lies_on_the_ruler_and_no_line_before_would_do(spacing, angle, radius):
    (mark,) = ruler_marks(Drawing(tuple(fill(spacing, angle=angle))), radius)
    assert mark.spacing_mm == pytest.approx(spacing, abs=2e-3)
    assert mark.mark_mm == pytest.approx(max(mark.back * spacing - radius, 0), abs=0.2)
    assert mark.mark_mm >= 0
    assert mark.back == 1 or (mark.back - 1) * spacing < radius


def test_fills_of_one_spacing_stand_together_the_closest_lines_first():
    lines = [
        *fill(20, name="far"),
        *fill(10, name="near"),
        *fill(10.005, name="also", block="row 1, column 2"),
    ]
    marks = ruler_marks(Drawing(tuple(lines)), 6.35)
    assert [mark.fills for mark in marks] == [("near", "also"), ("far",)]
    twice = [*fill(10, name="near"), *fill(10, name="near", block="row 9, column 9")]
    assert [mark.fills for mark in ruler_marks(Drawing(tuple(twice)), 6.35)] == [("near",)]


def test_what_is_no_straight_fill_has_no_mark():
    bent = [Line([(0, y), (50, y + 1), (90, y)], Role.FILL) for y in (0, 10, 20)]
    strips = [Line(line.points_mm, Role.STRIP) for line in fill(10)]
    assert ruler_marks(Drawing((*bent, *strips, *fill(10, count=1))), 6.35) == ()


@pytest.mark.parametrize(("spacing", "radius"), [(12.7, 6.35), (5, 6.35)])
def test_the_picture_has_foot_needle_and_edge_at_true_scale(spacing, radius):
    (mark,) = ruler_marks(Drawing(tuple(fill(spacing))), radius)
    text = mark_picture(mark, radius)
    foot, needle = re.findall(r'<circle[^>]* cy="([\d.]+)"[^>]* r="([\d.]+)"', text)
    assert float(foot[1]) == radius
    assert foot[0] == needle[0]
    (edge,) = re.findall(r'<rect[^>]* height="([\d.]+)"[^>]* y="0.500"', text)
    edge_mm = float(edge) + 0.5
    assert float(needle[0]) - edge_mm == pytest.approx(radius, abs=2e-3)
    levels = [float(y) for y in re.findall(r'd="M 0.000,([\d.]+) L 76.000', text)]
    assert len(levels) == mark.back + 1
    assert np.diff(levels) == pytest.approx([spacing] * mark.back, abs=2e-3)
    assert edge_mm - levels[0] == pytest.approx(mark.mark_mm, abs=2e-3)
