"""Windows over a picture: they cover it, overlap as asked, fit their page, and are as few as can be."""

import itertools

import pytest
import shapely
from hypothesis import given, settings
from strategies import whole

from stitchpath.pictures.page_grid import Grid, PageWindow, grid_over, letters


@settings(deadline=None, max_examples=40)
@given(whole(1, 600), whole(1, 600), whole(60, 300), whole(60, 300), whole(0, 20))
def test_the_fewest_windows_cover_the_box(wide, high, room_x, room_y, overlap):
    box = (-5.0, 7.0, -5.0 + wide, 7.0 + high)
    grid = grid_over(box, (room_x, room_y), overlap)
    windows = list(grid)
    assert len(windows) == grid.rows * grid.columns
    covered = shapely.union_all([shapely.box(*window.box) for window in windows])
    assert covered.symmetric_difference(shapely.box(*box)).area < 1e-6
    width, height = grid.size
    assert width <= room_x + 1e-6
    assert height <= room_y + 1e-6
    for count, size, room in ((grid.columns, wide, room_x), (grid.rows, high, room_y)):
        # One window fewer, at its largest, would not reach: n windows reach n (room - overlap) + overlap.
        assert count == 1 or (count - 1) * (room - overlap) + overlap < size
    across = [window.box for window in windows if window.row == 0]
    for one, two in itertools.pairwise(across):
        assert one[2] - two[0] == pytest.approx(overlap)


def test_a_box_of_no_size_has_one_window():
    assert [window.box for window in grid_over((3, 4, 3, 4), (190, 250), 10)] == [(3, 4, 3, 4)]


def test_a_box_that_just_fits_is_one_window():
    assert grid_over((0, 0, 190, 250), (190, 250), 10) == Grid((0, 0, 190, 250), 1, 1, 10)
    more = grid_over((0, 0, 190.001, 250), (190, 250), 10)
    assert (more.rows, more.columns) == (1, 2)


def test_windows_are_named_row_by_row():
    grid = Grid((0, 0, 30, 20), 2, 3, 0)
    assert [window.name for window in grid] == ["A-1", "A-2", "A-3", "B-1", "B-2", "B-3"]
    assert list(grid)[4] == PageWindow(1, 1, (10, 10, 20, 20))


def test_rows_go_on_after_z():
    assert [letters(n) for n in (0, 25, 26, 27, 51, 52, 701, 702)] == [
        "A",
        "Z",
        "AA",
        "AB",
        "AZ",
        "BA",
        "ZZ",
        "AAA",
    ]
    assert len({letters(n) for n in range(1000)}) == 1000
