"""What a frame reaches at once, and whether each band keeps to it.

The reach is measured down the frame. It changes evenly from the top of all lines asked for to their bottom,
and stays the same above and below. Where a plan does not state its windows, any that fit will do. The
planner's words for the same are in `stitchpath.planning.reach`; the check asks it of the design by itself.
"""

from collections.abc import Iterator

import numpy as np

from stitchpath.check.measuring.intervals import Points
from stitchpath.check.rules.evidence import Asked, Evidence, finding, mm
from stitchpath.errors import Finding
from stitchpath.lines import COVERED_MM
from stitchpath.plan import Plan

__all__ = ["fits", "reach_at", "windows_hold", "within_reach"]

_Extent = tuple[float, float]


def reach_at(asked: Asked, start: float) -> float:
    """Return how far down the frame a window reaches that starts at a height; infinite without a limit.

    Examples
    --------
    >>> from stitchpath import Drawing, Line, MachineSettings
    >>> drawing = Drawing(lines=(Line([(0, 0), (0, 1000)]),))
    >>> asked = Asked(drawing, machine=MachineSettings(reach=500, last_reach=400))
    >>> [reach_at(asked, start) for start in (-9, 0, 500, 2000)]
    [500.0, 500.0, 450.0, 400.0]
    >>> reach_at(Asked(Drawing(lines=())), 0)
    inf
    """
    first, last = _reaches(asked)
    if first == last:
        return first
    return float(np.interp(start, _whole(asked), (first, last)))


def _reaches(asked: Asked) -> tuple[float, float]:
    machine = asked.machine
    if machine.reach is None:
        return np.inf, np.inf
    return machine.reach, machine.reach if machine.last_reach is None else machine.last_reach


def _whole(asked: Asked) -> _Extent:
    """Return from where to where everything asked for lies, down the frame."""
    points = [line.points_mm for line in asked.drawing.lines]
    return _extent(np.concatenate(points), _down(asked)) if points else (0.0, 0.0)


def _down(asked: Asked) -> int:
    """Return which coordinate runs down the frame."""
    return 0 if asked.machine.sideways else 1


def _extent(points: Points, axis: int) -> _Extent:
    return float(points[:, axis].min()), float(points[:, axis].max())


def _least_start(asked: Asked, end: float) -> float:
    """Return how far up a window can start that reaches an end."""
    top, bottom = _whole(asked)
    first, last = _reaches(asked)
    if end <= top + first:
        return end - first
    if end >= bottom + last:
        return end - last
    return top + (end - top - first) / (bottom + last - top - first) * (bottom - top)


def _points_of_bands(seen: Evidence) -> dict[int, Points]:
    """Return for each band, in order, all points of its paths."""
    bands: dict[int, list[Points]] = {}
    for path in seen.paths:
        bands.setdefault(path.band, []).append(path.coordinates_mm)
    return {band: np.concatenate(bands[band]) for band in sorted(bands)}


def fits(asked: Asked, top: float, bottom: float) -> bool:
    """Tell whether what lies from a top down to a bottom surely fits in a window that ends there.

    Parameters
    ----------
    asked
        What the frame reaches, and the drawing that it narrows over.
    top, bottom
        Down the frame, in millimetres.

    Returns
    -------
    bool
        True too where the frame reaches all.

    Examples
    --------
    >>> from stitchpath import Drawing, Line, MachineSettings
    >>> drawing = Drawing(lines=(Line([(0, 0), (0, 1000)]),))
    >>> asked = Asked(drawing, machine=MachineSettings(reach=500, last_reach=400))
    >>> [fits(asked, top, top + 450) for top in (0, 490, 510)], fits(Asked(Drawing(lines=())), 0, 9)
    ([True, True, False], True)
    """
    return asked.machine.reach is None or _least_start(asked, bottom) <= top - COVERED_MM


