"""Words moved by rows and columns of a top: rows 10, 30 and 10 mm high, columns of 20 mm."""

import numpy as np
import pytest

from stitchpath.directions.moved_words import MovedWords
from stitchpath.lines import Block

ROWS, COLUMNS = (0, 10, 40, 50), (0, 20, 40, 60, 80)
MOVED = MovedWords(
    Block(f"row {r}, column {c}", (COLUMNS[c - 1], ROWS[r - 1], COLUMNS[c], ROWS[r]), r, c)
    for r in (1, 2, 3)
    for c in (1, 2, 3, 4)
)


@pytest.mark.parametrize(
    ("across", "down", "by"),
    [
        (0, 0, (0, 0)),
        (0, 10, (1, 0)),  # from row 1 to row 2
        (0, 30, (1, 0)),  # from row 2 to row 3
        (0, 40, (2, 0)),
        (0, -40, (-2, 0)),
        (0, 20, (0, 0)),  # no row is so far from another
        (60, 0, (0, 3)),
        (-20, 10, (1, -1)),
        (20.4, 0, (0, 1)),
        (20.6, 0, (0, 0)),
    ],
)
def test_so_many_rows_and_columns_farther_on(across, down, by):
    assert MOVED.by(np.array([across, down])) == by


@pytest.mark.parametrize(
    ("said", "moved"),
    [
        ("in row 1, column 2", "in row 3, column 1"),
        ("the seam between rows 1 and 2", "the seam between rows 3 and 4"),
        ("columns 10 and 11", "columns 9 and 10"),
        ('a line of "row 1, column 2", to row 1', 'a line of "row 1, column 2", to row 3'),
        ("Sew right, 2 3/8 in, 12 times", "Sew right, 2 3/8 in, 12 times"),
        ("an arrow 5 mm long", "an arrow 5 mm long"),
        ("", ""),
    ],
)
def test_rows_and_columns_are_moved_on_and_nothing_else(said, moved):
    assert MOVED.words(said, (2, -1)) == moved
    assert MOVED.words(said, (0, 0)) == said


def test_without_blocks_nothing_is_farther_on():
    assert MovedWords([]).by(np.array([10.0, 10.0])) == (0, 0)
