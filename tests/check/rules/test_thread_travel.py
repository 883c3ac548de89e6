"""True plans that travel over other threads hold; each is broken in one way, and that is found."""

from dataclasses import replace

import numpy as np
import pytest
from banded import SEW, TRAVEL, laid
from hypothesis import given, settings
from plans import line
from shapely import LineString
from strategies import seeds

from stitchpath.check import check_paths, check_plan
from stitchpath.check.rules.evidence import Asked, look_at
from stitchpath.check.rules.thread_travel import keeps_threads_clear, over_others_range
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.plan import Move
from stitchpath.planner import make_plan
from stitchpath.settings import CostSettings, ScheduleSettings

LINES = [line((0, 0), (100, 0)), line((200, 0), (300, 0)), line((100, 0), (200, 0))]
DRAWING = Drawing.from_lines(LINES, roles="strip", threads=["grey", "grey", "white"])
SCHEDULE = {"stages": "all in one", "threads": ["white", "grey"]}
PLAN = make_plan(DRAWING, schedule=ScheduleSettings(**SCHEDULE))


def kinds(plan, drawing=DRAWING):
    return [found.kind for found in check_plan(plan, drawing)]


def clear(*names, **more):
    return ScheduleSettings(**SCHEDULE, kept_clear=names or "all", **more)


def test_the_true_plan_travels_over_the_white_line_and_holds():
    assert check_plan(PLAN, DRAWING) == ()
    assert [span.move for span in PLAN.paths[1].spans] == [Move.SEW, Move.TRAVEL, Move.SEW]


def test_a_cost_without_the_charge_is_found():
    white, grey = PLAN.jobs
    uncharged = replace(grey, cost=grey.cost - 4 * 10, bound=grey.bound - 4 * 10, forced=0.0)
    broken = replace(PLAN, jobs=(white, uncharged), bound=0.0)
    (found,) = check_plan(broken, DRAWING)
    assert found.message.startswith(
        "the stated cost is 250.000 s; ends, travel and leaving blocks come to 289.9"
    )


@pytest.mark.parametrize("cost", [CostSettings(other_thread_shows=4.9), CostSettings(other_thread_shows=1)])
def test_a_charge_other_than_the_settings_is_found(cost):
    assert kinds(replace(PLAN, cost_settings=cost)) == ["cost"]


def test_threads_that_match_are_charged_nothing():
    matching = ScheduleSettings(**SCHEDULE, matching_threads=[["grey", "white"]])
    assert kinds(replace(PLAN, schedule=matching)) == ["cost"]
    assert check_plan(make_plan(DRAWING, schedule=matching), DRAWING) == ()


@pytest.mark.parametrize("schedule", [clear(), clear("white"), clear("grey", "white")])
def test_travel_that_the_design_forbids_is_found(schedule):
    """The true plan, whose design turns out to keep the white line clear."""
    (found,) = check_plan(replace(PLAN, schedule=schedule), DRAWING)
    said = 'path 2 travels over "white" for 100.000 mm; no other thread may, and it has "grey"'
    assert (found.kind, found.message) == ("thread", said)
    assert found.place_mm == (200, 0)


@pytest.mark.parametrize("schedule", [clear("grey"), clear(matching_threads=[["white", "grey"]])])
def test_what_is_not_forbidden_is_not_found(schedule):
    assert "thread" not in kinds(replace(PLAN, schedule=schedule))


def test_a_true_plan_that_keeps_clear_is_broken_by_one_detour():
    """The plan of the design that forbids it, led over the white line instead of ending beside it."""
    plan = make_plan(DRAWING, schedule=clear())
    assert check_plan(plan, DRAWING) == ()
    white, first, second = plan.paths
    over = laid([(0, 0), (100, 0), (200, 0), (300, 0)], [SEW, TRAVEL, SEW], stage="all", thread="grey")
    found = check_plan(replace(plan, paths=(white, over)), DRAWING)
    assert "thread" in {one.kind for one in found}
    assert {first.thread, second.thread} == {"grey"}


def test_tables_that_name_no_thread_are_read_by_their_lines():
    bare = [replace(path, thread="") for path in PLAN.paths]
    assert check_paths(bare, DRAWING, schedule=ScheduleSettings(**SCHEDULE)) == ()
    (found,) = check_paths(bare, DRAWING, schedule=clear())
    assert found.message.endswith('no other thread may, and it has "grey"')


def test_where_lines_of_two_threads_coincide_the_stitching_says_which_it_is():
    """The white line lies on a strip of red; sewn in red, it is red to the needle."""
    both = replace(DRAWING, lines=(*DRAWING.lines, Line([(100, 0), (200, 0)], Role.STRIP, "red")))
    for thread, other in (("white", "red"), ("red", "white")):
        paths = [replace(PLAN.paths[0], thread=thread), PLAN.paths[1]]
        schedule = ScheduleSettings(matching_threads=[["grey", thread]])
        seen = look_at(paths, Asked(both, schedule=schedule))
        travel = np.flatnonzero(~seen.segments.sew)
        assert [one.tolist() for one in over_others_range(seen, travel)] == [[1.0], [1.0]]
        other_schedule = ScheduleSettings(matching_threads=[["grey", other]], kept_clear="all")
        seen = look_at(paths, Asked(both, schedule=other_schedule))
        assert [one.tolist() for one in over_others_range(seen, travel)] == [[5.0], [5.0]]
        assert len(list(keeps_threads_clear(seen))) == 1


def test_a_hidden_seam_on_the_line_leaves_it_open():
    hidden = replace(DRAWING, hidden=(Line([(100, 0), (200, 0)], Role.HIDDEN),))
    seen = look_at(PLAN.paths, Asked(hidden, schedule=clear()))
    travel = np.flatnonzero(~seen.segments.sew)
    assert [one.tolist() for one in over_others_range(seen, travel)] == [[1.0], [5.0]]
    assert list(keeps_threads_clear(seen)) == []


def test_over_basting_nothing_is_charged_or_forbidden():
    drawing = replace(DRAWING, lines=(*DRAWING.lines[:2], replace(DRAWING.lines[2], role=Role.BASTE)))
    seen = look_at(PLAN.paths, Asked(drawing, schedule=clear()))
    assert [one.tolist() for one in over_others_range(seen, np.flatnonzero(~seen.segments.sew))] == [[1], [1]]
    assert list(keeps_threads_clear(seen)) == []


@settings(deadline=None, max_examples=25)
@given(seeds())
def test_plans_of_random_lines_in_three_threads_hold(seed):
    rng = np.random.default_rng(seed)
    across = [LineString([(0, y), (200, y)]) for y in range(0, 121, 40)]
    down = [LineString([(x, 0), (x, 120)]) for x in range(0, 201, 50)]
    shapes = [*across, *down, *(LineString(rng.uniform(0, 120, (2, 2))) for _ in range(3))]
    roles = rng.choice(["ditch", "strip", "fill"], len(shapes)).tolist()
    threads = rng.choice(["a", "b", "c"], len(shapes)).tolist()
    drawing = Drawing.from_lines(shapes[2:], roles=roles[2:], threads=threads[2:], hidden=shapes[:2])
    named = sorted({*threads[2:]})
    schedule = ScheduleSettings(
        kept_clear=["none", "all", named[:1]][seed % 3],
        matching_threads=[named[:2]] if seed % 2 and len(named) > 1 else [],
    )
    cost = CostSettings(other_thread_shows=[1, 5, 2.3][seed % 5 % 3])
    plan = make_plan(drawing, cost=cost, schedule=schedule, effort="quick")
    assert check_plan(plan, drawing) == ()
