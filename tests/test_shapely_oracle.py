"""The oracle finds what is wrong: each sabotage of a plan that holds is told by its rule."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from random_drawings import random_drawing
from shapely import LineString
from shapely_oracle import faults

from stitchpath.drawing import Drawing
from stitchpath.plan import Move, Plan, Span, StitchPath
from stitchpath.planner import make_plan
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings

SQUARE = [LineString([(0, 0), (90, 0), (90, 90), (0, 90), (0, 0)])]
LADDER = [LineString([(x, 0), (x, 90)]) for x in (20, 40, 60)]
KEEP_OUT = shapely.box(44, 30, 56, 60)
REACH = MachineSettings(reach=200)


@pytest.fixture(scope="module")
def plan():
    """Plan rungs between two seams, some sewn over more than once, beside a keep-out."""
    drawing = Drawing.from_lines(
        SQUARE + LADDER,
        roles=["ditch"] + ["fill"] * 3,
        hidden=[LineString([(0, 70), (90, 70)])],
        keep_outs=[KEEP_OUT],
    )
    return made(drawing)


@pytest.fixture(scope="module")
def banded():
    """Plan rungs in two bands."""
    levels = [LineString([(0, y), (50, y)]) for y in (0, 50, 100, 300, 350, 400)]
    sides = [LineString([(x, y), (x, y + 100)]) for x in (0, 50) for y in (0, 300)]
    return made(Drawing.from_lines(levels + sides), machine=REACH)


def made(drawing, **settings):
    return make_plan(drawing, effort="quick", **settings)


def told(plan, **settings):
    """Return which rules tell of a plan."""
    return {fault.split(":")[0] for fault in faults(plan, plan.drawing, **settings)}


def with_path(plan, number, points, spans):
    paths = list(plan.paths)
    paths[number] = replace(paths[number], coordinates_mm=np.array(points, dtype=float), spans=tuple(spans))
    return replace(plan, paths=tuple(paths))


def test_plans_that_hold_are_not_accused(plan, banded):
    assert told(plan) == told(banded) == set()
    assert faults(Plan(Drawing(()), (), (), 0.0), Drawing(())) == []


def test_a_span_that_is_left_out_is_missed(plan):
    for number, path in enumerate(plan.paths):
        for at, span in enumerate(path.spans):
            if span.move is Move.SEW and path.span_mm(span) > 1:
                halves = path.spans[:at], path.spans[at + 1 :]
                parts = [part for part in halves if part]
                paths = [cut(path, part) for part in parts]
                assert "covered" in told(
                    replace(plan, paths=(*plan.paths[:number], *paths, *plan.paths[number + 1 :]))
                )


def cut(path, spans):
    first = spans[0].first
    points = path.coordinates_mm[first : spans[-1].last + 1]
    return replace(
        path,
        coordinates_mm=points,
        spans=tuple(replace(span, first=span.first - first, last=span.last - first) for span in spans),
    )


def test_a_hair_that_is_missing_is_missed(plan):
    line = Drawing((*plan.drawing.lines, replace(plan.drawing.lines[1], points_mm=[(20, 0), (20, 90.02)])))
    assert any("covered" in fault for fault in faults(plan, line))


def test_a_line_that_nobody_asked_for_is_told(plan):
    path = StitchPath([(5, 5), (9, 9)], (Span(Move.SEW, 0, 1, 1, "detail"),))
    assert "on_lines" in told(replace(plan, paths=(*plan.paths, path)))


def test_a_hidden_seam_is_no_line_to_sew(plan):
    path = StitchPath([(0, 70), (20, 70)], (Span(Move.SEW, 0, 1, None, "detail"),))
    assert {"on_lines", "not_too_often"} & told(replace(plan, paths=(*plan.paths, path)))
    path = StitchPath([(0, 70), (20, 70)], (Span(Move.TRAVEL, 0, 1, None, "detail"),))
    assert told(replace(plan, paths=(*plan.paths, path))) == set()
    assert "on_lines" in told(replace(plan, paths=(*plan.paths, path)), cost=CostSettings(hidden_seams=False))


def test_a_path_moved_by_a_hundredth_of_a_millimetre_is_told(plan):
    path = plan.paths[0]
    moved = with_path(plan, 0, path.coordinates_mm + 0.01, path.spans)
    assert {"covered", "on_lines"} <= told(moved)


def test_a_path_through_a_keep_out_is_told(plan):
    path = StitchPath([(40, 45), (60, 45)], (Span(Move.TRAVEL, 0, 1, None, "detail"),))
    seam = LineString([(40, 45), (60, 45)])
    drawing = Drawing.from_lines(SQUARE + LADDER, hidden=[seam], keep_outs=[KEEP_OUT])
    found = faults(replace(plan, paths=(*plan.paths, path)), drawing)
    assert any(fault.startswith("kept_out") and "6.000 mm deep" in fault for fault in found)


def test_a_corner_of_a_keep_out_may_be_grazed(plan):
    grazing = replace(
        plan.drawing, keep_outs=(replace(plan.drawing.keep_outs[0], polygon=shapely.box(0, 0, 20.003, 90)),)
    )
    entered = replace(
        plan.drawing, keep_outs=(replace(plan.drawing.keep_outs[0], polygon=shapely.box(10, 10, 20.006, 80)),)
    )
    assert not any("kept_out" in fault and "(20" in fault for fault in faults(plan, grazing))
    assert any("kept_out" in fault for fault in faults(plan, entered))


def test_travel_before_sewing_is_told(plan):
    backwards = replace(plan, paths=tuple(turned(path) for path in plan.paths[::-1]))
    assert any(path.travel_mm for path in plan.paths)
    assert told(backwards) & {"sewn_before", "in_order"}
    path = plan.paths[0]
    first = StitchPath([(20, 0), (20, 90)], (Span(Move.TRAVEL, 0, 1, 2, "seams"),))
    assert "sewn_before" in told(replace(plan, paths=(first, *plan.paths)))
    assert path.spans[0].move is Move.SEW


def turned(path):
    """Return a path from its end to its start."""
    last = len(path.coordinates_mm) - 1
    spans = tuple(replace(span, first=last - span.last, last=last - span.first) for span in path.spans[::-1])
    return replace(path, coordinates_mm=path.coordinates_mm[::-1], spans=spans)


def test_a_line_sewn_again_is_told(plan):
    again = replace(plan, paths=(*plan.paths, plan.paths[-1]))
    assert "not_too_often" in told(again)


def test_travel_more_often_than_a_line_bears_is_told(plan):
    path = StitchPath([(20, 0), (20, 70)], (Span(Move.TRAVEL, 0, 1, 2, "detail"),))
    assert "not_too_often" in told(replace(plan, paths=(*plan.paths, path, path)))


def test_a_wrong_stage_or_thread_is_told(plan):
    path = plan.paths[-1]
    other = [replace(span, stage="seams") for span in path.spans]
    assert "not_too_often" in told(with_path(plan, -1, path.coordinates_mm, other))
    assert "not_too_often" in told(replace(plan, paths=(*plan.paths[:-1], replace(path, thread="red"))))


def test_stages_and_bands_out_of_order_are_told(plan, banded):
    assert len({span.stage for path in plan.paths for span in path.spans}) > 1
    *others, last = plan.paths[0].spans
    stages = [*others, replace(last, stage="seams")]
    assert "in_order" in told(with_path(plan, 0, plan.paths[0].coordinates_mm, stages))
    assert "in_order" in told(replace(banded, paths=banded.paths[::-1]))


def test_a_band_out_of_reach_is_told(banded):
    assert {path.band for path in banded.paths} == {1, 2}
    one = replace(banded, paths=tuple(replace(path, band=1) for path in banded.paths))
    assert "in_reach" in told(one)
    assert "in_reach" in told(banded, machine=MachineSettings())
    assert "in_reach" in told(banded, machine=MachineSettings(reach=99))
    assert "in_reach" in told(banded, machine=MachineSettings(reach=40, sideways=True))
    # The second band starts at 300 mm of 400, where three quarters of the difference are gone.
    assert "in_reach" not in told(banded, machine=MachineSettings(reach=200, last_reach=66.7))
    assert "in_reach" in told(banded, machine=MachineSettings(reach=200, last_reach=66.6))


def test_a_window_does_not_go_back_up(banded):
    swapped = tuple(replace(path, band=3 - path.band) for path in banded.paths[::-1])
    assert "in_reach" in told(replace(banded, paths=swapped))


def test_one_window_is_limited_too():
    lines = [LineString([(0, y), (50, y)]) for y in (0, 30)]
    drawing = Drawing.from_lines(lines, hidden=[LineString([(0, -150), (0, 180)])])
    path = StitchPath(
        [(50, 0), (0, 0), (0, -150), (0, 180), (0, 30), (50, 30)],
        (
            Span(Move.SEW, 0, 1, 1, "detail"),
            Span(Move.TRAVEL, 1, 4, None, "detail"),
            Span(Move.SEW, 4, 5, 2, "detail"),
        ),
    )
    plan = Plan(drawing, (path,), (), 0.0, machine=REACH)
    assert told(plan) == {"in_reach"}
    assert told(replace(plan, machine=MachineSettings(reach=330))) == set()


def test_a_needle_that_stays_is_told(plan):
    path = plan.paths[-1]
    points = np.concatenate([path.coordinates_mm, path.coordinates_mm[-1:]])
    last = replace(path.spans[-1], last=path.spans[-1].last + 1)
    assert told(with_path(plan, -1, points, [*path.spans[:-1], last])) == {"goes_on"}


def test_what_is_left_to_the_hand_is_not_sewn(plan):
    assert "on_lines" in told(plan, schedule=ScheduleSettings(by_hand=["fill"]))
    lines = [LineString([(0, 0), (50, 0)]), LineString([(0, 0), (0, 50)])]
    drawing = Drawing.from_lines(lines, roles=["fill", "strip"])
    left = made(drawing, schedule=ScheduleSettings(by_hand=["fill"]))
    assert told(left) == set()
    assert "covered" in told(left, schedule=ScheduleSettings())


def test_every_span_that_is_dropped_from_plans_made_by_lot_is_missed():
    missed = 0
    for number in range(12):
        drawn, settings = random_drawing(number)
        drawn["keep_outs"] = []
        try:
            drawing = Drawing.from_lines(**drawn)
            plan = make_plan(drawing, effort="quick", **settings)
        except Exception:  # noqa: BLE001  (other tests tell of these)
            continue
        path = max(plan.paths, key=lambda path: path.sewn_mm)
        longest = max((span for span in path.spans if span.move is Move.SEW), key=path.span_mm)
        spans = [replace(span, move=Move.TRAVEL) if span is longest else span for span in path.spans]
        missed += "covered" in told(with_path(plan, plan.paths.index(path), path.coordinates_mm, spans))
    assert missed >= 8
