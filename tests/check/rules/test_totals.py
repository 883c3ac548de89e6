"""Ends and travel added up again, by hand, and spans that name their lines."""

from dataclasses import replace

import pytest
from counted_plan import DETAIL_COST, DRAWING, FILL, FILLS, LEAF, PLAN, SEAM, SEAMS, SEAMS_COST, job, kinds

from stitchpath.check import check_plan
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.plan import Move, Plan, Span, StitchPath
from stitchpath.settings import CostSettings, MachineSettings, RoleChange


def test_travel_over_a_hidden_seam_names_no_line_and_is_counted():
    seams = StitchPath(
        [*SEAM.points_mm[1:].tolist(), (100, 0), (160, 0)],
        (Span(Move.SEW, 0, 4, 1, "seams"), Span(Move.TRAVEL, 4, 5, None, "seams")),
    )
    cost = 30 * (1 + 1) + 60 / 50 * 1
    plan = replace(PLAN, paths=(seams, FILLS, LEAF), jobs=(job("seams", cost, 1), PLAN.jobs[1]))
    assert check_plan(plan, DRAWING) == ()
    assert kinds(replace(plan, jobs=PLAN.jobs)) == {"cost"}
    named = replace(seams, spans=(seams.spans[0], replace(seams.spans[1], line=1)))
    assert kinds(replace(plan, paths=(named, FILLS, LEAF))) == {"line"}


@pytest.mark.parametrize("off", [0.5, -0.5, 60.0])
def test_a_cost_that_does_not_add_up_is_found(off):
    plan = replace(PLAN, jobs=(job("seams", SEAMS_COST + off, 1), PLAN.jobs[1]), bound=100.0)
    (finding,) = check_plan(plan, DRAWING)
    assert finding.kind == "cost"
    assert f"the stated cost is {SEAMS_COST + DETAIL_COST + off:.3f} s" in finding.message


def test_the_cost_follows_the_settings():
    cost = CostSettings(path_cost_s=10, roles={Role.FILL: RoleChange(shows=2, end_shows=1)})
    detail = 5 * (1 + 1) + 10 / 100 * 2 + 5 * (2 + 2)
    plan = replace(
        PLAN,
        cost_settings=cost,
        machine=MachineSettings(sewing_speed_mm_s=100),
        jobs=(job("seams", 10.0, 1), job("detail", detail, 2)),
        bound=20.0,
    )
    assert check_plan(plan, DRAWING) == ()
    assert kinds(replace(plan, machine=MachineSettings())) == {"cost"}


def test_an_end_counts_by_the_least_visible_line_that_meets_there():
    back = replace(FILLS, coordinates_mm=[(0, 50), (100, 50), (0, 50)])
    detail = 30 * (1 + 1) + 100 / 50 * 20 + 30 * (2 + 2)
    plan = replace(PLAN, paths=(SEAMS, back, LEAF), jobs=(PLAN.jobs[0], job("detail", detail, 2)))
    assert check_plan(plan, DRAWING) == ()


def test_travel_counts_by_the_least_visible_of_lines_that_coincide():
    both = replace(DRAWING, lines=(*DRAWING.lines, Line([(100, 50), (90, 50)], Role.STRIP)))
    detail = 30 * (1 + 2) + 10 / 50 * 5 + 30 * (2 + 2)
    plan = replace(PLAN, jobs=(PLAN.jobs[0], job("detail", detail, 2)))
    assert check_plan(plan, both) == ()
    assert kinds(PLAN, both) == {"cost"}


@pytest.mark.parametrize("line", [2, 3, None, 4, 5, 999])
def test_a_span_that_names_another_line_is_found(line):
    seams = replace(SEAMS, spans=(Span(Move.SEW, 0, 4, line, "seams"),))
    (finding,) = check_plan(replace(PLAN, paths=(seams, FILLS, LEAF)), DRAWING)
    assert finding.kind == "line"
    assert f"path 1 names {f'line {line} and' if line else 'no line and'}" in finding.message


@pytest.mark.parametrize("short", [0.001, 0.01, 0.03, 0.06, 0.1])
def test_a_short_step_over_a_corner_of_its_line_is_on_it(short):
    bent = Line([(20, 20), (50, 20), (80, 20.0001)], Role.OUTLINE, motif="leaf")
    points = [(20, 20), (50 - short / 2, 20), (50 + short / 2, 20), (80, 20.0001)]
    leaf = StitchPath(points, (Span(Move.SEW, 0, 3, 3, "detail"),))
    drawing = replace(DRAWING, lines=(SEAM, FILL, bent))
    assert check_plan(replace(PLAN, paths=(SEAMS, FILLS, leaf)), drawing) == ()


@pytest.mark.parametrize("turned", [False, True])
def test_what_takes_up_a_line_again_costs_nothing(turned):
    rung = Line([(0, 50), (10, 50)], Role.BASTE)
    line = Line([(0, 0), (0, 100)], Role.DITCH)
    first = StitchPath(line.points_mm / 2, (Span(Move.SEW, 0, 1, 2, "seams"),))
    spans = (Span(Move.RESUME, 0, 1, 2, "seams"), Span(Move.SEW, 1, 2, 2, "seams"))
    points = [(0, 44), (0, 50), (0, 100)]
    if turned:
        points, spans = points[::-1], (Span(Move.SEW, 0, 1, 2, "seams"), Span(Move.RESUME, 1, 2, 2, "seams"))
    basted = StitchPath(rung.points_mm, (Span(Move.SEW, 0, 1, 1, "baste"),))
    ends = 30 * (0.5 + 0.5), 30 * (1 + 0.5), 30 * (0.5 + 1)
    plan = Plan(
        Drawing(lines=()),
        (basted, first, StitchPath(points, spans, band=2)),
        (job("baste", ends[0], 1), job("seams", ends[1], 1), job("seams", ends[2], 1, band=2)),
        bound=1.0,
        machine=MachineSettings(reach=60),
        windows=((0, 60), (44, 104)),
    )
    drawing = Drawing(lines=(rung, line))
    assert check_plan(plan, drawing) == ()
    dearer = replace(plan, jobs=(*plan.jobs[:2], replace(plan.jobs[2], cost=ends[2] + 6 / 50)))
    assert kinds(dearer, drawing) == {"cost"}
