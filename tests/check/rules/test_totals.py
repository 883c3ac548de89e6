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


BUILDS_UP = CostSettings(roles={role: RoleChange(builds_up=0.5) for role in (Role.DITCH, Role.HIDDEN)})


def there_and_back(side, at=()):
    """A plan that goes along one side of the square and back, with some points on the way back."""
    (x, y), (u, v) = SEAM.points_mm[[side, side + 1]].tolist()
    forth = SEAM.points_mm[: side + 2].tolist()
    back = [(x + (u - x) * share, y + (v - y) * share) for share in at] + [(x, y), (u, v)]
    rest = SEAM.points_mm[side + 2 :].tolist()
    spans = [Span(Move.SEW, 0, side + 1, 1, "seams")]
    spans.append(Span(Move.TRAVEL, side + 1, side + 1 + len(back), 1, "seams"))
    last = len(forth) + len(back) + len(rest) - 1
    spans += [Span(Move.SEW, side + 1 + len(back), last, 1, "seams")] if rest else []
    return StitchPath([*forth, *back, *rest], tuple(spans))


@pytest.mark.parametrize("at", [(), (0.75, 0.2)])
def test_a_line_moved_onto_that_is_then_sewn_over_a_third_time_costs_more(at):
    """Two times along a seam at 2 s, the third for half as much again: whatever points lie on the way."""
    plan = replace(PLAN, cost_settings=BUILDS_UP, paths=(there_and_back(1, at), FILLS, LEAF))
    true = replace(plan, jobs=(job("seams", SEAMS_COST + 2 + 3, 1), PLAN.jobs[1]))
    assert check_plan(true, DRAWING) == ()
    for wrong in (2 + 2, 3 + 3):
        assert kinds(replace(plan, jobs=(job("seams", SEAMS_COST + wrong, 1), PLAN.jobs[1]))) == {"cost"}
    flat = replace(plan, cost_settings=CostSettings())
    assert check_plan(replace(flat, jobs=(job("seams", SEAMS_COST + 4, 1), PLAN.jobs[1])), DRAWING) == ()


def test_travel_moved_to_a_line_where_another_path_travels_already_is_found():
    """Both go along one side: the plan states what each cost on a side of its own."""
    spans = Span(Move.SEW, 0, 4, 1, "seams"), Span(Move.TRAVEL, 4, 5, 1, "seams")
    seams = StitchPath([*SEAM.points_mm.tolist(), (100, 0)], spans)
    true, moved = (
        StitchPath([(0, 50), (100, 50), end, far],
                   (Span(Move.SEW, 0, 1, 2, "detail"), Span(Move.TRAVEL, 1, 3, 1, "detail")))
        for end, far in (((100, 100), (0, 100)), ((100, 0), (0, 0)))
    )  # fmt: skip
    jobs = job("seams", SEAMS_COST + 2, 1), job("detail", 30 * (1 + 1) + 3 + 30 * 4, 2)
    plan = replace(PLAN, cost_settings=BUILDS_UP, jobs=jobs)
    assert check_plan(replace(plan, paths=(seams, true, LEAF)), DRAWING) == ()
    assert kinds(replace(plan, paths=(seams, moved, LEAF))) == {"cost"}
    dearer = job("detail", jobs[1].cost + 1, 2)
    assert check_plan(replace(plan, jobs=(jobs[0], dearer), paths=(seams, moved, LEAF)), DRAWING) == ()


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
