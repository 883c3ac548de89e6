"""Travel over lines that were sewn in another thread: how much more it costs, and where there may be none.

In which thread a line was sewn is told by the stitching itself: by the threads of the paths that sew where it
lies. A line that is left to the hand has its own thread. Over hidden seams and basting any thread may travel.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from stitchpath.check.measuring.intervals import Interval, Ints
from stitchpath.check.measuring.match import tally
from stitchpath.check.rules.evidence import (
    NOISE_MM,
    Evidence,
    cells_of,
    finding,
    mm,
    whole_matches,
    whose,
)
from stitchpath.check.rules.threads import told_threads
from stitchpath.errors import Finding
from stitchpath.lines import COLOURLESS_ROLES

__all__ = ["different_threads", "keeps_threads_clear", "over_others_range"]

_DOUBT = -1
"""Stands for the thread of a path that names none, and whose lines do not tell it."""


def different_threads(seen: Evidence) -> bool:
    """Tell whether lines are asked for in threads that do not all match.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line
    >>> lines = Line([(0, 0), (9, 0)], thread="grey"), Line([(0, 5), (9, 5)], thread="white")
    >>> [different_threads(look_at([], Asked(Drawing(lines=asked)))) for asked in ((), lines)]
    [False, True]
    """
    asked = seen.rails.lines[: seen.rails.asked]
    return len({seen.asked.schedule.matched(line.thread) for line in asked}) > 1


def over_others_range(seen: Evidence, travel: Ints) -> Interval:
    """Return how many times as much segments of travel cost for the thread of what they lie on.

    It is a range where lines of several threads lie within `COVERED_MM` of each other, or a hidden seam or
    basting lies on a line.

    Parameters
    ----------
    seen
        What the rules look at.
    travel
        (N,) segments.

    Returns
    -------
    tuple
        (N,) at least, and at most.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line, Move, Span, StitchPath
    >>> lines = Line([(0, 0), (9, 0)], thread="grey"), Line([(9, 0), (9, 9)], thread="white")
    >>> grey = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),), thread="grey")
    >>> spans = Span(Move.TRAVEL, 0, 1), Span(Move.SEW, 1, 2), Span(Move.TRAVEL, 2, 3)
    >>> white = StitchPath([(0, 0), (9, 0), (9, 9), (9, 0)], spans, thread="white")
    >>> low, high = over_others_range(look_at([grey, white], Asked(Drawing(lines=lines))), np.array([1, 3]))
    >>> low.tolist(), high.tolist()
    ([5.0, 1.0], [5.0, 1.0])
    >>> over_others_range(look_at([], Asked(Drawing(lines=()))), np.array([], int))[0].tolist()
    []
    """
    plain = np.ones(len(travel))
    if not different_threads(seen):
        return plain, plain
    below = _below(seen, travel)
    factor = seen.asked.cost.other_thread_shows
    maybe = below.others.any(axis=1) | ~(below.own | below.seam)
    sure = below.others.any(axis=1) & ~below.own & ~below.seam
    return np.where(sure, factor, 1.0), np.where(maybe, factor, 1.0)


def keeps_threads_clear(seen: Evidence) -> Iterator[Finding]:
    """No path travels over lines of a thread that is kept clear of others.

    Where a hidden seam, basting or a line of another thread lies on the line as well it says nothing.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line, Move, ScheduleSettings, Span, StitchPath
    >>> lines = Line([(0, 0), (9, 0)], thread="grey"), Line([(9, 0), (9, 9)], thread="white")
    >>> grey = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),), thread="grey")
    >>> spans = Span(Move.TRAVEL, 0, 1), Span(Move.SEW, 1, 2)
    >>> white = StitchPath([(0, 0), (9, 0), (9, 9)], spans, thread="white")
    >>> asked = Asked(Drawing(lines=lines), schedule=ScheduleSettings(kept_clear=["grey"]))
    >>> [found.message for found in keeps_threads_clear(look_at([grey, white], asked))]
    ['path 2 travels over "grey" for 9.000 mm; no other thread may, and it has "white"']
    >>> list(keeps_threads_clear(look_at([], asked)))
    []
    """
    schedule = seen.asked.schedule
    if not schedule.kept_clear or schedule.kept_clear == "none" or not different_threads(seen):
        return
    travel = np.flatnonzero(~seen.segments.sew)
    below, told = _below(seen, travel), told_threads(seen)
    clear = np.array([schedule.keeps_clear(name) for name in below.names])
    barred = below.others.any(axis=1) & ~(below.others & ~clear).any(axis=1) & ~below.own & ~below.seam
    wrong = travel[barred]
    names = [below.names[at] for at in np.argmax(below.others[barred], axis=1).tolist()]
    run = np.cumsum(np.concatenate(([0], np.diff(wrong) != 1)))[: len(wrong)]
    keys = zip(seen.segments.path[wrong].tolist(), run.tolist(), names, wrong.tolist(), strict=True)
    for (path, _, name), rows in groupby(keys, key=lambda row: row[:3]):
        segments = [row[-1] for row in rows]
        far = mm(float(seen.segments.length[segments].sum()))
        said = f'travels over "{name}" for {far}; no other thread may, and it has "{told[path]}"'
        yield finding("thread", f"{whose(seen, segments[0])} {said}", seen.segments.start[segments[0]])


@dataclass(frozen=True, eq=False)
class _Below:
    """What segments lie on.

    Attributes
    ----------
    names
        The threads.
    others
        (N, threads) in which threads that do not match the segment's own it was sewn there.
    own, seam
        (N,) whether it was sewn there in the segment's own or one that matches, or whose segment's thread
        is in doubt; and whether a hidden seam or basting lies there.
    """

    names: tuple[str, ...]
    others: NDArray[np.bool_]
    own: NDArray[np.bool_]
    seam: NDArray[np.bool_]


def _below(seen: Evidence, segments: Ints) -> _Below:
    told, matched = told_threads(seen), seen.asked.schedule.matched
    names = tuple(
        sorted({line.thread for line in seen.rails.lines[: seen.rails.asked]} | {*filter(None, told)})
    )
    of_path = np.array([_DOUBT if name is None else names.index(name) for name in told], dtype=np.int64)
    lies, seam = _sewn_in(seen, names, of_path)
    stretch, thread = seen.stretches.of[segments], of_path[seen.segments.path[segments]]
    kinds = [matched(name) for name in names]
    same = np.array([*([kind == own for kind in kinds] for own in kinds), [True] * len(kinds)])
    below, alike = lies[stretch], same.reshape(-1, len(names))[thread]
    return _Below(names, below & ~alike, (below & alike).any(axis=1), seam[stretch])


def _sewn_in(
    seen: Evidence, names: tuple[str, ...], of_path: Ints
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Return for each stretch in which threads it is sewn, (N, threads), and if it lies on what has none."""
    matches, segments, cells = seen.matches, seen.segments, seen.cells
    first, last = (np.searchsorted(cells.bounds, end) for end in matches.beside)
    whole = whole_matches(seen)
    seam = np.zeros(len(seen.stretches.times), dtype=bool)
    colourless = np.array([line.role in COLOURLESS_ROLES for line in seen.rails.lines], dtype=bool)
    seam[matches.stretch[whole[colourless[matches.line[whole]]]]] = True
    beside = whole[matches.follows[whole] & ~colourless[matches.line[whole]]]
    (pair, low, high), cell = cells_of(seen, beside)
    pair, cell = pair[high - low > NOISE_MM], cell[high - low > NOISE_MM]
    lies = np.zeros((len(seam), len(names)), dtype=bool)
    for at, name in enumerate(names):
        sews = np.zeros(len(seam), dtype=bool)
        sews[seen.stretches.of[segments.sew & (of_path[segments.path] == at)]] = True
        rows = np.flatnonzero(matches.follows & sews[matches.stretch])
        sewn = tally(first[rows], last[rows], np.ones(len(rows), np.int64), max(len(cells.bounds) - 1, 0)) > 0
        lies[matches.stretch[pair[sewn[cell]]], at] = True
        by_hand = np.array([line.thread == name for line in seen.rails.lines]) & seen.asked.left
        lies[matches.stretch[beside[by_hand[matches.line[beside]]]], at] = True
    return lies, seam
