"""What the rules look at, how they measure it, and how they say what they find."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from stitchpath.check.measuring.intervals import Floats, Interval, Ints, Points, gaps
from stitchpath.check.measuring.match import STRETCH_MM, Cells, Matches, cut_cells, match, spread
from stitchpath.check.measuring.rails import Rails, lay_rails, named
from stitchpath.check.measuring.segments import Segments, Stretches, take_segments, take_stretches
from stitchpath.drawing import Drawing
from stitchpath.errors import Finding
from stitchpath.plan import StitchPath
from stitchpath.settings import BattingSettings, CostSettings, MachineSettings, ScheduleSettings

__all__ = [
    "NOISE_MM",
    "Asked",
    "Evidence",
    "cells_of",
    "finding",
    "left_over",
    "lies_on",
    "look_at",
    "mm",
    "path_named",
    "together",
    "told_on_rails",
    "told_on_stretches",
    "whole_matches",
    "whose",
]

NOISE_MM = 1e-4
"""Shorter gaps are arithmetic: coordinates have 13 digits before they are subtracted."""


@dataclass(frozen=True)
class Asked:
    """What is to be sewn, and how: the only truth.

    Where a frame leaves lines to the hand, `part` says whose paths are looked at: the frame's, the hand's, or
    those of both together in the order in which they are sewn.
    """

    drawing: Drawing
    cost: CostSettings = field(default_factory=CostSettings)
    machine: MachineSettings = field(default_factory=MachineSettings)
    schedule: ScheduleSettings = field(default_factory=ScheduleSettings)
    batting: BattingSettings = field(default_factory=BattingSettings)
    part: Literal["frame", "hand", "both"] = "frame"

    @cached_property
    def left(self) -> NDArray[np.bool_]:
        """For each line, the asked ones first: whether these paths leave it to somebody else."""
        if self.part == "hand":
            left = [not self.schedule.names_for_hand(line) for line in self.drawing.lines]
        elif self.part == "frame":
            left = [self.schedule.leaves_to_hand(line, self.machine) for line in self.drawing.lines]
        else:
            left = [False] * len(self.drawing.lines)
        return np.array(left + [False] * len(self.drawing.hidden), dtype=bool)

    @cached_property
    def left_free(self) -> NDArray[np.bool_]:
        """For each line: whether these paths leave it to somebody else, and may travel along it.

        Who sewed first there is seen where both are looked at together.
        """
        free = not self.schedule.hand_first if self.part == "hand" else self.schedule.travels_by_hand
        return self.left & free

    @cached_property
    def any_time(self) -> NDArray[np.bool_]:
        """For each line: whether travel along it need not wait until it is sewn, though it was asked for."""
        if self.part != "both" or not self.schedule.travel_by_hand:
            return self.left_free
        named = [self.schedule.names_for_hand(line) for line in self.drawing.lines]
        return np.array(named + [False] * len(self.drawing.hidden), dtype=bool)


@dataclass(frozen=True, eq=False)
class Evidence:
    """All that the rules look at: what was asked for, the paths, and the paths laid beside the lines."""

    asked: Asked
    paths: tuple[StitchPath, ...]
    rails: Rails
    segments: Segments
    stretches: Stretches
    matches: Matches
    cells: Cells
    names: tuple[str, ...] = ()
    """What each path is called, where it is not by its number."""

    @property
    def stages(self) -> tuple[str, ...]:
        """The schedule's stages, in order."""
        return tuple(stage.name for stage in self.asked.schedule.stages)

    @cached_property
    def band(self) -> Ints:
        """For each segment: its path's band."""
        return np.array([path.band for path in self.paths], dtype=np.int64)[self.segments.path]

    @property
    def banded(self) -> bool:
        """Whether there is more than one band."""
        return len({path.band for path in self.paths}) > 1

    @cached_property
    def wanted(self) -> NDArray[np.bool_]:
        """For each line: whether it is to be sewn by these paths."""
        return ~(self.rails.hidden | self.asked.left)

    @cached_property
    def _by_stretch(self) -> tuple[Ints, Ints]:
        order = np.argsort(self.matches.stretch, kind="stable")
        return order, self.matches.stretch[order]

    def follows(self, stretch: int) -> Ints:
        """Return the matches in which a stretch follows a line that these paths are to sew."""
        order, stretches = self._by_stretch
        first, last = np.searchsorted(stretches, [stretch, stretch + 1])
        pairs = order[first:last]
        return pairs[self.matches.follows[pairs] & self.wanted[self.matches.line[pairs]]]

    def when(self, stretch: int) -> int:
        """Return the time at which a stretch is first passed."""
        stretches = self.stretches
        moves = (stretches.first_sew, stretches.first_travel, stretches.first_step)
        return int(min(first[stretch] for first in moves))


