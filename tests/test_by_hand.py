"""The settings with which the hand sews what a frame leaves to it."""

from hypothesis import given
from strategies import some_of

from stitchpath.by_hand import hand_machine, hand_schedule
from stitchpath.lines import UNASKED_ROLES, Role
from stitchpath.settings import MachineSettings, ScheduleSettings, Stage

FRAME = MachineSettings(reach=500, last_reach=400, width=900, sideways=True, cuts_thread=True, tail=50)
ON = ScheduleSettings(by_hand=["ditch"])
OFF = ScheduleSettings(by_hand=["ditch"], by_hand_when="after the frame")


def test_on_the_frame_it_reaches_what_the_frame_does():
    on, off = hand_machine(FRAME, ON), hand_machine(FRAME, OFF)
    assert (on.reach, on.last_reach, on.width, on.sideways) == (500, 400, 900, True)
    assert (off.reach, off.last_reach, off.width, off.sideways) == (None, None, None, False)
    for hand in (on, off):
        assert (hand.sewn_by, hand.tail, hand.advance_s) == ("hand", 50, 0)
        assert hand.sewing_speed_mm_s == MachineSettings(sewn_by="hand").sewing_speed_mm_s


def test_ends_are_secured_by_hand():
    for secured, ends in (
        (None, "small stitches"),
        ("by the machine", "small stitches"),
        ("buried tails",) * 2,
    ):
        assert hand_machine(MachineSettings(secured=secured), ON).ends == ends


@given(some_of(sorted(set(Role) - UNASKED_ROLES)))
def test_each_role_has_a_stage(roles):
    stages = [Stage(name="by hand", roles=tuple(roles or ["fill"]))]
    given_stages = hand_schedule(ScheduleSettings(stages=stages, by_hand=["ditch"])).stages
    staged = [role for stage in given_stages for role in stage.roles]
    assert sorted(staged) == sorted(set(Role) - UNASKED_ROLES)
    assert len({stage.name for stage in given_stages}) == len(given_stages)
    assert hand_schedule(ON) is ON
