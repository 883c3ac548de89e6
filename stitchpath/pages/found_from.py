"""Where a place of the top is found: how far from which corner of which block, as it is measured out."""

from collections.abc import Sequence

import numpy as np

from stitchpath.directions.words import length_words
from stitchpath.figures.rows_and_columns import corners
from stitchpath.lines import Block
from stitchpath.units import Unit

__all__ = ["found_from"]

_AT_MM = 1.0
"""What is as near as this to a corner is at it: cloth is good to about a millimetre."""


def found_from(blocks: Sequence[Block], place_mm: tuple[float, float], unit: Unit = "mm") -> str:
    """Say where a place is, from the nearest corner of a block.

    Parameters
    ----------
    blocks
        The top's; without any, it is told from the finished top's upper left corner.
    place_mm
        x, y.
    unit
        Of lengths.

    Examples
    --------
    >>> block = Block("row 1, column 2", (100, 0, 200, 100), 1, 2)
    >>> found_from([block], (112, 95.2))
    '12 mm right of, 5 mm above the lower left corner of row 1, column 2'
    >>> found_from([block], (200, 0.5))
    'the upper right corner of row 1, column 2'
    >>> found_from([], (12, -3))
    "12 mm right of, 3 mm above the top's upper left corner"
    """
    x, y = place_mm
    named = list(corners(_around(blocks, x, y) or blocks)) or [("the top's upper left corner", (0.0, 0.0))]
    far = np.array([np.hypot(x - at[0], y - at[1]) for _, at in named])
    name, (x0, y0) = named[int(np.round(far, 3).argmin())]
    told = [
        f"{length_words(abs(off), unit)} {after if off > 0 else before}"
        for off, before, after in ((x - x0, "left of", "right of"), (y - y0, "above", "below"))
        if abs(off) > _AT_MM
    ]
    return " ".join(filter(None, (", ".join(told), name)))


def _around(blocks: Sequence[Block], x: float, y: float) -> list[Block]:
    """Return the blocks in which a place lies, or at whose edge."""
    boxes = np.array([block.box_mm for block in blocks]).reshape(-1, 4)
    x0, y0, x1, y1 = boxes.T + np.array([[-_AT_MM], [-_AT_MM], [_AT_MM], [_AT_MM]])
    return [blocks[i] for i in np.flatnonzero((x0 <= x) & (x <= x1) & (y0 <= y) & (y <= y1)).tolist()]