def look_at(paths: Sequence[StitchPath], asked: Asked, *, names: Sequence[str] = ()) -> Evidence:
    """Lay unbroken paths beside a drawing's lines.

    Parameters
    ----------
    paths
        In sewing order.
    asked
        What they are to sew.
    names
        What each is called; none: by its number, with an H before it in the hand's part.

    Examples
    --------
    >>> len(look_at([], Asked(Drawing(lines=()))).segments.path)
    0
    """
    segments = take_segments(paths, stages=[stage.name for stage in asked.schedule.stages])
    rails = lay_rails(asked.drawing, cost=asked.cost, schedule=asked.schedule, left=asked.left)
    stretches = take_stretches(segments)
    matches = match(rails, stretches)
    cells = cut_cells(rails, stretches, matches)
    return Evidence(asked, tuple(paths), rails, segments, stretches, matches, cells, tuple(names))


def cells_of(seen: Evidence, pairs: Ints) -> tuple[tuple[Ints, Floats, Floats], Ints]:
    """Lay each matched pair's cells onto its stretch: pair, from, to; and the cell.

    Parameters
    ----------
    seen
        What the rules look at.
    pairs
        Rows of `seen.matches`.

    Returns
    -------
    tuple
        For each cell of each pair: the pair's row, and from where to where the cell lies on the stretches'
        axis, in millimetres; and the cell's row.

    Examples
    --------
    >>> from stitchpath import Line, Move, Span
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> seen = look_at([path], Asked(Drawing(lines=(Line([(0, 0), (9, 0)]),))))
    >>> (pair, low, high), cell = cells_of(seen, np.array([0]))
    >>> pair.tolist(), (high - low).tolist(), cell.tolist()
    ([0], [9.0], [0])
    """
    matches, cells = seen.matches, seen.cells
    low, high = matches.beside[0][pairs], matches.beside[1][pairs]
    owner, cell = spread(np.searchsorted(cells.bounds, low), np.searchsorted(cells.bounds, high))
    pair = pairs[owner]
    share = (matches.lies[1] - matches.lies[0])[pair] / (high - low)[owner]
    one = (cells.bounds[cell] - low[owner]) * share
    two = (cells.bounds[cell + 1] - low[owner]) * share
    forth = matches.same_way[pair]
    begin, end = matches.lies[0][pair], matches.lies[1][pair]
    return (pair, np.where(forth, begin + one, end - two), np.where(forth, begin + two, end - one)), cell


def lies_on(seen: Evidence, lines: NDArray[np.bool_]) -> Interval:
    """Return which parts of the stretches are near some lines, on the stretches' axis.

    Examples
    --------
    >>> from stitchpath import Line, Move, Span
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> seen = look_at([path], Asked(Drawing(lines=(Line([(0, 0), (4, 0)]),))))
    >>> [float(end[0]) for end in lies_on(seen, np.array([True]))]
    [1.0, 5.004]
    >>> [len(end) for end in lies_on(seen, np.array([False]))]
    [0, 0]
    """
    near = lines[seen.matches.line]
    low, high = seen.matches.lies
    return low[near], high[near]


def together(*intervals: Interval) -> Interval:
    """Return all of several lots of intervals.

    Examples
    --------
    >>> together((np.array([0.0]), np.array([2.0])), (np.array([5.0]), np.array([6.0])))
    (array([0., 5.]), array([2., 6.]))
    >>> together((np.array([]), np.array([])))
    (array([], dtype=float64), array([], dtype=float64))
    """
    lows, highs = zip(*intervals, strict=True)
    return np.concatenate(lows), np.concatenate(highs)


def left_over(
    seen: Evidence, lines: NDArray[np.bool_], fine: Interval, marked: NDArray[np.bool_]
) -> Interval:
    """Return which parts of stretches lie on some lines, and in nothing that is fine.

    Parameters
    ----------
    lines
        For each line: whether what lies on it is looked at.
    fine
        Intervals on the stretches' axis.
    marked
        For each stretch: whether it is looked at.

    Examples
    --------
    >>> from stitchpath import Line, Move, Span
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> seen = look_at([path], Asked(Drawing(lines=(Line([(0, 0), (9, 0)]),))))
    >>> every, fine = np.array([True]), (np.array([0.0]), np.array([4.0]))
    >>> [np.round(end, 2).tolist() for end in left_over(seen, every, fine, every)]
    [[4.0], [10.0]]
    """
    first, last = seen.stretches.extent
    elsewhere = gaps(lies_on(seen, lines), seen.stretches.extent, over_mm=NOISE_MM)
    return gaps(together(fine, elsewhere), (first[marked], last[marked]), over_mm=STRETCH_MM)


