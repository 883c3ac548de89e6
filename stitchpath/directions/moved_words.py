"""Words about one place, said about another that lies some rows or columns farther on.

Steps are told as "the same again" only where the copy would be told in the same words, with its rows and
columns moved on; the parser in the tests walks each copy, too (2026-11-27).
"""

import re
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from stitchpath.lines import Block

__all__ = ["MovedWords"]

_NEAR_MM = 0.5
"""Blocks are so many rows farther on if they lie as near to that as this; cloth is good to 1 mm."""

_NUMBERED = re.compile(r'"[^"]*"|\b(row|column)s? \d+(?: and \d+)?')
_NUMBER = re.compile(r"\d+")

_By = tuple[int, int]


class MovedWords:
    """Says by how many rows and columns something is moved, and what its words are then.

    Parameters
    ----------
    blocks
        They give the rows and columns.

    Examples
    --------
    >>> moved = MovedWords([Block(f"row {r}, column 1", (0, 9 * r, 9, 9 * r + 9), r, 1) for r in (1, 2, 3)])
    >>> moved.by(np.array([0.0, 18.0])), moved.by(np.array([0.0, 1.0])), MovedWords([]).by(np.ones(2))
    ((2, 0), (0, 0), (0, 0))
    >>> moved.words('a line of "row 1", to the seam between rows 1 and 2', (1, 0))
    'a line of "row 1", to the seam between rows 2 and 3'
    """

    def __init__(self, blocks: Iterable[Block]) -> None:
        blocks = tuple(blocks)
        self._rows = sorted({block.row: block.box_mm[1] for block in blocks}.items())
        self._columns = sorted({block.column: block.box_mm[0] for block in blocks}.items())

    def by(self, way_mm: NDArray[np.float64]) -> _By:
        """Return how many rows and columns farther on something is; zeros where it stays within one."""
        across, down = way_mm.tolist()
        return _far(self._rows, down), _far(self._columns, across)

    @staticmethod
    def words(said: str, by: _By) -> str:
        """Return words with all rows and columns so many farther on; names in quotation marks stay."""

        def on(found: re.Match[str]) -> str:
            if not found[1]:
                return found[0]
            far = by[found[1] == "column"]
            return _NUMBER.sub(lambda number: str(int(number[0]) + far), found[0])

        return _NUMBERED.sub(on, said) if any(by) else said


def _far(begins: list[tuple[int, float]], way: float) -> int:
    return next(
        (after - n for n, at in begins for after, there in begins if abs(at + way - there) <= _NEAR_MM), 0
    )
