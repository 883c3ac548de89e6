"""Figures against numbers worked out by hand beside each plan."""

import json
from dataclasses import fields, replace

import numpy as np
import pytest
import shapely
from figure_plans import SECURE, SEW, TRAVEL, path, plan_of
from hypothesis import given, settings
from strategies import lines

from stitchpath.drawing import Drawing
from stitchpath.figures import Wander, gap_less_forced, plan_figures
from stitchpath.lines import Block, Line, Role
from stitchpath.plan import Laps, Plan
from stitchpath.planner import make_plan
from stitchpath.records import json_text, record
from stitchpath.settings import CostSettings, MachineSettings

SQUARE = Line([(0, 0), (100, 0), (100, 100), (0, 100), (0, 0)], Role.OUTLINE)
SPUR = Line([(100, 0), (150, 0)], Role.FILL)
SEAM = Line([(150, -50), (150, 50)], Role.DITCH)
SUDDEN = MachineSettings(acceleration_mm_s2=1e6)
"""It is at speed at once, in corners too, so that times are lengths over speeds."""


@pytest.fixture
def square_with_a_spur():
    """Out along the spur and back (50 mm of visible retrace), then the square (400 mm) from (100, 0)."""
    drawing = Drawing((SQUARE, SPUR, SEAM))
    out_and_round = path(
        [(100, 0), (150, 0), (100, 0), (100, 100), (0, 100), (0, 0), (100, 0)],
        (SEW, 0, 1, 2),
        (TRAVEL, 1, 2, 2),
        (SEW, 2, 6, 1),
    )
    seam = path([(150, 50), (150, -50), (150, 0)], (SEW, 0, 1, 3), (TRAVEL, 1, 2, 3))
    return plan_of(drawing, out_and_round, seam, cost=260.0, bound=240.0, forced=60.0, laps=Laps(1, 1))


def test_lengths_and_counts(square_with_a_spur):
    figures = plan_figures(square_with_a_spur)
    assert (figures.paths, figures.tie_offs, figures.lifts) == (2, 4, 1)
    assert figures.sewn_mm == pytest.approx(400 + 50 + 100)
    assert figures.travel_seams_mm == pytest.approx(50)
    assert figures.travel_lines_mm == pytest.approx(50)
    assert figures.travel_hidden_mm == 0
    assert figures.travel_mm == pytest.approx(100)
    assert figures.longest_visible_retrace_mm == pytest.approx(50)
    assert figures.lifts_mm == pytest.approx(np.hypot(50, 50))
    assert (figures.laps, figures.outlines_touched) == (1, 1)


def test_cost_in_its_parts(square_with_a_spur):
    """Ends: (100, 0) twice on an outline (2 each), (150, 50) and (150, 0) on a seam (1 each), 30 s apiece.

    Travel: 50 mm of fill that shows 20, 50 mm of seam that shows 1, at 50 mm/s.
    """
    figures = plan_figures(square_with_a_spur)
    assert figures.ends_cost_s == pytest.approx(30 * (2 + 2 + 1 + 1))
    assert figures.travel_cost_s == pytest.approx(20 + 1)
    assert (figures.cost_s, figures.bound_s, figures.optimal) == (260, 240, False)
    assert figures.gap == pytest.approx(20 / 240)
    assert figures.gap_less_forced == pytest.approx(20 / 200)


def test_time_is_the_machines_and_cost_the_plans(square_with_a_spur):
    plan = square_with_a_spur
    slow = plan_figures(
        plan,
        machine=SUDDEN.model_copy(
            update={"cuts_thread": True, "sewing_speed_mm_s": 10, "lift_speed_mm_s": 20}
        ),
    )
    assert slow.times.sewing_s == pytest.approx(55, abs=0.01)
    assert slow.times.travel_s == pytest.approx(10, abs=0.01)
    assert slow.times.lifts_s == pytest.approx(np.hypot(50, 50) / 20, abs=0.01)
    assert slow.times.ends_s == 50
    assert slow.times.total_s == pytest.approx(55 + 10 + np.hypot(50, 50) / 20 + 50, abs=0.01)
    own = plan_figures(plan)
    assert (slow.travel_cost_s, slow.ends_cost_s) == (own.travel_cost_s, own.ends_cost_s)
    assert "10 mm/s" in slow.times.assumptions[0]
    assert "25 s" in slow.times.assumptions[2]


def test_settings_weigh_the_cost(square_with_a_spur):
    plan = square_with_a_spur
    settings = CostSettings(path_cost_s=10, roles={"fill": {"shows": 3}, "ditch": {"end_shows": 7}})
    figures = plan_figures(Plan(plan.drawing, plan.paths, plan.jobs, 0.0, cost_settings=settings))
    assert figures.travel_cost_s == pytest.approx(3 + 1)
    assert figures.ends_cost_s == pytest.approx(5 * (2 + 2 + 7 + 4))  # (150, 0): the fill (4) is less now


