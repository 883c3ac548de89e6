"""Hand moves laid by hand for the tests of directions."""

import numpy as np
import shapely

from stitchpath.directions.hand_moves import HandMove
from stitchpath.lines import Block
from stitchpath.plan import Move


def laid(*points, line=None, move=Move.SEW, straight=True, lap=False, stage="detail"):
    """Return a hand move through points, as the first of its path."""
    length = shapely.LineString(points).length
    return HandMove(
        move, stage, line, 0, len(points) - 1, np.array(points, dtype=float), length, straight, lap
    )


def blocks(*, rows, columns, size=100.0):
    """Return square blocks in rows and columns, row by row."""
    return tuple(
        Block(
            f"row {row + 1}, column {column + 1}",
            (size * column, size * row, size * (column + 1), size * (row + 1)),
            row + 1,
            column + 1,
        )
        for row in range(rows)
        for column in range(columns)
    )
