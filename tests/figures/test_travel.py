"""Travel step by step, added up by hand."""

import numpy as np
import pytest
from figure_plans import RESUME, SECURE, SEW, STEP, TRAVEL, path, plan_of
from hypothesis import given, settings
from strategies import moves_of_paths

from stitchpath.drawing import Drawing
from stitchpath.figures import plan_figures
from stitchpath.figures.travel import Travel, longest_visible_mm, over_other, travel_of
from stitchpath.lines import Line, Role
from stitchpath.settings import CostSettings, ScheduleSettings

FILL, STRIP = Line([(0, 0), (30, 0)], Role.FILL), Line([(30, 0), (30, 40)], Role.STRIP)
SEAM, HIDDEN = Line([(0, 0), (0, 50)], Role.DITCH), Line([(30, 40), (0, 40)], Role.HIDDEN)
DRAWING = Drawing((FILL, STRIP, SEAM), (HIDDEN,))
ROUND = [(0, 0), (30, 0), (30, 40), (0, 40), (0, 0)]


def test_each_step_has_its_length_role_and_place():
    along = path(ROUND, (TRAVEL, 0, 1, 1), (TRAVEL, 1, 2, 2), (TRAVEL, 2, 3, None), (TRAVEL, 3, 4, 3))
    again = path(ROUND, (SEW, 0, 1, 1), (TRAVEL, 1, 2, 2), (SEW, 2, 4, 3))
    travel = travel_of(plan_of(DRAWING, along, again))
    assert travel.mm.tolist() == [30, 40, 30, 40, 40]
    assert travel.asked.tolist() == [True, True, False, True, True]
    assert travel.visible.tolist() == [True, True, False, False, True]
    assert travel.shows.tolist() == [20, 5, 1, 1, 5]
    assert np.diff(travel.place).tolist()[:3] == [1, 1, 1]
    assert np.diff(travel.place)[3] > 1
    assert longest_visible_mm(travel) == 70


def test_a_step_over_open_cloth_has_a_price_of_its_own_and_is_no_retrace():
    one = path(ROUND, (TRAVEL, 0, 1, 1), (STEP, 1, 2, None), (TRAVEL, 2, 3, None), (SEW, 3, 4, 3))
    plan = plan_of(DRAWING, one, cost_settings=CostSettings(roles={"step": {"shows": 7}}))
    travel = travel_of(plan)
    assert travel.open.tolist() == [False, True, False]
    assert travel.asked.tolist() == [True, False, False]
    assert travel.visible.tolist() == [True, True, False]
    assert travel.shows.tolist() == [20, 7, 1]
    assert longest_visible_mm(travel) == 30
    figures = plan_figures(plan)
    assert (figures.steps, figures.travel_open_mm, figures.travel_hidden_mm) == (1, 40, 30)
    assert (figures.travel_lines_mm, figures.travel_mm) == (30, 100)
    assert figures.travel_cost_s == pytest.approx((30 * 20 + 40 * 7 + 30) / 50)


def test_from_the_third_time_on_travel_shows_more_whichever_way_and_path():
    """Small stitches and what takes up a cut line again are no times."""
    cost = CostSettings(roles={"strip": {"builds_up": 0.5}, "hidden": {"builds_up": 2}})
    forth, back = ROUND[1:3], ROUND[2:0:-1]
    one = path([*forth, *back[1:]], (SECURE, 0, 1, 2), (RESUME, 1, 2, 2))
    two = path([*forth, *back[1:], *forth[1:]], (SEW, 0, 1, 2), (TRAVEL, 1, 3, 2))
    three = path([*back, *forth[1:], ROUND[3]], (TRAVEL, 0, 2, 2), (TRAVEL, 2, 3, None))
    plan = plan_of(DRAWING, one, two, three, cost_settings=cost)
    travel = travel_of(plan)
    assert travel.times.tolist() == [2, 3, 4, 5, 1]
    assert travel.shows.tolist() == [5, 7.5, 10, 12.5, 1]
    assert plan_figures(plan).travel_cost_s == pytest.approx((40 * 35 + 30) / 50)


@settings(deadline=None, max_examples=40)
@given(moves_of_paths([SEW, TRAVEL, RESUME, SECURE], [1, None]))
def test_all_that_is_travel_is_counted_and_nothing_else(asked):
    """Paths to the right along y = 0, in whole millimetres; only travel on line 1 shows."""
    drawing = Drawing((Line([(0, 0), (99, 0)], Role.ECHO),))
    paths = []
    for moves in asked:
        ends = np.cumsum([0, *(mm for _, mm, _ in moves)])
        paths.append(
            path([(x, 0) for x in ends], *((move, i, i + 1, line) for i, (move, _, line) in enumerate(moves)))
        )
    travel = travel_of(plan_of(drawing, *paths))
    wanted = [(mm, line) for moves in asked for move, mm, line in moves if move is TRAVEL]
    assert travel.mm.tolist() == pytest.approx([mm for mm, _ in wanted])
    assert travel.asked.tolist() == [line == 1 for _, line in wanted]
    # A step that names no line lies on a hidden seam, and shows as that does, whatever runs there.
    assert travel.visible.tolist() == [line == 1 for _, line in wanted]
    runs = [0]
    for moves in asked:
        runs.append(0)
        for move, mm, line in moves:
            if move is TRAVEL and line == 1:
                runs[-1] += mm
            else:
                runs.append(0)
    assert longest_visible_mm(travel) == pytest.approx(max(runs))


def test_no_travel():
    travel = travel_of(plan_of(DRAWING, path(ROUND, (SEW, 0, 4, 1))))
    assert isinstance(travel, Travel)
    assert (len(travel.mm), longest_visible_mm(travel)) == (0, 0.0)


@pytest.mark.parametrize(
    ("role", "matching", "over"),
    [
        (Role.STRIP, [], True),
        (Role.DITCH, [], True),
        (Role.BASTE, [], False),
        (Role.STRIP, [["red", "grey"]], False),
        (Role.STRIP, [["red", "blue"]], True),
    ],
)
def test_travel_over_another_thread_shows_more_unless_it_matches(role, matching, over):
    lines = Line([(0, 0), (30, 0)], role, "grey"), Line([(30, 0), (30, 40)], role, "red")
    red = path(
        ROUND, (TRAVEL, 0, 1, 1), (TRAVEL, 1, 2, 2), (TRAVEL, 2, 3, None), (SEW, 3, 4, 2), thread="red"
    )
    about = {"schedule": ScheduleSettings(matching_threads=matching)}
    plan = plan_of(Drawing(lines), red, cost_settings=CostSettings(other_thread_shows=3), **about)
    travel = travel_of(plan)
    assert travel.over_other.tolist() == [over, False, False]
    shows = plan.cost_settings.rules()[role].shows
    assert travel.shows.tolist() == [shows * (3 if over else 1), shows, 1]
    assert plan_figures(plan).travel_over_others_mm == (30 if over else 0)
    assert [over_other(plan, red, span) for span in red.spans] == [over, False, False, False]
