"""A plan is data: paths in sewing order, in stages, in bands.

A path that runs on from one stage into the next is one path. Its spans say which stage each belongs to, and
so do the rows of the CSV; a path is listed under the stage in which it begins.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property
from itertools import groupby
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.errors import all_of
from stitchpath.geometry.lengths import along
from stitchpath.lines import Line, as_points
from stitchpath.settings import BattingSettings, CostSettings, Effort, MachineSettings, ScheduleSettings

__all__ = [
    "Band",
    "Laps",
    "Move",
    "OrderException",
    "Plan",
    "RoutedJob",
    "Span",
    "StagePaths",
    "StitchPath",
    "gap_of",
]


def gap_of(cost: float, bound: float) -> float:
    """Return (cost - bound) / bound; 0 where they are equal.

    Examples
    --------
    >>> gap_of(11.0, 10.0), gap_of(0.0, 0.0), gap_of(1.0, 0.0)
    (0.1, 0.0, inf)
    """
    if cost == bound:
        return 0.0
    return (cost - bound) / bound if bound > 0 else float("inf")


class Move(StrEnum):
    """How the needle goes along a span.

    `SEW` an edge for the first time, or `TRAVEL` over a sewn line or hidden seam; `STEP` straight over open
    cloth, from one ring of an echo or of nested ovals to the next; `RESUME` a little over the end of a line
    that an earlier band left, to take it up again; `SECURE` small stitches at a path's end, along it and
    back, which are neither sewing nor travel.
    """

    SEW = "sew"
    TRAVEL = "travel"
    STEP = "step"
    RESUME = "resume"
    SECURE = "secure"


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a path with one move, on one line, in one stage.

    Attributes
    ----------
    move
        Sew, travel, step, resume or secure.
    first, last
        Point indices, inclusive; neighbouring spans share their border point.
    line
        The id of the line it lies on (1 for the drawing's first); None on a hidden seam and over open cloth.
        For small stitches that secure an end: the one that the path has there.
    stage
        The stage it belongs to: a path that runs on from one stage into the next has spans of both.
    """

    move: Move
    first: int
    last: int
    line: int | None = None
    stage: str = ""


@dataclass(frozen=True, eq=False)
class StitchPath:
    """One continuous line of stitching, from tie-off to tie-off.

    Attributes
    ----------
    coordinates_mm
        (N, 2) read-only.
    spans
        From the first point to the last without a gap.
    thread
        The thread's name.
    band
        Counted from 1.
    """

    coordinates_mm: NDArray[np.float64]
    spans: tuple[Span, ...]
    thread: str = ""
    band: int = 1

    def __post_init__(self) -> None:
        object.__setattr__(self, "coordinates_mm", as_points(self.coordinates_mm))
        object.__setattr__(self, "spans", all_of("spans", self.spans, Span, "Span", "give Spans"))

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, StitchPath)
            and (self.spans, self.thread, self.band) == (other.spans, other.thread, other.band)
            and np.array_equal(self.coordinates_mm, other.coordinates_mm)
        )

    def __hash__(self) -> int:
        return hash((self.spans, self.thread, self.band, self.coordinates_mm.tobytes()))

    def __reduce__(self) -> tuple[type["StitchPath"], tuple[object, ...]]:
        """Be made anew in another process, where a bare array would come out writable."""
        return StitchPath, (self.coordinates_mm, self.spans, self.thread, self.band)

    @property
    def stage(self) -> str:
        """The stage in which it begins."""
        return self.spans[0].stage

    @cached_property
    def along_mm(self) -> NDArray[np.float64]:
        """(N,) how far along the path each point is, small stitches counted."""
        far = along(self.coordinates_mm)
        far.setflags(write=False)
        return far

    @cached_property
    def spans_mm(self) -> NDArray[np.float64]:
        """The length of each of its spans in millimetres."""
        ends = np.array([(span.first, span.last) for span in self.spans], dtype=np.intp).reshape(-1, 2)
        mm: NDArray[np.float64] = self.along_mm[ends[:, 1]] - self.along_mm[ends[:, 0]]
        mm.setflags(write=False)
        return mm

    def span_mm(self, span: Span) -> float:
        """Return the length of one of its spans in millimetres."""
        return float(self.along_mm[span.last] - self.along_mm[span.first])

    @property
    def length_mm(self) -> float:
        """Needle-down length: sewing, travel, and what takes up again the ends of an earlier band.

        The small stitches that secure its ends are left out.
        """
        return float(self.along_mm[-1]) - self.secure_mm

    @property
    def sewn_mm(self) -> float:
        """The part of the length that is sewn for the first time."""
        return self._moved_mm(Move.SEW)

    @property
    def travel_mm(self) -> float:
        """The part of the length that is travel, steps over open cloth included."""
        return self._moved_mm(Move.TRAVEL) + self.step_mm

    @property
    def step_mm(self) -> float:
        """The part of the travel that goes over open cloth, from one ring to the next."""
        return self._moved_mm(Move.STEP)

    @property
    def resume_mm(self) -> float:
        """The part of the length that lies over ends of an earlier band, to take lines up again."""
        return self._moved_mm(Move.RESUME)

    @property
    def secure_mm(self) -> float:
        """Length of the small stitches that secure its ends, there and back; zero where it holds none."""
        return self._moved_mm(Move.SECURE)

    def _moved_mm(self, move: Move) -> float:
        lengths = zip(self.spans, self.spans_mm.tolist(), strict=True)
        return sum((mm for span, mm in lengths if span.move is move), 0.0)

    @property
    def closed(self) -> bool:
        """Whether it ends where it begins."""
        return bool((self.coordinates_mm[0] == self.coordinates_mm[-1]).all())


