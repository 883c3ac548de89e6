"""What is done at the machine between two steps, against plans laid by hand."""

from dataclasses import replace

import numpy as np
import pytest
from banded_plans import banded
from figure_plans import SEW, path, plan_of

from stitchpath.directions.pauses import pauses_of
from stitchpath.directions.teller import steps_of
from stitchpath.drawing import Drawing
from stitchpath.figures.alignment import alignment
from stitchpath.lines import Block, Line, Role
from stitchpath.settings import BattingSettings, MachineSettings, ScheduleSettings

FILL = Line([(0, 0), (9000, 0)], Role.FILL, motif="fill", block="left")
TOP = Drawing((FILL,), blocks=(Block("left", (0, -9, 4500, 9), 1, 1),))
PLAIN = BattingSettings(thickness="2.54 mm")
"""As thick as a stitch is long: two lengths of thread above and below for each length sewn."""


def along(*ends, **about):
    return path([(mm, 0) for mm in ends], (SEW, 0, len(ends) - 1, 1), **about)


def told(plan, unit="mm"):
    return pauses_of(plan, steps_of(plan, unit=unit), unit=unit)


def bobbins_of(metres, *paths, **about):
    machine = MachineSettings(tail="0 mm", thread_waste=0.0, bobbin_m=metres)
    return replace(plan_of(TOP, *paths, batting=PLAIN), machine=machine, **about)


def test_each_band_but_the_first_is_advanced_to_and_aligned():
    plan = banded()
    steps, pauses = steps_of(plan, unit="mm"), told(plan)
    assert [pause.kind for pause in pauses] == ["advance", "align"] * 2
    for pause, band in zip(pauses, (2, 2, 3, 3), strict=True):
        first = next(step for step in steps if step.band == band)
        assert pause.before == first.number
    assert pauses[0].text == "Advance the quilt: band 2 of 3 comes next."
    marks = alignment(plan)[0].marks
    assert pauses[1].marks == tuple((f"2{mark.letter}", mark.place_mm) for mark in marks)
    assert all(f"2{mark.letter}, where {mark.what}" in pauses[1].text for mark in marks)


def test_a_quilt_that_goes_back_is_rolled_back():
    plan = banded()
    paths = tuple(sorted(plan.paths, key=lambda one: -one.band))
    assert "Roll the quilt back: band 1 of 3 comes next." in [
        pause.text for pause in told(replace(plan, paths=paths))
    ]


def test_a_thread_is_changed_before_the_path_that_needs_it():
    plan = plan_of(
        TOP, along(0, 100, thread="grey"), along(100, 200, thread="grey"), along(200, 300, thread="")
    )
    (pause,) = told(plan)
    assert (pause.kind, pause.text) == (
        "thread",
        "Change to the thread without a name, in needle and bobbin.",
    )
    assert steps_of(plan, unit="mm")[pause.before - 1].path == 3


def test_a_bobbin_that_runs_out_on_the_way_says_in_which_step_and_where():
    """Bobbins of 4 m reach 2 m: the second is used up 1,000 mm into the second path, at x = 4,000."""
    plan = bobbins_of(4, along(0, 3000), along(3000, 5500))
    steps, pauses = steps_of(plan, unit="mm"), told(plan)
    assert [pause.kind for pause in pauses] == ["bobbin", "bobbin"]
    assert [steps[pause.before - 1].path for pause in pauses] == [1, 2]
    assert [steps[pause.before - 1].verb for pause in pauses] == ["sew", "sew"]
    number = pauses[1].before
    assert pauses[1].text == (
        f"Bobbin 2 runs out in step {number}, 1000 mm after it begins, in left: put in bobbin 3 there."
    )
    ((label, place),) = pauses[1].marks
    assert label == "new bobbin"
    assert place == pytest.approx((4000, 0))


def test_a_bobbin_changed_between_paths_is_put_in_before_the_next_of_its_thread():
    paths = (
        along(0, 1500, thread="grey"), along(1500, 1600, thread="blue"), along(1600, 2600, thread="grey"),
    )  # fmt: skip
    plan = bobbins_of(4, *paths, schedule=ScheduleSettings(bobbins_end="in seams"))
    bobbin = next(pause for pause in told(plan) if pause.kind == "bobbin")
    assert bobbin.text == 'Put in bobbin 2 of "grey" before path 3 begins.'
    assert steps_of(plan, unit="mm")[bobbin.before - 1].path == 3


def test_one_band_thread_and_bobbin_leave_nothing_to_do():
    assert told(bobbins_of(1000, along(*np.arange(0.0, 500.0, 50.0)))) == ()
