"""Bobbins end in seams: the cheapest cuts against exhaustive search, and what a plan with cuts states."""

from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from strategies import bobbin_stretches, lines, picked, seams_across, whole, yes_or_no

from stitchpath.check import check_plan
from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.figures import plan_figures, thread_use_of
from stitchpath.figures.thread_use import usable_bobbin_mm
from stitchpath.lines import Line, Role
from stitchpath.planner import make_plan
from stitchpath.planning.paths.bobbins import BobbinPlace, fewest_at_least_cost
from stitchpath.settings import BattingSettings, MachineSettings, ScheduleSettings

PLAIN = BattingSettings(thickness="2.54 mm")
"""As thick as a stitch is long: two lengths of thread above and below for each length sewn."""


def planned(drawing, bobbin_mm, *, bobbins_end="in seams", schedule=None, **about):
    machine = MachineSettings(**{"tail": "0 mm", "thread_waste": 0.0, "bobbin_m": bobbin_mm / 1000, **about})
    schedule = ScheduleSettings(bobbins_end=bobbins_end, **(schedule or {}))
    return make_plan(drawing, machine=machine, schedule=schedule, batting=PLAIN)


def cheapest(places, bobbin_mm):
    """The least cost and number of changes, over all choices; None where there is none."""
    found = []
    inner = range(1, len(places) - 1)
    for count in range(len(inner) + 1):
        for chosen in combinations(inner, count):
            ends = [0, *chosen, len(places) - 1]
            reach = [places[b].ends_mm - places[a].begins_mm for a, b in pairwise(ends)]
            if max(reach) <= bobbin_mm:
                found.append((sum(places[i].cost for i in chosen), count))
    return min(found, default=None)


@given(bobbin_stretches(), whole(5, 30))
@settings(derandomize=True, deadline=None, max_examples=300)
def test_the_cheapest_changes_and_of_those_the_fewest(steps, bobbin_mm):
    """A change within a path takes one more of thread on either side; one between paths costs nothing."""
    places, used = [BobbinPlace(0, 0, 0, 0, 0, 0)], 0
    for mm, cost, within in steps:
        used += mm + 2
        places.append(BobbinPlace(used + within, used - within, cost if within else 0, 0, 0, 0))
    best = cheapest(places, bobbin_mm)
    told = fewest_at_least_cost(places, bobbin_mm)
    anyway = fewest_at_least_cost(places, bobbin_mm, required=False)
    if isinstance(told, int):
        assert best is None
        order = [0, *(next(i for i, one in enumerate(places) if one is place) for place in anyway)]
        for a, b in pairwise([*order, len(places) - 1]):
            assert places[b].ends_mm - places[a].begins_mm <= bobbin_mm or b == a + 1
    else:
        assert anyway == told
        assert (sum(place.cost for place in told), len(told)) == best
        ends = [places[0], *told, places[-1]]
        assert all(b.ends_mm - a.begins_mm <= bobbin_mm for a, b in pairwise(ends))


@given(seams_across(), whole(150, 900))
@settings(derandomize=True, deadline=None, max_examples=60)
def test_a_line_across_seams_is_cut_as_cheaply_as_can_be(seams, reach):
    """1,000 mm of fill from edge line to edge line, seams and edge lines across it; all cuts are tried."""
    seams = {0: True, 1000: True} | {10 * at: edge for at, edge in seams}
    hidden = tuple(
        Line([(at, -5), (at, 5)], Role.ALLOWANCE if edge else Role.HIDDEN) for at, edge in seams.items()
    )
    drawing = Drawing((Line([(0, 0), (1000, 0)], Role.FILL),), hidden=hidden)
    places = [BobbinPlace(at, at, 30 if seams[at] else 60, 0, 0, 0) for at in sorted(seams)]
    best = cheapest(places, reach)
    if best is None:
        with pytest.raises(DesignError, match="is empty before the path comes to a seam"):
            planned(drawing, 2 * reach)
        by_hand = planned(drawing, 2 * reach, bobbins_end=None, sewn_by="hand")
        between = np.diff([0, *sorted(at for at in seams if 0 < at < 1000), 1000])
        too_far = [int(mm) for mm in between if mm > reach]
        long = [path.sewn_mm for path in by_hand.paths if path.sewn_mm > reach]
        assert sorted(long) == pytest.approx(sorted(too_far))
        (said,) = by_hand.notes
        more = f" (and {len(long) - 1} more like it)" if len(long) > 1 else ""
        assert said.endswith(f"comes to a seam in which it could end{more}; put a new one in on the way")
        assert check_plan(by_hand, drawing) == ()
        return
    plan = planned(drawing, 2 * reach)
    assert (plan.cost, len(plan.paths)) == (pytest.approx(30 + best[0], abs=0.01), 1 + best[1])
    assert check_plan(plan, drawing) == ()


def test_where_the_path_travels_it_ends_and_begins_anew_without_the_travel():
    """Two fills of 500 mm joined by 40 mm of hidden seam; one of them fills a bobbin."""
    drawing = Drawing(
        (Line([(0, 0), (500, 0)], Role.FILL), Line([(500, 40), (0, 40)], Role.FILL)),
        hidden=(Line([(500, -9), (500, 49)], Role.HIDDEN), Line([(0, -9), (0, 9)], Role.HIDDEN),
                Line([(0, 31), (0, 49)], Role.HIDDEN)),
    )  # fmt: skip
    whole = planned(drawing, 1100, bobbins_end="anywhere")
    assert (len(whole.paths), whole.cost) == (1, pytest.approx(60 + 40 / 50, abs=0.01))
    plan = planned(drawing, 1100)
    assert (len(plan.paths), plan.cost) == (2, pytest.approx(120, abs=0.01))
    assert plan_figures(plan).travel_mm == 0
    assert plan.bound == whole.bound
    assert check_plan(plan, drawing) == ()


