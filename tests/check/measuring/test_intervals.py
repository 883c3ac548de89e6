"""Intervals against shapely's distances and against plain sets."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from strategies import intervals, lists_of_whole, picked, segments, yes_or_no_lists

from stitchpath.check.measuring.intervals import gaps, near, pieces, runs

CELLS = (-8, 8)


@settings(deadline=None, derandomize=True, max_examples=400)
@given(segments(CELLS, CELLS, fewest=2, up_to=2), picked(0.0, 1e-9, 1e-3, 0.5, 0.999, 1.0, 1.001))
def test_near_is_what_lies_in_the_buffered_piece(two, off):
    (p, q), (a, b) = two
    p, q, a, b = (np.array([point], dtype=float) for point in (p, q, a, b))
    a, b = a + off, b + off
    low, high = near(p, q, a, b, within_mm=1.0)
    length = float(np.hypot(*(q - p)[0]))
    places = np.linspace(0, length, 101)
    distance = shapely.distance(shapely.points(p + (q - p) / length * places[:, None]), pieces(a, b)[0])
    clear = np.abs(distance - 1.0) > 1e-6
    assert (((places >= low) & (places <= high)) == (distance <= 1.0))[clear].all()


@settings(deadline=None, derandomize=True, max_examples=400)
@given(segments(CELLS, CELLS, fewest=2, up_to=2))
def test_beside_is_what_has_its_foot_on_the_piece(two):
    (p, q), (a, b) = two
    p, q, a, b = (np.array([point], dtype=float) for point in (p, q, a, b))
    low, high = near(p, q, a, b, within_mm=1.0, caps=False)
    length = float(np.hypot(*(q - p)[0]))
    # Off the ends by a little, so that a foot exactly on an end decides nothing.
    places = np.linspace(0, length, 101) * (1 - 2e-5) + length * 1e-5
    points = p + (q - p) / length * places[:, None]
    foot = ((points - a) * (b - a)).sum(axis=1) / ((b - a) ** 2).sum()
    distance = shapely.distance(shapely.points(points), pieces(a, b)[0])
    clear = (np.abs(distance - 1.0) > 1e-6) & (np.abs(foot) > 1e-6) & (np.abs(foot - 1) > 1e-6)
    wanted = (distance <= 1.0) & (foot >= 0) & (foot <= 1)
    assert (((places >= low) & (places <= high)) == wanted)[clear].all()


@settings(deadline=None, derandomize=True, max_examples=300)
@given(intervals(), lists_of_whole(0, 40, up_to=6, unlike=True))
def test_gaps_are_what_no_interval_holds(covers, bounds):
    bounds = sorted(bounds[: len(bounds) // 2 * 2])
    ranges = list(zip(bounds[::2], bounds[1::2], strict=True))
    held = {cell for low, length in covers for cell in range(low, low + length)}
    open_cells = [c for low, high in ranges for c in range(low, high) if c not in held]
    low, high = gaps(
        (np.array([c[0] for c in covers], float), np.array([c[0] + c[1] for c in covers], float)),
        (np.array([r[0] for r in ranges], float), np.array([r[1] for r in ranges], float)),
        over_mm=0.5,
    )
    assert [c for a, b in zip(low, high, strict=True) for c in range(int(a), int(b))] == open_cells


def test_short_gaps_are_not_told():
    covers = (np.array([0.0, 1.1]), np.array([1.0, 3.0]))
    whole = (np.array([0.0]), np.array([3.0]))
    assert len(gaps(covers, whole, over_mm=0.2)[0]) == 0
    assert gaps(covers, whole, over_mm=0.05)[0] == pytest.approx([1.0])


@settings(deadline=None, derandomize=True, max_examples=100)
@given(yes_or_no_lists())
def test_runs_hold_every_mark_once(marks):
    first, last = runs(np.array(marks, dtype=bool))
    assert [i for a, b in zip(first, last, strict=True) for i in range(a, b)] == [
        i for i, mark in enumerate(marks) if mark
    ]
    assert (first[1:] > last[:-1]).all()
