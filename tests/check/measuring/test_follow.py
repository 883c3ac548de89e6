"""Which line stitching follows: found again place by place."""

import numpy as np
import pytest
from hypothesis import given, settings
from railed import ends, rails
from strategies import segments

from stitchpath.check.measuring import follow as following
from stitchpath.check.measuring.follow import follow
from stitchpath.errors import LimitError
from stitchpath.lines import COVERED_MM

WITHIN_MM = 1.3


def distances(point, way, lines):
    """How far a point is from each line beside it that runs within 30 degrees of a way; infinite if none."""
    found = []
    for start, end in np.array(lines, dtype=float):
        along = (end - start) / np.hypot(*(end - start))
        foot = (point - start) @ along
        off = abs(np.cross([*along, 0], [*(point - start), 0])[2])
        beside = 0 <= foot <= np.hypot(*(end - start)) and abs(along @ way) >= np.cos(np.pi / 6)
        found.append(off if beside and off <= WITHIN_MM else np.inf)
    return np.array(found)


@settings(deadline=None, max_examples=40)
@given(segments((0, 6), (0, 6), fewest=1, up_to=5), segments((0, 6), (0, 6), up_to=4))
def test_each_bit_follows_the_nearest_line_that_runs_its_way(lines, ways):
    start, end = ends(*ways)
    found = follow(rails(*lines), start, end, within_mm=WITHIN_MM)
    assert np.bincount(found.segment, found.length, len(ways)) == pytest.approx(np.hypot(*(end - start).T))
    for bit, length in enumerate(found.length.tolist()):
        if length < 1e-6:
            continue
        segment = found.segment[bit]
        way = (end - start)[segment] / np.hypot(*(end - start)[segment])
        off = distances((found.start[bit] + found.end[bit]) / 2, way, lines)
        near = np.flatnonzero(off <= off.min() + COVERED_MM) if np.isfinite(off.min()) else []
        assert sorted(found.line[found.bit == bit]) == list(near)
        assert found.first[bit] == (near[0] if len(near) else -1)


def test_what_lies_beside_a_line_is_told_from_what_does_not():
    laid = rails([(0, 0), (10, 0)])
    found = follow(laid, *ends(((-5, 1), (15, 1))), within_mm=WITHIN_MM)
    assert found.first.tolist() == [-1, 0, -1]
    assert found.length == pytest.approx([5, 10, 5])
    assert [float(end[0]) for end in found.covers] == pytest.approx(
        [laid.extent[0][0], laid.extent[0][0] + 10]
    )


def test_between_two_lines_the_middle_tells():
    laid = rails([(0, 0), (10, 0)], [(0, 2), (10, 2)])
    found = follow(laid, *ends(((0, 0.5), (10, 1.5))), within_mm=1.6)
    assert found.first.tolist() == [0, 1]
    assert found.end[0] == pytest.approx((5, 1))


@pytest.mark.parametrize(("degrees", "followed"), [(29.9, True), (30.1, False)])
def test_stitching_goes_a_lines_way_within_30_degrees(degrees, followed):
    way = 5 * np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])
    found = follow(rails([(-50, 0), (50, 0)]), *ends((-way, way)), within_mm=0.5)
    assert (0 in found.first.tolist()) == followed


def test_long_steps_keep_their_ends():
    found = follow(rails([(0, 0), (1000, 0)]), *ends(((0, 0.5), (777, 0.5))), within_mm=1.0)
    assert (found.start[0].tolist(), found.end[-1].tolist()) == ([0, 0.5], [777, 0.5])
    assert found.length.sum() == pytest.approx(777)
    assert set(found.first.tolist()) == {0}


def test_no_stitching_and_no_lines():
    assert len(follow(rails([(0, 0), (9, 0)]), *ends(), within_mm=1.0).segment) == 0
    assert follow(rails(), *ends(((0, 0), (9, 0))), within_mm=1.0).first.tolist() == [-1]


def test_too_much_side_by_side_is_refused(monkeypatch):
    monkeypatch.setattr(following, "MOST_FOREIGN_PAIRS", 8)
    two, three = ([[(0, y / 10), (9, y / 10)] for y in range(count)] for count in (2, 3))
    follow(rails(*two), *ends(((0, 0), (9, 0))), within_mm=1.0)
    with pytest.raises(LimitError, match="9 pairs of lines lie side by side"):
        follow(rails(*three), *ends(((0, 0), (9, 0))), within_mm=1.0)
