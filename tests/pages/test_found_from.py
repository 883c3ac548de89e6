"""Places told from corners of blocks: measured out from there, one comes back to them."""

import re

import pytest
from hypothesis import given
from strategies import lengths_mm

from stitchpath.figures.rows_and_columns import corners
from stitchpath.lines import Block
from stitchpath.pages.found_from import found_from

BLOCKS = [
    Block(
        f"row {row}, column {column}", (90 * column, 70 * row, 90 * column + 80, 70 * row + 60), row, column
    )
    for row, y in ((1, 70), (2, 140))
    for column, x in ((1, 90), (2, 180))
]
SIGNS = {"left of": (-1, 0), "right of": (1, 0), "above": (0, -1), "below": (0, 1)}


@given(lengths_mm(0, 300), lengths_mm(0, 250))
def test_one_comes_back_to_the_place(x, y):
    told = found_from(BLOCKS, (x, y))
    ((name, at),) = [(name, at) for name, at in corners(BLOCKS) if told.endswith(name)]
    for mm, way in re.findall(r"(\d+) mm (left of|right of|above|below)", told.removesuffix(name)):
        at = tuple(where + int(mm) * sign for where, sign in zip(at, SIGNS[way], strict=True))
    assert at == pytest.approx((x, y), abs=1.001)


def test_a_place_in_a_block_is_told_from_that_block_even_where_another_corner_is_as_near():
    assert found_from(BLOCKS, (168, 130)).endswith("corner of row 1, column 1")
    assert (
        found_from(BLOCKS, (182, 142)) == "2 mm right of, 2 mm below the upper left corner of row 2, column 2"
    )


def test_without_blocks_the_top_has_one_corner():
    assert found_from((), (0.2, 0.9)) == "the top's upper left corner"
    assert found_from((), (254, 0), "in") == "10 in right of the top's upper left corner"
