"""Where paths end: how much an end shows there, and how many ends lie in each kind of place."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.figures.meeting import first_roles, near, role_of
from stitchpath.figures.worked import worked
from stitchpath.lines import COVERED_MM, ROLES, SEAM_ROLES, Role, RoleRule
from stitchpath.plan import Plan, StitchPath

__all__ = [
    "EndPlace",
    "EndsAt",
    "ends_by_place",
    "ends_cost_s",
    "lifts_mm",
    "path_ends_mm",
    "shows_at_ends",
]


class EndPlace(StrEnum):
    """What kind of place a path ends in, from the least visible to the most."""

    ALLOWANCE = "basting or binding allowance"
    SEAM = "seam"
    STRIP = "strip"
    OUTLINE = "outline"
    FILL = "fill, echo or drawn"


_PLACE_OF: Mapping[Role, EndPlace] = {
    Role.ALLOWANCE: EndPlace.ALLOWANCE,
    Role.BASTE: EndPlace.ALLOWANCE,
    Role.DITCH: EndPlace.SEAM,
    Role.HIDDEN: EndPlace.SEAM,
    Role.STRIP: EndPlace.STRIP,
    Role.OUTLINE: EndPlace.OUTLINE,
    Role.FILL: EndPlace.FILL,
    Role.ECHO: EndPlace.FILL,
    Role.DRAWN: EndPlace.FILL,
    Role.STEP: EndPlace.FILL,
}
_IN_OPEN_CLOTH = frozenset(place for role, place in _PLACE_OF.items() if role not in SEAM_ROLES)


@dataclass(frozen=True, slots=True)
class EndsAt:
    """The path ends in one kind of place.

    Attributes
    ----------
    place
        Told by the least visible role that meets there, in the order of `stitchpath.lines.ROLES`, whatever
        the cost settings count it.
    ends
        How many; two to a path.
    paths
        Which paths they belong to, ascending, counted from 1; one with both its ends there stands once.
    """

    place: EndPlace
    ends: int
    paths: tuple[int, ...]

    @property
    def in_open_cloth(self) -> bool:
        """Whether no seam, basting or edge line meets there."""
        return self.place in _IN_OPEN_CLOTH


def path_ends_mm(paths: Sequence[StitchPath]) -> NDArray[np.float64]:
    """Return first and last point of each path in turn, (2 x paths, 2).

    Examples
    --------
    >>> path_ends_mm([]).shape
    (0, 2)
    """
    if not paths:
        return np.empty((0, 2))
    return np.concatenate([path.coordinates_mm[[0, -1]] for path in paths])


def lifts_mm(paths: Sequence[StitchPath]) -> NDArray[np.float64]:
    """Return (N - 1,) the straight way from where each path ends to where the next one starts.

    Examples
    --------
    >>> lifts_mm([StitchPath([(0, 0), (1, 0)], ()), StitchPath([(1, 5), (9, 5)], ())])
    array([5.])
    >>> lifts_mm([])
    array([], dtype=float64)
    """
    ends = path_ends_mm(paths)
    far: NDArray[np.float64] = np.hypot(*(ends[2::2] - ends[1:-1:2]).T)
    return far


def ends_by_place(plan: Plan, *, within_mm: float = COVERED_MM) -> tuple[EndsAt, ...]:
    """Count a plan's path ends by the kind of place they lie in: one row for each kind, least visible first.

    The end is where sewing or travel begins or stops, as for the cost: neither the stitches that secure it
    nor a cut line's sewn end, over which the next band takes it up again, move it. A line meets where it
    passes within `within_mm`.

    Examples
    --------
    >>> from stitchpath.lines import Line
    >>> from stitchpath.plan import Move, Span
    >>> seam, fill = Line([(0, 0), (10, 0)], Role.DITCH), Line([(5, 0), (5, 5)], Role.FILL)
    >>> path = StitchPath(fill.points_mm, (Span(Move.SEW, 0, 1, 2),))
    >>> plan = Plan(Drawing((seam, fill)), (path,), (), 0.0)
    >>> [(at.place.value, at.ends) for at in ends_by_place(plan) if at.ends]
    [('seam', 1), ('fill, echo or drawn', 1)]
    >>> [at.ends for at in ends_by_place(Plan(Drawing(()), (), (), 0.0))]
    [0, 0, 0, 0, 0]
    """
    places_mm, own = _worked_ends(plan)
    found = [
        _PLACE_OF[role] for role in _roles_at_ends(plan.drawing, places_mm, own, tuple(ROLES), within_mm)
    ]
    rows = {place: [end for end, here in enumerate(found) if here is place] for place in EndPlace}
    return tuple(
        EndsAt(place, len(ends), tuple(dict.fromkeys(end // 2 + 1 for end in ends)))
        for place, ends in rows.items()
    )


def ends_cost_s(plan: Plan, *, within_mm: float = COVERED_MM) -> float:
    """Return the part of a plan's cost that its path ends are, in seconds; see `ends_by_place`.

    Examples
    --------
    >>> ends_cost_s(Plan(Drawing(()), (), (), 0.0))
    0.0
    """
    path_cost_s = plan.cost_settings.path_cost_s or plan.machine.path_cost_s
    rules = plan.cost_settings.rules()
    shows = shows_at_ends(plan.drawing, *_worked_ends(plan), rules=rules, within_mm=within_mm)
    return path_cost_s / 2 * float(shows.sum())


def shows_at_ends(
    drawing: Drawing,
    places_mm: NDArray[np.float64],
    own: Sequence[Role],
    *,
    rules: Mapping[Role, RoleRule] = ROLES,
    within_mm: float = COVERED_MM,
) -> NDArray[np.float64]:
    """Return how much an end shows at each place: by the least visible role that meets there.

    Parameters
    ----------
    drawing
        Its lines and hidden seams.
    places_mm
        (N, 2) places on lines of the drawing.
    own
        The role of the line that each place is known to lie on.
    rules
        The table of roles.
    within_mm
        A line that passes within this distance meets the end.

    Examples
    --------
    >>> from stitchpath.lines import Line
    >>> seam, fill = Line([(0, 0), (10, 0)], Role.DITCH), Line([(5, 0), (5, 5)], Role.FILL)
    >>> shows_at_ends(Drawing((seam, fill)), fill.points_mm, [Role.FILL, Role.FILL])
    array([1., 4.])
    >>> shows_at_ends(Drawing(()), np.empty((0, 2)), [])
    array([], dtype=float64)
    """
    ranked = sorted(rules, key=lambda role: rules[role].end_shows)
    roles = _roles_at_ends(drawing, places_mm, own, ranked, within_mm)
    return np.array([rules[role].end_shows for role in roles], dtype=np.float64)


def _roles_at_ends(
    drawing: Drawing,
    places_mm: NDArray[np.float64],
    own: Sequence[Role],
    ranked: Sequence[Role],
    within_mm: float,
) -> list[Role]:
    """Return the first of the ranked roles that meets at each place."""
    return first_roles(
        drawing, own, ranked, lambda lines, rows: near(lines, places_mm[rows], within_mm=within_mm)[0]
    )


def _worked_ends(plan: Plan) -> tuple[NDArray[np.float64], list[Role]]:
    """Return where each path's sewing or travel begins and stops, and the roles of the lines there."""
    places, own = [], []
    for path in plan.paths:
        spans = worked(path) or path.spans
        first, last = spans[0], spans[-1]
        places.append(path.coordinates_mm[[first.first, last.last]])
        own += [role_of(plan.drawing, first.line), role_of(plan.drawing, last.line)]
    return np.concatenate([np.empty((0, 2)), *places]), own
