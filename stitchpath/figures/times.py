"""How long sewing takes on a machine, and which assumptions that rests on."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from stitchpath.figures.ends import lifts_mm
from stitchpath.figures.motion import lift_seconds, step_seconds
from stitchpath.figures.thread import thread_use_of
from stitchpath.figures.thread_use import bastes
from stitchpath.plan import Move, Plan
from stitchpath.settings import MachineSettings

__all__ = [
    "Times",
    "lifting_s",
    "needle_down_s",
    "needle_speed_mm_s",
    "seconds_along",
    "seconds_by_path",
    "times_of",
]


@dataclass(frozen=True, slots=True)
class Times:
    """How long sewing takes on a machine, in seconds, and on which assumptions.

    Attributes
    ----------
    sewing_s, travel_s, lifts_s, ends_s
        Needle down for the first time, needle down over what is there, needle up, tie-offs and thread cuts.
    thread_changes_s, advances_s, bobbin_changes_s
        Changing the thread between paths, advancing the quilt between bands, putting in new bobbins.
    assumptions
        One sentence each.
    """

    sewing_s: float
    travel_s: float
    lifts_s: float
    ends_s: float
    thread_changes_s: float
    advances_s: float
    bobbin_changes_s: float
    assumptions: tuple[str, ...]

    @property
    def total_s(self) -> float:
        """All of it together."""
        needle_s = self.sewing_s + self.travel_s + self.lifts_s + self.ends_s
        return needle_s + self.thread_changes_s + self.advances_s + self.bobbin_changes_s


def needle_speed_mm_s(machine: MachineSettings, *, basting: bool = False) -> float:
    """Return the top speed with the needle down: its own, or what the stitches allow.

    Examples
    --------
    >>> needle_speed_mm_s(MachineSettings()), needle_speed_mm_s(MachineSettings(stitches_a_minute=600))
    (50.0, 25.4)
    """
    stitch_mm = machine.basting_length if basting else machine.stitch_length
    return min(machine.speed_mm_s, machine.stitches_a_minute / 60 * stitch_mm)


def seconds_along(
    machine: MachineSettings, runs: Sequence[NDArray[np.float64]], basting: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """Return how long each step takes with the needle down, over some runs from stop to stop.

    Parameters
    ----------
    machine
        Its top speed, acceleration and how it rounds corners.
    runs
        (N, 2) points each, in millimetres.
    basting
        For each step of all runs: whether it is of the basting's stitch length.

    Examples
    --------
    >>> metre = np.array([(0.0, 0.0), (1000.0, 0.0)])
    >>> seconds_along(MachineSettings(), [metre, metre], np.array([False, False]))
    array([20.1, 20.1])
    >>> seconds_along(MachineSettings(), [], np.array([], dtype=bool))
    array([], dtype=float64)
    """
    if not len(basting):
        return np.empty(0)
    sizes = np.array([len(run) for run in runs])
    lasts = np.cumsum(sizes) - 1
    stops = np.zeros(int(sizes.sum()), dtype=bool)
    stops[lasts] = stops[lasts - sizes + 1] = True
    within = np.delete(np.arange(len(stops) - 1), lasts[:-1])
    speed = np.full(len(stops) - 1, machine.speed_mm_s)
    speed[within] = np.where(
        basting, needle_speed_mm_s(machine, basting=True), needle_speed_mm_s(machine, basting=False)
    )
    seconds = step_seconds(
        np.concatenate(list(runs)),
        stops,
        speed,
        acceleration_mm_s2=machine.acceleration_mm_s2,
        rounding_mm=machine.corner_rounding,
    )
    return seconds[within]


def needle_down_s(plan: Plan, machine: MachineSettings) -> tuple[float, float]:
    """Return how long a plan's sewing takes, and its travel and resumed stitching.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> needle_down_s(Plan(Drawing(()), (), (), 0.0), MachineSettings())
    (0.0, 0.0)
    """
    runs, counts, sews, basting = [], [], [], []
    for path in plan.paths:
        spans = [span for span in path.spans if span.move is not Move.SECURE]
        if spans:
            runs.append(path.coordinates_mm[spans[0].first : spans[-1].last + 1])
        counts += [span.last - span.first for span in spans]
        sews += [span.move is Move.SEW for span in spans]
        basting += [bastes(span.line, plan.drawing.lines) for span in spans]
    seconds = seconds_along(machine, runs, np.repeat(np.array(basting, dtype=bool), counts))
    first = np.repeat(np.array(sews, dtype=bool), counts)
    return float(seconds[first].sum()), float(seconds[~first].sum())


def lifting_s(machine: MachineSettings, lifts_mm: NDArray[np.float64]) -> float:
    """Return how long lifts take, each in a straight line from rest to rest.

    Examples
    --------
    >>> lifting_s(MachineSettings(), np.array([])), lifting_s(MachineSettings(), np.array([45.0]))
    (0.0, 0.6)
    """
    seconds = lift_seconds(
        lifts_mm, speed_mm_s=machine.lift_speed_mm_s, acceleration_mm_s2=machine.acceleration_mm_s2
    )
    return float(seconds.sum())


def times_of(
    machine: MachineSettings,
    *,
    sewing_s: float,
    travel_s: float,
    lifts_s: float,
    paths: int,
    thread_changes: int = 0,
    advances: int | None = None,
    bobbin_changes: int | None = None,
) -> Times:
    """Return the time that sewing takes on a machine, and what that assumes.

    Parameters
    ----------
    machine
        Its speeds, and what a path's ends, a change of thread or bobbin and an advance take.
    sewing_s, travel_s, lifts_s
        How long the needle is on its way.
    paths, thread_changes
        How many; the first threading is no change.
    advances, bobbin_changes
        How often the quilt is advanced and a bobbin changed; None: not known, so not counted.

    Examples
    --------
    >>> times_of(MachineSettings(), sewing_s=10, travel_s=1, lifts_s=2, paths=2).total_s
    133.0
    >>> times_of(MachineSettings(), sewing_s=0, travel_s=0, lifts_s=0, paths=0).total_s
    0.0
    """
    return Times(
        sewing_s=sewing_s,
        travel_s=travel_s,
        lifts_s=lifts_s,
        ends_s=paths * machine.path_cost_s,
        thread_changes_s=thread_changes * machine.thread_change_s,
        advances_s=(advances or 0) * machine.advance_s,
        bobbin_changes_s=(bobbin_changes or 0) * machine.bobbin_change_s,
        assumptions=tuple(_assumptions(machine, thread_changes, advances, bobbin_changes)),
    )


def _assumptions(
    machine: MachineSettings, thread_changes: int, advances: int | None, bobbin_changes: int | None
) -> Iterator[str]:
    yield (
        f"needle down at up to {machine.speed_mm_s:g} mm/s and {machine.stitches_a_minute:g} stitches "
        f"a minute, needle up at up to {machine.lift_speed_mm_s:g} mm/s"
    )
    yield (
        f"speed gained and lost at {machine.acceleration_mm_s2:g} mm/s a second; round corners v^2 = a r, "
        f"each rounded by at most {machine.corner_rounding:g} mm"
    )
    how = machine.ends if machine.ends == "by the machine" else f"with {machine.ends}"
    held = ", which the files hold," if machine.secures_in_files else ""
    ends = f"{machine.path_cost_s:g} s for a path's two tie-offs and the thread cut"
    yield f"ends secured {how}{held} at {ends}"
    if thread_changes:
        yield f"{machine.thread_change_s:g} s for each change of thread, the first threading not counted"
    if advances:
        yield f"{machine.advance_s:g} s for each advance of the quilt"
    if bobbin_changes:
        yield f"{machine.bobbin_change_s:g} s for each new bobbin but the first of each thread"
    left_out = [
        *(["advancing the quilt"] if advances is None else []),
        *(["bobbins"] if bobbin_changes is None else []),
        "breaks",
    ]
    yield f"{', '.join(left_out[:-1])}{' and ' if len(left_out) > 1 else ''}{left_out[-1]} not counted"


def seconds_by_path(plan: Plan, machine: MachineSettings | None = None) -> NDArray[np.float64]:
    """Return how long each path takes with what comes before it, so that all together are the plan's time.

    The way to a path, a change of thread and the advances before it count with it, and so do the bobbins
    that are changed on it or after it.

    Parameters
    ----------
    plan
        The plan.
    machine
        On which; None: the plan's own.

    Returns
    -------
    ndarray
        (paths,) seconds.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> seconds_by_path(Plan(Drawing(()), (), (), 0.0))
    array([], dtype=float64)
    """
    machine = machine or plan.machine
    if not plan.paths:
        return np.empty(0)
    seconds = np.array([sum(needle_down_s(replace(plan, paths=(path,)), machine)) for path in plan.paths])
    seconds += machine.path_cost_s
    seconds[1:] += [lifting_s(machine, mm) for mm in lifts_mm(plan.paths).reshape(-1, 1)]
    changed = [before.thread != after.thread for before, after in pairwise(plan.paths)]
    seconds[1:] += machine.thread_change_s * np.array(changed, dtype=float)
    for end in thread_use_of(plan, machine).bobbin_ends:
        seconds[end.path - 1] += machine.bobbin_change_s
    if not plan.of_hand:
        bands = np.array([1, *(path.band for path in plan.paths)])
        advances = np.diff(np.minimum(bands, max(len(plan.windows), 1)))
        advances[-1] += max(len(plan.windows) - int(bands.max()), 0)
        seconds += machine.advance_s * advances
    return seconds