def test_hidden_travel_and_a_retrace_over_several_spans():
    """Two fills on end retraced in one go are one run of 30 + 20 mm; the hidden seam breaks it."""
    drawing = Drawing(
        (Line([(0, 0), (30, 0)], Role.FILL), Line([(30, 0), (50, 0)], Role.ECHO)),
        hidden=(Line([(0, 0), (0, 40)], Role.HIDDEN), Line([(0, 40), (60, 40)], Role.ALLOWANCE)),
    )
    along = path(
        [(0, 0), (30, 0), (50, 0), (30, 0), (0, 0), (0, 40), (10, 40), (0, 40), (0, 0), (10, 0)],
        (SEW, 0, 1, 1),
        (SEW, 1, 2, 2),
        (TRAVEL, 2, 3, 2),
        (TRAVEL, 3, 4, 1),
        (TRAVEL, 4, 8, None),
        (TRAVEL, 8, 9, 1),
    )
    figures = plan_figures(plan_of(drawing, along))
    assert figures.longest_visible_retrace_mm == pytest.approx(50)
    assert figures.travel_hidden_mm == pytest.approx(40 + 10 + 10 + 40)
    assert figures.travel_lines_mm == pytest.approx(60)
    assert figures.travel_cost_s == pytest.approx((60 * 20 + 100) / 50)
    assert figures.ends_cost_s == pytest.approx(30 * (1 + 4))  # a hidden seam meets (0, 0), only fill (10, 0)


def test_retraces_of_two_paths_do_not_run_together():
    drawing = Drawing((Line([(0, 0), (30, 0)], Role.FILL), Line([(0, 9), (20, 9)], Role.FILL)))
    first = path([(0, 0), (30, 0), (0, 0)], (SEW, 0, 1, 1), (TRAVEL, 1, 2, 1))
    second = path([(0, 9), (20, 9), (0, 9)], (SEW, 0, 1, 2), (TRAVEL, 1, 2, 2))
    assert plan_figures(plan_of(drawing, first, second)).longest_visible_retrace_mm == pytest.approx(30)


def test_what_coincides_counts_with_the_least_visible_role():
    """A fill along an unstitched seam: travel over it shows as the seam does, and so do its ends."""
    fill = Line([(0, 0), (50, 0)], Role.FILL)
    drawing = Drawing((fill,), hidden=(Line([(-20, 0), (200, 0)], Role.HIDDEN),))
    figures = plan_figures(
        plan_of(drawing, path([(0, 0), (50, 0), (0, 0)], (SEW, 0, 1, 1), (TRAVEL, 1, 2, 1)))
    )
    assert figures.travel_cost_s == pytest.approx(1)
    assert figures.travel_seams_mm == pytest.approx(50)
    assert figures.longest_visible_retrace_mm == 0
    assert figures.ends_cost_s == pytest.approx(30 * 2)


def test_a_crossing_line_does_not_hide_travel():
    drawing = Drawing((Line([(0, 0), (50, 0)], Role.FILL), Line([(25, -9), (25, 9)], Role.DITCH)))
    crossed = path([(0, 0), (50, 0), (0, 0)], (SEW, 0, 1, 1), (TRAVEL, 1, 2, 1))
    assert plan_figures(plan_of(drawing, crossed)).travel_cost_s == pytest.approx(20)


def test_an_end_on_the_edge_line_is_not_taken_for_a_plain_hidden_seam():
    drawing = Drawing((), hidden=(Line([(0, 0), (50, 0)], Role.ALLOWANCE),))
    only = path([(0, 0), (50, 0)], (TRAVEL, 0, 1, None))
    assert plan_figures(plan_of(drawing, only)).ends_cost_s == pytest.approx(30 * 2 * 0.5)


def test_changes_of_thread_and_advances(square_with_a_spur):
    """Cream, cream, blue, cream: two changes at 90 s. Three bands: two advances at 100 s."""
    one = [(100, 0), (150, 0)]
    paths = [
        path(one, (SEW, 0, 1, 2), thread=thread, band=band)
        for thread, band in (("cream", 1), ("cream", 2), ("blue", 2), ("cream", 3))
    ]
    machine = SUDDEN.model_copy(update={"reach": 300, "advance_s": 100})
    windows = ((0, 300), (250, 550), (500, 800))
    figures = plan_figures(plan_of(square_with_a_spur.drawing, *paths, machine=machine, windows=windows))
    assert (figures.thread_changes, figures.times.thread_changes_s) == (2, 180)
    assert (figures.advances, figures.times.advances_s) == (2, 200)
    assert figures.times.total_s == pytest.approx(4 * 50 / 50 + 3 * 50 / 150 + 4 * 60 + 180 + 200, abs=0.01)


def test_all_in_reach_is_no_advance_and_one_thread_no_change(square_with_a_spur):
    figures = plan_figures(square_with_a_spur)
    assert (figures.thread_changes, figures.times.thread_changes_s) == (0, 0)
    assert (figures.advances, figures.times.advances_s) == (0, 0)
    assert "advancing the quilt and " in figures.times.assumptions[-1]
    reached = replace(square_with_a_spur, windows=((0, 900),))
    assert plan_figures(reached).advances == 0
    assert "advancing" not in plan_figures(reached).times.assumptions[-1]


