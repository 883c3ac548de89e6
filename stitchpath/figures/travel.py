"""A plan's travel step by step: how long, where, over whose thread, and how much it shows."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.figures.meeting import along, first_roles, role_of
from stitchpath.lines import COLOURLESS_ROLES, SEAM_ROLES, Role, least_visible_first
from stitchpath.plan import Move, Plan, Span, StitchPath

__all__ = ["Travel", "longest_visible_mm", "over_other", "times_so_far", "travel_of"]


_SEWN_OVER = frozenset({Move.SEW, Move.TRAVEL, Move.STEP})
"""What counts as a time that a line is sewn over: not small stitches, nor what takes up a cut line again."""


@dataclass(frozen=True, slots=True)
class Travel:
    """Travel step by step, (N,) each.

    Attributes
    ----------
    mm
        Lengths.
    asked, visible
        Whether a step lies on an asked line, and whether no seam, basting or edge line runs along it.
    over_other
        Whether its path has another thread than its line, and the two do not match.
    open
        Whether it goes over open cloth, from one ring to the next.
    times
        How often it is sewn over by then.
    shows
        How much it counts, by the least visible role that runs along it, by the thread, and by those times.
    place
        Steps next to each other in one path have neighbouring places; between paths one is left out.
    """

    mm: NDArray[np.float64]
    asked: NDArray[np.bool_]
    visible: NDArray[np.bool_]
    over_other: NDArray[np.bool_]
    open: NDArray[np.bool_]
    times: NDArray[np.int64]
    shows: NDArray[np.float64]
    place: NDArray[np.int64]


def travel_of(plan: Plan) -> Travel:
    """Break a plan's travel into steps and give each the least visible role of the lines that it lies on.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> travel_of(Plan(Drawing(()), (), (), 0.0)).mm
    array([], dtype=float64)
    """
    firsts, lasts, lines, others, opens, before = [], [], [], [], [], 0
    all_firsts, all_lasts = [], []
    for path in plan.paths:
        for span in path.spans:
            if span.move in _SEWN_OVER:
                all_firsts.append(before + span.first)
                all_lasts.append(before + span.last)
            if span.move in (Move.TRAVEL, Move.STEP):
                firsts.append(before + span.first)
                lasts.append(before + span.last)
                lines += [span.line] * (span.last - span.first)
                others += [over_other(plan, path, span)] * (span.last - span.first)
                opens += [span.move is Move.STEP] * (span.last - span.first)
        before += len(path.coordinates_mm) + 1
    if not lines:
        none = np.empty(0)
        no = none.astype(bool)
        return Travel(none, no, no, no, no, none.astype(np.int64), none, none.astype(np.int64))
    place = _all_of(np.array(firsts), np.array(lasts))
    between = np.full((1, 2), np.nan)
    points = np.concatenate([part for path in plan.paths for part in (path.coordinates_mm, between)])
    start, end = points[place], points[place + 1]
    every = _all_of(np.array(all_firsts), np.array(all_lasts))
    times = times_so_far(_same(points[every], points[every + 1]))[np.searchsorted(every, place)]
    rules = plan.cost_settings.rules()
    on_lines = first_roles(
        plan.drawing,
        [role_of(plan.drawing, line) for line in lines],
        least_visible_first(rules),
        lambda met, rows: along(met, start[rows], end[rows]),
    )
    roles = [Role.STEP if over_open else role for role, over_open in zip(on_lines, opens, strict=True)]
    return Travel(
        mm=np.hypot(*(end - start).T),
        asked=np.array([line is not None for line in lines]),
        visible=np.array([role not in SEAM_ROLES for role in roles]),
        over_other=np.array(others),
        open=np.array(opens),
        times=times,
        shows=np.array([rules[role].shows_at(n) for role, n in zip(roles, times.tolist(), strict=True)])
        * np.where(others, plan.cost_settings.other_thread_shows, 1.0),
        place=place,
    )


def _all_of(first: NDArray[np.int64], last: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return all numbers of half-open ranges, one range after another."""
    count = last - first
    return np.repeat(first - np.cumsum(count) + count, count) + np.arange(int(count.sum()))


def times_so_far(steps: NDArray[np.intp]) -> NDArray[np.int64]:
    """Return for each of some steps, in order, the how-manieth of its kind it is.

    Examples
    --------
    >>> times_so_far(np.array([7, 7, 3, 7])).tolist(), times_so_far(np.array([], int)).tolist()
    ([1, 2, 1, 3], [])
    """
    order = np.argsort(steps, kind="stable")
    place = np.arange(len(steps))
    begins = np.maximum.accumulate(np.where(np.diff(steps[order], prepend=-1) != 0, place, 0))
    times = np.empty(len(steps), dtype=np.int64)
    times[order] = place - begins + 1
    return times


def _same(start: NDArray[np.float64], end: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return a number for each step; those between the same two points have the same."""
    _, number = np.unique(np.concatenate((start, end)) @ np.array([1, 1j]), return_inverse=True)
    one, other = number.reshape(2, -1)
    return np.minimum(one, other) * len(number) + np.maximum(one, other)


def over_other(plan: Plan, path: StitchPath, span: Span) -> bool:
    """Tell whether a span travels over a line that is sewn in another thread, and does not match the path's.

    Parameters
    ----------
    plan
        Its lines, and which threads match.
    path, span
        One of its paths, and a span of that.

    Returns
    -------
    bool
        False over hidden seams and basting, whatever their thread.

    Examples
    --------
    >>> from stitchpath import Drawing, Line
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.TRAVEL, 0, 1, 1),), thread="white")
    >>> plan = Plan(Drawing((Line([(0, 0), (9, 0)], thread="grey"),)), (path,), (), 0.0)
    >>> over_other(plan, path, path.spans[0])
    True
    """
    if span.move is not Move.TRAVEL or span.line is None:
        return False
    line, matched = plan.drawing.lines[span.line - 1], plan.schedule.matched
    return line.role not in COLOURLESS_ROLES and matched(line.thread) != matched(path.thread)


def longest_visible_mm(travel: Travel) -> float:
    """Return the longest visible travel on end over lines, steps over open cloth left out.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> longest_visible_mm(travel_of(Plan(Drawing(()), (), (), 0.0)))
    0.0
    """
    seen = travel.visible & ~travel.open
    mm, place = travel.mm[seen], travel.place[seen]
    breaks = np.flatnonzero(np.diff(place) != 1) + 1
    return max((float(run.sum()) for run in np.split(mm, breaks)), default=0.0)
