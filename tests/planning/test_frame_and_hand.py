"""What a frame sews and what it leaves to the hand, planned on one network."""

import numpy as np
import pytest
from plans import line

from stitchpath.check import check_plan
from stitchpath.design import Design, Top
from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.motifs import Basting, Ditch, Ellipse, Fill
from stitchpath.plan import Move
from stitchpath.planner import make_plan
from stitchpath.planning.frame_and_hand import share_out
from stitchpath.planning.network import build_network
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings, Stage

WHENS = ("before each band", "after each band", "before the frame", "after the frame")
SEAM, ACROSS = line((0, 50), (100, 50)), line((50, 0), (50, 100))


def orchard(**about):
    """Two rows of two blocks, an oval and a fill in every other one."""
    pear = {"motifs": [Ellipse(height=60, ratio=1.5, applique=True), Fill(spacing=20)], "letter": "P"}
    top = Top(block_width=100, block_height=100)
    return Design(
        top=top, layout=["P.", ".P"], kinds={"pear": pear}, motifs=[Ditch(), Basting()],
        machine=MachineSettings(reach=140), schedule=ScheduleSettings(**about),
    )  # fmt: skip


def sewn_mm(plan):
    """How much of each line is sewn, by whom."""
    return {span.line for path in plan.paths for span in path.spans if span.move is Move.SEW and span.line}


@pytest.mark.parametrize("when", WHENS)
@pytest.mark.parametrize("left", [["ditch"], ["outline"], ["fill", "baste"]])
def test_each_line_is_sewn_by_whom_it_is_asked_of(when, left):
    plan = make_plan(orchard(by_hand=left, by_hand_when=when), effort="quick")
    assert check_plan(plan, plan.drawing) == ()
    asked = {i for i, one in enumerate(plan.drawing.lines, 1) if {one.role, one.motif} & {*left}}
    assert sewn_mm(plan.by_hand) == asked
    assert sewn_mm(plan) == {*range(1, len(plan.drawing.lines) + 1)} - asked
    assert plan.by_hand.of_hand
    assert plan.by_hand.windows == (plan.windows if "band" in when else ())


@pytest.mark.parametrize("left", [{}, {"by_hand": ["ditch"], "machine": MachineSettings(sewn_by="hand")}])
def test_nothing_is_left_where_nothing_is_asked_or_the_hand_sews_it_all(left):
    machine = left.pop("machine", None)
    plan = make_plan(orchard(**left), machine=machine, effort="quick")
    assert plan.by_hand is None
    assert check_plan(plan, plan.drawing) == ()


def combed(left, **about):
    """A comb planned: its back is a seam, its teeth are fill."""
    teeth = [line((x, 0), (x, 40)) for x in (0, 20, 40, 60)]
    drawing = Drawing.from_lines([line((0, 0), (60, 0)), *teeth], roles=["ditch", *["fill"] * 4])
    return make_plan(drawing, schedule=ScheduleSettings(by_hand=[left], **about))


@pytest.mark.parametrize(
    ("when", "travel", "few"),
    [
        ("before each band", None, True), ("before the frame", None, True),
        ("before each band", False, False),
        ("after each band", None, False), ("after the frame", None, False), ("after the frame", True, True),
    ],
)  # fmt: skip
def test_a_frame_travels_along_what_the_hand_sewed_before_or_where_it_is_told_to(when, travel, few):
    plan = combed("ditch", by_hand_when=when, travel_by_hand=travel)
    assert (len(plan) < 4) is few
    assert check_plan(plan, plan.drawing) == ()


def test_the_hand_may_travel_along_what_the_frame_sewed_before():
    assert len(combed("fill", by_hand_when="before the frame").by_hand) == 4
    assert len(combed("fill").by_hand) == len(combed("fill", by_hand_when="after the frame").by_hand) == 1


def test_how_often_a_line_may_be_sewn_is_one_limit_for_both():
    """The seam bears four times: the hand's own sewing leaves the frame three."""
    network = build_network(Drawing.from_lines([SEAM, ACROSS], roles=["ditch", "fill"]))
    settings = {"cost": CostSettings(), "machine": MachineSettings()}
    schedule = ScheduleSettings(by_hand=["ditch"], by_hand_when="after the frame", travel_by_hand=True)
    frame, hand = share_out(network, **settings, schedule=schedule)
    seam = hand.weights.stage >= 0
    assert seam.sum() == 2
    assert set(frame.weights.most[seam].tolist()) == {3}
    assert set(hand.weights.most[seam].tolist()) == {4}
    shut = schedule.model_copy(update={"travel_by_hand": None})
    assert set(share_out(network, **settings, schedule=shut)[0].weights.most[seam].tolist()) == {0}


def test_where_their_lines_coincide_the_frame_sews():
    lines = [line((0, 0), (100, 0)), line((50, 0), (150, 0))]
    drawing = Drawing.from_lines(lines, roles=["fill", "strip"])
    plan = make_plan(drawing, schedule=ScheduleSettings(by_hand=["fill"]))
    assert check_plan(plan, drawing) == ()
    assert np.round(plan.by_hand.paths[0].sewn_mm) == 50
    assert sum(path.sewn_mm for path in plan) == 100


def test_a_role_that_no_stage_has_comes_in_a_last_one_by_hand():
    stages = [Stage(name="only fill", roles=["fill"])]
    drawing = Drawing.from_lines([SEAM, ACROSS], roles=["strip", "fill"])
    plan = make_plan(drawing, schedule=ScheduleSettings(stages=stages, by_hand=["strip"]))
    assert [path.stage for path in plan.by_hand] == ["by hand"]
    assert check_plan(plan, drawing) == ()


def test_what_the_hand_sews_on_the_frame_must_be_in_its_reach():
    tall = line((0, 0), (0, 400))
    drawing = Drawing.from_lines([tall, line((0, 0), (50, 0))], roles=["outline", "fill"])
    about = {"by_hand": ["outline"], "cuts": "none"}
    machine = MachineSettings(reach=200)
    with pytest.raises(DesignError, match="or let the hand sew it off the frame"):
        make_plan(drawing, machine=machine, schedule=ScheduleSettings(**about))
    off = make_plan(
        drawing, machine=machine, schedule=ScheduleSettings(**about, by_hand_when="after the frame")
    )
    assert check_plan(off, drawing) == ()


def test_the_same_is_planned_twice():
    one, two = (make_plan(orchard(by_hand=["ditch", "outline"]), effort="quick") for _ in range(2))
    assert one == two
