"""Cost, machine, schedule: defaults, changes, and what is refused."""

import math

import pytest
from pydantic import ValidationError

from stitchpath.lines import ROLES, Role
from stitchpath.settings import (
    BattingSettings,
    CostSettings,
    MachineSettings,
    RoleChange,
    ScheduleSettings,
    Stage,
)


@pytest.mark.parametrize(
    ("about", "path_cost", "clearance", "speed", "bobbins"),
    [
        ({}, 60, 25.4 / 8, 50, "anywhere"),
        ({"cuts_thread": True}, 25, 25.4 / 8, 50, "anywhere"),
        ({"sewn_by": "hand"}, 60, 25.4 / 16, 25, "in seams"),
        ({"sewn_by": "hand", "secured": "buried tails"}, 150, 25.4 / 16, 25, "in seams"),
    ],
)
def test_what_follows_from_who_sews(about, path_cost, clearance, speed, bobbins):
    """Common practice, no source."""
    machine = MachineSettings(**about)
    assert (machine.path_cost_s, machine.clearance_mm) == (path_cost, clearance)
    assert (machine.speed_mm_s, machine.lift_speed_mm_s) == (speed, 150)
    assert MachineSettings(**about, sewing_speed_mm_s=7.5).speed_mm_s == 7.5
    assert ScheduleSettings().bobbins_for(machine) == bobbins
    assert ScheduleSettings(bobbins_end="in seams").bobbins_for(machine) == "in seams"
    assert ScheduleSettings(bobbins_end="anywhere").bobbins_for(machine) == "anywhere"
    assert ScheduleSettings().laps == "always"


def test_changes_in_the_table_of_roles_change_no_other_cell():
    cost = CostSettings(roles={"fill": {"shows": 7.5}, Role.DITCH: RoleChange(most_times=2, end_shows=3)})
    rules = cost.rules()
    assert (rules[Role.FILL].shows, rules[Role.FILL].most_times, rules[Role.FILL].end_shows) == (7.5, 2, 4)
    assert (rules[Role.DITCH].shows, rules[Role.DITCH].most_times, rules[Role.DITCH].end_shows) == (1, 2, 3)
    assert {role: rules[role] for role in rules if role not in ("fill", "ditch")} == {
        role: ROLES[role] for role in ROLES if role not in ("fill", "ditch")
    }
    assert CostSettings().rules() == ROLES


def test_thread_may_be_said_not_to_build_up():
    rules = CostSettings(roles={"fill": {"builds_up": 0}, "ditch": {"builds_up": 0.5}}).rules()
    assert (rules[Role.FILL].builds_up, rules[Role.DITCH].builds_up, rules[Role.ECHO].builds_up) == (
        0,
        0.5,
        1,
    )
    assert (rules[Role.FILL].shows, rules[Role.DITCH].shows) == (20, 1)


def test_the_default_stages_hold_every_asked_role_once():
    stages = {stage.name: stage.roles for stage in ScheduleSettings().stages}
    assert stages == {
        "baste": ("baste",),
        "seams": ("ditch",),
        "detail": ("strip", "outline", "fill", "echo", "drawn"),
    }
    (all_in_one,) = ScheduleSettings(stages="all in one").stages
    assert sorted(all_in_one.roles) == sorted(role for roles in stages.values() for role in roles)
    assert ScheduleSettings(stages="default") == ScheduleSettings()


@pytest.mark.parametrize(
    ("stages", "said"),
    [
        ([Stage(name="a", roles=["fill"]), Stage(name="a", roles=["echo"])], 'stage "a" stands twice'),
        ([Stage(name="a", roles=["fill"]), Stage(name="b", roles=["fill"])], 'role "fill" stands twice'),
        ([{"name": "a", "roles": ["hidden"]}], "no line that anybody asks for"),
        ([{"name": "a", "roles": []}], "at least 1 item"),
        ([{"name": "=a", "roles": ["fill"]}], "pattern"),
        ([], "at least 1 item"),
        ("all", "valid tuple"),
        ([{"name": "a", "roles": ["bobbin"]}], "Input should be"),
    ],
)
def test_stages_that_cannot_be_are_refused(stages, said):
    with pytest.raises(ValidationError, match=said):
        ScheduleSettings(stages=stages)


@pytest.mark.parametrize("value", [0, -1, math.nan, math.inf, "60", True, 1e6])
def test_what_is_no_cost_is_refused(value):
    with pytest.raises(ValidationError):
        CostSettings(path_cost_s=value)


@pytest.mark.parametrize(
    ("kind", "about"),
    [
        (MachineSettings, {"sewn_by": "robot"}),
        (MachineSettings, {"sewing_speed_mm_s": 0.0}),
        (MachineSettings, {"speed": 3}),
        (RoleChange, {"most_times": 0}),
        (RoleChange, {"most_times": 2.5}),
        (RoleChange, {"builds_up": -0.1}),
        (RoleChange, {"shows": math.nan}),
        (CostSettings, {"roles": {"bobbin": {"shows": 1.0}}}),
        (ScheduleSettings, {"laps": "sometimes"}),
    ],
)
def test_what_is_unknown_or_out_of_range_is_refused(kind, about):
    with pytest.raises(ValidationError):
        kind(**about)


def test_settings_cannot_be_changed():
    for settings in (CostSettings(), MachineSettings(), ScheduleSettings(), RoleChange()):
        with pytest.raises(ValidationError, match="frozen"):
            setattr(settings, next(iter(type(settings).model_fields)), None)


