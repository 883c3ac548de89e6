"""An unquilted gap wider than the batting allows: a dashed circle at scale, and how wide it is."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from figure_plans import SEW, path, plan_of
from svg_marks import middle_of, words_of

from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.pictures.gap_signs import gap_circle, gap_marks, wide_gap
from stitchpath.pictures.sheet_layout import sheet_for
from stitchpath.settings import BattingSettings

# A top of 200 x 100 mm with one line across: the largest gap is a circle of 100 mm across.
LINE = Line([(0, 0), (0, 100)], Role.FILL)
PLAN = plan_of(Drawing((LINE,), outline=shapely.box(0, 0, 200, 100)), path(LINE.points_mm, (SEW, 0, 1, 1)))


def allowing(mm):
    return replace(PLAN, batting=BattingSettings(gap=mm))


@pytest.mark.parametrize(("mm", "wide"), [(60, True), (99, True), (101, False)])
def test_a_gap_is_shown_where_it_is_wider_than_the_batting_allows(mm, wide):
    gap = wide_gap(allowing(mm))
    assert (gap is not None) == wide
    if gap is not None:
        assert gap.across_mm == pytest.approx(100, abs=0.5)


def test_without_a_limit_or_an_outline_none_is_shown():
    assert wide_gap(PLAN) is None
    assert wide_gap(replace(allowing(50), drawing=Drawing((LINE,)))) is None


def test_its_circle_is_as_large_as_the_gap():
    plan = allowing(60)
    sheet, gap = sheet_for(plan, legend_mm=60), wide_gap(plan)
    marks = list(gap_marks(gap, sheet))
    circles = [mark for mark in marks if mark.tag == "circle"]
    place = sheet.place(np.array([gap.x_mm, gap.y_mm]))
    assert len(circles) == 2
    for circle in circles:
        assert middle_of(circle) == pytest.approx(place, abs=1e-3)
        assert float(circle.attributes["r"]) == pytest.approx(gap.radius_mm * sheet.scale, abs=1e-3)
    assert words_of(marks) == ["100 mm"]


def test_a_white_circle_lies_under_a_thinner_dashed_one():
    under, over = gap_circle(np.array([3.0, 4.0]), 5.0, 2.0)
    assert (under.attributes["stroke"], over.attributes["stroke"]) == ("#ffffff", "#000000")
    assert float(under.attributes["stroke-width"]) > float(over.attributes["stroke-width"])
    assert "stroke-dasharray" not in under.attributes
    assert over.attributes["stroke-dasharray"] == "1.800 0.900"
