"""The legend: signs for what is there, figures added up by hand, and the order of the stages."""

from dataclasses import replace

import pytest
import shapely
from banded_plans import banded, handed
from export_plans import orchard
from figure_plans import RESUME, SECURE, SEW, STEP, TRAVEL, path, plan_of
from svg_marks import words_of

from stitchpath.drawing import Drawing
from stitchpath.figures import largest_gap
from stitchpath.lines import KeepOut, Line, Role
from stitchpath.pictures.legend import legend, legend_mm
from stitchpath.pictures.sheet_layout import sheet_for
from stitchpath.plan import Plan, Span
from stitchpath.settings import BattingSettings

NONE = Plan(Drawing(()), (), (), 0.0)


def shown(plan, wide=None):
    return list(legend(plan, sheet_for(plan, legend_mm=legend_mm(plan, wide)), wide))


def words(plan, wide=None):
    return words_of(shown(plan, wide))


def test_the_figures():
    """Sewn 914.4 m, 1,000 yd; travel of 91.44 m; a quarter of an inch sewn again."""
    x = 914_400.0
    one = path(
        [(-6.35, 0), (0, 0), (x, 0), (x - 91_440, 0), (x - 91_439, 0)],
        (RESUME, 0, 1, None), (SEW, 1, 2, None), (TRAVEL, 2, 3, None), (SECURE, 3, 4, None),
    )  # fmt: skip
    said = words(plan_of(Drawing(()), one, cost=220.0, bound=200.0))
    assert "1 path, 2 tie-offs" in said
    assert "sewn 914.4 m (1,000 yd)" in said
    assert "travel 91.4 m (100 yd)" in said
    assert "sewn again 6 mm (0.25 in)" in said
    assert "small stitches at ends not drawn" in said
    assert [line for line in said if line.startswith(("weighed", "least", "at most"))] == [
        "weighed by what shows: 220.0", "least possible: at least 200.0", "at most 10.00 % over the least",
    ]  # fmt: skip
    assert "proven least in these stages" in words(replace(orchard(), jobs=(), bound=0.0))


def test_steps_have_a_sign_and_a_figure_where_there_are_any():
    ways = (SEW, 0, 1, None), (STEP, 1, 2, None), (SEW, 2, 3, None)
    one = path([(0, 0), (9_144, 0), (9_144, 914.4), (0, 914.4)], *ways)
    told = words(plan_of(Drawing(()), one))
    assert "step over open cloth" in told
    assert "1 step, 0.9 m (1 yd)" in told
    plain = words(plan_of(Drawing(()), path([(0, 0), (9, 0)], (SEW, 0, 1, None))))
    assert not [line for line in plain if "open cloth" in line]


@pytest.mark.parametrize(
    ("drawing", "sign"),
    [
        ({"keep_outs": (KeepOut(shapely.box(0, 0, 1, 1)),)}, "keep-out: no stitch goes there"),
        ({"outline": shapely.box(0, 0, 9, 9)}, "finished edge"),
        ({"hidden": (Line([(0, 0), (9, 0)], Role.HIDDEN),)}, "seam nobody asked to sew"),
    ],
)
def test_what_is_there_has_its_sign_and_what_is_not_has_none(drawing, sign):
    assert sign in words(replace(NONE, drawing=Drawing((), **drawing)))
    assert sign not in words(NONE)


def test_what_the_hand_sews_has_a_sign_in_the_frames_picture_and_the_hand_aligns_nothing():
    plan = handed()
    assert {"sewn by hand", "sewn place to align band 2 on"} <= {*words(plan)}
    assert not {"sewn by hand", "sewn place to align band 2 on"} & {*words(plan.by_hand)}
    assert "path H1" in words(plan.by_hand)
    assert [said for said in words(plan.by_hand) if said.startswith("band 1")] == [
        "band 1, paths H1 to H4: seams"
    ]


def test_a_wide_gap_has_a_sign():
    line = Line([(0, 0), (0, 100)], Role.FILL)
    plan = replace(
        plan_of(Drawing((line,), outline=shapely.box(0, 0, 200, 100)), path(line.points_mm, (SEW, 0, 1, 1))),
        batting=BattingSettings(gap=60),
    )
    gap = largest_gap(plan.drawing, plan.batting)
    assert "gap wider than the batting allows" in words(plan, gap)
    assert "gap wider than the batting allows" not in words(plan)


def test_it_is_as_high_as_its_rows_and_stays_on_its_sheet():
    assert legend_mm(NONE) == 57
    plan = banded()
    seam, leaf = Line([(0, 0), (9, 0)], Role.HIDDEN), KeepOut(shapely.box(0, 0, 1, 1))
    rich = replace(plan, drawing=replace(plan.drawing, hidden=(seam,), keep_outs=(leaf,)))
    # Five signs that are always there, three of the cloth and two of bands: two more than there is room for.
    assert legend_mm(rich) == 57 + 2 * 5
    for one in (NONE, orchard(), plan, rich):
        sheet = sheet_for(one, legend_mm=legend_mm(one))
        low = [float(mark.attributes["y"]) for mark in shown(one) if mark.tag == "text"]
        assert sheet.legend_y_mm < min(low)
        assert max(low) < sheet.height_mm


def staged(*stages):
    paths = [path([(0, n), (9, n)], (SEW, 0, 1, None)) for n in range(len(stages))]
    spans = [(Span(SEW, 0, 1, None, stage),) for stage in stages]
    return plan_of(Drawing(()), *(replace(p, spans=s) for p, s in zip(paths, spans, strict=True)))


def test_stages_in_the_order_of_sewing():
    said = words(staged("baste", "seams", "seams", "detail"))
    at = said.index("path 1: baste")
    assert said[at : at + 3] == ["path 1: baste", "paths 2 to 3: seams", "path 4: detail"]


def test_more_stages_than_there_is_room_for_end_with_the_last_path():
    said = words(staged(*["seams", "detail"] * 20))
    assert "and so on, to path 40" in said
    assert "path 1: seams" in said
    assert "path 40: detail" not in said


def test_bands_are_named_where_there_are_several():
    assert "band 2, paths 13 to 16: seams" in words(banded())
    assert not any(word.startswith("band 2,") for word in words(staged("seams")))


def test_the_bar_of_colours_has_its_ends_named():
    assert {"path 1", "path 3"} <= set(words(staged("a", "b", "c")))
    assert {"its start", "its end"} <= set(words(staged("a")))
    assert not {"path 1", "its start"} & set(words(NONE))