def test_the_check_finds_a_path_that_no_bobbin_lasts_for():
    """1,000 mm of fill take 2 m of thread and two tails; 1.9 m are there."""
    drawing = Drawing(
        (Line([(0, 0), (1000, 0)], Role.FILL),), hidden=(Line([(500, -9), (500, 9)], Role.HIDDEN),)
    )
    loose = planned(drawing, 1900, bobbins_end="anywhere", tail="20 mm")
    asked = replace(loose, schedule=ScheduleSettings(bobbins_end="in seams"))
    (finding,) = check_plan(asked, drawing)
    assert finding.kind == "bobbin"
    assert finding.message.startswith("path 1 takes 2.0 m of the bobbin's thread; a bobbin has 1.9 m")
    assert check_plan(planned(drawing, 1900, tail="20 mm"), drawing) == ()
    enough = replace(asked, machine=loose.machine.model_copy(update={"bobbin_m": 2.05}))
    assert check_plan(enough, drawing) == ()
    short = replace(asked, machine=loose.machine.model_copy(update={"bobbin_m": 2.03}))
    assert [found.kind for found in check_plan(short, drawing)] == ["bobbin"]


def test_by_hand_bobbins_end_in_seams_by_themselves():
    """A seam in the middle of 1,000 mm of fill, 1.9 m of thread; without it the path goes on, as is told."""
    fill = Line([(0, 0), (1000, 0)], Role.FILL)
    drawing = Drawing((fill,), hidden=(Line([(500, -9), (500, 9)], Role.HIDDEN),))
    plan = planned(drawing, 1900, bobbins_end=None, sewn_by="hand")
    assert ([path.sewn_mm for path in plan.paths], plan.notes) == ([500, 500], ())
    assert len(planned(drawing, 1900, bobbins_end=None).paths) == 1
    assert len(planned(drawing, 1900, bobbins_end="anywhere", sewn_by="hand").paths) == 1
    alone = planned(Drawing((fill,)), 1900, bobbins_end=None, sewn_by="hand")
    (said,) = alone.notes
    assert said.startswith("a bobbin of 1.9 m put in at x ")
    assert (len(alone.paths), check_plan(alone, alone.drawing)) == (1, ())
    with pytest.raises(DesignError, match="comes to a seam"):
        planned(Drawing((fill,)), 1900, sewn_by="hand")


def test_the_check_finds_a_path_by_hand_that_passed_a_seam_before_its_bobbin_was_empty():
    """Along 600 mm of fill, on in the ditch, 600 mm of fill again: it could end where the ditch begins."""
    lines = (
        Line([(0, 0), (600, 0)], Role.FILL),
        Line([(600, 0), (600, 90)], Role.DITCH),
        Line([(600, 90), (0, 90)], Role.FILL),
    )
    drawing, stages = Drawing(lines), {"stages": "all in one"}
    loose = planned(drawing, 1900, bobbins_end="anywhere", sewn_by="hand", schedule=stages)
    assert len(loose.paths) == 1
    by_hand = replace(loose, schedule=ScheduleSettings(**stages))
    assert [found.kind for found in check_plan(by_hand, drawing)] == ["bobbin"]
    cut = planned(drawing, 1900, bobbins_end=None, sewn_by="hand", schedule=stages)
    assert (len(cut.paths), check_plan(cut, drawing)) == (2, ())


def test_a_bobbin_that_does_not_last_is_told_where_it_is_put_in():
    """The second path begins at (1000, 500), far from where the first one, which is short, ends."""
    drawing = Drawing((Line([(0, 0), (50, 0)], Role.DITCH), Line([(1000, 500), (2000, 500)], Role.FILL)))
    with pytest.raises(DesignError, match=r"put in at x (1000|2000)\.0 mm, y 500\.0 mm is empty"):
        planned(drawing, 1500)


@given(
    lines(step_mm=50.0, fewest=1, up_to=9),
    lines(of=(Role.HIDDEN,), step_mm=50.0, up_to=4),
    whole(300, 900),
    yes_or_no(),
    picked("default", "all in one"),
)
@settings(derandomize=True, deadline=None, max_examples=40)
def test_plans_with_cuts_are_plans(asked, hidden, bobbin_mm, secured, stages):
    """Costs add up, nothing is lost, no bobbin runs out on the way, and what was proven stays proven."""
    drawing = Drawing(asked, hidden=hidden)
    about = {"tail": "10 mm", "secured": "small stitches" if secured else None}
    free = planned(drawing, bobbin_mm, bobbins_end="anywhere", schedule={"stages": stages}, **about)
    try:
        plan = planned(drawing, bobbin_mm, schedule={"stages": stages}, **about)
    except DesignError:
        assume(False)
    figures = plan_figures(plan)
    assert check_plan(plan, drawing) == ()
    parts = figures.ends_cost_s + figures.travel_cost_s + figures.leaving_cost_s
    assert parts == pytest.approx(plan.cost, abs=0.02)
    assert plan.bound == free.bound <= plan.cost
    assert all(job.bound <= job.cost for job in plan.jobs)
    assert all(end.at_path_end for end in thread_use_of(plan).bobbin_ends)
    if all(end.at_path_end for end in thread_use_of(free).bobbin_ends):
        return
    most = max(thread_use_of(replace(plan, paths=(one,))).bobbin_mm for one in plan.paths)
    assert most <= usable_bobbin_mm(plan.machine)
