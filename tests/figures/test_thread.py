"""Thread and bobbins of plans laid by hand, against sums beside each test."""

from dataclasses import replace

import numpy as np
import pytest
from figure_plans import SEW, path, plan_of
from hypothesis import given, settings
from strategies import lists_of_whole, whole

from stitchpath.drawing import Drawing
from stitchpath.figures import plan_figures, thread_use_of
from stitchpath.lines import Block, Line, Role
from stitchpath.plan import Span, StitchPath
from stitchpath.settings import BattingSettings, MachineSettings, ScheduleSettings

FILL, SEAM = Line([(0, 0), (9000, 0)], Role.FILL), Line([(4000, -9), (4000, 9)], Role.DITCH)
TOP = Drawing((FILL, SEAM), blocks=(Block("left", (0, -9, 4500, 9), 1, 1),))
PLAIN = BattingSettings(thickness="2.54 mm")
"""As thick as a stitch is long: two lengths of thread above and below for each length sewn."""


def machine(**about):
    return MachineSettings(**{"tail": "0 mm", "thread_waste": 0.0, **about})


def along(*ends, **about):
    return path([(mm, 0) for mm in ends], (SEW, 0, len(ends) - 1, 1), **about)


def test_needle_and_bobbin_apart_with_tails_and_waste():
    """1,000 mm in two paths: 2,000 mm and four tails of 50 mm; a fifth of all is waste."""
    plan = plan_of(TOP, along(0, 600), along(600, 1000), batting=PLAIN)
    (used,) = thread_use_of(plan, machine(tail="50 mm", thread_waste=0.2)).threads
    assert (used.needle_mm, used.bobbin_mm) == pytest.approx((2200, 2200))
    assert (used.with_waste_needle_mm, used.with_waste_bobbin_mm) == pytest.approx((2750, 2750))
    assert used.bobbins == 1


def test_where_bobbins_run_out():
    """Bobbins of 4 m reach 2 m: at x = 2,000, then in the seam at 4,000, then 500 mm from the end."""
    plan = plan_of(TOP, along(0, 3000), along(3000, 6500), batting=PLAIN)
    use = thread_use_of(plan, machine(bobbin_m=4))
    told = [(e.number, e.path, e.place_mm, e.block, e.in_seam, e.in_open_cloth) for e in use.bobbin_ends]
    assert told == [
        (1, 1, pytest.approx((2000, 0)), "left", False, True),
        (2, 2, pytest.approx((4000, 0)), "left", True, False),
        (3, 2, pytest.approx((6000, 0)), "", False, True),
    ]
    assert [end.along_mm for end in use.bobbin_ends] == pytest.approx([2000, 1000, 3000])
    assert use.bobbins == 4


def test_the_first_tail_comes_off_the_bobbin_first():
    plan = plan_of(TOP, along(0, 3000), batting=PLAIN)
    (end,) = thread_use_of(plan, machine(bobbin_m=4, tail="100 mm")).bobbin_ends
    assert end.place_mm == pytest.approx((1950, 0))


def test_each_thread_has_its_own_bobbins():
    """Blue and cream take turns; 4 m of each reach through its own 2 m, and no change is one of them."""
    paths = [along(0, 900, thread="blue"), along(0, 900, thread="cream")] * 2
    use = thread_use_of(
        plan_of(TOP, *paths, along(0, 400, thread="blue"), batting=PLAIN), machine(bobbin_m=4)
    )
    assert [(used.thread, used.bobbins) for used in use.threads] == [("blue", 2), ("cream", 1)]
    (end,) = use.bobbin_ends
    assert (end.thread, end.path, end.place_mm) == ("blue", 5, pytest.approx((200, 0)))


def test_bobbins_that_end_in_seams_are_changed_between_paths():
    plan = plan_of(
        TOP,
        *(along(0, 1500), along(0, 1500), along(0, 500)),
        batting=PLAIN,
        schedule=ScheduleSettings(bobbins_end="in seams"),
    )
    use = thread_use_of(plan, machine(bobbin_m=4))
    assert [(end.path, end.at_path_end, end.in_open_cloth) for end in use.bobbin_ends] == [(1, True, False)]
    assert use.bobbins == 2


def test_changing_bobbins_takes_time():
    plan = plan_of(TOP, along(0, 3000), batting=PLAIN, machine=machine(bobbin_m=4, bobbin_change_s=45))
    figures = plan_figures(plan)
    assert figures.times.bobbin_changes_s == 45
    assert plan_figures(replace(plan, machine=machine(bobbin_m=7))).times.bobbin_changes_s == 0


def test_a_measured_yard_is_said_to_be_one():
    measured = machine(needle_thread_per_yard="40 in", bobbin_thread_per_yard="38 in")
    plan = plan_of(TOP, along(0, 100))
    assert "as measured, one yard takes 1016 mm above" in thread_use_of(plan, measured).assumptions[0]
    assert thread_use_of(plan, machine()).assumptions[0].startswith("a balanced lockstitch")


@given(lists_of_whole(1, 40, fewest=1, up_to=8), whole(3, 25))
@settings(derandomize=True, deadline=None)
def test_as_counted_metre_by_metre(lengths, bobbin_m):
    """Each metre of thread in turn; where a bobbin has none left another one is put in."""
    paths = [along(0, 500 * metres) for metres in lengths]
    use = thread_use_of(plan_of(TOP, *paths, batting=PLAIN), machine(bobbin_m=bobbin_m))
    owner = np.repeat(np.arange(len(lengths)) + 1, lengths)
    last = np.arange(bobbin_m, len(owner), bobbin_m)
    within = [int(m - np.flatnonzero(owner == owner[m])[0]) for m in last]
    told = [(end.path, round(end.place_mm[0] / 500)) for end in use.bobbin_ends]
    before = [(int(owner[m - 1]), lengths[owner[m - 1] - 1]) for m in last]
    assert told == [
        (int(owner[m]), at) if at else end for m, at, end in zip(last, within, before, strict=True)
    ]


def test_spools_by_band_stage_and_thread_add_up_to_each_threads_use():
    """Two lengths of thread above for each length sewn; 50 mm at each end; a fifth of all is waste."""
    both = StitchPath(
        [(0, 0), (100, 0), (300, 0)],
        (Span(SEW, 0, 1, 1, "seams"), Span(SEW, 1, 2, 1, "detail")),
        thread="blue",
    )
    later = replace(along(0, 400, thread="blue"), band=2)
    cream = along(0, 1000, thread="cream")
    plan = plan_of(TOP, both, cream, later, batting=PLAIN)
    use = thread_use_of(plan, machine(tail="50 mm", thread_waste=0.2))
    assert [(spool.band, spool.stage, spool.thread, round(spool.needle_mm, 6)) for spool in use.spools] == [
        (1, "seams", "blue", 250),
        (1, "detail", "blue", 450),
        (1, "all", "cream", 2100),
        (2, "all", "blue", 900),
    ]
    for used in use.threads:
        own = [spool for spool in use.spools if spool.thread == used.thread]
        for field in ("needle_mm", "bobbin_mm", "with_waste_needle_mm", "with_waste_bobbin_mm"):
            assert sum(getattr(spool, field) for spool in own) == pytest.approx(getattr(used, field))
    assert thread_use_of(plan_of(TOP)).spools == ()
