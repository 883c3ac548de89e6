"""Two files' paths: what rounding may move is the same, and everything else is told."""

from dataclasses import replace

import numpy as np
import pytest
from banded import RESUME, TRAVEL, laid
from hypothesis import given, settings
from strategies import numbers, polylines

from stitchpath.check.files.same_paths import ROUNDED_MM, moved, same_paths

ONE, TWO = laid([(0, 0), (9, 0)]), laid([(0, 5), (9, 5), (9, 0)])


@settings(deadline=None, max_examples=40)
@given(polylines((0, 9), (0, 9), up_to=5, step_mm=3.7), numbers(0.4))
def test_rounding_to_three_decimals_is_the_same(points, off):
    path = laid(np.array(points) + off / 7)
    rounded = replace(path, coordinates_mm=np.round(path.coordinates_mm, 3))
    assert list(same_paths([path], [rounded])) == []
    assert list(same_paths([rounded], [path])) == []


@pytest.mark.parametrize(("off", "found"), [(0.0005, 0), (0.0006, 1), (-0.0006, 1), (np.nan, 1)])
@pytest.mark.parametrize("axis", [0, 1])
def test_more_than_rounding_is_told_with_its_place(off, found, axis):
    points = TWO.coordinates_mm.copy()
    points[1, axis] += off
    told = list(same_paths([ONE, replace(TWO, coordinates_mm=points)], [ONE, TWO], first=7))
    assert len(told) == found
    for finding in told:
        assert finding.kind == "csv"
        assert finding.message.startswith("path 8 of the table, point 2 is ")
        assert finding.place_mm == pytest.approx(points[1], nan_ok=True)


def test_only_the_first_point_that_moved_is_told():
    points = np.zeros((3, 2))
    off = np.array([(0, 0), (0.003, 0.004), (9, 9)])
    (finding,) = moved("path 1", off, points, "plan", ROUNDED_MM)
    assert finding.kind == "plan"
    assert finding.message == "path 1, point 2 is 0.005 mm from where another file has it"
    assert list(moved("path 1", off, points, "plan", 9.0)) == []
    assert list(moved("path 1", off[:0], points[:0], "plan", 0.0)) == []


@pytest.mark.parametrize(
    ("other", "said"),
    [
        ([ONE], "here has 2 paths, there 1"),
        ([ONE, laid([(0, 5), (9, 5)])], "path 2 has 3 points in here, 2 in there"),
        ([ONE, replace(TWO, band=2)], "path 2 has other bands, stages or moves in here than in there"),
        ([ONE, laid(TWO.coordinates_mm, stage="seams")], "path 2 has other bands, stages or moves"),
        ([ONE, laid(TWO.coordinates_mm, TRAVEL)], "path 2 has other bands, stages or moves"),
        ([laid(ONE.coordinates_mm, RESUME), TWO], "path 1 has other bands, stages or moves"),
    ],
)
def test_other_paths_are_told(other, said):
    (finding,) = same_paths([ONE, TWO], other, names=("here", "there"))
    assert finding.kind == "csv"
    assert finding.message.startswith(said)


def test_spans_may_be_cut_otherwise_and_threads_differ():
    one_span = replace(TWO, spans=(replace(TWO.spans[0], last=2),), thread="cream")
    assert list(same_paths([TWO], [one_span])) == []
