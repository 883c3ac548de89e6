"""Where on the top something lies that belongs to no block, in rows and columns."""

from collections.abc import Iterable, Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.lines import Block

__all__ = ["CORNER_MM", "Places", "corners"]

CORNER_MM = 0.1
"""What lies as near as this to a block's corner lies at it."""

_ON_SIDE_MM = 0.5
"""A seam lies on a block's side if it is as near as this; cloth is good to 1 mm."""


def corners(blocks: Iterable[Block]) -> Iterator[tuple[str, tuple[float, float]]]:
    """Give the corners of blocks by name, and where they are, in millimetres.

    Examples
    --------
    >>> [name for name, _ in corners([Block("row 1, column 1", (0, 0, 9, 9), 1, 1)])][0]
    'the lower right corner of row 1, column 1'
    >>> list(corners([]))
    []
    """
    for block in blocks:
        x0, y0, x1, y1 = block.box_mm
        for end, y in (("lower", y1), ("upper", y0)):
            for side, x in (("right", x1), ("left", x0)):
                yield f"the {end} {side} corner of {block.name}", (x, y)


class Places:
    """Says where on a top a stretch lies.

    Parameters
    ----------
    drawing
        Its blocks give the rows and columns; without blocks nothing can be said.
    """

    def __init__(self, drawing: Drawing) -> None:
        self._columns = _Axis(
            "column", ("left of column {}", "right of column {}"),
            ((block.column, block.box_mm[0], block.box_mm[2]) for block in drawing.blocks),
        )  # fmt: skip
        self._rows = _Axis(
            "row", ("above row {}", "below row {}"),
            ((block.row, block.box_mm[1], block.box_mm[3]) for block in drawing.blocks),
        )  # fmt: skip
        self._finished_mm = None if drawing.outline is None else shapely.bounds(drawing.outline)

    def in_allowance(self, points_mm: NDArray[np.float64]) -> bool:
        """Tell whether points lie outside the finished top, all of them."""
        if self._finished_mm is None:
            return False
        low, high = self._finished_mm[:2], self._finished_mm[2:]
        return bool(((points_mm < low - _ON_SIDE_MM) | (points_mm > high + _ON_SIDE_MM)).any(axis=1).all())

    def side_of(self, at_mm: float, *, upright: bool) -> str:
        """Return on which side of rows or columns a straight seam lies; empty where on none.

        Examples
        --------
        >>> from stitchpath.lines import Block
        >>> places = Places(Drawing((), blocks=(Block("row 1, column 1", (0, 0, 9, 9), 1, 1),)))
        >>> places.side_of(9, upright=True), Places(Drawing(())).side_of(9, upright=True)
        ('right of column 1', '')
        """
        return (self._columns if upright else self._rows).side(at_mm)

    def place_of(self, points_mm: NDArray[np.float64]) -> str:
        """Return where a stretch lies, such as ``"between columns 2 and 3, rows 1 to 4"``.

        Examples
        --------
        >>> from stitchpath.lines import Block
        >>> four = [Block(f"row {r}, column {c}", (c, r, c + 1, r + 1), r, c) for r in (1, 2) for c in (1, 2)]
        >>> places = Places(Drawing((), blocks=tuple(four)))
        >>> places.place_of(np.array([(2.0, 1.0), (2.0, 3.0)])), places.place_of(np.empty((0, 2)))
        ('between columns 1 and 2, rows 1 to 2', '')
        """
        if not len(points_mm) or not self._columns.strips:
            return ""
        (x0, y0), (x1, y1) = points_mm.min(axis=0).tolist(), points_mm.max(axis=0).tolist()
        upright, level = x1 - x0 <= _ON_SIDE_MM < y1 - y0, y1 - y0 <= _ON_SIDE_MM < x1 - x0
        if upright:
            parts = self._columns.beside((x0 + x1) / 2), self._rows.met(y0, y1)
        elif level:
            parts = self._rows.beside((y0 + y1) / 2), self._columns.met(x0, x1)
        elif self._rows.all_met(y0, y1) and self._columns.all_met(x0, x1):
            return "whole top"
        else:
            parts = self._rows.met(y0, y1), self._columns.met(x0, x1)
        return ", ".join(part for part in parts if part)


class _Axis:
    """Rows or columns: the number of each, where it begins and where it ends."""

    def __init__(self, word: str, sides: tuple[str, str], strips: Iterable[tuple[int, float, float]]) -> None:
        self.word, self.sides = word, sides
        self.strips = sorted({number: (number, low, high) for number, low, high in strips}.values())

    def beside(self, at: float) -> str:
        """Say which rows or columns a straight seam lies between or beside."""
        return self.side(at) or self._off(at)

    def side(self, at: float) -> str:
        """Say so of a seam that is on the side of a row or column; empty where it is on none."""
        before = next((n for n, low, high in self.strips if abs(high - at) <= _ON_SIDE_MM), None)
        after = next((n for n, low, high in self.strips if abs(low - at) <= _ON_SIDE_MM), None)
        if before is not None and after is not None:
            return f"between {self.word}s {before} and {after}"
        if before is not None:
            return self.sides[1].format(before)
        if after is not None:
            return self.sides[0].format(after)
        return ""

    def _off(self, at: float) -> str:
        """Say where a straight line lies that is on no block's side."""
        inside = [n for n, low, high in self.strips if low < at < high]
        if inside:
            return f"{self.word} {inside[0]}"
        before = [n for n, _, high in self.strips if high <= at]
        after = [n for n, low, _ in self.strips if low >= at]
        if before and after:
            return f"between {self.word}s {before[-1]} and {after[0]}"
        return self.sides[1].format(before[-1]) if before else self.sides[0].format(after[0])

    def met(self, low: float, high: float) -> str:
        """Say which rows or columns a stretch meets."""
        numbers = self._numbers(low, high)
        if len(numbers) < 2:
            return f"{self.word} {numbers[0]}" if numbers else ""
        return f"{self.word}s {numbers[0]} to {numbers[-1]}"

    def all_met(self, low: float, high: float) -> bool:
        """Tell whether a stretch meets all of several."""
        return len(self._numbers(low, high)) == len(self.strips) > 1

    def _numbers(self, low: float, high: float) -> list[int]:
        return [
            n for n, begins, ends in self.strips if begins < high - _ON_SIDE_MM and ends > low + _ON_SIDE_MM
        ]