def within_reach(seen: Evidence) -> Iterator[Finding]:
    """Each band lies in one window of the frame's reach; windows do not go back, nor is the top too wide.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import look_at
    >>> from stitchpath import Drawing, Line, MachineSettings, Move, Span, StitchPath
    >>> path = StitchPath([(0, 0), (0, 900)], (Span(Move.SEW, 0, 1),))
    >>> asked = Asked(Drawing(lines=(Line([(0, 0), (0, 900)]),)), machine=MachineSettings(reach=500))
    >>> [found.message for found in within_reach(look_at([path], asked))]
    ['band 1 takes 900.000 mm down the frame; 500.000 mm is in reach']
    >>> list(within_reach(look_at([], asked)))
    []
    """
    bands = _points_of_bands(seen)
    if seen.asked.machine.reach is None:
        for band in list(bands)[1:]:
            said = f"there is a band {band}, though the machine reaches everything at once"
            yield finding("band", said, bands[band][0])
    else:
        yield from _in_windows(seen.asked, bands)
    width = seen.asked.machine.width
    if width is not None and bands:
        points = np.concatenate(list(bands.values()))
        across = 1 - _down(seen.asked)
        first, last = _extent(points, across)
        if last - first > width + COVERED_MM:
            said = f"the paths take {mm(last - first)} across the frame; it takes {mm(width)}"
            yield finding("reach", said, points[points[:, across].argmax()])


def _in_windows(asked: Asked, bands: dict[int, Points]) -> Iterator[Finding]:
    down, before = _down(asked), -np.inf
    for band, points in bands.items():
        first, last = _extent(points, down)
        least = _least_start(asked, last - COVERED_MM)
        lowest = points[points[:, down].argmax()]
        if least > first:
            said = f"band {band} takes {mm(last - first)} down the frame"
            yield finding("reach", f"{said}; {mm(reach_at(asked, first))} is in reach", lowest)
        elif before > first + COVERED_MM:
            said = (
                f"band {band} begins {mm(before - first)} above what is in reach once the quilt is advanced"
            )
            yield finding("reach", f"{said} for the band before", points[points[:, down].argmin()])
        before = max(before, min(least, first))


def windows_hold(seen: Evidence, plan: Plan) -> Iterator[Finding]:
    """Each window that a plan states is within the frame's reach, holds its band, and does not go back.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from stitchpath.check.rules.evidence import look_at
    >>> from stitchpath import Drawing, MachineSettings
    >>> seen = look_at([], Asked(Drawing(lines=()), machine=MachineSettings(reach=500)))
    >>> plan = Plan(seen.asked.drawing, (), (), 0.0, windows=((0.0, 600.0),))
    >>> [found.message for found in windows_hold(seen, plan)]
    ['the window of band 1 takes 600.000 mm; 500.000 mm is in reach']
    >>> list(windows_hold(seen, replace(plan, windows=())))
    []
    """
    asked, bands = seen.asked, _points_of_bands(seen)
    starts = [start for start, _ in plan.windows]
    for number, (start, end) in enumerate(plan.windows, 1):
        if not end - start <= reach_at(asked, start) + COVERED_MM:
            said = f"the window of band {number} takes {mm(end - start)}"
            yield Finding("window", f"{said}; {mm(reach_at(asked, start))} is in reach")
        if start < max(starts[:number]):
            yield Finding("window", f"the window of band {number} starts above the one before")
    for band, points in bands.items():
        if not plan.windows and band == 1:
            continue
        if not 1 <= band <= len(plan.windows):
            yield finding("window", f"the plan states no window for band {band}", points[0])
            continue
        start, end = plan.windows[band - 1]
        off = np.maximum(start - points[:, _down(asked)], points[:, _down(asked)] - end)
        if not off.max() <= COVERED_MM:
            said = f"band {band} goes {mm(float(off.max()))} beyond the window that the plan states for it"
            yield finding("window", said, points[off.argmax()])
