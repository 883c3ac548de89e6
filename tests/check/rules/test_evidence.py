"""What the rules look at, and how they tell of it."""

import numpy as np
import pytest
from banded import SEW, TRAVEL, laid

from stitchpath.check.rules.evidence import (
    Asked,
    cells_of,
    finding,
    left_over,
    lies_on,
    look_at,
    mm,
    together,
    told_on_rails,
    told_on_stretches,
    whose,
)
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.settings import MachineSettings, ScheduleSettings

LINE = Line([(0, 0), (100, 0)], Role.FILL, motif="fill", block="row 1, column 1")
PEAR = Line([(0, 50), (100, 50)], Role.OUTLINE, motif="pear")
SEAM = Line([(0, 0), (0, 50)], Role.HIDDEN)
DRAWING = Drawing((LINE, PEAR), (SEAM,))


def arrays(*pairs):
    low, high = zip(*pairs, strict=True) if pairs else ((), ())
    return np.array(low, float), np.array(high, float)


def test_what_is_left_to_the_hand_is_not_wanted():
    hand = ScheduleSettings(by_hand=["pear"])
    seen = look_at([], Asked(DRAWING, schedule=hand))
    assert seen.asked.left.tolist() == [False, True, False]
    assert seen.wanted.tolist() == [True, False, False]
    by_hand = Asked(DRAWING, machine=MachineSettings(sewn_by="hand"), schedule=hand)
    assert look_at([], by_hand).wanted.tolist() == [True, True, False]


def test_steps_know_their_band_and_when_they_are_first_made():
    paths = [laid([(0, 0), (100, 0), (0, 0)], [SEW, TRAVEL], band=1), laid([(0, 50), (100, 50)], band=3)]
    seen = look_at(paths, Asked(DRAWING))
    assert seen.stages == ("baste", "seams", "detail")
    assert seen.band.tolist() == [1, 1, 3]
    assert seen.banded
    assert not look_at(paths[:1], Asked(DRAWING)).banded
    assert [seen.when(int(stretch)) for stretch in seen.stretches.of] == [0, 0, 2]
    assert [seen.matches.line[seen.follows(int(stretch))].tolist() for stretch in seen.stretches.of] == [
        [0], [0], [1],
    ]  # fmt: skip
    assert [whose(seen, time) for time in (0, 1, 2)] == ["path 1", "path 1", "path 2"]


def test_nothing_to_look_at():
    seen = look_at([], Asked(Drawing(())))
    assert (len(seen.segments.path), len(seen.band), seen.banded) == (0, 0, False)
    assert list(told_on_rails(seen.rails, arrays(), "covered", "{} {}".format)) == []


@pytest.mark.parametrize("turned", [False, True])
def test_cells_are_laid_onto_the_stretch_from_whichever_end(turned):
    way = [(20, 0), (100, 0)]
    seen = look_at([laid(way[::-1] if turned else way), laid([(0, 0), (50, 0)])], Asked(DRAWING))
    long = int(seen.stretches.of[0])
    (pair,) = seen.follows(long)
    (pairs, low, high), cell = cells_of(seen, np.array([pair]))
    assert pairs.tolist() == [pair] * 2
    begin = seen.stretches.extent[0][long]
    # From x = 20 both sew, from x = 50 on the long one alone; laid from the other end the long part is first.
    parts = sorted(zip((low - begin).tolist(), (high - begin).tolist(), strict=True))
    forth = seen.stretches.start[long][0] == 20
    wanted = [(0, 30), (30, 80)] if forth else [(0, 50), (50, 80)]
    assert np.ravel(parts) == pytest.approx(np.ravel(wanted), abs=0.02)
    assert seen.cells.sews[cell].tolist() == [2, 1]


def test_what_is_left_over_lies_on_some_lines_and_in_nothing_fine():
    seen = look_at([laid([(0, 0), (100, 0), (100, 50), (0, 50)])], Asked(DRAWING))
    begin = seen.stretches.extent[0][seen.stretches.of[0]]
    fills = np.array([True, False, False])
    all_of_it = np.ones(len(seen.stretches.times), dtype=bool)
    low, high = lies_on(seen, fills)
    assert (high - low).max() == pytest.approx(100, abs=0.01)
    fine = arrays((begin, begin + 30))
    low, high = left_over(seen, fills, fine, all_of_it)
    assert (low - begin, high - begin) == (pytest.approx([30]), pytest.approx([100], abs=0.01))
    low, _ = left_over(seen, fills, fine, ~all_of_it)
    assert len(low) == 0
    whole = together(fine, arrays((begin + 30, begin + 100.01)))
    assert len(left_over(seen, fills, whole, all_of_it)[0]) == 0


def test_places_are_told_in_words():
    seen = look_at([laid([(0, 0), (100, 0)])], Asked(DRAWING))
    start = seen.rails.extent[0][0]
    (told,) = told_on_rails(seen.rails, arrays((start + 10, start + 30)), "covered", "{} lacks {}".format)
    assert told.kind == "covered"
    assert told.message == "row 1, column 1: fill lacks 20.000 mm"
    assert told.place_mm == pytest.approx((20, 0))
    begin = seen.stretches.extent[0][0]
    (told,) = told_on_stretches(seen, arrays((begin + 60, begin + 70)), "open cloth", "strays")
    assert told.message == "path 1 strays for 10.000 mm"
    assert told.place_mm == pytest.approx((65, 0))


def test_a_finding_has_plain_numbers():
    told = finding("reach", "too far", np.array([1.5, 2.5]))
    assert told.place_mm == (1.5, 2.5)
    assert {type(at) for at in told.place_mm} == {float}
    assert (mm(25.4), mm(0.00049)) == ("25.400 mm", "0.000 mm")
