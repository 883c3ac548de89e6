"""What a plan states of its jobs, and every way of stating it falsely that comes to mind."""

import json
from dataclasses import replace

import pytest
from banded import block, fill
from plans import TWO_LEAVES

from stitchpath.check import check_folder, check_plan
from stitchpath.cli import main
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.plan import Move, Plan, RoutedJob, Span, StitchPath
from stitchpath.planner import make_plan
from stitchpath.settings import ScheduleSettings

BLOCKS = (block(1, 1), block(2, 1))
SEAM = Line([(0, 100), (100, 100)], Role.DITCH, "cream", "ditch")
FILLS = tuple(fill(one, thread="cream") for one in BLOCKS)
SPUR = Line([(0, 50), (0, 100)], Role.FILL, "cream", "fill", BLOCKS[0].name)
DRAWING = Drawing(lines=(SEAM, *FILLS, SPUR), blocks=BLOCKS)

# 30 s an end: on the seam 1, on a fill 4. Path 1 sews the seam towards the spur and runs on up it.
FIRST = StitchPath(
    [(100, 100), (0, 100), (0, 50), (100, 50)],
    (Span(Move.SEW, 0, 1, 1, "seams"), Span(Move.SEW, 1, 2, 4, "detail"), Span(Move.SEW, 2, 3, 2, "detail")),
    "cream",
)
SECOND = StitchPath(FILLS[1].points_mm, (Span(Move.SEW, 0, 1, 3, "detail"),), "cream")
SEAMS = RoutedJob(1, "seams", 60.0, 60.0, 0.0, 1, False, 0.5, "cream", "")
ABOVE = RoutedJob(1, "detail", 120.0 - 30.0, 90.0, 0.0, 0, True, 0.5, "cream", "row 1")
BELOW = RoutedJob(1, "detail", 240.0, 240.0, 240.0, 1, False, 0.5, "cream", "row 2")
PLAN = Plan(Drawing(lines=()), (FIRST, SECOND), (SEAMS, ABOVE, BELOW), bound=300.0)


def kinds(seams=SEAMS, above=ABOVE, below=BELOW, **others):
    return {f.kind for f in check_plan(replace(PLAN, jobs=(seams, above, below), **others), DRAWING)}


def test_a_true_plan_whose_path_runs_on_holds():
    assert kinds() == set()


@pytest.mark.parametrize(
    ("jobs", "found"),
    [
        ({"seams": replace(SEAMS, unit_s=4096.0)}, {"unit"}),
        ({"seams": replace(SEAMS, unit_s=0.25)}, {"unit"}),
        ({"seams": replace(SEAMS, unit_s=0.0)}, {"unit"}),
        ({"seams": replace(SEAMS, unit_s=float("nan"))}, {"unit"}),
        ({"below": replace(BELOW, bound=240.0 - 1 / 3)}, {"unit"}),
        ({"below": replace(BELOW, forced=240.5)}, {"forced"}),
        ({"below": replace(BELOW, forced=-240.0)}, {"forced"}),
        ({"below": replace(BELOW, forced=float("nan"))}, {"forced"}),
        ({"below": replace(BELOW, cost=-1.0, bound=-1.0, forced=-1.0)}, {"cost", "bound"}),
        ({"below": replace(BELOW, thread="green")}, {"totals", "cost"}),
        ({"below": replace(BELOW, band=2)}, {"totals", "cost"}),
        ({"below": replace(BELOW, group="row 7")}, {"group"}),
        ({"below": replace(BELOW, group="row 1")}, {"group"}),
        ({"above": replace(ABOVE, run_on=False)}, {"run on"}),
        ({"below": replace(BELOW, run_on=True)}, set()),  # within a stage no span tells
        ({"seams": replace(SEAMS, run_on=True)}, {"run on"}),
        ({"seams": replace(SEAMS, cost=90.0), "above": replace(ABOVE, cost=60.0, bound=60.0)}, {"cost"}),
        ({"seams": replace(SEAMS, paths=0), "above": replace(ABOVE, paths=1)}, {"totals"}),
    ],
)
def test_a_false_statement_is_found(jobs, found):
    assert kinds(**jobs) == found


def test_no_unit_widens_what_a_cost_may_be():
    """A plan that states ten times its cost, calls it optimal, and a unit in which that is rounding."""
    jobs = {job.group: replace(job, cost=10 * job.cost, bound=10 * job.cost, unit_s=1e6) for job in PLAN.jobs}
    assert kinds(*jobs.values(), bound=3900.0) == {"unit", "cost"}
    fine = {name: replace(job, unit_s=0.5) for name, job in jobs.items()}
    assert kinds(*fine.values(), bound=3900.0) == {"cost"}


def test_an_only_jobs_bound_is_the_plans():
    path = replace(SECOND, spans=(replace(SECOND.spans[0], line=1),))
    alone = Plan(Drawing(lines=()), (path,), (BELOW,), bound=240.0)
    drawing = Drawing(lines=(FILLS[1],), blocks=BLOCKS)
    assert check_plan(alone, drawing) == ()
    assert {f.kind for f in check_plan(replace(alone, bound=200.0), drawing)} == {"bound"}


@pytest.mark.parametrize("stages", ["default", "all in one"])
@pytest.mark.parametrize("finish", ["stage by stage", "group by group"])
def test_what_the_planner_states_is_true(stages, finish):
    plan = make_plan(DRAWING, schedule=ScheduleSettings(stages=stages, finish=finish, groups="rows"))
    assert check_plan(plan, DRAWING) == ()


def test_a_job_may_cost_less_than_nothing():
    """It takes a path on from open cloth to a seam, and saves more than the end there costs."""
    up, on = Line([(0, 0), (0, 200)], Role.FILL), Line([(0, 200), (0, 202)], Role.STRIP)
    seams = [Line([(-9, y), (9, y)], Role.HIDDEN) for y in (0, 202)]
    stages = [{"name": "first", "roles": ["fill"]}, {"name": "then", "roles": ["strip"]}]
    drawing = Drawing((up, on), tuple(seams))
    plan = make_plan(drawing, schedule=ScheduleSettings(stages=stages))
    first, then = plan.jobs
    assert (then.run_on, then.cost) == (True, -30.0)
    assert check_plan(plan, drawing) == ()
    less = replace(plan, jobs=(first, replace(then, cost=-121.0, bound=-121.0)), bound=-40.0)
    assert [f.message for f in check_plan(less, drawing) if "nothing" in f.message] == [
        'band 1, stage "then" states a cost of -121.000 s, less than nothing'
    ]


def test_a_tenfold_cost_in_a_file_that_is_called_optimal_is_found(tmp_path):
    """With jobs, bound, totals and hashes all in segment, and a unit that would make room for it."""
    design = tmp_path / "leaves.toml"
    design.write_text(TWO_LEAVES, encoding="utf-8")
    assert main(["plan", str(design), "--out", str(tmp_path), "--quiet"]) == 0
    file, manifest = tmp_path / "leaves.json", tmp_path / "leaves-manifest.json"
    document = json.loads(file.read_text(encoding="utf-8"))
    for job in document["jobs"]:
        job["cost"] = job["bound"] = 10 * job["cost"]
        job["optimal"], job["unit_s"] = True, 1e9
    document["totals"]["cost"] = document["bound"] = sum(job["cost"] for job in document["jobs"])
    file.write_text(json.dumps(document), encoding="utf-8")
    manifest.unlink()
    found = check_folder(design, tmp_path, "leaves")
    assert {finding.kind for finding in found} == {"manifest", "unit", "cost"}
