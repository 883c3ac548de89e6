"""Which stitching lies on which line: at the gate, a hair off, across, and counted cell by cell."""

import numpy as np
import pytest
from banded import SEW, TRAVEL
from hypothesis import given, settings
from railed import measured, rails, stretches
from strategies import intervals

from stitchpath.check.measuring.match import STRETCH_MM, match, spread, tally
from stitchpath.check.measuring.segments import NEVER
from stitchpath.lines import COVERED_MM

LINE = [(0, 0), (100, 0)]


@pytest.mark.parametrize("off", [0.0, 0.0039, -0.0039])
@pytest.mark.parametrize("turned", [False, True])
def test_stitching_within_a_hair_lies_on_the_line(off, turned):
    way = [(20, off), (60, off)]
    found = match(rails(LINE), stretches(way[::-1] if turned else way))
    assert found.follows.tolist() == [True]
    assert found.same_way.tolist() == [not turned]
    # Around each end a circle of COVERED_MM is near as well, a chord of it where the way lies aside.
    cap = np.sqrt(COVERED_MM**2 - off**2)
    assert np.ravel(found.covers) == pytest.approx([20 - cap, 60 + cap], abs=1e-9)
    assert np.ravel(found.beside) == pytest.approx([20, 60])
    assert found.lies[1] - found.lies[0] == pytest.approx([40])


@pytest.mark.parametrize("off", [0.0041, -0.0041, 1.0])
def test_stitching_farther_off_does_not(off):
    assert len(match(rails(LINE), stretches([(20, off), (60, off)])).stretch) == 0


@pytest.mark.parametrize("degrees", [30, 90])
def test_what_crosses_touches_but_does_not_follow(degrees):
    way = np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])
    found = match(rails(LINE), stretches([(50, 0) - 10 * way, (50, 0) + 10 * way]))
    assert found.follows.tolist() == [False]
    # As long as the way crosses a strip twice COVERED_MM wide.
    wide = 2 * COVERED_MM / np.sin(np.radians(degrees))
    assert found.lies[1] - found.lies[0] == pytest.approx([wide])
    assert wide < STRETCH_MM


def test_nothing_matches_where_there_is_nothing():
    for laid, sewn in ((rails(), stretches(LINE)), (rails(LINE), stretches())):
        matches, cells = measured(laid, sewn)
        assert len(matches.stretch) == len(matches.line) == 0
        assert cells.sews.sum() == cells.times.sum() == 0


def test_cells_count_who_passes_and_when():
    ways = (SEW, [(0, 0), (60, 0)]), (TRAVEL, [(60, 0), (20, 0)]), (SEW, [(40, 0), (100, 0)])
    laid = rails(LINE)
    _, cells = measured(laid, stretches(*ways))
    assert cells.bounds - laid.extent[0][0] == pytest.approx([0, 20, 40, 60, 100])
    assert cells.times.tolist() == [1, 2, 3, 1]
    assert cells.sews.tolist() == [1, 1, 2, 1]
    assert cells.first_sew.tolist() == [0, 0, 0, 2]


def test_a_cell_between_two_lines_sees_nothing_and_one_only_travelled_is_never_sewn():
    other = [(0, 50), (100, 50)]
    _, cells = measured(rails(LINE, other), stretches((SEW, LINE), (TRAVEL, other)))
    assert cells.times.tolist() == [1, 0, 1]
    assert cells.sews.tolist() == [1, 0, 0]
    assert cells.first_sew.tolist() == [0, NEVER, NEVER]


@settings(deadline=None, max_examples=40)
@given(intervals())
def test_spread_and_tally_count_as_ranges_do(asked):
    ranges = [range(first, first + max(length, 0)) for first, length in asked]
    first = np.array([r.start for r in ranges], dtype=np.int64)
    last = np.array([r.stop for r in ranges], dtype=np.int64)
    owner, cell = spread(first, last)
    assert list(zip(owner.tolist(), cell.tolist(), strict=True)) == [
        (i, c) for i, r in enumerate(ranges) for c in r
    ]
    weight = 3 + np.arange(len(ranges))
    assert tally(first, last, weight, 50).tolist() == [
        sum(3 + i for i, r in enumerate(ranges) if c in r) for c in range(50)
    ]
