"""What a plan comes to: paths, travel, lifts, cost in its parts, time; counted from its paths."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.lines import COVERED_MM, HIDDEN_ROLES, ROLES, Line, Role, RoleRule
from stitchpath.plan import Move, Plan, RoutedJob, StitchPath, gap_of
from stitchpath.settings import MachineSettings

__all__ = ["Figures", "Times", "gap_less_forced", "path_ends_mm", "plan_figures", "shows_at_ends", "times_of"]

_SEAM_ROLES = HIDDEN_ROLES | {Role.BASTE, Role.DITCH}


@dataclass(frozen=True, slots=True)
class Times:
    """How long sewing takes at a machine's speeds, in seconds, and on which assumptions.

    Attributes
    ----------
    sewing_s, travel_s, lifts_s, ends_s
        Needle down for the first time, needle down over what is there, needle up, tie-offs and thread cuts.
    assumptions
        One sentence each.
    """

    sewing_s: float
    travel_s: float
    lifts_s: float
    ends_s: float
    assumptions: tuple[str, ...]

    @property
    def total_s(self) -> float:
        """All of it together."""
        return self.sewing_s + self.travel_s + self.lifts_s + self.ends_s


@dataclass(frozen=True, slots=True)
class Figures:
    """What a plan comes to.

    Attributes
    ----------
    paths
        Continuous lines of stitching.
    sewn_mm
        Needle-down length sewn for the first time, without the small stitches that secure ends.
    travel_seams_mm, travel_lines_mm, travel_hidden_mm
        Travel along stitched seams and basting, along other sewn lines, and along hidden seams.
    longest_visible_retrace_mm
        The longest stretch of travel on end over strip, outline, fill, echo or drawn lines.
    laps, outlines_touched
        Closed outlines sewn in one lap, of those that another line touches.
    lifts, lifts_mm
        Needle-up moves from one path's end to the next one's start.
    ends_cost_s, travel_cost_s
        The parts of the cost, counted again from the paths.
    cost_s, bound_s
        As the plan states them; the parts add up to the cost but for the rounding to the jobs' units.
    forced_s
        The part of the cost that no plan can do without: two ends for each separate piece of work.
    optimal
        Whether cost and bound meet.
    jobs
        Each job's cost and bound.
    times
        The time at the machine's speeds.
    """

    paths: int
    sewn_mm: float
    travel_seams_mm: float
    travel_lines_mm: float
    travel_hidden_mm: float
    longest_visible_retrace_mm: float
    laps: int
    outlines_touched: int
    lifts: int
    lifts_mm: float
    ends_cost_s: float
    travel_cost_s: float
    cost_s: float
    bound_s: float
    forced_s: float
    optimal: bool
    jobs: tuple[RoutedJob, ...]
    times: Times

    @property
    def tie_offs(self) -> int:
        """Two to a path."""
        return 2 * self.paths

    @property
    def travel_mm(self) -> float:
        """All travel, needle down."""
        return self.travel_seams_mm + self.travel_lines_mm + self.travel_hidden_mm

    @property
    def gap(self) -> float:
        """(cost - bound) / bound; 0 where both are 0."""
        return gap_of(self.cost_s, self.bound_s)

    @property
    def gap_less_forced(self) -> float:
        """(cost - bound) / (cost - forced): what is forced flatters the plain gap."""
        return gap_less_forced(self.cost_s, self.bound_s, self.forced_s)


def gap_less_forced(cost: float, bound: float, forced: float) -> float:
    """Return the gap over the part of the cost that routing can change.

    Examples
    --------
    >>> gap_less_forced(110.0, 100.0, 60.0), gap_less_forced(0.0, 0.0, 0.0)
    (0.2, 0.0)
    """
    if cost == bound:
        return 0.0
    return (cost - bound) / (cost - forced) if cost > forced else float("inf")


def plan_figures(plan: Plan, *, machine: MachineSettings | None = None) -> Figures:
    """Count what a plan comes to.

    Parameters
    ----------
    plan
        The plan; its cost settings weigh what shows.
    machine
        Whose speeds the time is told at; None: the machine that the plan was made for. The cost stays the
        plan's.

    Returns
    -------
    Figures
        Lengths in millimetres, costs and times in seconds.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> empty = plan_figures(Plan(Drawing(lines=()), paths=(), jobs=(), bound=0.0))
    >>> empty.paths, empty.travel_mm, empty.gap, empty.times.total_s
    (0, 0.0, 0.0, 0.0)
    """
    rules = plan.cost_settings.rules()
    travel = _travel(plan, rules)
    ends = path_ends_mm(plan.paths)
    lifts_mm = float(np.hypot(*(ends[2::2] - ends[1:-1:2]).T).sum())
    sewn_mm = sum((path.length_mm for path in plan.paths), 0.0) - float(travel.mm.sum())
    return Figures(
        paths=len(plan.paths),
        sewn_mm=sewn_mm,
        travel_seams_mm=float(travel.mm[travel.asked & ~travel.visible].sum()),
        travel_lines_mm=float(travel.mm[travel.asked & travel.visible].sum()),
        travel_hidden_mm=float(travel.mm[~travel.asked].sum()),
        longest_visible_retrace_mm=_longest_run(travel),
        laps=plan.laps.in_one_lap,
        outlines_touched=plan.laps.touched,
        lifts=max(len(plan.paths) - 1, 0),
        lifts_mm=lifts_mm,
        ends_cost_s=_ends_cost_s(plan, ends, rules),
        travel_cost_s=float((travel.mm * travel.shows).sum() / plan.machine.sewing_speed_mm_s),
        cost_s=plan.cost,
        bound_s=plan.bound,
        forced_s=sum((job.forced for job in plan.jobs), 0.0),
        optimal=plan.optimal,
        jobs=plan.jobs,
        times=times_of(
            machine or plan.machine,
            sewn_mm=sewn_mm,
            travel_mm=float(travel.mm.sum()),
            lifts_mm=lifts_mm,
            paths=len(plan.paths),
        ),
    )


def times_of(
    machine: MachineSettings, *, sewn_mm: float, travel_mm: float, lifts_mm: float, paths: int
) -> Times:
    """Return the time that lengths and paths take on a machine, and what that assumes.

    Examples
    --------
    >>> times_of(MachineSettings(), sewn_mm=500, travel_mm=50, lifts_mm=300, paths=2).total_s
    133.0
    >>> times_of(MachineSettings(), sewn_mm=0, travel_mm=0, lifts_mm=0, paths=0).total_s
    0.0
    """
    sewing, lift = machine.sewing_speed_mm_s, machine.lift_speed_mm_s
    return Times(
        sewing_s=sewn_mm / sewing,
        travel_s=travel_mm / sewing,
        lifts_s=lifts_mm / lift,
        ends_s=paths * machine.path_cost_s,
        assumptions=(
            f"needle down at {sewing:g} mm/s, needle up at {lift:g} mm/s",
            f"{machine.path_cost_s:g} s for a path's two tie-offs and the thread cut",
            "slowing down in corners, advancing the quilt, bobbins and breaks not counted",
        ),
    )


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


def _ends_cost_s(plan: Plan, ends_mm: NDArray[np.float64], rules: Mapping[Role, RoleRule]) -> float:
    own = [_role(plan.drawing, span.line) for path in plan.paths for span in (path.spans[0], path.spans[-1])]
    path_cost_s = plan.cost_settings.path_cost_s or plan.machine.path_cost_s
    return path_cost_s / 2 * float(shows_at_ends(plan.drawing, ends_mm, own, rules=rules).sum())


def _role(drawing: Drawing, line: int | None) -> Role:
    return Role.HIDDEN if line is None else drawing.lines[line - 1].role


def shows_at_ends(
    drawing: Drawing,
    places_mm: NDArray[np.float64],
    own: Sequence[Role],
    *,
    rules: Mapping[Role, RoleRule] = ROLES,
) -> NDArray[np.float64]:
    """Return how much an end shows at each place: by the least visible role that meets there.

    Parameters
    ----------
    drawing
        Its lines and hidden seams, met where they pass within `COVERED_MM`.
    places_mm
        (N, 2) places on lines of the drawing.
    own
        The role of the line that each place is known to lie on.
    rules
        The table of roles.

    Examples
    --------
    >>> seam, fill = Line([(0, 0), (10, 0)], Role.DITCH), Line([(5, 0), (5, 5)], Role.FILL)
    >>> shows_at_ends(Drawing((seam, fill)), fill.points_mm, [Role.FILL, Role.FILL])
    array([1., 4.])
    >>> shows_at_ends(Drawing(()), np.empty((0, 2)), [])
    array([], dtype=float64)
    """
    shows = np.array([rules[role].end_shows for role in own], dtype=np.float64)
    places = shapely.points(places_mm)
    for worth, lines in _by_worth(drawing, {role: rule.end_shows for role, rule in rules.items()}):
        dearer = np.flatnonzero(shows > worth)
        if len(dearer):
            shows[dearer[_near(lines, places[dearer])[0]]] = worth
    return shows


def _by_worth(drawing: Drawing, worth_of: Mapping[Role, float]) -> list[tuple[float, list[Line]]]:
    """Return all lines, hidden seams too, by what their role is worth, least first."""
    lines = drawing.lines + drawing.hidden
    worths = sorted({worth_of[line.role] for line in lines})
    return [(worth, [line for line in lines if worth_of[line.role] == worth]) for worth in worths]


@dataclass(frozen=True, slots=True)
class _Travel:
    """Travel step by step, (N,) each: length, on an asked line or not, visible or not, how much, where.

    Steps next to each other in one path have neighbouring places; between paths one is left out.
    """

    mm: NDArray[np.float64]
    asked: NDArray[np.bool_]
    visible: NDArray[np.bool_]
    shows: NDArray[np.float64]
    place: NDArray[np.int64]


def _travel(plan: Plan, rules: Mapping[Role, RoleRule]) -> _Travel:
    """Break travel into steps and give each the least visible role of the lines that it lies on."""
    starts, ends, lines, place, before = [], [], [], [], 0
    for path in plan.paths:
        for span in path.spans:
            if span.move is Move.TRAVEL:
                starts.append(path.coordinates_mm[span.first : span.last])
                ends.append(path.coordinates_mm[span.first + 1 : span.last + 1])
                lines += [span.line] * (span.last - span.first)
                place.append(before + np.arange(span.first, span.last))
        before += len(path.coordinates_mm) + 1
    if not lines:
        none = np.empty(0)
        return _Travel(none, none.astype(bool), none.astype(bool), none, none.astype(np.int64))
    start, end = np.concatenate(starts), np.concatenate(ends)
    roles = _least_visible(plan.drawing, start, end, [_role(plan.drawing, line) for line in lines], rules)
    return _Travel(
        mm=np.hypot(*(end - start).T),
        asked=np.array([line is not None for line in lines]),
        visible=np.array([role not in _SEAM_ROLES for role in roles]),
        shows=np.array([rules[role].shows for role in roles]),
        place=np.concatenate(place),
    )


def _least_visible(
    drawing: Drawing,
    start: NDArray[np.float64],
    end: NDArray[np.float64],
    own: Sequence[Role],
    rules: Mapping[Role, RoleRule],
) -> list[Role]:
    """Return each step's role: of all lines that run along it, the one that shows least."""
    ranked = sorted(rules, key=lambda role: rules[role].shows)
    rank = np.array([ranked.index(role) for role in own])
    for worth, lines in _by_worth(drawing, {role: row for row, role in enumerate(ranked)}):
        dearer = np.flatnonzero(rank > worth)
        if len(dearer):
            rank[dearer[_along(lines, start[dearer], end[dearer])]] = worth
    return [ranked[row] for row in rank]


def _near(lines: Sequence[Line], places: Any) -> NDArray[np.intp]:
    """Return which places lie on which lines, (2, N) row numbers; `places` are shapely points."""
    tree = shapely.STRtree([shapely.LineString(line.points_mm) for line in lines])
    return np.asarray(tree.query(places, predicate="dwithin", distance=COVERED_MM), dtype=np.intp)


def _along(lines: Sequence[Line], start: NDArray[np.float64], end: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return the steps of which 1/4, 1/2 and 3/4 lie on one and the same line."""
    quarters = [shapely.points(start + share * (end - start)) for share in (0.25, 0.5, 0.75)]
    step, line = _near(lines, np.concatenate(quarters))
    pairs, times = np.unique(np.stack((step % len(start), line)), axis=1, return_counts=True)
    return np.asarray(pairs[0][times == len(quarters)], dtype=np.intp)


def _longest_run(travel: _Travel) -> float:
    """Return the longest visible travel on end."""
    mm, place = travel.mm[travel.visible], travel.place[travel.visible]
    breaks = np.flatnonzero(np.diff(place) != 1) + 1
    return max((float(run.sum()) for run in np.split(mm, breaks)), default=0.0)
