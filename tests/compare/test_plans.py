"""Plans side by side, worked out by hand."""

from dataclasses import replace

import pytest
from shapely import box

from stitchpath.compare import compare_plans
from stitchpath.drawing import Drawing
from stitchpath.figures import plan_figures
from stitchpath.lines import KeepOut, Line, Role
from stitchpath.plan import Move, Plan, RoutedJob, Span, StitchPath


def plan_of(points, cost):
    sewn = StitchPath(points, (Span(Move.SEW, 0, len(points) - 1, 1, "detail"),))
    job = RoutedJob(1, "detail", cost, cost, cost, 1, False, 0.001)
    return Plan(Drawing((Line(points),)), (sewn,), (job,), cost)


def test_plans_are_measured_against_the_first():
    short, long = plan_of([(0, 0), (50, 0)], 240.0), plan_of([(0, 0), (150, 0)], 250.0)
    rows = compare_plans([short, long], names=["short", "long"]).rows
    assert [row.name for row in rows] == ["short", "long"]
    assert (rows[0].more.cost_s, rows[0].more.sewn_mm, rows[0].more.paths) == (0, 0, 0)
    assert (rows[1].more.cost_s, rows[1].more.sewn_mm, rows[1].more.time_s) == (10, 100, pytest.approx(2))
    used = [plan_figures(plan).thread.threads[0] for plan in (short, long)]
    assert rows[1].more.thread_mm == pytest.approx(
        used[1].needle_mm + used[1].bobbin_mm - used[0].needle_mm - used[0].bobbin_mm
    )
    assert rows[1].more.thread_mm > 200
    assert [row.name for row in compare_plans([short, long])] == ["plan 1", "plan 2"]


def test_plans_of_other_drawings_are_named():
    """What a drawing is called makes it no other one; a line, a role, a hidden seam or a keep-out does."""
    plan = plan_of([(0, 0), (50, 0)], 240.0)
    changes = {
        "called otherwise": {"name": "pear", "design_sha256": "00"},
        "asked by another motif": {"lines": (Line([(-0.0, 0), (50, 0)], motif="pear"),)},
        "other line": {"lines": (Line([(0, 0), (50, 1)]),)},
        "other role": {"lines": (Line([(0, 0), (50, 0)], Role.FILL),)},
        "hidden seam": {"hidden": (Line([(0, 0), (0, 9)], Role.HIDDEN),)},
        "keep-out": {"keep_outs": (KeepOut(box(60, 0, 70, 9)),)},
    }
    plans = [plan, *(replace(plan, drawing=replace(plan.drawing, **change)) for change in changes.values())]
    compared = compare_plans(plans, names=["first", *changes])
    assert compared.other_drawings == ("other line", "other role", "hidden seam", "keep-out")
    assert [row.more.paths for row in compared] == [0] * 7


def test_names_that_do_not_fit_are_refused():
    with pytest.raises(ValueError, match="1 names for 0 plans"):
        compare_plans([], names=["a"])