def whole_matches(seen: Evidence) -> Ints:
    """Return the matches in which the whole stretch lies along the line's piece; of a short one, all.

    Examples
    --------
    >>> from stitchpath import Line, Move, Span
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> seen = look_at([path], Asked(Drawing(lines=(Line([(0, 0), (9, 0)]), Line([(0, 0), (4, 0)])))))
    >>> seen.matches.line.tolist(), seen.matches.line[whole_matches(seen)].tolist()
    ([1, 0], [0])
    """
    matches = seen.matches
    first, last = seen.stretches.extent
    low, high = matches.lies
    ends = (low - first[matches.stretch] < STRETCH_MM) & (last[matches.stretch] - high < STRETCH_MM)
    short = (last - first)[matches.stretch] < STRETCH_MM
    return np.flatnonzero((matches.follows & ends) | short)


def told_on_rails(
    rails: Rails, open_at: Interval, kind: str, words: Callable[[str, str], str]
) -> Iterator[Finding]:
    """Tell of each interval on the rails' axis with its line's name and its length.

    Parameters
    ----------
    rails
        The lines.
    open_at
        Intervals on the rails' axis.
    kind
        Of the findings.
    words
        Takes the line's name and the interval's length, both in words, to a sentence.

    Yields
    ------
    Finding
        At each interval's middle.

    Examples
    --------
    >>> from stitchpath.lines import Line
    >>> rails = look_at([], Asked(Drawing(lines=(Line([(0, 0), (9, 0)], block="row 1, column 1"),)))).rails
    >>> open_at = np.array([2.0]), np.array([5.0])
    >>> list(told_on_rails(rails, open_at, "sew", "{} is open over {}".format))
    [Finding(kind='sew', message='row 1, column 1 is open over 3.000 mm', place_mm=(3.5, 0.0))]
    >>> list(told_on_rails(rails, (np.array([]), np.array([])), "sew", "{} is open over {}".format))
    []
    """
    low, high = open_at
    middle = (low + high) / 2
    points, _ = rails.locate(middle) if len(middle) else (np.zeros((0, 2)), None)
    for i, piece in enumerate(rails.piece(middle).tolist() if len(middle) else []):
        name = named(rails.lines[rails.line[piece]])
        yield finding(kind, words(name, mm(high[i] - low[i])), points[i])


def told_on_stretches(
    seen: Evidence, open_at: Interval, kind: str, words: str, *, when: Ints | None = None
) -> Iterator[Finding]:
    """Tell of each interval on the stretches' axis with its path and its length.

    Parameters
    ----------
    seen
        What the rules look at.
    open_at
        Intervals on the stretches' axis.
    kind
        Of the findings.
    words
        What the path does there.
    when
        For each stretch: the segment whose path is told; by default the first that passes it.

    Yields
    ------
    Finding
        At each interval's middle.

    Examples
    --------
    >>> from stitchpath.plan import Move, Span
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> seen = look_at([path], Asked(Drawing(lines=())))
    >>> open_at = np.array([2.0]), np.array([5.0])
    >>> [found.message for found in told_on_stretches(seen, open_at, "stray", "goes astray")]
    ['path 1 goes astray for 3.000 mm']
    """
    low, high = open_at
    stretch, points = seen.stretches.locate((low + high) / 2)
    for i, s in enumerate(stretch.tolist()):
        time = seen.when(s) if when is None else int(when[s])
        yield finding(kind, f"{whose(seen, time)} {words} for {mm(high[i] - low[i])}", points[i])


def whose(seen: Evidence, time: int) -> str:
    """Return which path makes a segment, in words.

    Examples
    --------
    >>> from stitchpath.plan import Move, Span
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> whose(look_at([path, path], Asked(Drawing(lines=()))), 1)
    'path 2'
    """
    return path_named(seen, int(seen.segments.path[time]))


def path_named(seen: Evidence, path: int) -> str:
    """Return what a path is called, counted from 0.

    Examples
    --------
    >>> seen = look_at([], Asked(Drawing(lines=()), part="hand"))
    >>> path_named(seen, 0)
    'path H1'
    """
    if seen.names:
        return f"path {seen.names[path]}"
    return f"path {'H' if seen.asked.part == 'hand' else ''}{path + 1}"


def finding(kind: str, said: str, point: Points) -> Finding:
    """Return a finding at a place.

    Parameters
    ----------
    kind
        A word or two by which findings are put together.
    said
        A sentence.
    point
        (2,) the place in millimetres.

    Returns
    -------
    Finding
        Told at that place.

    Examples
    --------
    >>> finding("sew", "is not sewn", np.array([4.0, 2.0]))
    Finding(kind='sew', message='is not sewn', place_mm=(4.0, 2.0))
    """
    return Finding(kind, said, (float(point[0]), float(point[1])))


def mm(length: float) -> str:
    """Return a length in words.

    Examples
    --------
    >>> mm(0), mm(12.3456)
    ('0.000 mm', '12.346 mm')
    """
    return f"{length:.3f} mm"