def test_defaults_of_motion_and_thread():
    """Common practice, no source: ten stitches to the inch, layers of 0.07 in, bobbins of 100 m."""
    machine, batting = MachineSettings(), BattingSettings()
    assert (machine.stitch_length, machine.basting_length) == (2.54, 5.08)
    assert (machine.acceleration_mm_s2, machine.corner_rounding, machine.stitches_a_minute) == (
        500,
        0.1,
        1500,
    )
    assert (machine.bobbin_m, machine.tail, machine.thread_waste) == (100, pytest.approx(76.2), 0.1)
    assert (batting.thickness, batting.gap) == (pytest.approx(1.778), None)


@pytest.mark.parametrize(
    ("kind", "about"),
    [
        (MachineSettings, {"thread_waste": 0.95}),
        (MachineSettings, {"bobbin_m": 0.0}),
        (MachineSettings, {"sewing_speed_mm_s": 1e-308}),
        (MachineSettings, {"stitch_length": "99999999999 in"}),
        (MachineSettings, {"tail": "-1 mm"}),
        (MachineSettings, {"acceleration_mm_s2": 0.0}),
        (BattingSettings, {"gap": 0}),
        (ScheduleSettings, {"bobbins_end": "in open cloth"}),
    ],
)
def test_motion_and_thread_that_cannot_be_are_refused(kind, about):
    with pytest.raises(ValidationError):
        kind(**about)


@pytest.mark.parametrize(
    ("about", "said"),
    [
        ({"reach": 0.1}, "0.1 mm is too small for a frame's reach; write 25 mm or more"),
        (
            {"reach": 100, "last_reach": 1e-12},
            "1e-12 mm is too small for a frame's reach; write 25 mm or more",
        ),
        ({"width": "1/2 in"}, "is too small for a frame's width"),
        ({"needle_thread_per_yard": "35 in"}, "takes a yard of thread at least; write 914.4 mm or more"),
    ],
)
def test_what_no_frame_has_is_told_with_what_one_may_have(about, said):
    """Lines are cut in pieces of an eighth of the reach: of 0.0001 mm they took 4 GB."""
    with pytest.raises(ValidationError, match=said):
        MachineSettings(**about)


def test_a_zero_has_no_sign():
    assert math.copysign(1, MachineSettings(advance_s=-0.0).advance_s) == 1


def test_settings_come_back_from_json_in_millimetres_whatever_they_were_written_in():
    about = {"reach": 18, "tail": "2 in", "basting_length": 0.25}
    machine = MachineSettings.model_validate(about, context={"unit": "in"})
    assert (machine.reach, machine.tail, machine.basting_length) == (457.2, 50.8, 6.35)
    for settings in (
        machine,
        MachineSettings(),
        BattingSettings(gap="4 in"),
        CostSettings(),
        ScheduleSettings(),
    ):
        assert type(settings).model_validate_json(settings.model_dump_json()) == settings


def test_threads_that_match_have_one_name():
    schedule = ScheduleSettings(matching_threads=[["sand", "cream"], ["red", "rose", "pink"]])
    names = ["sand", "cream", "red", "rose", "pink", "blue"]
    assert [schedule.matched(name) for name in names] == ["sand", "sand", "red", "red", "red", "blue"]
    assert [ScheduleSettings().matched(name) for name in names] == names


@pytest.mark.parametrize(
    ("clear", "kept"), [("none", []), ("all", ["sand", "red"]), (["red"], ["red"]), ([], [])]
)
def test_threads_are_kept_clear_by_name_or_all(clear, kept):
    schedule = ScheduleSettings(kept_clear=clear)
    assert [name for name in ("sand", "red") if schedule.keeps_clear(name)] == kept


@pytest.mark.parametrize(
    "wrong",
    [{"matching_threads": [["sand"]]}, {"matching_threads": ["sand"]}, {"matching_threads": [["sand", 3]]},
     {"kept_clear": "some"}, {"kept_clear": [3]}],
)  # fmt: skip
def test_threads_that_cannot_be_listed_so_are_refused(wrong):
    with pytest.raises(ValidationError):
        ScheduleSettings(**wrong)


@pytest.mark.parametrize("value", [0.99, 101, math.nan, "5", True])
def test_what_is_no_factor_is_refused(value):
    assert CostSettings(other_thread_shows=1).other_thread_shows == 1
    with pytest.raises(ValidationError):
        CostSettings(other_thread_shows=value)


@pytest.mark.parametrize(
    ("about", "when", "travels"),
    [
        ({}, "before each band", True),
        ({"by_hand": ["ditch"]}, "before each band", True),
        ({"by_hand": ["fill", "outline"]}, "before each band", True),
        ({"by_hand": ["fill", "echo"]}, "after each band", False),
        ({"by_hand": ["fill"], "by_hand_when": "before the frame"}, "before the frame", True),
        ({"by_hand": ["ditch"], "by_hand_when": "after the frame"}, "after the frame", False),
        (
            {"by_hand": ["ditch"], "by_hand_when": "after each band", "travel_by_hand": True},
            "after each band",
            True,
        ),
        ({"by_hand": ["ditch"], "travel_by_hand": False}, "before each band", False),
    ],
)
def test_when_the_hand_sews_and_where_the_frame_may_travel(about, when, travels):
    """Seams and outlines come before the fill that lies between them, and travel over what is sewn."""
    schedule = ScheduleSettings(**about)
    assert (schedule.hand_when, schedule.travels_by_hand) == (when, travels)
    assert schedule.hand_first is when.startswith("before")
    assert schedule.hand_on_frame is when.endswith("band")
    with pytest.raises(ValidationError):
        ScheduleSettings(**(about | {"by_hand_when": "at once"}))


def test_a_head_guided_by_hand_on_a_frame_has_a_reach():
    machine = MachineSettings(sewn_by="hand", reach=400)
    assert ScheduleSettings().order_for(machine) == "snake"
    assert ScheduleSettings().order_for(MachineSettings(sewn_by="hand")) == "from the middle"
