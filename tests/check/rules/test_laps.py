"""Closed outlines: how many another line touches, and how many are sewn in one unbroken round."""

from dataclasses import replace

import numpy as np
import pytest
from plans import circle

from stitchpath.check import check_plan
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.plan import Laps, Move, Plan, RoutedJob, Span, StitchPath
from stitchpath.planner import make_plan
from stitchpath.settings import ScheduleSettings

RING = Line(np.array(circle().coords), Role.OUTLINE, motif="oval")
TAIL = Line([(50, 0), (80, 0)], Role.FILL, motif="fill")
HEAD = Line([(-80, 0), (-50, 0)], Role.FILL, motif="fill")
FAR = Line([(90, 0), (99, 0)], Role.FILL, motif="fill")


def laps_said(plan, drawing):
    return [finding.message for finding in check_plan(plan, drawing) if finding.kind == "laps"]


def by_hand(*paths, laps):
    """A plan of paths, each a list of points with the line that each segment lies on."""
    made = []
    for points, lines in paths:
        spans = tuple(Span(Move.SEW, i, i + 1, line, "detail") for i, line in enumerate(lines))
        made.append(StitchPath(points, spans))
    job = RoutedJob(1, "detail", 0.0, 0.0, 0.0, len(made), False, 1.0)
    return Plan(Drawing(lines=()), tuple(made), (job,), 0.0, laps=laps)


def on_ring(*, start=0, stop=72):
    return RING.points_mm[start : stop + 1].tolist()


ROUND = ([(80, 0), *on_ring()], [2, *[1] * 72])
"""In from the right, and once round."""

HALVES = (
    [(80, 0), *on_ring(stop=36), (-80, 0)], [2, *[1] * 36, 3]
), (on_ring(start=36), [1] * 36)  # fmt: skip
"""Through to the left, and the other half for itself."""


@pytest.mark.parametrize("stated", [Laps(1, 0), Laps(0, 0), Laps(0, 1), Laps(2, 1), Laps(1, 2)])
def test_a_false_count_is_found(stated):
    drawing = Drawing(lines=(RING, TAIL))
    assert laps_said(by_hand(ROUND, laps=Laps(1, 1)), drawing) == []
    assert laps_said(by_hand(ROUND, laps=stated), drawing)


def test_a_round_that_is_broken_is_no_lap():
    drawing = Drawing(lines=(RING, TAIL, HEAD))
    assert laps_said(by_hand(*HALVES, laps=Laps(1, 0)), drawing) == []
    assert laps_said(by_hand(*HALVES, laps=Laps(1, 1)), drawing) == [
        "the plan states 1 closed outlines touched and sewn in one lap; it has 0"
    ]


def test_an_outline_by_itself_is_not_counted():
    drawing = Drawing(lines=(RING, FAR))
    alone = by_hand((on_ring(), [1] * 72), ([(90, 0), (99, 0)], [2]), laps=Laps(0, 0))
    assert laps_said(alone, drawing) == []
    assert laps_said(replace(alone, laps=Laps(1, 1)), drawing) == [
        "the plan states 1 closed outlines touched by another line; it has 0",
        "the plan states 1 closed outlines touched and sewn in one lap; it has 0",
    ]


@pytest.mark.parametrize("laps", [Laps(0, 0), Laps(1, 1)])
@pytest.mark.parametrize("near", ["hidden", "a hair off"])
def test_either_is_taken_where_drawn_lines_do_not_tell(near, laps):
    hair = replace(TAIL, points_mm=[(50.002, 0), (80, 0)])
    hidden = replace(TAIL, role=Role.HIDDEN)
    drawing = Drawing((RING, FAR), (hidden,)) if near == "hidden" else Drawing((RING, FAR, hair))
    plan = by_hand((on_ring(), [1] * 72), ([(90, 0), (99, 0)], [2]), laps=laps)
    assert laps_said(plan, drawing) == []


def test_what_travel_goes_round_is_no_lap():
    drawing = Drawing(lines=(RING, TAIL))
    plan = by_hand(ROUND, laps=Laps(1, 1))
    spans = plan.paths[0].spans
    travelled = tuple(replace(s, move=Move.TRAVEL) if i == 9 else s for i, s in enumerate(spans))
    path = replace(plan.paths[0], spans=travelled)
    assert laps_said(replace(plan, paths=(path,)), drawing)


@pytest.mark.parametrize("laps", ["free", "always"])
@pytest.mark.parametrize("by_hand", [(), ("outline",)])
def test_what_the_planner_counts_is_counted_here(laps, by_hand):
    rings = [
        Line(np.array(circle(x, 0, 30, start=7).coords), Role.OUTLINE, motif="oval") for x in (0, 60.0, 150)
    ]
    rows = [Line([(-60, y), (220, y)], Role.FILL, motif="fill") for y in (-10.0, 13.0)]
    drawing = Drawing(lines=(*rings, *rows))
    schedule = ScheduleSettings(laps=laps, stages="all in one", by_hand=by_hand, travel_by_hand=True)
    assert check_plan(make_plan(drawing, schedule=schedule), drawing) == ()
