"""How each band lies on the machine: where its own files have (0, 0), and which way they are turned.

In a band's files x runs to the right and y down, as the top lies on the machine. (0, 0) is the upper left
corner of the band's window: where its start meets the left edge of the finished top as it lies there.

Where the top lies with its left side uppermost, it is turned clockwise by a quarter: its left side goes to
the top, its top to the right, its bottom to the left. So a place (x, y) of the top, whose lower edge is at y
= b, lies at (b - y, x - start). This is a rotation, never a mirror image: letters stay readable.

Points are rounded before they are turned, so that a band's table is the whole table to the last digit.
Otherwise halves of a thousandth, which 1/16 in has, would be rounded up in one and down in the other
(2026-11-26).
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from numbers import Integral

import numpy as np
from numpy.typing import NDArray

from stitchpath.errors import DesignError, refuse_other
from stitchpath.plan import Plan, StitchPath

__all__ = ["BandFrame", "band_frame", "band_frames", "band_paths", "sewn_bands"]

_TURNED = np.array([[0.0, -1.0], [1.0, 0.0]])
"""A quarter turn clockwise as seen, with y down."""


@dataclass(frozen=True, slots=True)
class BandFrame:
    """How a band lies on the machine.

    Attributes
    ----------
    number
        Counted from 1.
    window_mm
        From where to where it reaches, down the frame.
    origin_mm
        The place of the top that is (0, 0) in the band's files: whole thousandths of a millimetre.
    sideways
        Whether the top lies with its left side uppermost.
    """

    number: int
    window_mm: tuple[float, float]
    origin_mm: tuple[float, float]
    sideways: bool = False

    @property
    def far_end_mm(self) -> tuple[float, float]:
        """The place of the top where the same edge meets the window's end."""
        x, y = self.origin_mm
        return (self.window_mm[1], y) if self.sideways else (x, self.window_mm[1])

    def laid(self, points_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return points (N, 2) of the top as points of the band's files.

        Examples
        --------
        >>> frame = BandFrame(2, (100, 200), (100, 500), sideways=True)
        >>> frame.laid(np.array([[100.0, 500.0], [130.0, 480.0]])).tolist()
        [[0.0, 0.0], [20.0, 30.0]]
        >>> frame.laid(np.empty((0, 2))).shape
        (0, 2)
        """
        off = points_mm - np.array(self.origin_mm)
        return np.asarray(off @ _TURNED.T if self.sideways else off)

    def taken_up(self, points_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return points (N, 2) of the band's files as points of the top.

        Examples
        --------
        >>> BandFrame(2, (100, 200), (100, 500), sideways=True).taken_up(np.array([[20.0, 30.0]])).tolist()
        [[130.0, 480.0]]
        """
        turned = points_mm @ _TURNED if self.sideways else points_mm
        return np.asarray(turned + np.array(self.origin_mm))

    def laid_paths(self, paths: Iterable[StitchPath], *, decimals: int | None) -> list[StitchPath]:
        """Return paths where the band's files have them.

        Their points are rounded first, as the whole plan's files have them: halves of a thousandth, such as
        1/16 in has, would else be rounded up in one file and down in the other. None: not rounded.
        """

        def rounded(points: NDArray[np.float64]) -> NDArray[np.float64]:
            return points if decimals is None else np.round(points, decimals)

        return [replace(path, coordinates_mm=self.laid(rounded(path.coordinates_mm))) for path in paths]

    def reaches(self, points_mm: NDArray[np.float64], *, within_mm: float = 0.0) -> NDArray[np.bool_]:
        """Tell which points (N, 2) of the top lie in the window."""
        down = points_mm[:, 0 if self.sideways else 1]
        start, end = self.window_mm
        return (down >= start - within_mm) & (down <= end + within_mm)


def band_frames(plan: Plan) -> tuple[BandFrame, ...]:
    """Return how each band of a plan lies on the machine; none where all is in reach at once.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> band_frames(Plan(Drawing(()), (), (), 0.0, windows=((0, 500),)))
    ()
    >>> plan = Plan(Drawing(()), (), (), 0.0, windows=((0, 500), (480, 900)))
    >>> [frame.origin_mm for frame in band_frames(plan)]
    [(0.0, 0.0), (0.0, 480.0)]
    """
    if len(plan.windows) < 2:
        return ()
    left, bottom = _left_and_bottom(plan)
    sideways = plan.machine.sideways
    return tuple(
        BandFrame(number, window, _whole((window[0], bottom) if sideways else (left, window[0])), sideways)
        for number, window in enumerate(plan.windows, 1)
    )


def band_frame(plan: Plan, band: int) -> BandFrame:
    """Return how a band lies on the machine.

    Raises
    ------
    DesignError
        If the plan has no such band.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> band_frame(Plan(Drawing(()), (), (), 0.0), 1)
    Traceback (most recent call last):
    stitchpath.errors.DesignError: band: the plan has no band 1 with files of its own; it has 0 of them
    """
    frames = band_frames(plan)
    if not 1 <= band <= len(frames):
        problem = f"the plan has no band {band} with files of its own"
        raise DesignError(problem, f"it has {len(frames)} of them", key="band")
    return frames[band - 1]


def band_paths(plan: Plan, band: int | None) -> tuple[int, Iterable[StitchPath]]:
    """Return a band's paths, and the number of the first one in the whole plan; None: all of them.

    Examples
    --------
    >>> from stitchpath import Drawing, Move, Span
    >>> paths = tuple(StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),), band=band) for band in (1, 2))
    >>> plan = Plan(Drawing(()), paths, (), 0.0)
    >>> [(first, len(list(found))) for first, found in (band_paths(plan, band) for band in (None, 1, 2, 3))]
    [(1, 2), (1, 1), (2, 1), (1, 0)]
    """
    if band is None:
        return 1, plan.paths
    refuse_other("band", band, Integral, "band", "give its number, counted from 1")
    first = next((number for number, path in enumerate(plan.paths, 1) if path.band == band), 1)
    return first, [path for path in plan.paths if path.band == band]


def sewn_bands(plan: Plan) -> tuple[int, ...]:
    """Return the numbers of the bands that have files of their own; none where all is in reach at once.

    Raises
    ------
    DesignError
        If a path is of a band without a window.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> sewn_bands(Plan(Drawing(()), (), (), 0.0))
    ()
    """
    frames, sewn = band_frames(plan), {path.band for path in plan}
    if frames and max(sewn, default=0) > len(frames):
        raise DesignError(f"band {max(sewn)} has no window", "give the plan a window for each band")
    return tuple(frame.number for frame in frames if frame.number in sewn)


def _whole(place: tuple[float, float]) -> tuple[float, float]:
    """Return a place as the files can say it, so that what they say is where their points count from."""
    x, y = place
    return round(float(x), 3), round(float(y), 3)


def _left_and_bottom(plan: Plan) -> tuple[float, float]:
    """Return the finished top's left and lower edge; without a finished edge, those of the stitching."""
    if plan.drawing.outline is not None:
        left, _, _, bottom = plan.drawing.outline.bounds
        return left, bottom
    points = np.concatenate([*(path.coordinates_mm for path in plan), np.empty((0, 2))])
    return (float(points[:, 0].min()), float(points[:, 1].max())) if len(points) else (0.0, 0.0)
