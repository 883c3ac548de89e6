"""Lines too near beside a parallel seam: found again by measuring each piece against each seam."""

import pytest
import shapely
from hypothesis import given, settings
from places import block, drawn_in
from strategies import lists_of_whole, picked, whole

from stitchpath.geometry.clip import clipped
from stitchpath.motifs import Strip
from stitchpath.motifs.beside import LevelSeam, level_seams, too_near

ROOM = shapely.box(0, 0, 100, 60)


def spans(found):
    return sorted((round(one.offset, 6), round(one.start, 6), round(one.stop, 6)) for one in found)


def test_level_seams_of_a_block_with_and_without_its_edges():
    place = block(100, seams=(((100, 90), (200, 90)), ((130, 50), (130, 150)), ((100, 50), (200, 150))))
    # In the frame of lines to the right a seam's offset is its y, at 90 degrees it is minus its x.
    assert spans(level_seams(place, 0, edges=False)) == [(90, 100, 200)]
    assert spans(level_seams(place, 0)) == [(50, 100, 200), (90, 100, 200), (150, 100, 200)]
    assert spans(level_seams(place, 90, edges=False)) == [(-130, 50, 150)]
    assert len(level_seams(place, 45)) == 1
    assert level_seams(place, 30) == ()
    assert level_seams(block(seams=()), 0, edges=False) == ()


def test_the_sewn_lines_of_a_strip_count_as_edges():
    _, place = drawn_in(block(100, seams=()), [Strip(width=20, angle=0)])
    assert spans(level_seams(place, 0)) == [
        (50, 100, 200), (90, 100, 200), (110, 100, 200), (150, 100, 200),
    ]  # fmt: skip
    assert level_seams(place, 0, edges=False) == ()


@settings(deadline=None, max_examples=40)
@given(lists_of_whole(0, 60, up_to=6, unlike=True), whole(0, 60), whole(0, 80), whole(1, 20), picked(0, 180))
def test_too_near_is_nearer_than_the_least_gap_for_some_way(lines, seam_at, begins, gap, angle):
    """Pieces across a room with a hole, and a seam of 20 mm; at 180 degrees offsets and ways are turned."""
    hole = shapely.box(30, 20, 70, 40)
    sign = 1 if angle == 0 else -1
    pieces = clipped([sign * y for y in sorted(lines)], angle, within=[ROOM], without=[hole])
    ends = sorted((sign * begins, sign * (begins + 20)))
    found = too_near(pieces, [LevelSeam(float(sign * seam_at), *map(float, ends))], least_gap=gap)
    for near, ((x0, y0), (x1, _)) in zip(found.tolist(), pieces.ends_mm.tolist(), strict=True):
        beside = min(max(x0, x1), begins + 20) - max(min(x0, x1), begins)
        assert near == (abs(y0 - seam_at) < gap and beside > 0)


@pytest.mark.parametrize(("gap", "near"), [(5.0, False), (5.001, True)])
def test_a_line_at_the_least_gap_is_not_too_near(gap, near):
    pieces = clipped([25.0], 0, within=[ROOM])
    assert too_near(pieces, [LevelSeam(20.0, 0.0, 100.0)], least_gap=gap).tolist() == [near]
    assert too_near(pieces, [LevelSeam(20.0, 100.0, 200.0)], least_gap=gap).tolist() == [False]


def test_no_pieces_and_no_seams():
    none = clipped([], 0, within=[ROOM])
    assert too_near(none, [LevelSeam(0.0, 0.0, 9.0)], least_gap=5).tolist() == []
    assert too_near(clipped([3.0], 0, within=[ROOM]), [], least_gap=5).tolist() == [False]
