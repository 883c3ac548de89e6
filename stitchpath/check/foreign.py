"""Measure a plan made elsewhere against a design: what it covers, misses, sews twice, and where it strays."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from numbers import Real

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from stitchpath.check.foreign_moves import LOST, TRAVELLED, Stitched, stitched, with_paths
from stitchpath.check.measuring.follow import Bits, follow
from stitchpath.check.measuring.intervals import Floats, Ints, Points, gaps, runs
from stitchpath.check.measuring.match import tally
from stitchpath.check.measuring.rails import Rails, lay_rails
from stitchpath.design import Design
from stitchpath.drawing import Drawing, draw
from stitchpath.errors import DesignError, refuse_other
from stitchpath.figures.foreign import EndsFound, Foreign, MissedLine
from stitchpath.limits import FARTHEST_MM
from stitchpath.lines import SEAM_ROLES, as_points
from stitchpath.plan import Plan, StitchPath

__all__ = ["measure_foreign"]

_LEAST_TOLERANCE_MM, _MOST_TOLERANCE_MM = 0.01, 10.0
"""From what files of other programs round away to what is nearly the spacing of background lines (1/2 in)."""


def measure_foreign(
    paths: Sequence[StitchPath | ArrayLike], design: Design | Drawing | Plan, *, tolerance_mm: float = 0.5
) -> Foreign:
    """Measure paths of unknown make against what is asked for.

    Parameters
    ----------
    paths
        In sewing order: (N, 2) points in millimetres each, from the finished top's upper left corner, as
        `stitchpath.read_coordinates` returns them; or stitch paths.
    design
        What is asked for, with its settings; of a plan, its drawing and what it was made with. Lines that
        the schedule leaves to the hand are not missed.
    tolerance_mm
        Within what distance stitching is on a line, if it goes its way: 0.01 to 10 mm.

    Returns
    -------
    Foreign
        Lengths, ends and the lines missed; and the paths as a plan, sewing and travel told apart.

    Raises
    ------
    DesignError
        If a path has no two different points or one that is not finite or over 1 km off, or if the tolerance
        will not do.
    LimitError
        If there is too much stitching on too many lines side by side.

    Examples
    --------
    >>> from shapely import LineString
    >>> asked = Drawing.from_lines([LineString([(0, 0), (100, 0)])])
    >>> found = measure_foreign([[(0, 0), (60, 0)], [(60, 0), (60, 30)]], asked)
    >>> round(found.covered_mm, 3), round(found.off_mm, 3), found.lifts, found.missed[0].missed_mm
    (60.0, 30.0, 1, 40.0)
    >>> measure_foreign([], asked).share
    0.0
    """
    within = f"give {_LEAST_TOLERANCE_MM:g} to {_MOST_TOLERANCE_MM:g} mm"
    refuse_other("tolerance_mm", tolerance_mm, Real, "tolerance", within)
    refuse_other("paths", paths, Iterable, "list", "give paths, such as read_coordinates returns")
    if not _LEAST_TOLERANCE_MM <= tolerance_mm <= _MOST_TOLERANCE_MM:
        problem = f"{tolerance_mm!r} mm is no tolerance"
        raise DesignError(problem, within, key="tolerance_mm")
    asked = _asked(design)
    drawing = asked.drawing
    rails = lay_rails(drawing, cost=asked.cost_settings, schedule=asked.schedule)
    wanted = _wanted(rails, asked)
    points = [_points(path, number) for number, path in enumerate(paths, 1)]
    start, end, path_of_segment = _segments(points)
    bits = follow(rails, start, end, within_mm=tolerance_mm)
    covered = _covered(rails, bits, tolerance_mm)
    told = stitched(rails, wanted, bits, path_of_segment, over_mm=tolerance_mm)
    asked_mm = (rails.extent[1] - rails.extent[0])[wanted]
    plan = with_paths(asked, rails, told, path_of_segment)
    off_mm, keep_out_mm = _strayed(drawing, told, wanted)
    ends = np.concatenate([np.empty((0, 2)), *(path[[0, -1]] for path in points)])
    return Foreign(
        length_mm=float(np.hypot(*(end - start).T).sum()),
        asked_mm=float(asked_mm.sum()),
        covered_mm=float(covered[wanted].sum()),
        missed=_missed(rails, wanted, covered, tolerance_mm),
        twice_mm=_twice(rails, bits, wanted, tolerance_mm),
        travel_mm=float(told.length[told.kind == TRAVELLED].sum()),
        off_mm=off_mm,
        keep_out_mm=keep_out_mm,
        ends=_ends_found(drawing, ends, tolerance_mm),
        tolerance_mm=tolerance_mm,
        plan=plan,
        strayed=plan.drawing.lines[len(drawing.lines) :],
    )


def _asked(design: Design | Drawing | Plan) -> Plan:
    """Return what is asked for with its settings, as a plan without paths."""
    if isinstance(design, Plan):
        return replace(design, paths=(), jobs=(), bound=0.0)
    if isinstance(design, Drawing):
        return Plan(design, (), (), 0.0)
    return Plan(
        draw(design),
        (),
        (),
        0.0,
        cost_settings=design.cost,
        machine=design.machine,
        schedule=design.schedule,
        batting=design.batting,
    )


def _wanted(rails: Rails, asked: Plan) -> NDArray[np.bool_]:
    """Return for each line whether it is to be sewn."""
    left = np.array([asked.schedule.leaves_to_hand(x, asked.machine) for x in rails.lines], dtype=bool)
    wanted: NDArray[np.bool_] = ~(rails.hidden | left)
    return wanted


def _points(path: StitchPath | ArrayLike, number: int) -> Points:
    try:
        points = path.coordinates_mm if isinstance(path, StitchPath) else as_points(path)
    except (TypeError, ValueError):
        raise DesignError(f"path {number} is no list of points", "give pairs of numbers") from None
    bad = np.flatnonzero(~(np.abs(points) <= FARTHEST_MM).all(axis=1))
    if len(bad):
        problem = f"path {number}, point {bad[0] + 1} is not finite or over 1 km off"
        raise DesignError(problem, "look at its unit and its origin")
    if not (np.diff(points, axis=0) != 0).any():
        raise DesignError(f"path {number} has no two different points", "leave it out")
    return points


def _segments(points: Sequence[Points]) -> tuple[Points, Points, Ints]:
    """Return the ends of all segments that have a length, and of which path each is."""
    none = np.empty((0, 2))
    start = np.concatenate([none, *(path[:-1] for path in points)])
    end = np.concatenate([none, *(path[1:] for path in points)])
    moved = (start != end).any(axis=1)
    path = np.repeat(np.arange(len(points)), [len(path) - 1 for path in points])
    return start[moved], end[moved], path[moved]


def _covered(rails: Rails, bits: Bits, over_mm: float) -> Floats:
    """Return how much of each line is sewn."""
    low, high = gaps(bits.covers, rails.extent, over_mm=over_mm)
    line = np.searchsorted(rails.extent[0], (low + high) / 2, side="right") - 1
    bare = np.bincount(line, high - low, minlength=len(rails.lines))
    covered: Floats = rails.extent[1] - rails.extent[0] - bare
    return covered


def _twice(rails: Rails, bits: Bits, wanted: NDArray[np.bool_], over_mm: float) -> float:
    """Return the length of asked lines sewn more than once.

    Lines that coincide count once: the first of them stands for all.
    """
    kept = (bits.first[bits.bit] == bits.line) & wanted[bits.line]
    low, high = bits.covers[0][kept], bits.covers[1][kept]
    bounds = np.unique(np.concatenate((low, high, *rails.extent)))
    first, last = np.searchsorted(bounds, low), np.searchsorted(bounds, high)
    times = tally(first, last, np.ones_like(first), max(len(bounds) - 1, 0))
    first, last = runs(times > 1)
    mm = bounds[last] - bounds[first] if len(first) else np.zeros(0)
    return float(mm[mm > over_mm].sum())


def _strayed(drawing: Drawing, told: Stitched, wanted: NDArray[np.bool_]) -> tuple[float, float]:
    """Return the length on no line in open cloth, and that on no asked line in keep-outs."""
    lost = told.kind == LOST
    beside = (told.kind == TRAVELLED) & ~np.append(wanted, False)[told.line]
    inside_lost = _inside(drawing, told, np.flatnonzero(lost))
    return (
        float(told.length[lost].sum()) - inside_lost,
        inside_lost + _inside(drawing, told, np.flatnonzero(beside)),
    )


def _inside(drawing: Drawing, told: Stitched, rows: Ints) -> float:
    """Return how much of some stitching lies inside keep-outs."""
    if not drawing.keep_outs or not len(rows):
        return 0.0
    shut = shapely.union_all([keep_out.polygon for keep_out in drawing.keep_outs])
    shapely.prepare(shut)
    drawn = shapely.linestrings(np.stack((told.start[rows], told.end[rows]), axis=1))
    near = drawn[shapely.intersects(shut, drawn)]
    return float(shapely.length(shapely.intersection(near, shut)).sum())


def _missed(
    rails: Rails, wanted: NDArray[np.bool_], covered: Floats, over_mm: float
) -> tuple[MissedLine, ...]:
    whole = rails.extent[1] - rails.extent[0]
    bare = np.where(wanted, whole - covered, 0.0)
    rows = np.flatnonzero(bare > np.minimum(over_mm, whole / 2))
    return tuple(
        MissedLine(
            line=int(row) + 1,
            block=rails.lines[row].block,
            motif=rails.lines[row].motif,
            role=str(rails.lines[row].role),
            missed_mm=float(bare[row]),
            whole_mm=float(whole[row]),
        )
        for row in rows[np.argsort(-bare[rows], kind="stable")]
    )


def _ends_found(drawing: Drawing, ends: Points, within_mm: float) -> EndsFound:
    lines = (*drawing.lines, *drawing.hidden)
    seam = np.array([line.role in SEAM_ROLES for line in lines], dtype=bool)
    tree = shapely.STRtree([shapely.LineString(line.points_mm) for line in lines])
    end, line = tree.query(shapely.points(ends), predicate="dwithin", distance=within_mm)
    in_seams = np.unique(end[seam[line]])
    return EndsFound(
        in_seams=len(in_seams),
        on_lines=len(np.setdiff1d(end, in_seams)),
        off_lines=len(ends) - len(np.unique(end)),
    )
