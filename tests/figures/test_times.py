"""Times and the assumptions beside them."""

from dataclasses import replace

import pytest
from banded_plans import banded

from stitchpath.figures import plan_figures, times_of
from stitchpath.figures.times import seconds_by_path
from stitchpath.settings import MachineSettings

NOTHING = {"sewing_s": 0, "travel_s": 0, "lifts_s": 0, "paths": 0}


def test_buried_tails_take_their_time():
    hand = MachineSettings(sewn_by="hand", secured="buried tails")
    assert times_of(hand, **{**NOTHING, "paths": 3}).ends_s == 450


@pytest.mark.parametrize(
    ("machine", "said"),
    [
        ({}, "ends secured by the machine at 60 s for a path's two tie-offs and the thread cut"),
        ({"cuts_thread": True}, "ends secured by the machine at 25 s for a path's"),
        ({"secured": "small stitches"}, "ends secured with small stitches, which the files hold, at 60 s"),
        ({"sewn_by": "hand"}, "ends secured with small stitches at 60 s for a path's"),
        ({"secured": "buried tails"}, "ends secured with buried tails at 150 s for a path's"),
    ],
)
def test_how_ends_are_secured_is_said_with_what_it_takes(machine, said):
    assert any(text.startswith(said) for text in times_of(MachineSettings(**machine), **NOTHING).assumptions)


def test_changes_and_advances_take_the_machines_time_and_say_so():
    machine = MachineSettings(reach=400, advance_s=120, thread_change_s=45)
    times = times_of(machine, **NOTHING, thread_changes=2, advances=3)
    assert (times.thread_changes_s, times.advances_s, times.total_s) == (90, 360, 450)
    assert "45 s for each change of thread, the first threading not counted" in times.assumptions
    assert "120 s for each advance of the quilt" in times.assumptions
    assert times.assumptions[-1] == "bobbins and breaks not counted"
    changed = times_of(machine, **NOTHING, advances=0, bobbin_changes=2)
    assert (changed.bobbin_changes_s, changed.total_s) == (120, 120)
    assert "60 s for each new bobbin but the first of each thread" in changed.assumptions
    assert changed.assumptions[-1] == "breaks not counted"


def test_how_fast_is_said():
    machine = MachineSettings(
        sewing_speed_mm_s=40, stitches_a_minute=1200, acceleration_mm_s2=300, corner_rounding="0.2 mm"
    )
    speed, corners, *_ = times_of(machine, **NOTHING).assumptions
    assert speed == "needle down at up to 40 mm/s and 1200 stitches a minute, needle up at up to 150 mm/s"
    assert corners.startswith("speed gained and lost at 300 mm/s a second; round corners v^2 = a r")
    assert corners.endswith("0.2 mm")


def test_only_what_is_not_counted_is_said_not_to_be():
    unknown, none = (
        times_of(MachineSettings(), **NOTHING, advances=known).assumptions for known in (None, 0)
    )
    assert unknown[-1] == "advancing the quilt, bobbins and breaks not counted"
    assert none[-1] == "bobbins and breaks not counted"
    assert not any("for each" in text for text in (*unknown, *none))


@pytest.mark.parametrize("metres", [100.0, 0.5])
@pytest.mark.parametrize("thread", ["cream", "blue"])
def test_times_of_paths_add_up_to_that_of_the_plan(metres, thread):
    plan = banded()
    first, *rest = plan.paths
    machine = plan.machine.model_copy(update={"bobbin_m": metres})
    plan = replace(plan, paths=(replace(first, thread=thread), *rest), machine=machine)
    seconds = seconds_by_path(plan)
    assert (seconds > 0).all()
    assert seconds.sum() == pytest.approx(plan_figures(plan).times.total_s)
    third = [path for path in plan.paths if path.band < 3]
    assert seconds_by_path(replace(plan, paths=tuple(third))).sum() == pytest.approx(
        plan_figures(replace(plan, paths=tuple(third))).times.total_s
    )


def test_bands_in_which_nothing_is_sewn_are_advanced_over():
    plan = banded()
    later = replace(plan, paths=tuple(path for path in plan.paths if path.band == 2))
    assert seconds_by_path(later).sum() == pytest.approx(plan_figures(later).times.total_s)
