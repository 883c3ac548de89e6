"""Where something lies in rows and columns: two rows of three blocks, with sashing between the rows."""

import pytest
import shapely

from stitchpath.drawing import Drawing
from stitchpath.figures.rows_and_columns import SeamSides, corners
from stitchpath.lines import Block

BLOCKS = tuple(
    Block(f"row {row}, column {column}", (x, y, x + 100, y + 100), row, column)
    for row, y in ((1, 0), (2, 120))
    for column, x in ((1, 0), (2, 100), (3, 200))
)
SIDES = SeamSides(Drawing((), outline=shapely.box(0, 0, 300, 220), blocks=BLOCKS))


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
    assert SIDES.side_of(at, upright=upright) == said


def test_without_blocks_nothing_is_said():
    assert SeamSides(Drawing(())).side_of(0, upright=False) == ""


def test_the_corners_of_blocks():
    assert dict(corners(BLOCKS[4:5])) == {
        "the upper left corner of row 2, column 2": (100, 120),
        "the upper right corner of row 2, column 2": (200, 120),
        "the lower left corner of row 2, column 2": (100, 220),
        "the lower right corner of row 2, column 2": (200, 220),
    }
    assert len(list(corners(BLOCKS))) == 24
    assert list(corners([])) == []
