"""How bands lie on the machine: shifted or turned, never a mirror image; and which paths are whose."""

from dataclasses import replace

import numpy as np
import pytest
from banded_plans import BLOCK_MM, banded
from hypothesis import given, settings
from strategies import numbers, polylines, yes_or_no

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.figures.band_frames import BandFrame, band_frame, band_frames, band_paths, sewn_bands
from stitchpath.plan import Plan

NONE = Plan(Drawing(()), (), (), 0.0)


def area(points):
    """Twice the signed area of a triangle; a mirror image has the other sign."""
    (a, b), (c, d) = points[1] - points[0], points[2] - points[0]
    return a * d - b * c


@settings(deadline=None, max_examples=30)
@given(polylines((0, 9), (0, 9), up_to=6, step_mm=7.3), numbers(1e4), numbers(1e4), yes_or_no())
def test_what_is_laid_can_be_taken_up_and_keeps_its_shape(points, x, y, sideways):
    frame = BandFrame(1, (0, 500), (x, y), sideways)
    points = np.array(points)
    laid = frame.laid(points)
    assert frame.taken_up(laid) == pytest.approx(points)
    assert frame.laid(np.array([frame.origin_mm])).tolist() == [[0, 0]]
    assert np.hypot(*np.diff(laid, axis=0).T) == pytest.approx(np.hypot(*np.diff(points, axis=0).T))
    for i in range(len(points) - 2):
        assert area(laid[i : i + 3]) == pytest.approx(area(points[i : i + 3]), abs=1e-6)


@pytest.mark.parametrize("sideways", [False, True])
def test_frames_start_where_their_windows_do(sideways):
    plan = banded(sideways=sideways)
    frames = band_frames(plan)
    assert [frame.number for frame in frames] == list(range(1, len(plan.windows) + 1))
    for frame, (start, end) in zip(frames, plan.windows, strict=True):
        # Sideways the finished top's lower edge lies at its left.
        edge = 3 * BLOCK_MM if sideways else 0
        assert frame.origin_mm == pytest.approx((start, edge) if sideways else (edge, start))
        assert frame.far_end_mm == pytest.approx((end, edge) if sideways else (edge, end))
        across = np.array([frame.far_end_mm, frame.origin_mm])
        assert frame.laid(across) == pytest.approx(np.array([(0, end - start), (0, 0)]))
        assert frame.reaches(across).tolist() == [True, True]
    assert band_frame(plan, 2) == frames[1]


def test_without_an_outline_the_left_edge_is_what_is_sewn():
    plan = banded(outline=False)
    least = min(path.coordinates_mm[:, 0].min() for path in plan)
    assert [frame.origin_mm[0] for frame in band_frames(plan)] == pytest.approx([least] * 3)


def test_what_a_window_reaches():
    frame = BandFrame(1, (100, 200), (0, 100))
    points = np.array([(0, 99.0), (0, 100), (0, 200), (0, 201)])
    assert frame.reaches(points).tolist() == [False, True, True, False]
    assert frame.reaches(points, within_mm=1).tolist() == [True] * 4
    turned = replace(frame, sideways=True)
    assert turned.reaches(points[:, ::-1]).tolist() == [False, True, True, False]


def test_halves_of_a_thousandth_are_rounded_before_they_are_shifted():
    (path,) = banded(rows=2, columns=1).paths[:1]
    path = replace(path, coordinates_mm=[(0, 0.0625), (1, 0.0005)], spans=())
    frame = BandFrame(1, (0, 9), (0.0, 0.001))
    (rounded,) = frame.laid_paths([path], decimals=3)
    assert rounded.coordinates_mm == pytest.approx(np.array([(0, 0.061), (1, -0.001)]), abs=1e-12)
    (raw,) = frame.laid_paths([path], decimals=None)
    assert raw.coordinates_mm == pytest.approx(np.array([(0, 0.0615), (1, -0.0005)]), abs=1e-12)


def test_a_bands_paths_and_the_number_of_the_first():
    plan = banded()
    for band in (1, 2, 3):
        first, paths = band_paths(plan, band)
        paths = tuple(paths)
        assert {path.band for path in paths} == {band}
        assert plan.paths[first - 1 : first - 1 + len(paths)] == paths
    assert band_paths(plan, None) == (1, plan.paths)
    assert sewn_bands(plan) == (1, 2, 3)
    only = replace(plan, paths=tuple(path for path in plan if path.band != 2))
    assert sewn_bands(only) == (1, 3)


def test_all_in_reach_has_no_frames():
    assert (band_frames(NONE), sewn_bands(NONE)) == ((), ())
    assert band_frames(replace(NONE, windows=((0, 9),))) == ()
    assert [frame.origin_mm for frame in band_frames(replace(NONE, windows=((0, 9), (8, 20))))] == [
        (0, 0), (0, 8),
    ]  # fmt: skip


@pytest.mark.parametrize("band", [0, -1, 4])
def test_a_band_that_is_not_there_is_refused(band):
    with pytest.raises(DesignError, match=f"no band {band} with files of its own; it has 3"):
        band_frame(banded(), band)


def test_a_band_without_a_window_and_one_that_is_no_number_are_refused():
    plan = banded()
    with pytest.raises(DesignError, match="band 3 has no window"):
        sewn_bands(replace(plan, windows=plan.windows[:2]))
    with pytest.raises(DesignError, match="counted from 1"):
        band_paths(plan, "first")
