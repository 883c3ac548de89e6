"""Paths leave blocks as often as the jobs state: counted by hand, and in plans made."""

from dataclasses import replace

import pytest
from figure_plans import SECURE, SEW, STEP, TRAVEL

from stitchpath.check import check_plan
from stitchpath.check.rules.crossings import crossings_hold
from stitchpath.check.rules.evidence import Asked, look_at
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.plan import Plan, RoutedJob, Span, StitchPath
from stitchpath.planner import make_plan
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings

SEAM = Line([(100, 0), (100, 100)], Role.DITCH)
ACROSS = tuple(Line([(0, y), (300, y)], Role.FILL) for y in (30, 60))
INNER = Line([(120, 80), (180, 80)], Role.OUTLINE)
EDGE = Line([(0, 0), (300, 0), (300, 100), (0, 100), (0, 0)], Role.HIDDEN)
HIDDEN = Line([(200, 0), (200, 100)], Role.HIDDEN)
TOP = Drawing((SEAM, *ACROSS, INNER), (EDGE, HIDDEN))
"""Three blocks side by side: a seam that is stitched and one that is not, and two lines across them all."""

FREE = CostSettings(leaving_block_s=0)


def path(points, *spans, band=1, stage="detail"):
    return StitchPath(points, tuple(Span(*span, stage=stage) for span in spans), band=band)


def across(*xs, line=2, **about):
    return path([(x, 30 * (line - 1)) for x in xs], (SEW, 0, len(xs) - 1, line), **about)


def turned_at_the_seam(end, move=TRAVEL, **about):
    """To the seam, along it, and on along the other line to this end."""
    return path([(50, 30), (100, 30), (100, 60), (end, 60)],
                (SEW, 0, 1, 2), (move, 1, 2, 1), (SEW, 2, 3, 3), **about)  # fmt: skip


def job(crossings, *, band=1, stage="detail"):
    return RoutedJob(band, stage, 0.0, 0.0, 0.0, 1, False, 1.0, crossings=crossings)


def messages(paths, *jobs, cost=None, stages="default"):
    """What is said of paths of the top where jobs state so many crossings."""
    asked = Asked(TOP, cost or CostSettings(), schedule=ScheduleSettings(stages=stages))
    found = crossings_hold(look_at(paths, asked), Plan(TOP, tuple(paths), jobs, 0.0))
    return [finding.message for finding in found]


def said(stated, counted, band=1):
    stating = f"band {band} is stated to leave blocks {stated} times for those beside them"
    return f"{stating}; it does so {counted} times"


@pytest.mark.parametrize(
    ("paths", "count"),
    [
        ([], 0),
        ([across(0, 100, 200, 300)], 2),
        ([across(0, 100), across(100, 200), across(200, 300)], 0),
        ([across(0, 100), across(100, 200, 300)], 1),
        ([across(0, 100, 200, 300), across(300, 200, 100, 0, line=3)], 4),
        ([turned_at_the_seam(50)], 0),
        ([turned_at_the_seam(150)], 1),
        ([path([(200, 60), (150, 60), (150, 80), (120, 80)],
               (SEW, 0, 1, 3), (STEP, 1, 2, None), (SEW, 2, 3, 4))], 0),
        ([path([(150, 30), (100, 30), (50, 30)], (SEW, 0, 1, 2), (SECURE, 1, 2, 2))], 0),
    ],
)  # fmt: skip
def test_only_the_count_that_is_true_holds(paths, count):
    assert messages(paths, job(count)) == []
    for off in (count + 1, count - 1):
        assert messages(paths, job(off)) == [said(off, count)]


def test_among_other_lines_a_seam_sewn_for_the_first_time_has_two_sides_as_well():
    for move in ((), (SEW,)):
        path = turned_at_the_seam(150, *move, stage="all")
        assert messages([path], job(1, stage="all"), stages="all in one") == []
        assert messages([path], job(0, stage="all"), stages="all in one") == [said(0, 1)]


def test_in_a_stage_of_nothing_but_seams_no_block_is_left():
    assert messages([across(0, 100, 200, 300, stage="seams")], job(0, stage="seams")) == []
    assert messages([across(0, 100, 200, 300, stage="seams")], job(2, stage="seams")) == [said(2, 0)]


def test_each_band_is_counted_by_itself():
    paths = [across(0, 100, 200, 300), across(0, 100, 200, line=3, band=2)]
    assert messages(paths, job(2), job(1, band=2)) == []
    assert messages(paths, job(1), job(2, band=2)) == [said(1, 2), said(2, 1, band=2)]
    assert messages(paths, job(2)) == [said(0, 1, band=2)]
    assert messages(paths, job(2), job(1, band=2), job(1, band=3)) == [said(1, 0, band=3)]


def test_jobs_of_one_band_are_added_up():
    assert messages([across(0, 100, 200, 300)], job(1), job(1, stage="all")) == []
    assert messages([across(0, 100, 200, 300)], job(1), job(2, stage="all")) == [said(3, 2)]


def test_where_leaving_costs_nothing_none_need_be_stated():
    paths = [across(0, 100, 200, 300)]
    assert messages(paths, job(0), cost=FREE) == []
    assert messages(paths, job(0)) == [said(0, 2)]
    assert messages(paths, job(1), cost=FREE) == [said(1, 2)]


@pytest.fixture(scope="module")
def planned():
    """Two bands with crossings in each."""
    seams = [Line([(100, y), (100, y + 100)], Role.DITCH) for y in (0, 100)]
    between = Line([(0, 100), (200, 100)], Role.HIDDEN)
    edge = Line([(0, 0), (200, 0), (200, 200), (0, 200), (0, 0)], Role.HIDDEN)
    fills = [Line([(20, y), (180, y)], Role.FILL) for y in (30, 60, 130, 170)]
    drawing = Drawing((*seams, *fills), (between, edge))
    return make_plan(drawing, machine=MachineSettings(reach=120), effort="quick")


def off_by(plan, at, more):
    """The plan in which one job states more crossings, and what they cost."""
    one = plan.jobs[at]
    price = more * plan.cost_settings.leaving_block_s
    jobs = list(plan.jobs)
    jobs[at] = replace(one, crossings=one.crossings + more, cost=one.cost + price)
    return replace(plan, jobs=tuple(jobs))


def test_a_plan_made_holds_until_one_job_states_another_count(planned):
    assert check_plan(planned, planned.drawing) == ()
    crossing = [at for at, one in enumerate(planned.jobs) if one.crossings]
    assert {planned.jobs[at].band for at in crossing} == {1, 2}
    for at in range(len(planned.jobs)):
        (finding,) = check_plan(off_by(planned, at, 1), planned.drawing)
        assert finding.kind == "crossings"
        assert f"band {planned.jobs[at].band} is stated" in finding.message
    for at in crossing:
        assert "crossings" in {one.kind for one in check_plan(off_by(planned, at, -1), planned.drawing)}
