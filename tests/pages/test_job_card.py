"""The job card: what it says is the plan's, and what is to be done fits the machine."""

from dataclasses import replace

import pytest
from banded_plans import banded, handed
from export_plans import orchard

from stitchpath.figures import plan_figures
from stitchpath.lines import Thread
from stitchpath.pages.job_card import job_card
from stitchpath.pages.plan_parts import parts_of
from stitchpath.settings import MachineSettings
from stitchpath.words import duration


def card(plan, unit="mm"):
    return job_card(plan, plan_figures(plan), unit)


def facts(plan, unit="mm"):
    return dict(card(plan, unit).facts)


def practice(plan):
    return {heading: " ".join(said) for heading, said in card(plan).practice}


def minutes(told):
    hours, _, rest = told.rpartition("h ")
    return 60 * int(hours or 0) + int(rest.split()[0])


def bobbins(plan, metres=0.5):
    return replace(plan, machine=plan.machine.model_copy(update={"bobbin_m": metres}))


def test_what_is_on_the_frame_and_how_it_lies():
    told = facts(banded())
    assert told["On the frame"].endswith("finished 406.4 mm wide and 304.8 mm high, 12 blocks in 3 rows of 4")
    assert told["How it lies"].startswith(
        "as it hangs, face up; the frame reaches 121.6 mm of it at once: 3 "
    )
    assert "its left side uppermost" in facts(banded(sideways=True))["How it lies"]
    unknown = replace(banded(), machine=MachineSettings(), windows=())
    assert facts(unknown)["How it lies"].endswith("planned as if the frame reached all of it at once")
    by_hand = facts(replace(unknown, machine=MachineSettings(sewn_by="hand")))
    assert "Under the needle" in by_hand
    assert "How it lies" not in by_hand


def test_bobbins_to_wind_are_those_of_the_plan_and_one_in_ten_more():
    for metres in (100.0, 0.5):
        plan = bobbins(banded(), metres)
        count = plan_figures(plan).thread.bobbins
        reserve = -(-count // 10)
        assert facts(plan)["Bobbins to wind"].startswith(f"{count + reserve}, {reserve} of them in reserve; ")
    assert count > 10


def test_each_bobbin_that_runs_out_has_its_place_and_is_counted_in_one_row():
    plan = bobbins(banded(), 1.2)
    ends = plan_figures(plan).thread.bobbin_ends
    told = card(plan, "in")
    assert 1 < len(ends) <= 12
    assert len(told.bobbins) == len(ends)
    for end, said in zip(ends, told.bobbins, strict=True):
        assert said.startswith(f"Bobbin {end.number} ")
        assert f"path {end.path}" in said
        assert end.at_path_end or "corner of row" in said
    assert sum(int(row.bobbins or 0) for row in told.rows) == len(ends)
    assert card(bobbins(banded(), 0.3)).bobbins[-1].endswith(" more.")
    assert card(banded()).bobbins == ()


@pytest.mark.parametrize("plan", [banded(), bobbins(banded()), orchard()])
def test_rows_to_tick_cover_every_path_and_their_times_add_up(plan):
    told, figures = card(plan), plan_figures(plan)
    assert facts(plan)["Time"].startswith(duration(figures.times.total_s))
    assert 0 <= sum(minutes(row.time) for row in told.rows) - figures.times.total_s / 60 < len(told.rows)
    if len(parts_of(plan)) > 1:
        assert [row.name for row in told.rows] == [part.name for part in parts_of(plan)]
    else:
        assert {row.name for row in told.rows} == {""}


def test_stops_name_the_changes_of_thread():
    plan = banded()
    assert facts(plan)["Stops"] == f"2 advances, {len(plan)} cuts of the thread"
    first, *rest = plan.paths
    other = replace(plan, paths=(replace(first, thread="blue"), *rest))
    assert facts(other)["Stops"].endswith("1 change of thread (after path 1 to cream)")


def test_the_needle_suits_the_thickest_thread():
    plan = banded()
    bare = replace(plan, drawing=replace(plan.drawing, threads=()))
    assert facts(bare)["Needle"] == "a new one, of the size that suits the thread"
    threads = Thread("cream", 40.0), Thread("never sewn", 90.0)
    known = replace(plan, drawing=replace(plan.drawing, threads=threads))
    assert "thread of tex 40 begin with size 100 (16)" in facts(known)["Needle"]


def test_what_is_left_to_the_hand_is_told():
    assert "Left to the hand" not in facts(banded())
    assert facts(handed())["Left to the hand"].startswith("before each band: ")


def test_what_is_done_fits_the_machine():
    plan = banded()
    told = practice(plan)
    assert list(told) == ["Before the first stitch", "At each start", "At each end", "At each advance"]
    assert "needle up" in told["Before the first stitch"]
    assert "Let the machine secure it" in told["At each end"]
    small = practice(replace(plan, machine=MachineSettings(secured="small stitches")))
    assert "The file itself holds the small stitches" in small["At each start"]
    buried = practice(replace(plan, machine=MachineSettings(secured="buried tails", tail="100 mm")))
    assert "tails of 100 mm" in buried["At each end"]
    by_hand = practice(replace(plan, machine=MachineSettings(sewn_by="hand"), windows=()))
    assert "At each advance" not in by_hand
    assert "file" not in " ".join(by_hand.values())


def test_stitch_lengths_are_told_as_machines_have_them():
    assert "The stitch length is set: 2.5 mm (10 to the inch)." in card(banded()).checks


def test_blocks_are_ticked_off_where_they_are_finished_one_by_one():
    plan = banded(rows=2)
    assert card(plan).blocks == ()
    first = plan.jobs[0]
    grouped = replace(plan, jobs=(replace(first, group="row 1, column 2", paths=len(plan)),))
    assert card(grouped).blocks == ((1, (True,) * 4), (2, (True,) * 4))
    fewer = replace(plan.drawing, blocks=plan.drawing.blocks[1:])
    assert card(replace(grouped, drawing=fewer)).blocks[0] == (1, (False, True, True, True))
