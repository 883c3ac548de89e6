"""How a picture shows where bobbins run out: a small square on its corner, with the bobbin's number."""

import numpy as np
from numpy.typing import NDArray

from stitchpath.figures import thread_use_of
from stitchpath.formats.numbers import path_data
from stitchpath.formats.svg_text import Mark
from stitchpath.once import once
from stitchpath.pictures import strokes
from stitchpath.plan import Plan

__all__ = ["bobbin_places", "bobbin_sign"]

_MOST = 40
"""Bobbins that are shown: of more, numbers would hide the paths; chosen by eye."""
_LETTERS = 8
"""Of a thread's name, where there are several threads: about a block's width in print."""


@once
def bobbin_places(plan: Plan) -> tuple[tuple[str, tuple[float, float]], ...]:
    """Return the word and the place for each bobbin that runs out or is changed; none where there are many.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> bobbin_places(Plan(Drawing(()), (), (), 0.0))
    ()
    """
    used = thread_use_of(plan)
    if len(used.bobbin_ends) > _MOST:
        return ()
    several = len(used.threads) > 1
    return tuple(
        (f"B{end.number} {end.thread[:_LETTERS]}".rstrip() if several else f"B{end.number}", end.place_mm)
        for end in used.bobbin_ends
    )


def bobbin_sign(point: NDArray[np.float64], size_mm: float) -> Mark:
    """Return the sign of a place where a bobbin runs out, to go with letters of a size.

    Examples
    --------
    >>> bobbin_sign(np.array([5.0, 5.0]), 2.0).attributes["d"]
    'M 5.000,4.100 L 5.900,5.000 5.000,5.900 4.100,5.000 5.000,4.100'
    """
    arm = 0.45 * size_mm
    corners = point + arm * np.array([(0, -1), (1, 0), (0, 1), (-1, 0), (0, -1)])
    look = {"fill": "#ffffff", "stroke": strokes.BLACK, "stroke-width": f"{0.14 * size_mm:.3f}"}
    return Mark("path", {"d": path_data(corners), **look})