@dataclass(frozen=True, slots=True)
class RoutedJob:
    """What routing one job came to; costs in seconds, whole multiples of `unit_s`.

    Attributes
    ----------
    band, stage
        Which job.
    cost
        What its paths cost; an end that the run-on saved is taken off.
    bound
        Proven: no way to sew this job, given what earlier jobs sewed and where they ended, costs less.
    forced
        The part of the cost that its worlds force: two path ends each, at the cheapest.
    paths
        How many paths begin in it.
    run_on
        Whether its first path runs on from the job before.
    unit_s
        The unit to which costs were rounded.
    thread, group
        Of what thread its lines are, and which blocks it finishes; empty where that is not told apart.
    crossings
        How often its paths leave a block for the one beside it: the fewest over all sides of seams.
    """

    band: int
    stage: str
    cost: float
    bound: float
    forced: float
    paths: int
    run_on: bool
    unit_s: float
    thread: str = ""
    group: str = ""
    crossings: int = 0

    @property
    def optimal(self) -> bool:
        """Whether cost and bound meet: equality of whole units, no tolerance."""
        return self.cost == self.bound

    @property
    def gap(self) -> float:
        """(cost - bound) / bound; 0 where both are 0."""
        return gap_of(self.cost, self.bound)


@dataclass(frozen=True, slots=True)
class StagePaths:
    """The paths that begin in one stage of a band."""

    stage: str
    paths: tuple[StitchPath, ...]

    def __iter__(self) -> Iterator[StitchPath]:
        return iter(self.paths)


@dataclass(frozen=True, slots=True)
class Band:
    """What the frame can reach before the quilt is advanced."""

    number: int
    stages: tuple[StagePaths, ...]

    def __iter__(self) -> Iterator[StagePaths]:
        return iter(self.stages)


@dataclass(frozen=True)
class Laps:
    """How the closed outlines were sewn: how many there are that another line touches, how many in a lap."""

    touched: int = 0
    in_one_lap: int = 0


