"""A plan with a part that is left to the hand, broken in each way."""

from dataclasses import replace

import pytest
from banded import kinds, messages
from plans import line

from stitchpath.check import check_plan
from stitchpath.drawing import Drawing
from stitchpath.plan import Move, Plan, Span, StitchPath
from stitchpath.planner import make_plan
from stitchpath.settings import MachineSettings, ScheduleSettings

LEFT = {"by_hand": ["ditch"]}
DRAWING = Drawing.from_lines(
    [line((0, y), (100, y)) for y in (0, 100, 200)]
    + [line((x, y), (x, y + 100)) for y in (0, 100) for x in (20, 40, 60, 80)],
    roles=["ditch"] * 3 + ["fill"] * 8,
)
MACHINE = MachineSettings(reach=120)


@pytest.fixture(scope="module")
def plan():
    """Seams by hand before each of two bands, and the frame's fill between them with travel along them."""
    made = make_plan(DRAWING, machine=MACHINE, schedule=ScheduleSettings(**LEFT))
    assert len(made.windows) == 2
    assert {path.band for path in made.by_hand} == {path.band for path in made} == {1, 2}
    assert sum(path.travel_mm for path in made) > 0
    assert check_plan(made, DRAWING) == ()
    return made


def with_hand(plan, **about):
    return replace(plan, by_hand=replace(plan.by_hand, **about))


def test_what_the_hand_leaves_out_is_found(plan):
    fewer = with_hand(plan, paths=plan.by_hand.paths[1:])
    assert "covered" in kinds(check_plan(fewer, DRAWING))
    assert any("line is not sewn over" in said for said in messages(check_plan(fewer, DRAWING)))
    assert kinds(check_plan(replace(plan, by_hand=None), DRAWING)) == {"covered"}


def test_what_the_hand_sews_too_late_is_no_way_to_travel(plan):
    """The frame travels along the first band's seams, which the hand now sews with the second."""
    late = tuple(replace(path, band=2) for path in plan.by_hand.paths)
    found = [f.message for f in check_plan(with_hand(plan, paths=late), DRAWING) if f.kind == "travel"]
    assert found
    assert "travels where nothing is sewn yet" in found[0]


def test_travel_over_what_comes_after_is_found_unless_it_was_asked_for(plan):
    for travel, found in ((None, True), (True, False)):
        about = {"schedule": ScheduleSettings(**LEFT, by_hand_when="after each band", travel_by_hand=travel)}
        after = with_hand(replace(plan, **about), **about)
        assert ("by hand" in kinds(check_plan(after, DRAWING))) is found


def test_what_both_sew_too_often_together_is_found(plan):
    """The hand goes to and fro on a seam that bears four times: too often with what the frame travels."""
    seam = next(
        span.line for path in plan for span in path.spans if span.move is Move.TRAVEL and path.band == 1
    )
    at = next(i for i, path in enumerate(plan.by_hand.paths) if path.spans[0].line == seam)
    points = DRAWING.lines[seam - 1].points_mm
    ways = [points[0], points[1], points[0], points[1], points[0]]
    moves = [Move.SEW, *[Move.TRAVEL] * 3]
    spans = tuple(Span(move, i, i + 1, seam, "seams") for i, move in enumerate(moves))
    paths = list(plan.by_hand.paths)
    paths[at] = StitchPath(ways, spans, paths[at].thread, paths[at].band)
    found = check_plan(with_hand(plan, paths=tuple(paths)), DRAWING)
    assert "times" in kinds(found)
    assert not [f for f in found if f.kind == "times" and f.message.startswith("by hand")]


def test_the_hand_sews_none_of_the_frames_lines(plan):
    fill = next(path for path in plan if path.spans[0].move is Move.SEW)
    more = with_hand(plan, paths=(*plan.by_hand.paths, fill))
    said = messages(check_plan(more, DRAWING))
    assert any("by hand: path H" in one and "sews what is left to the frame" in one for one in said)
    assert "sew" in kinds(check_plan(more, DRAWING))


def test_other_settings_and_other_bands_are_found(plan):
    other = with_hand(plan, machine=replace_machine(plan.by_hand.machine))
    assert "settings" in kinds(check_plan(other, DRAWING))
    assert "window" in kinds(check_plan(with_hand(plan, windows=()), DRAWING))
    assert "by hand" in kinds(check_plan(with_hand(plan, of_hand=False), DRAWING))


def replace_machine(machine):
    return machine.model_copy(update={"lift_speed_mm_s": 1.0})


def test_costs_of_the_hands_part_are_added_up_again(plan):
    jobs = (replace(plan.by_hand.jobs[0], cost=plan.by_hand.jobs[0].cost + 1), *plan.by_hand.jobs[1:])
    found = check_plan(with_hand(plan, jobs=jobs), DRAWING)
    assert next(f.message for f in found if f.kind == "cost").startswith("by hand: the stated cost")


def test_a_plan_of_nothing_holds():
    assert check_plan(Plan(Drawing(()), (), (), 0.0, by_hand=None), Drawing(())) == ()
