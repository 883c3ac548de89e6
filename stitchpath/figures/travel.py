"""A plan's travel step by step: how long, where, and how much it shows."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.figures.meeting import along, first_roles, role_of
from stitchpath.lines import SEAM_ROLES, Role
from stitchpath.plan import Move, Plan

__all__ = ["Travel", "longest_visible_mm", "travel_of"]


@dataclass(frozen=True, slots=True)
class Travel:
    """Travel step by step, (N,) each.

    Attributes
    ----------
    mm
        Lengths.
    asked, visible
        Whether a step lies on an asked line, and whether no seam, basting or edge line runs along it.
    open
        Whether it goes over open cloth, from one ring to the next.
    shows
        How much it counts, by the least visible role that runs along it.
    place
        Steps next to each other in one path have neighbouring places; between paths one is left out.
    """

    mm: NDArray[np.float64]
    asked: NDArray[np.bool_]
    visible: NDArray[np.bool_]
    open: NDArray[np.bool_]
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
    firsts, lasts, lines, opens, before = [], [], [], [], 0
    for path in plan.paths:
        for span in path.spans:
            if span.move in (Move.TRAVEL, Move.STEP):
                firsts.append(before + span.first)
                lasts.append(before + span.last)
                lines += [span.line] * (span.last - span.first)
                opens += [span.move is Move.STEP] * (span.last - span.first)
        before += len(path.coordinates_mm) + 1
    if not lines:
        none = np.empty(0)
        no = none.astype(bool)
        return Travel(none, no, no, no, none, none.astype(np.int64))
    place = _all_of(np.array(firsts), np.array(lasts))
    between = np.full((1, 2), np.nan)
    points = np.concatenate([part for path in plan.paths for part in (path.coordinates_mm, between)])
    start, end = points[place], points[place + 1]
    rules = plan.cost_settings.rules()
    on_lines = first_roles(
        plan.drawing,
        [role_of(plan.drawing, line) for line in lines],
        sorted(rules, key=lambda role: rules[role].shows),
        lambda met, rows: along(met, start[rows], end[rows]),
    )
    roles = [Role.STEP if over_open else role for role, over_open in zip(on_lines, opens, strict=True)]
    return Travel(
        mm=np.hypot(*(end - start).T),
        asked=np.array([line is not None for line in lines]),
        visible=np.array([role not in SEAM_ROLES for role in roles]),
        open=np.array(opens),
        shows=np.array([rules[role].shows for role in roles]),
        place=place,
    )


def _all_of(first: NDArray[np.int64], last: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return all numbers of half-open ranges, one range after another."""
    count = last - first
    return np.repeat(first - np.cumsum(count) + count, count) + np.arange(int(count.sum()))


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
