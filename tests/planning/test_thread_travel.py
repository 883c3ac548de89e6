"""Travel over lines that are sewn in another thread: charged, forbidden, or free where threads match."""

import numpy as np
import pytest
from hypothesis import given
from plans import edge_at, line, weighed
from strategies import thread_settings

from stitchpath.check import check_plan
from stitchpath.drawing import Drawing
from stitchpath.figures import plan_figures
from stitchpath.formats.document import write_json
from stitchpath.formats.read_document import read_plan
from stitchpath.lines import Line
from stitchpath.planner import make_plan
from stitchpath.planning.thread_travel import thread_travel
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings

BRIDGE = line((100, 0), (200, 0))
"""White: it joins two grey lines, which so need one path or two."""
LINES = [line((0, 0), (100, 0)), line((200, 0), (300, 0)), BRIDGE]
DRAWING = Drawing.from_lines(LINES, roles="strip", threads=["grey", "grey", "white"])
SCHEDULE = {"stages": "all in one", "threads": ["white", "grey"]}
FIRST_WHITE = ScheduleSettings(**SCHEDULE)
OVER_IT_S = 100 / 50 * 5
"""What travel over the bridge costs in its own thread."""


def planned(*, schedule=FIRST_WHITE, **cost):
    plan = make_plan(DRAWING, schedule=schedule, cost=CostSettings(**cost))
    assert check_plan(plan, DRAWING) == ()
    return plan


def travelled(plan):
    return sum(path.travel_mm for path in plan)


def test_travel_over_another_thread_costs_its_times_as_much():
    plan = planned()
    assert (len(plan), travelled(plan)) == (2, pytest.approx(100))
    ends = 60 / 2 * 2 * 4
    assert plan.cost == pytest.approx(ends + 5 * OVER_IT_S)
    assert all(job.optimal for job in plan.jobs)
    figures = plan_figures(plan)
    assert figures.travel_over_others_mm == pytest.approx(100)
    assert figures.travel_cost_s == pytest.approx(5 * OVER_IT_S)


@pytest.mark.parametrize(("times", "paths"), [(1, 2), (11.9, 2), (12.1, 3), (100, 3)])
def test_it_is_travelled_as_long_as_that_is_cheaper_than_two_more_ends(times, paths):
    """Two ends on a strip cost 120 s; over the bridge it is 10 s, times the factor."""
    plan = planned(other_thread_shows=times)
    assert len(plan) == paths
    assert all(job.optimal for job in plan.jobs)


@pytest.mark.parametrize(
    ("schedule", "over"),
    [
        ({}, "charged"),
        ({"kept_clear": "none"}, "charged"),
        ({"kept_clear": "all"}, "forbidden"),
        ({"kept_clear": ["white"]}, "forbidden"),
        ({"kept_clear": ["grey"]}, "charged"),
        ({"kept_clear": []}, "charged"),
        ({"matching_threads": [["white", "grey"]]}, "free"),
        ({"matching_threads": [["grey", "white"]], "kept_clear": "all"}, "free"),
    ],
)
def test_a_design_says_over_what_no_other_thread_travels_and_what_matches(schedule, over):
    plan = planned(schedule=ScheduleSettings(**SCHEDULE, **schedule))
    assert (len(plan), travelled(plan)) == ((3, 0) if over == "forbidden" else (2, pytest.approx(100)))
    travel = {"charged": 5 * OVER_IT_S, "free": OVER_IT_S, "forbidden": 0}[over]
    assert plan.cost == pytest.approx(60 * 2 * len(plan) + travel)
    assert all(job.optimal for job in plan.jobs)


def test_a_hidden_seam_has_no_thread_whatever_travels_there():
    """Both threads travel along the same seam, one after the other, at the seam's own price."""
    pairs = [*LINES[:2], line((100, 0), (100, 100)), line((200, 0), (200, 100))]
    drawing = Drawing.from_lines(
        pairs, roles="strip", threads=["grey", "grey", "white", "white"], hidden=[BRIDGE]
    )
    plan = make_plan(drawing, schedule=ScheduleSettings(stages="all in one", kept_clear="all"))
    assert check_plan(plan, drawing) == ()
    assert [path.thread for path in plan] == ["grey", "white"]
    figures = plan_figures(plan)
    assert figures.travel_hidden_mm == pytest.approx(2 * 100)
    assert figures.travel_over_others_mm == 0


