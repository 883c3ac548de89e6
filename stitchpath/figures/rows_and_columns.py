"""Where something lies that belongs to no block, told in rows and columns."""

from collections.abc import Iterable, Iterator

from stitchpath.drawing import Drawing
from stitchpath.lines import Block

__all__ = ["CORNER_MM", "SeamSides", "corners"]

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


class SeamSides:
    """Says on which side of rows or columns a seam lies.

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

    def side_of(self, at_mm: float, *, upright: bool) -> str:
        """Return on which side of rows or columns a straight seam lies; empty where on none.

        Examples
        --------
        >>> from stitchpath.lines import Block
        >>> sides = SeamSides(Drawing((), blocks=(Block("row 1, column 1", (0, 0, 9, 9), 1, 1),)))
        >>> sides.side_of(9, upright=True), SeamSides(Drawing(())).side_of(9, upright=True)
        ('right of column 1', '')
        """
        return (self._columns if upright else self._rows).side(at_mm)


class _Axis:
    """Rows or columns: the number of each, where it begins and where it ends."""

    def __init__(self, word: str, sides: tuple[str, str], strips: Iterable[tuple[int, float, float]]) -> None:
        self.word, self.sides = word, sides
        self.strips = sorted({number: (number, low, high) for number, low, high in strips}.values())

    def side(self, at: float) -> str:
        """Say which rows or columns a straight seam lies between or beside; empty where it is on no side."""
        before = next((n for n, low, high in self.strips if abs(high - at) <= _ON_SIDE_MM), None)
        after = next((n for n, low, high in self.strips if abs(low - at) <= _ON_SIDE_MM), None)
        if before is not None and after is not None:
            return f"between {self.word}s {before} and {after}"
        if before is not None:
            return self.sides[1].format(before)
        if after is not None:
            return self.sides[0].format(after)
        return ""
