"""A frame's reach: windows start as high as the reach lets them."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from strategies import whole

from stitchpath.planning.reach import SLACK_MM, Reach, heights, too_tall, window_starts

LESS = Reach(first_mm=500, last_mm=400, top_mm=0, bottom_mm=1000)


def test_the_reach_changes_evenly_and_stays_beyond_top_and_bottom():
    assert LESS.at([-50, 0, 250, 1000, 2000]).tolist() == [500, 500, 475, 400, 400]
    more = Reach(first_mm=300, last_mm=600, top_mm=-100, bottom_mm=200)
    assert more.at([-200, -100, 0, 200, 900]).tolist() == [300, 300, 400, 600, 600]


@settings(deadline=None, max_examples=40)
@given(whole(1, 900), whole(1, 900), whole(1, 900))
def test_a_window_starts_as_high_as_it_can(first, last, height):
    reach = Reach(first, last, 0, height)
    ends = np.arange(-1000.0, 2000.0, 37)
    start = reach.start(ends)
    assert (start + reach.at(start) >= ends - 1e-6).all()
    assert (np.diff(start) >= 0).all()
    # None of many places higher up will do.
    higher = start[:, None] - np.geomspace(1e-3, 2000, 60)
    assert (higher + reach.at(higher) < ends[:, None]).all()


@pytest.mark.parametrize("reach_mm", [0, -1, math.inf, math.nan])
def test_a_reach_that_is_none_is_refused(reach_mm):
    with pytest.raises(ValueError, match="finite length above 0"):
        Reach(reach_mm, 400, 0, 1000)
    with pytest.raises(ValueError, match="finite length above 0"):
        Reach(500, reach_mm, 0, 1000)


@pytest.mark.parametrize(("top", "bottom"), [(1, 0), (0, math.nan), (-math.inf, 0), (0, math.inf)])
def test_a_top_below_its_bottom_is_refused(top, bottom):
    with pytest.raises(ValueError, match="nothing lies between"):
        Reach(500, 400, top, bottom)


def test_units_that_no_window_holds():
    tops, bottoms = [0, 0, 530, 500, 0], [500, 500.1, 1000, 950, 500 + SLACK_MM / 2]
    assert too_tall(tops, bottoms, LESS).tolist() == [1, 2]
    assert too_tall(tops, bottoms, None).tolist() == []
    assert too_tall([], [], LESS).tolist() == []


def test_no_window_starts_above_everything():
    assert window_starts(np.array([20.0, 90.0]), np.array([30.0, 700.0]), None).tolist() == [20, 20]
    # What lies above the top takes windows with it.
    assert window_starts(np.array([20.0]), np.array([30.0, 950.0]), LESS).tolist() == [0, 500]
    assert window_starts(np.array([-20.0]), np.array([30.0]), LESS).tolist() == [-20]


@pytest.mark.parametrize(
    ("top", "bottom", "said"),
    [
        ([0, 5], [1, 4], "unit 1 cannot lie from 5.0 down to 4.0 mm"),
        ([math.nan], [4], "unit 0 cannot lie"),
        ([0], [math.inf], "unit 0 cannot lie"),
        ([0, 1], [2], r"tops of shape \(2,\) and bottoms of shape \(1,\) are no units"),
        ([[0]], [[1]], "are no units"),
    ],
)
def test_heights_that_are_none_are_refused(top, bottom, said):
    with pytest.raises(ValueError, match=said):
        heights(top, bottom)
    with pytest.raises(ValueError, match=said):
        too_tall(top, bottom, LESS)
