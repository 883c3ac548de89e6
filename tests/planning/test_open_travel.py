"""Steps over open cloth: where they may be laid, and what they do to a plan."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from plans import circle, line, weighed
from strategies import ringed_drawings

from stitchpath import CostSettings, Drawing, KeepOut, Line, Move, Role, ScheduleSettings
from stitchpath.check import check_plan
from stitchpath.planner import make_plan
from stitchpath.planning import open_travel
from stitchpath.planning.network import build_network
from stitchpath.planning.open_travel import lay_steps

NO_STEPS = CostSettings(open_travel=0)
HALF_INCH = 12.7


def ring(radius, role=Role.OUTLINE, **about):
    return Line(shapely.get_coordinates(circle(radius=radius)), role, **about)


def bar(y, role=Role.ECHO, **about):
    return Line([(0, y), (300, y)], role, **about)


def laid(*lines, limit=HALF_INCH, **about):
    return lay_steps(Drawing(lines, **about), limit)


def steps_in(plan):
    return [(path, span) for path in plan for span in path.spans if span.move is Move.STEP]


def test_a_step_goes_from_a_ring_to_the_next_as_far_as_they_are_apart():
    (step,) = laid(ring(50), ring(40))
    assert (step.role, len(step.points_mm)) == (Role.STEP, 2)
    assert step.length_mm == pytest.approx(10, abs=0.05)
    assert np.sort(np.hypot(*step.points_mm.T)) == pytest.approx([40, 50], abs=0.05)


def test_neither_farther_than_the_limit_nor_over_a_ring_between():
    assert laid(ring(50), ring(40), limit=9.5) == laid(ring(50), ring(40), limit=0) == ()
    chain = laid(ring(50), ring(45), ring(40))
    assert [step.length_mm for step in chain] == pytest.approx([5, 5], abs=0.05)


def test_rings_with_a_ring_between_are_no_neighbours(monkeypatch):
    """Of 60 echoes all pairs within the limit were tried, each by itself: 107 s (2026-12-01)."""
    tried = []
    monkeypatch.setattr(open_travel._Laid, "take", lambda self, pairs: tried.extend(pairs))
    laid(ring(50), ring(45), ring(40), ring(35))
    assert tried == [(0, 1), (1, 2), (2, 3)]


def test_only_rings_of_one_block_and_thread_that_belong_together():
    beside = Line(shapely.get_coordinates(circle(x=108, radius=50)), Role.OUTLINE)
    assert laid(ring(50), beside) == ()
    assert len(laid(ring(50), Line(beside.points_mm, Role.ECHO))) == 1
    assert laid(ring(50), ring(40, block="row 1, column 1")) == ()
    assert laid(ring(50), ring(40, thread="grey")) == ()
    assert laid(bar(0), bar(10, Role.FILL)) == laid(bar(0, Role.OUTLINE), bar(10, Role.OUTLINE)) == ()
    assert len(laid(bar(0), bar(10))) == 1


def test_a_long_ring_has_several_places_far_from_each_other():
    steps = laid(Line([(0, 0), *((x, 0) for x in range(10, 2400, 10))], Role.ECHO), bar_of(2400))
    assert len(steps) == 5
    x = np.sort([step.points_mm[0, 0] for step in steps])
    assert np.diff(x).min() > 150


def bar_of(length):
    return Line([(x, 10) for x in range(0, length, 10)], Role.ECHO)


def test_it_begins_where_a_line_or_another_step_ends_on_the_ring():
    """So the rings stay whole, and can be sewn in one round."""
    spoke = Line([(0, 50), (0, 90)], Role.FILL)
    outer, inner = (np.round(step.points_mm, 6) for step in laid(ring(50), ring(40), ring(30), spoke))
    at = {tuple(point) for point in outer}
    assert (0, 50) in at
    assert at & {tuple(point) for point in inner}


def test_never_over_another_line_nor_along_it_nor_through_a_keep_out():
    shut = shapely.Polygon(circle(radius=50), [shapely.get_coordinates(circle(radius=40))])
    assert laid(ring(50), ring(40), keep_outs=(KeepOut(shut),)) == ()
    middle = Line([(0, 5), (300, 5)], Role.FILL)
    assert laid(bar(0), bar(10), middle) == laid(bar(0), bar(10), hidden=(middle,)) == ()
    spokes = [Line([(x, 0), (x, 10)], Role.FILL) for x in range(301)]
    assert laid(bar(0), bar(10), *spokes) == ()


def test_rings_that_touch_or_all_but_touch_need_no_step():
    assert laid(ring(50), ring(49.5)) == laid(bar(0), Line([(0, 0), (300, 10)], Role.ECHO)) == ()


@settings(deadline=None, max_examples=25)
@given(ringed_drawings())
def test_steps_add_junctions_and_change_nothing_else(drawing):
    plain, stepped = build_network(drawing), build_network(drawing, open_travel_mm=HALF_INCH)
    count = len(plain.lines)

    def lengths(network):
        own = network.line_of < count
        return np.bincount(network.line_of[own], network.length_mm[network.edge_of[own]], count)

    assert lengths(stepped) == pytest.approx(lengths(plain), abs=0.01)
    assert stepped.notes == plain.notes
    assert int(stepped.is_step.sum()) == len(stepped.steps)
    for step in stepped.steps:
        assert step.length_mm <= HALF_INCH + 1e-6
    apart = shapely.STRtree(shapely.points(stepped.junctions_mm)).query_nearest(
        shapely.points(plain.junctions_mm[np.bincount(plain.tails, minlength=len(plain.junctions_mm)) > 1]),
        return_distance=True, all_matches=False,
    )[1]  # fmt: skip
    assert apart.max(initial=0.0) < 0.01


@settings(deadline=None, max_examples=25)
@given(ringed_drawings())
def test_a_plan_with_steps_holds_and_is_no_dearer(drawing):
    for schedule in (ScheduleSettings(), ScheduleSettings(laps="always")):
        plan = make_plan(drawing, effort="quick", schedule=schedule)
        without = make_plan(drawing, effort="quick", schedule=schedule, cost=NO_STEPS)
        assert check_plan(plan, drawing) == check_plan(without, drawing) == ()
        assert not steps_in(without)
        assert len(plan) <= len(without)


def test_nested_ovals_and_echoes_are_one_path():
    drawing = Drawing((ring(30), ring(40), ring(50, Role.ECHO), ring(60, Role.ECHO)))
    plan = make_plan(drawing)
    assert (len(plan), len(make_plan(drawing, cost=NO_STEPS))) == (1, 4)
    found = steps_in(plan)
    assert all((span.line, span.last - span.first) == (None, 1) for _, span in found)
    assert plan.paths[0].step_mm == pytest.approx(10 * len(found), abs=0.1)
    assert plan.paths[0].travel_mm == plan.paths[0].step_mm
    assert plan.optimal
    assert plan.cost == pytest.approx(2 * 60 / 2 * 2 + plan.paths[0].step_mm / 50 * 20, abs=0.02)


def test_a_dear_step_is_not_taken():
    drawing = Drawing((ring(40), ring(50)))
    dear = CostSettings(roles={"step": {"shows": 1000}})
    assert (len(make_plan(drawing)), len(make_plan(drawing, cost=dear))) == (1, 2)


def test_outlines_that_only_a_step_touches_are_not_counted_as_touched():
    plan = make_plan(Drawing((ring(40), ring(50))))
    assert (plan.laps.touched, plan.laps.in_one_lap) == (0, 0)


def test_a_step_is_no_line_of_the_drawing_and_in_no_stage():
    network, weights = weighed(Drawing.from_lines([line((0, 0), (9, 0))]))
    assert (network.steps, network.is_step.tolist()) == ((), [False])
    stepped = build_network(Drawing((ring(40), ring(50))), open_travel_mm=HALF_INCH)
    (edge,) = np.flatnonzero(stepped.is_step)
    assert stepped.lines[stepped.line_of[stepped.edge_of == edge][0]].role is Role.STEP
    assert weights.stage.tolist() == [2]
