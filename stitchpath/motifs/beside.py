"""Finds lines that run too near beside a parallel seam or line of a strip."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.geometry.clip import Pieces, frame
from stitchpath.lines import COVERED_MM
from stitchpath.motifs.place import Place, Straight
from stitchpath.motifs.short import ROUNDING_MM

__all__ = ["LevelSeam", "level_seams", "too_near"]


@dataclass(frozen=True, slots=True)
class LevelSeam:
    """A seam or strip line in the frame of lines parallel to it: its offset, and from where to where."""

    offset: float
    start: float
    stop: float


def level_seams(place: Place, angle_deg: float, *, edges: bool = True) -> tuple[LevelSeam, ...]:
    """Return the place's seams that are parallel to an angle.

    With `edges`, also its strips' sewn lines and the sides of its room (seams, or the edge line).

    Parameters
    ----------
    place
        Where.
    angle_deg
        Clockwise from the x axis.
    edges
        Whether strips' sewn lines and the sides of the room count, too.

    Returns
    -------
    tuple of LevelSeam
        As `stitchpath.geometry.clip.frame` at that angle has them, in millimetres.

    Examples
    --------
    >>> place = Place("row 1, column 1", (0, 0, 90, 60), (0, 0, 90, 60))
    >>> [seam.offset for seam in level_seams(place, 0.0)], level_seams(place, 45.0)
    ([0.0, 60.0], ())
    >>> level_seams(place, 0.0, edges=False)
    ()
    """
    straights = place.seams
    if edges:
        straights += tuple(piece for strip in place.strips for piece in strip.sewn) + _sides(place)
    if not straights:
        return ()
    ends = frame(np.reshape(straights, (-1, 2)), angle_deg).reshape(-1, 2, 2)
    level = np.ptp(ends[:, :, 1], axis=1) <= COVERED_MM
    return tuple(
        LevelSeam(float(offset), float(along.min()), float(along.max()))
        for offset, along in zip(ends[level, :, 1].mean(axis=1), ends[level, :, 0], strict=True)
    )


def _sides(place: Place) -> tuple[Straight, ...]:
    x0, y0, x1, y1 = place.room_mm
    corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return tuple(zip(corners, corners[1:] + corners[:1], strict=True))


def too_near(pieces: Pieces, seams: Sequence[LevelSeam], *, least_gap: float) -> NDArray[np.bool_]:
    """Tell which pieces (N,) run beside a seam, some way at least, nearer than `least_gap` mm.

    Parameters
    ----------
    pieces
        Of lines at an angle.
    seams
        At the same angle, as from `level_seams`.
    least_gap
        In millimetres.

    Returns
    -------
    ndarray
        (N,) of bool.

    Examples
    --------
    >>> from stitchpath.geometry.clip import clipped
    >>> from shapely import box
    >>> pieces = clipped([2.0, 7.0], 0, within=[box(0, 0, 9, 9)])
    >>> too_near(pieces, [LevelSeam(0.0, 0.0, 9.0)], least_gap=6.35).tolist()
    [True, False]
    >>> too_near(pieces, [], least_gap=6.35).tolist()
    [False, False]
    """
    near = np.zeros(len(pieces), dtype=np.bool_)
    for seam in seams:
        beside = np.minimum(pieces.stop_mm, seam.stop) - np.maximum(pieces.start_mm, seam.start)
        close = np.abs(pieces.offset_mm - seam.offset) < least_gap - ROUNDING_MM
        near |= close & (beside > ROUNDING_MM)
    return near
