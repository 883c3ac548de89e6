"""Ways to sew a drawing: as planned, line by line as asked, or always on to the nearest end."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.figures import Figures, lifting_s, plan_figures, seconds_along, shows_at_ends, times_of
from stitchpath.figures.foreign import Foreign
from stitchpath.lines import COVERED_MM, Line, Role
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings

__all__ = ["Way", "nearest_end_next", "one_by_one", "way_of", "way_of_foreign"]

_BURST = 1000
"""Lines taken from one tree before it is built anew without them: chosen, it changes the time only."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way to sew a drawing, in figures; those that only plans have are None for other ways.

    Attributes
    ----------
    paths, lifts
        Continuous lines of stitching, and the needle-up moves between them.
    sewn_mm, travel_mm, lifts_mm
        Lengths.
    cost_s, time_s
        The cost, which weighs what shows, and the time; they are two things.
    open_ends
        How many path ends lie in open cloth: where no seam, basting or edge line meets.
    wander
        The median of the blocks' wander ratios; None where no block is sewn, too.
    gap
        (cost - bound) / bound; None where nothing is proven.
    thread_mm
        Thread in seams, small stitches and tails: needle and bobbin together, of all threads.
    visits
        The mean of the blocks' visits; None where no block is sewn, too.
    hand_paths, hand_time_s
        The paths that a frame leaves to the hand, and their time; None where it leaves none.
    """

    paths: int
    lifts: int
    sewn_mm: float
    travel_mm: float
    lifts_mm: float
    cost_s: float
    time_s: float
    open_ends: int | None = None
    wander: float | None = None
    gap: float | None = None
    thread_mm: float | None = None
    visits: float | None = None
    hand_paths: int | None = None
    hand_time_s: float | None = None

    def less(self, other: "Way") -> "Way":
        """Return the differences to another way: above zero where this one has more, None if not known."""
        return Way(*(_less(getattr(self, f.name), getattr(other, f.name)) for f in fields(Way)))


def _less(one: Any, other: Any) -> Any:
    if one is None or other is None:
        return None
    return 0 if one == other else one - other  # gaps may be infinite, both of them


def way_of(figures: Figures) -> Way:
    """Return a plan's figures as those of a way.

    Examples
    --------
    >>> from stitchpath.figures import plan_figures
    >>> from stitchpath.plan import Plan
    >>> way_of(plan_figures(Plan(Drawing(()), (), (), 0.0))).paths
    0
    """
    return Way(
        figures.paths,
        figures.lifts,
        figures.sewn_mm,
        figures.travel_mm,
        figures.lifts_mm,
        figures.cost_s,
        figures.times.total_s,
        figures.open_ends,
        figures.wander_median,
        figures.gap,
        sum((used.needle_mm + used.bobbin_mm for used in figures.thread.threads), 0.0),
        figures.visits.mean,
        None if figures.by_hand is None else figures.by_hand.paths,
        None if figures.by_hand is None else figures.by_hand.times.total_s,
    )


def way_of_foreign(found: Foreign) -> Way:
    """Return the figures of a plan made elsewhere, counted as those of our own; it has no gap.

    Its cost is that of its ends and its travel; how often it leaves blocks is not counted.

    Examples
    --------
    >>> from stitchpath.check.foreign import measure_foreign
    >>> asked = Drawing((Line([(0, 0), (100, 0)]),))
    >>> way = way_of_foreign(measure_foreign([[(0, 0), (100, 0), (60, 0)]], asked))
    >>> way.paths, way.travel_mm, way.cost_s, way.gap
    (1, 40.0, 256.0, None)
    """
    figures = plan_figures(found.plan, within_mm=found.tolerance_mm)
    return replace(way_of(figures), cost_s=figures.ends_cost_s + figures.travel_cost_s, gap=None)


def one_by_one(
    drawing: Drawing,
    *,
    cost: CostSettings | None = None,
    machine: MachineSettings | None = None,
    schedule: ScheduleSettings | None = None,
) -> Way:
    """Return what the lines cost if each is a path of its own, in the order asked within each stage.

    Each line is sewn whole, from where it is drawn; one that coincides with another is sewn all the same.

    Parameters
    ----------
    drawing
        The lines.
    cost, machine, schedule
        As for a plan; None: the defaults.

    Examples
    --------
    >>> one_by_one(Drawing((Line([(0, 0), (500, 0)]),))).cost_s
    240.0
    >>> one_by_one(Drawing(())).paths
    0
    """
    stages = _by_stage(drawing, schedule or ScheduleSettings())
    order = np.concatenate([np.empty(0, dtype=np.intp), *stages])
    turned = np.zeros(len(order), dtype=bool)
    return _measure(drawing, order, turned, run_on=False, cost=cost, machine=machine)


def nearest_end_next(
    drawing: Drawing,
    *,
    cost: CostSettings | None = None,
    machine: MachineSettings | None = None,
    schedule: ScheduleSettings | None = None,
) -> Way:
    """Return what the lines cost if the needle always goes on at the nearest end of a line not yet sewn.

    Stage by stage, from the first line's first point. Where that end lies within `COVERED_MM` of where the
    needle is, the path runs on; a closed line's only end is where it is drawn from.

    Parameters
    ----------
    drawing
        The lines.
    cost, machine, schedule
        As for a plan; None: the defaults.

    Examples
    --------
    >>> corner = Drawing((Line([(0, 0), (500, 0)]), Line([(500, 500), (500, 0)])))
    >>> nearest_end_next(corner).paths, one_by_one(corner).paths
    (1, 2)
    >>> nearest_end_next(Drawing(())).paths
    0
    """
    order: list[int] = []
    turned: list[bool] = []
    ends = _ends(drawing.lines)
    here = ends[0, 0] if len(ends) else np.zeros(2)
    for stage in _by_stage(drawing, schedule or ScheduleSettings()):
        for row, last in _greedy(ends[stage], here):
            order.append(int(stage[row]))
            turned.append(last)
            here = ends[stage[row], 0 if last else 1]
    rows, turns = np.array(order, dtype=np.intp), np.array(turned, dtype=bool)
    return _measure(drawing, rows, turns, run_on=True, cost=cost, machine=machine)


def _ends(lines: Sequence[Line]) -> NDArray[np.float64]:
    """Return first and last point of each line, (N, 2, 2)."""
    return np.array([line.points_mm[[0, -1]] for line in lines]).reshape(-1, 2, 2)


def _by_stage(drawing: Drawing, schedule: ScheduleSettings) -> list[NDArray[np.intp]]:
    """Return the rows of the lines of each stage in turn; what no stage names comes last."""
    stage_of = {role: number for number, stage in enumerate(schedule.stages) for role in stage.roles}
    stages = np.array(
        [stage_of.get(line.role, len(schedule.stages)) for line in drawing.lines], dtype=np.intp
    )
    return [np.flatnonzero(stages == number) for number in range(len(schedule.stages) + 1)]


def _measure(
    drawing: Drawing,
    order: NDArray[np.intp],
    turned: NDArray[np.bool_],
    *,
    run_on: bool,
    cost: CostSettings | None,
    machine: MachineSettings | None,
) -> Way:
    """Measure lines sewn whole in an order, some from their last point to their first, without travel."""
    cost, machine = cost or CostSettings(), machine or MachineSettings()
    drawn = _ends(drawing.lines)[order]
    ends = np.where(turned[:, None, None], drawn[:, ::-1], drawn)
    lifts = np.hypot(*(ends[1:, 0] - ends[:-1, 1]).T)
    cut = lifts > COVERED_MM if run_on else np.ones(len(lifts), dtype=bool)
    begins, stops = np.ones(len(order), dtype=bool), np.ones(len(order), dtype=bool)
    begins[1:], stops[:-1] = cut, cut
    places = np.concatenate((ends[begins, 0], ends[stops, 1]))
    own = [drawing.lines[row].role for row in np.concatenate((order[begins], order[stops]))]
    shows = shows_at_ends(drawing, places, own, rules=cost.rules())
    paths, sewn_mm = int(begins.sum()), sum((line.length_mm for line in drawing.lines), 0.0)
    times = times_of(
        machine,
        sewing_s=_sewing_s(drawing, order, turned, begins, machine),
        travel_s=0.0,
        lifts_s=lifting_s(machine, lifts[cut]),
        paths=paths,
    )
    return Way(
        paths=paths,
        lifts=int(cut.sum()),
        sewn_mm=sewn_mm,
        travel_mm=0.0,
        lifts_mm=float(lifts[cut].sum()),
        cost_s=(cost.path_cost_s or machine.path_cost_s) / 2 * float(shows.sum()),
        time_s=times.total_s,
    )


def _sewing_s(
    drawing: Drawing,
    order: NDArray[np.intp],
    turned: NDArray[np.bool_],
    begins: NDArray[np.bool_],
    machine: MachineSettings,
) -> float:
    """Return how long lines take that are sewn whole, without a stop where a path runs on."""
    lines = [drawing.lines[row] for row in order.tolist()]
    points = [
        line.points_mm[::-1] if turn else line.points_mm for line, turn in zip(lines, turned, strict=True)
    ]
    runs: list[list[NDArray[np.float64]]] = []
    for piece, begin in zip(points, begins.tolist(), strict=True):
        if begin:
            runs.append([piece])
        else:
            runs[-1].append(piece)
    joined = [np.concatenate(run) for run in runs]
    basting = [
        np.full(len(line.points_mm) - bool(begin), line.role is Role.BASTE)
        for line, begin in zip(lines, begins.tolist(), strict=True)
    ]
    return float(seconds_along(machine, joined, np.concatenate([np.zeros(0, bool), *basting])).sum())


def _greedy(ends: NDArray[np.float64], here: NDArray[np.float64]) -> Iterator[tuple[int, bool]]:
    """Yield line after line by nearest end: its row, and whether it is sewn from its last point."""
    left = np.arange(len(ends))
    while len(left):
        burst = _burst(ends[left], here)
        yield from ((int(left[row]), last) for row, last in burst)
        row, last = burst[-1]
        here = ends[left[row], 0 if last else 1]
        left = np.delete(left, [row for row, _ in burst])


def _burst(ends: NDArray[np.float64], here: NDArray[np.float64]) -> list[tuple[int, bool]]:
    """Return the next lines from one tree, so few that a search never wades through many sewn ones."""
    from scipy.spatial import KDTree

    tree, done, sewn = KDTree(ends.reshape(-1, 2)), np.zeros(len(ends), dtype=bool), []
    for _ in range(min(_BURST, len(ends))):
        row, last = divmod(_nearest_open(tree, done, here), 2)
        done[row] = True
        sewn.append((row, bool(last)))
        here = ends[row, 1 - last]
    return sewn


def _nearest_open(tree: Any, done: NDArray[np.bool_], here: NDArray[np.float64]) -> int:
    """Return the nearest end not done, of equally near ones the first; line i has 2 i and 2 i + 1."""
    among = 8
    while True:
        distances, ends = tree.query(here, k=min(among, tree.n))
        open_ = np.flatnonzero(~done[ends // 2])
        if len(open_) and (distances[open_[0]] < distances[-1] or among >= tree.n):
            return int(ends[open_][distances[open_] == distances[open_[0]]].min())
        among *= 4
