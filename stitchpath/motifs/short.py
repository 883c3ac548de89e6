"""Leaves out pieces too short to be worth a stitch, and lists them."""

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.errors import Finding
from stitchpath.geometry.clip import Pieces
from stitchpath.motifs.base import MotifBase
from stitchpath.motifs.place import Drawn, Place, ShortPiece
from stitchpath.units import format_length

__all__ = ["ROUNDING_MM", "curved_lines", "straight_lines"]

ROUNDING_MM = 1e-6
"""Lengths and distances worked out from a design in different ways are equal within this."""


def straight_lines(
    asked: MotifBase, pieces: Pieces, place: Place, part: str = "", *, least: float, goes_on: bool = False
) -> Drawn:
    """Return a line for each piece that is at least `least` mm long, and a note for each other one.

    Parameters
    ----------
    asked
        The motif that asks for them.
    pieces
        Straight ones.
    place
        Where.
    part
        Which of the motif's lines they are, for their names.
    least
        The least length in millimetres.
    goes_on
        Whether they are pieces of lines of the whole top: then a short one is handed back as such, since with
        what goes on from it in another place it may be long enough.

    Returns
    -------
    Drawn
        Lines, and notes or short pieces.

    Examples
    --------
    >>> from stitchpath.geometry.clip import clipped
    >>> from stitchpath.motifs import Strip
    >>> place = Place("row 1, column 1", (0, 0, 90, 60), (0, 0, 90, 60))
    >>> pieces = clipped([2.0], 0, within=[shapely.box(0, 0, 90, 60)])
    >>> drawn = straight_lines(Strip(width=12.7), pieces, place, least=100)
    >>> drawn.lines, [note.message for note in drawn.notes]
    ((), ['strip: a piece 90.00 mm long is left out in row 1, column 1, shorter than 100 mm'])
    """
    short = pieces.length_mm < least - ROUNDING_MM
    lines = tuple(asked.line(ends, place, part=part) for ends in pieces.ends_mm[~short])
    left = tuple(
        ShortPiece(
            asked.line(ends, place, part=part),
            least,
            _left_out(asked, length, ends.mean(axis=0), place, least=least),
        )
        for length, ends in zip(pieces.length_mm[short], pieces.ends_mm[short], strict=True)
        if length > ROUNDING_MM
    )
    return Drawn(lines, short=left) if goes_on else Drawn(lines, notes=tuple(piece.note for piece in left))


def curved_lines(asked: MotifBase, curves: Any, place: Place, part: str, *, least: float) -> Drawn:
    """Return a line for each piece of a shapely geometry that is at least `least` mm long.

    Pieces that meet at the ends of two are one line; points are dropped.

    Parameters
    ----------
    asked
        The motif that asks for them.
    curves
        A shapely geometry, in millimetres.
    place
        Where.
    part
        Which of the motif's lines they are, for their names.
    least
        The least length in millimetres.

    Returns
    -------
    Drawn
        Lines, and a note for each piece left out.

    Examples
    --------
    >>> from stitchpath.motifs import Strip
    >>> place = Place("row 1, column 1", (0, 0, 90, 60), (0, 0, 90, 60))
    >>> curves = shapely.MultiLineString([[(0, 0), (9, 0)], [(9, 0), (9, 9)]])
    >>> len(curved_lines(Strip(width=12.7), curves, place, "", least=1).lines)
    1
    >>> curved_lines(Strip(width=12.7), shapely.MultiLineString(), place, "", least=1).lines
    ()
    """
    parts = shapely.get_parts(curves)
    parts = parts[(shapely.get_dimensions(parts) == 1) & ~shapely.is_empty(parts)]
    merged = shapely.line_merge(shapely.multilinestrings(parts))
    pieces = shapely.get_parts(merged)
    length = shapely.length(pieces)
    short = length < least - ROUNDING_MM
    lines = tuple(asked.line(shapely.get_coordinates(piece), place, part=part) for piece in pieces[~short])
    notes = tuple(
        _left_out(asked, size, shapely.get_coordinates(piece.centroid)[0], place, least=least)
        for size, piece in zip(length[short], pieces[short], strict=True)
        if size > ROUNDING_MM
    )
    return Drawn(lines, notes=notes)


def _left_out(
    asked: MotifBase, length: float, middle: NDArray[np.float64], place: Place, *, least: float
) -> Finding:
    limit = format_length(least, place.unit)
    return Finding(
        "left out",
        f"{asked.title}: a piece {length:.2f} mm long is left out in {place.name or 'the top'}, shorter "
        f"than {limit}",
        (float(middle[0]), float(middle[1])),
    )