def test_over_basting_any_thread_travels():
    drawing = Drawing.from_lines(LINES, roles=["strip", "strip", "baste"], threads=["grey", "grey", "white"])
    plan = make_plan(drawing, schedule=ScheduleSettings(kept_clear="all"))
    assert check_plan(plan, drawing) == ()
    figures = plan_figures(plan)
    assert (len(plan), figures.travel_over_others_mm) == (2, 0)
    assert figures.travel_seams_mm == pytest.approx(100)


def test_a_line_left_to_the_hand_has_its_own_thread():
    roles = ["strip", "strip", "ditch"]
    drawing = Drawing.from_lines(LINES, roles=roles, threads=["grey", "grey", "white"])
    hand = {"by_hand": ["ditch"], "travel_by_hand": True}
    plan = make_plan(drawing, schedule=ScheduleSettings(**hand))
    assert check_plan(plan, drawing) == ()
    ends, back_over_both = 30 * 2, 2 * OVER_IT_S
    assert plan.cost == pytest.approx(ends + back_over_both + 5 * 100 / 50)
    assert plan_figures(plan).travel_over_others_mm == pytest.approx(100)
    clear = make_plan(drawing, schedule=ScheduleSettings(**hand, kept_clear=["white"]))
    assert check_plan(clear, drawing) == ()
    assert (len(clear), plan_figures(clear).travel_over_others_mm) == (2, 0)


def test_a_bobbin_that_ends_where_travel_is_charged_saves_the_charge():
    """Two long lines and the white one between them; from one end of that to the other nothing is sewn."""
    rows = [line((0, y), (3000, y)) for y in (0, 10)]
    between, threads = line((3000, 0), (3000, 10)), ["grey", "grey", "white"]
    drawing = Drawing.from_lines([*rows, between], roles=["strip", "strip", "ditch"], threads=threads)
    machine = MachineSettings(bobbin_m=6, tail=0)
    costs = {}
    for end in ("anywhere", "in seams"):
        plan = make_plan(drawing, machine=machine, schedule=ScheduleSettings(bobbins_end=end))
        assert check_plan(plan, drawing) == ()
        costs[end] = len(plan), plan.cost
    assert costs["anywhere"] == (2, pytest.approx(30 * 2 + 60 * 2 + 5 * 10 / 50))
    assert costs["in seams"] == (3, pytest.approx(30 * 2 + 60 * 2 + 30 * 2))


def test_where_it_is_sewn_is_told_edge_by_edge():
    network, weights = weighed(DRAWING, schedule=ScheduleSettings(kept_clear=["white"]))
    bridge = edge_at(network, 150, 0)
    others = np.flatnonzero(weights.threads.others("grey")).tolist()
    assert others == [bridge]
    grey, white = weights.in_thread("grey"), weights.in_thread("white")
    assert (grey.most[bridge], white.most[bridge]) == (0, 2)
    assert (grey.travel[bridge], white.travel[bridge]) == (5 * weights.travel[bridge], weights.travel[bridge])
    assert not weights.threads.others("no such thread").any()


def test_what_a_design_says_of_threads_is_read_back(tmp_path):
    schedule = ScheduleSettings(**SCHEDULE, kept_clear=["grey"], matching_threads=[["white", "grey"]])
    plan = planned(schedule=schedule, other_thread_shows=2.5)
    write_json(plan, tmp_path / "plan.json")
    assert read_plan(tmp_path / "plan.json") == plan


def test_one_thread_alone_leaves_everything_as_it_is():
    _, weights = weighed(Drawing.from_lines(LINES, roles="strip", threads="grey"))
    assert weights.in_thread("grey") is weights
    assert (weights.over_others == weights.travel).all()


@given(thread_settings())
def test_each_thread_is_other_than_those_that_do_not_match(asked):
    names, sewn, schedule = asked
    lines = [Line([(0, 0), (9, 0)], thread=name) for name in sewn]
    found = thread_travel(np.arange(-1, len(lines)), lines, schedule)
    lists = [set(matching) for matching in schedule.matching_threads]
    for name in names:
        others = [
            other != name and not any({name, other} <= one for one in lists) and name in sewn
            for other in sewn
        ]
        assert found.others(name).tolist() == [False, *others]
    clear = schedule.kept_clear
    shut = {"all": names, "none": []}.get(clear, clear) if isinstance(clear, str) else clear
    assert found.shut.tolist() == [False, *(name in shut for name in sewn)]