@dataclass(frozen=True, slots=True)
class OrderException:
    """An outline, or an echo, that is finished only after too much of what should come after it.

    Attributes
    ----------
    line
        The id of the outline or echo (1 for the drawing's first).
    block, motif
        Where it is, and who asked for it.
    early
        What came too early: ``"fill"`` that stops at it (for an inside outline all fill of its block), or
        ``"echoes"`` around it.
    share
        How much of that was sewn before it was finished, as a share of the length: over 0, and at most 1.
    path
        The number of the path that finishes it.
    """

    line: int
    block: str
    motif: str
    early: Literal["fill", "echoes"]
    share: float
    path: int


@dataclass(frozen=True)
class Plan:
    """A drawing and the paths that sew it, in order.

    Attributes
    ----------
    drawing
        What is sewn.
    paths
        In sewing order, all bands and stages.
    jobs
        What each job's routing came to.
    bound
        Proven for this division into jobs, in seconds.
    cost_settings, machine, schedule, batting, effort, seed
        What it was made with.
    windows
        What each band reaches, from its top to its bottom in millimetres down the frame; none where one
        band does for all that is sewn.
    order_exceptions
        Outlines and echoes that could not be finished before what should come after them.
    by_hand
        The part that the frame leaves to the hand, as a plan over the same drawing; None where there is none.
    of_hand
        Whether it is such a part: it sews only what is left to the hand, and its paths are H1, H2 and so on.
    """

    drawing: Drawing
    paths: tuple[StitchPath, ...]
    jobs: tuple[RoutedJob, ...]
    bound: float
    cost_settings: CostSettings = field(default_factory=CostSettings)
    machine: MachineSettings = field(default_factory=MachineSettings)
    schedule: ScheduleSettings = field(default_factory=ScheduleSettings)
    effort: Effort = "standard"
    seed: int = 0
    laps: Laps = field(default_factory=Laps)
    notes: tuple[str, ...] = ()
    windows: tuple[tuple[float, float], ...] = ()
    batting: BattingSettings = field(default_factory=BattingSettings)
    order_exceptions: tuple[OrderException, ...] = ()
    by_hand: "Plan | None" = None
    of_hand: bool = False

    def path_name(self, number: int) -> str:
        """Return what a path, counted from 1, is called for people.

        Examples
        --------
        >>> [Plan(Drawing(()), (), (), 0.0, of_hand=of_hand).path_name(3) for of_hand in (False, True)]
        ['3', 'H3']
        """
        return f"H{number}" if self.of_hand else str(number)

    def sews(self, line: Line) -> bool:
        """Tell whether a line is to be sewn by its paths, and is not left to the hand, or to the frame."""
        if self.of_hand:
            return self.schedule.names_for_hand(line)
        return not self.schedule.leaves_to_hand(line, self.machine)

    def titled(self, name: str) -> str:
        """Return what stands over a page that tells of this plan, from what the quilt is called."""
        return f"{name}, by hand" if self.of_hand else name

    @property
    def cost(self) -> float:
        """The jobs' costs together, in seconds."""
        return sum((job.cost for job in self.jobs), 0.0)

    @property
    def optimal(self) -> bool:
        """Whether cost and bound meet: then no plan with this division into jobs is cheaper."""
        return self.cost == self.bound

    @property
    def gap(self) -> float:
        """(cost - bound) / bound; 0 where both are 0."""
        return gap_of(self.cost, self.bound)

    @property
    def path_groups(self) -> tuple[str, ...]:
        """For each path the group of the job that it begins in; empty where the jobs do not tell."""
        groups = tuple(job.group for job in self.jobs for _ in range(job.paths))
        return groups if len(groups) == len(self.paths) else ("",) * len(self.paths)

    @property
    def bands(self) -> tuple[Band, ...]:
        """The paths by band and stage."""
        return tuple(
            Band(
                number,
                tuple(StagePaths(s, tuple(p)) for s, p in groupby(list(paths), key=lambda path: path.stage)),
            )
            for number, paths in groupby(self.paths, key=lambda path: path.band)
        )

    def __iter__(self) -> Iterator[StitchPath]:
        return iter(self.paths)

    def __len__(self) -> int:
        return len(self.paths)