def test_stitches_that_only_secure_are_neither_sewing_nor_travel(square_with_a_spur):
    """Three of them at each end of the spur's own path, over the line: they take thread, nothing else."""
    plain = path([(100, 0), (150, 0)], (SEW, 0, 1, 2))
    secured = path(
        [(101, 0), (102, 0), (101, 0), (100, 0), (150, 0), (149, 0)],
        (SECURE, 0, 3, 2),
        (SEW, 3, 4, 2),
        (SECURE, 4, 5, 2),
    )
    drawing = square_with_a_spur.drawing
    bare, held = (plan_figures(plan_of(drawing, one)) for one in (plain, secured))
    assert replace(held, thread=bare.thread) == bare
    assert held.thread.needle_mm > bare.thread.needle_mm
    assert held.sewn_mm == 50
    assert (held.travel_mm, held.ends_cost_s) == (0, 30 * (2 + 1))


def test_ends_and_wander_are_among_the_figures(square_with_a_spur):
    """The first path begins and ends on the square's corner, the seam's path in the seam."""
    figures = plan_figures(square_with_a_spur)
    assert (figures.open_ends, figures.open_end_paths) == (2, (1,))
    assert (figures.wander, figures.wander_median, figures.wander_greatest) == ((), None, None)
    named = Line(SQUARE.points_mm, Role.OUTLINE, block="pear"), SPUR, SEAM
    blocks = (Block("pear", (0, 0, 100, 100), 1, 1),)
    figures = plan_figures(replace(square_with_a_spur, drawing=Drawing(named, blocks=blocks)))
    assert figures.wander == (Wander("pear", 400, 400),)
    assert (figures.wander_median, figures.wander_greatest) == (1, 1)


def test_slowing_down_takes_time_but_changes_no_length(square_with_a_spur):
    """Five runs to or from a stop, a turn back, or a corner: each is later than at speed at once."""
    soft, sudden = plan_figures(square_with_a_spur), plan_figures(square_with_a_spur, machine=SUDDEN)
    assert soft.times.sewing_s > sudden.times.sewing_s + 0.1
    assert soft.times.travel_s == pytest.approx(2 * (50 / 50 + 50 / 500), abs=0.1)
    assert (soft.sewn_mm, soft.travel_mm, soft.cost_s) == (sudden.sewn_mm, sudden.travel_mm, sudden.cost_s)


def test_the_document_holds_every_figure_and_what_it_assumes(square_with_a_spur):
    figures = plan_figures(square_with_a_spur)
    told = record(figures)
    assert {field.name for field in fields(figures)} < set(told)
    assert (told["tie_offs"], told["travel_mm"], told["gap"]) == (
        figures.tie_offs, figures.travel_mm, figures.gap
    )  # fmt: skip
    assert told["times"]["assumptions"] == list(figures.times.assumptions)
    assert told["thread"]["threads"][0]["needle_mm"] == figures.thread.needle_mm
    for part in (told, told["times"], told["thread"], told["evenness"]):
        assert all(part["assumptions"])


def test_a_document_can_be_made_where_ratios_are_infinite():
    blocks = Block("a", (0, 0, 9, 9), 1, 1), Block("b", (9, 0, 18, 9), 1, 2)
    drawing = Drawing((Line([(0, 0), (9, 0)], block="a"),), outline=shapely.box(0, 0, 18, 9), blocks=blocks)
    figures = plan_figures(plan_of(drawing, path([(0, 0), (9, 0)], (SEW, 0, 1, 1)), cost=1.0))
    assert (figures.gap, figures.evenness.uneven[0].ratio) == (float("inf"), float("inf"))
    told = json.loads(json_text(figures))
    assert (told["gap"], told["evenness"]["uneven"][0]["ratio"]) == (None, None)
    assert told["gap_unquilted"]["radius_mm"] == pytest.approx(4.5, abs=1e-3)
    assert told["evenness"]["uneven"][0]["denser"]["block"] == "a"


def test_gaps_of_nothing_and_of_no_bound():
    assert gap_less_forced(60, 60, 60) == 0
    assert gap_less_forced(61, 60, 61) == float("inf")


@given(lines(step_mm=10.0, fewest=1, up_to=9), lines(of=(Role.HIDDEN, Role.ALLOWANCE), step_mm=10.0, up_to=3))
@settings(deadline=None, derandomize=True, max_examples=60)
def test_real_plans_add_up(asked, hidden):
    """What is sewn first is the union of the lines (by GEOS); the parts counted again are the stated cost."""
    drawing = Drawing(asked, hidden=hidden)
    plan = make_plan(drawing)
    figures = plan_figures(plan)
    union = shapely.union_all([shapely.LineString(line.points_mm) for line in drawing.lines])
    assert figures.sewn_mm == pytest.approx(union.length, abs=0.05)
    parts = figures.ends_cost_s + figures.travel_cost_s + figures.leaving_cost_s
    assert parts == pytest.approx(plan.cost, abs=0.02)
    assert sum(at.ends for at in figures.ends) == figures.tie_offs
    assert figures.bound_s <= figures.cost_s
    assert figures.longest_visible_retrace_mm <= figures.travel_lines_mm + 1e-9
