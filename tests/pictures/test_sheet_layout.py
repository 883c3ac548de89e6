"""A plan laid onto a sheet: at one scale, within A4 and Letter, with the room that was asked for."""

import numpy as np
import pytest
import shapely
from figure_plans import SEW, path, plan_of

from stitchpath.drawing import Drawing
from stitchpath.pictures.sheet_layout import sheet_for
from stitchpath.plan import Plan


def top(wide, high, count=1, x=0.0, y=0.0):
    box = shapely.box(x, y, x + wide, y + high)
    line = [(x, y), (x + wide, y + high)]
    return plan_of(Drawing((), outline=box), *[path(line, (SEW, 0, 1, None))] * count)


@pytest.mark.parametrize(("wide", "high"), [(1000, 100), (100, 1000), (50, 50), (2500, 2600), (0.2, 0.1)])
@pytest.mark.parametrize(("left", "above"), [(0, 0), (20, 0), (0, 14)])
def test_the_top_fills_its_room_undistorted(wide, high, left, above):
    plan = top(wide, high, x=-30, y=12)
    sheet = sheet_for(plan, legend_mm=60, left_mm=left, above_mm=above)
    x0, y0, x1, y1 = sheet.drawn_mm
    assert sheet.width_mm <= 210 - 10
    assert sheet.height_mm <= 11 * 25.4 - 10
    assert sheet.place(np.array([(-30.0, 12.0)])).tolist() == [pytest.approx([x0, y0])]
    if wide > 1:
        assert sheet.place(np.array([(-30.0 + wide, 12.0 + high)])).tolist() == [pytest.approx([x1, y1])]
    assert (x1 - x0) / max(wide, 1) == pytest.approx((y1 - y0) / max(high, 1)) == pytest.approx(sheet.scale)
    assert x0 >= 5 + left - 1e-9
    assert x1 <= sheet.width_mm - 5 + 1e-9
    assert y0 >= 5 + above
    assert y1 < sheet.legend_y_mm
    assert sheet.height_mm - sheet.legend_y_mm == pytest.approx(60)
    # As large as it can be: it fills the room across or down.
    full = (x1 - x0 == pytest.approx(180 - left)) or (sheet.height_mm == pytest.approx(250))
    assert full


def test_lines_are_thinner_where_more_is_sewn_and_type_smaller_where_there_are_more_paths():
    few, many = (sheet_for(top(1000, 1000, count), legend_mm=60) for count in (1, 200))
    assert few.sew_mm > many.sew_mm >= 0.1
    assert few.arrow_mm > many.arrow_mm >= 0.6
    assert few.number_mm == 3.4
    assert many.number_mm == 2.0
    assert many.travel_mm < many.sew_mm < many.aside_mm


def test_what_lies_outside_the_outline_is_on_the_sheet():
    plan = plan_of(
        Drawing((), outline=shapely.box(0, 0, 100, 100)), path([(-50, 0), (150, 0)], (SEW, 0, 1, None))
    )
    sheet = sheet_for(plan, legend_mm=60)
    x0, _, x1, _ = sheet.drawn_mm
    assert sheet.place(np.array([(-50.0, 0), (150, 0)]))[:, 0].tolist() == pytest.approx([x0, x1])


def test_an_empty_plan_has_a_sheet():
    sheet = sheet_for(Plan(Drawing(()), (), (), 0.0), legend_mm=60)
    assert np.isfinite([sheet.scale, *sheet.drawn_mm, sheet.sew_mm, sheet.number_mm]).all()
    assert sheet.height_mm <= 250
