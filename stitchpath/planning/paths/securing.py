"""Small stitches that secure a path's ends, if the machine needs them in its files.

At each end the needle takes two small stitches along the path's own line, `SECURE_MM` in all, and two back to
the end point (common practice, no source). A shorter path gets half of it at each end.

They are laid when everything is routed, as spans with a move of their own, `secure`, so that lengths, cost
and figures stay what they are without them. They follow the path itself, corners and all, and come back to
the end point, so they raise no new question about keep-outs, reach or lines; the check proves just that.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stitchpath.geometry.lengths import along
from stitchpath.lines import SECURE_MM, SECURE_STITCHES
from stitchpath.plan import Move, StitchPath
from stitchpath.settings import MachineSettings

__all__ = ["secure"]

_ON_POINT_MM = 0.01
"""A small stitch ends on a point of the path that lies so near."""


def secure(paths: Sequence[StitchPath], machine: MachineSettings) -> tuple[StitchPath, ...]:
    """Begin and end each path with small stitches, where the machine's files hold them.

    Parameters
    ----------
    paths
        Without such stitches, each longer than zero.
    machine
        Says whether the files hold them.

    Returns
    -------
    tuple of StitchPath
        The same paths, each with a span of `Move.SECURE` at both ends where the files hold them. First and
        last point stay where they are; such a span has the line and the stage of the span beside it.

    Examples
    --------
    >>> from stitchpath.plan import Span
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1, 1),))
    >>> (secured,) = secure([path], MachineSettings(secured="small stitches"))
    >>> secured.coordinates_mm[:, 0].tolist()
    [0.0, 1.5, 3.0, 1.5, 0.0, 9.0, 7.5, 6.0, 7.5, 9.0]
    >>> secure([path], MachineSettings()) == (path,), secure([], MachineSettings(secured="small stitches"))
    (True, ())
    """
    return tuple(map(_secured, paths)) if machine.secures_in_files else tuple(paths)


def _secured(path: StitchPath) -> StitchPath:
    points = path.coordinates_mm
    start, end = _there_and_back(points), _there_and_back(points[::-1])
    begins, ends = len(start), len(start) + len(points) - 1
    spans = (
        replace(path.spans[0], move=Move.SECURE, first=0, last=begins),
        *(replace(span, first=span.first + begins, last=span.last + begins) for span in path.spans),
        replace(path.spans[-1], move=Move.SECURE, first=ends, last=ends + len(end)),
    )
    return replace(path, coordinates_mm=np.concatenate((points[:1], start, points[1:], end)), spans=spans)


def _there_and_back(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the points of small stitches from the first point on, the last of them at the first point."""
    far = along(points)
    places = np.linspace(0.0, min(SECURE_MM, far[-1]), SECURE_STITCHES // 2 + 1)[1:]
    nearest = far[np.abs(far[:, None] - places).argmin(axis=0)]
    places = np.where(np.abs(nearest - places) < _ON_POINT_MM, nearest, places)
    passed = np.union1d(far[far < places[-1]], places)
    there = np.column_stack([np.interp(passed, far, axis) for axis in points.T])
    return np.concatenate((there[1:], there[-2::-1]))
