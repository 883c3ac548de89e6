"""Where something lies in rows and columns: two rows of three blocks, with sashing between the rows."""

import numpy as np
import pytest
import shapely

from stitchpath.drawing import Drawing
from stitchpath.figures.rows_and_columns import Places, corners
from stitchpath.lines import Block

BLOCKS = tuple(
    Block(f"row {row}, column {column}", (x, y, x + 100, y + 100), row, column)
    for row, y in ((1, 0), (2, 120))
    for column, x in ((1, 0), (2, 100), (3, 200))
)
PLACES = Places(Drawing((), outline=shapely.box(0, 0, 300, 220), blocks=BLOCKS))


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ([(100, 0), (100, 220)], "between columns 1 and 2, rows 1 to 2"),
        ([(200.2, 5), (199.8, 90)], "between columns 2 and 3, row 1"),
        ([(0, 130), (0, 200)], "left of column 1, row 2"),
        ([(300, 0), (300, 220)], "right of column 3, rows 1 to 2"),
        ([(250, 10), (250, 90)], "column 3, row 1"),
        ([(0, 110), (300, 110)], "between rows 1 and 2, columns 1 to 3"),
        ([(0, 100), (100, 100)], "below row 1, column 1"),
        ([(110, 120), (190, 120)], "above row 2, column 2"),
        ([(0, -9), (300, -9)], "above row 1, columns 1 to 3"),
        ([(210, 230), (290, 230)], "below row 2, column 3"),
        ([(10, 10), (190, 90)], "row 1, columns 1 to 2"),
        ([(150, 110), (150, 115)], "column 2"),
        ([(0, 0), (300, 220)], "whole top"),
        ([(50, 50)], "row 1, column 1"),
        ([], ""),
    ],
)
def test_a_stretch_in_words(points, said):
    assert PLACES.place_of(np.array(points, dtype=float).reshape(-1, 2)) == said


@pytest.mark.parametrize(
    ("at", "upright", "said"),
    [
        (0, True, "left of column 1"),
        (0.5, True, "left of column 1"),
        (0.6, True, ""),
        (100, True, "between columns 1 and 2"),
        (300, True, "right of column 3"),
        (0, False, "above row 1"),
        (100, False, "below row 1"),
        (110, False, ""),
        (220, False, "below row 2"),
    ],
)
def test_a_seam_on_the_side_of_rows_or_columns(at, upright, said):
    assert PLACES.side_of(at, upright=upright) == said


@pytest.mark.parametrize(
    ("points", "outside"),
    [
        ([(-3, 0), (-3, 220)], True),
        ([(-3, -3), (303, 223)], True),
        ([(-0.4, 0), (-3, 0)], False),
        ([(-3, 0), (150, 0)], False),
        ([(150, 224)], True),
    ],
)
def test_the_binding_allowance_is_outside_the_finished_top(points, outside):
    assert PLACES.in_allowance(np.array(points, dtype=float)) == outside
    assert not Places(Drawing((), blocks=BLOCKS)).in_allowance(np.array(points, dtype=float))


def test_one_block_alone_is_no_whole_top_and_without_blocks_nothing_is_said():
    one = Places(Drawing((), blocks=BLOCKS[:1]))
    assert one.place_of(np.array([(0.0, 0.0), (100.0, 100.0)])) == "row 1, column 1"
    assert Places(Drawing(())).place_of(np.array([(0.0, 0.0), (100.0, 100.0)])) == ""
    assert Places(Drawing(())).side_of(0, upright=False) == ""


def test_the_corners_of_blocks():
    assert dict(corners(BLOCKS[4:5])) == {
        "the upper left corner of row 2, column 2": (100, 120),
        "the upper right corner of row 2, column 2": (200, 120),
        "the lower left corner of row 2, column 2": (100, 220),
        "the lower right corner of row 2, column 2": (200, 220),
    }
    assert len(list(corners(BLOCKS))) == 24
    assert list(corners([])) == []
