"""Tells sewing, travel and straying apart in stitching from elsewhere, as paths with spans like our own."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from stitchpath.check.measuring.follow import Bits
from stitchpath.check.measuring.intervals import Ints, Points
from stitchpath.check.measuring.match import spread
from stitchpath.check.measuring.rails import Rails
from stitchpath.lines import COVERED_MM, Line, Role
from stitchpath.plan import Move, Plan, Span, StitchPath

__all__ = ["LOST", "SEWN", "TRAVELLED", "Stitched", "stitched", "with_paths"]

SEWN, TRAVELLED, LOST = 0, 1, 2
"""What stitching is: on a line asked for, for the first time; on a line for all that; on none."""

_NO_LINE = -1
"""Where a line's number stands else: lines count from 0."""


@dataclass(frozen=True, eq=False)
class Stitched:
    """Stitching in pieces, each of one kind, in order.

    Attributes
    ----------
    start, end
        (N, 2) in millimetres.
    segment
        Of which segment each is a piece.
    kind
        `SEWN`, `TRAVELLED` or `LOST`.
    line
        The line that each is on, by its row in the rails; -1 for none.
    """

    start: Points
    end: Points
    segment: Ints
    kind: Ints
    line: Ints

    @property
    def length(self) -> NDArray[np.float64]:
        """Length of each in millimetres."""
        length: NDArray[np.float64] = np.hypot(*(self.end - self.start).T)
        return length


def stitched(
    rails: Rails, wanted: NDArray[np.bool_], bits: Bits, path_of_segment: Ints, *, over_mm: float
) -> Stitched:
    """Tell what each stretch of stitching is.

    A stretch no longer than `over_mm` between two of another kind is taken for what comes before it.

    Parameters
    ----------
    rails, wanted
        The lines, and which of them are to be sewn.
    bits
        The stitching, and the lines that it follows.
    path_of_segment
        Of which path each segment is.
    over_mm
        Shorter stretches are not told.

    Examples
    --------
    >>> from stitchpath.check.measuring.follow import follow
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath.drawing import Drawing
    >>> rails = look_at([], Asked(Drawing(lines=(Line([(0, 0), (20, 0)]),)))).rails
    >>> starts, ends = np.array([[0.0, 0.0], [20.0, 0.0]]), np.array([[20.0, 0.0], [20.0, 9.0]])
    >>> bits = follow(rails, starts, ends, within_mm=1)
    >>> stitched(rails, np.array([True]), bits, np.zeros(2, int), over_mm=1).kind.tolist() == [SEWN, LOST]
    True
    """
    # Asked lines first, the least visible ones before others: as plans of ours name the lines of their spans.
    rank = np.argsort(np.lexsort((rails.shows(), rails.hidden)), kind="stable")
    sewn_on = _least(bits, np.where(wanted, rank, len(rank)))
    lies_on = _least(bits, rank)
    bit, low, high, new = _cut(rails, bits, sewn_on)
    way = bits.end - bits.start
    kind = np.where(new, SEWN, np.where(lies_on[bit] == _NO_LINE, LOST, TRAVELLED))
    found = Stitched(
        bits.start[bit] + way[bit] * low[:, None],
        np.where((high == 1.0)[:, None], bits.end[bit], bits.start[bit] + way[bit] * high[:, None]),
        bits.segment[bit],
        kind,
        np.where(new, sewn_on[bit], lies_on[bit]),
    )
    # What is shortest goes first: else a stretch in many short pieces would go with them.
    for part in (1 / 16, 1 / 4, 1.0):
        found = _smoothed(found, path_of_segment[found.segment], over_mm * part, by_line=False)
    return _at_points(_smoothed(found, path_of_segment[found.segment], over_mm, by_line=True))


def _least(bits: Bits, rank: Ints) -> Ints:
    """Return for each bit, of the lines that it follows, the one of the least rank; -1 for none.

    A rank that is no row of a line stands for none.
    """
    count = len(rank)
    least = np.full(len(bits.segment), count, dtype=np.int64)
    np.minimum.at(least, bits.bit, rank[bits.line])
    by_rank = np.full(count + 1, _NO_LINE, dtype=np.int64)
    rows = np.flatnonzero(rank < count)
    by_rank[rank[rows]] = rows
    return by_rank[least]


def _cut(
    rails: Rails, bits: Bits, sewn_on: Ints
) -> tuple[Ints, NDArray[np.float64], NDArray[np.float64], NDArray[np.bool_]]:
    """Cut bits where stitching that was there before begins or ends.

    Returns the bit of each piece in the order of the stitching, from where to where it runs on it, 0 to 1,
    and whether it sews a line that is to be sewn for the first time.
    """
    own = np.flatnonzero(bits.line == sewn_on[bits.bit])
    owner, (low, high) = bits.bit[own], (bits.covers[0][own], bits.covers[1][own])
    bounds = np.unique(np.concatenate((low, high)))
    pair, cell = spread(np.searchsorted(bounds, low), np.searchsorted(bounds, high))
    heading = ((bits.end - bits.start)[owner] * rails.locate((low + high) / 2)[1]).sum(axis=1)
    back = (heading < 0)[pair]
    wide = (high - low)[pair]
    begins = np.where(back, high[pair] - bounds[cell + 1], bounds[cell] - low[pair]) / wide
    ends = np.where(back, high[pair] - bounds[cell], bounds[cell + 1] - low[pair]) / wide
    order = np.lexsort((begins, owner[pair]))
    first_time = np.zeros(len(cell), dtype=bool)
    first_time[np.unique(cell[order], return_index=True)[1]] = True
    bare = np.setdiff1d(np.arange(len(bits.segment)), owner[pair])
    bit = np.concatenate((owner[pair][order], bare))
    begins = np.concatenate((begins[order], np.zeros(len(bare))))
    ends = np.concatenate((ends[order], np.ones(len(bare))))
    new = np.concatenate((first_time, np.zeros(len(bare), dtype=bool)))
    order = np.lexsort((begins, bit))
    return bit[order], begins[order], ends[order], new[order]


def _smoothed(found: Stitched, path: Ints, over_mm: float, *, by_line: bool) -> Stitched:
    """Return the same with what is too short to be told taken for what comes before it in its path.

    Stretches are of one kind; `by_line`: of one line.
    """
    if not len(path):
        return found
    other = np.diff(found.kind) != 0
    if by_line:
        other |= np.diff(found.line) != 0
    fresh = np.concatenate(([True], other | (np.diff(path) != 0)))
    run = np.cumsum(fresh) - 1
    long = (np.bincount(run, found.length) > over_mm)[run]
    at = np.arange(len(path))
    before = np.maximum.accumulate(np.where(long, at, -1))
    after = np.minimum.accumulate(np.where(long, at, len(at))[::-1])[::-1]
    same = [(row >= 0) & (row < len(at)) & (path[row % len(at)] == path) for row in (before, after)]
    from_ = np.where(same[0], before, np.where(same[1], after, at))
    return replace(found, kind=found.kind[from_], line=found.line[from_])


def _at_points(found: Stitched) -> Stitched:
    """Return the same with changes of line that lie a hair beside a point of the stitching moved there."""
    if not len(found.segment):
        return found
    other = (np.diff(found.segment) != 0) | (np.diff(found.kind) != 0) | (np.diff(found.line) != 0)
    run = np.concatenate(([0], np.cumsum(other)))
    first = np.searchsorted(run, np.arange(run[-1] + 1))
    segment = np.concatenate(([-1], found.segment[first], [-1]))
    hair = np.bincount(run, found.length) <= COVERED_MM
    beside = np.where(segment[1:-1] == segment[:-2], -1, np.where(segment[1:-1] == segment[2:], 1, 0))
    from_ = first[np.arange(len(first)) + np.where(hair, beside, 0)][run]
    return replace(found, kind=found.kind[from_], line=found.line[from_])


def with_paths(plan: Plan, rails: Rails, found: Stitched, path_of_segment: Ints) -> Plan:
    """Return a plan with the stitching as its paths, of which nothing is proven.

    Stitching on no line is travel on lines that are drawn for it here, of the role that shows most and of the
    path's thread. A path's thread is that of most of what it sews; if it sews nothing, of its travel.

    Parameters
    ----------
    plan
        What is kept of it: its drawing and its settings.
    rails
        The drawing's lines.
    found
        The stitching in pieces.
    path_of_segment
        Of which path each segment of it is, in rising order.

    Returns
    -------
    Plan
        Without jobs, bound or windows; its drawing has the lines drawn here last.
    """
    rules = plan.cost_settings.rules()
    lost_role = max(Role, key=lambda role: rules[role].shows)
    lines = list(plan.drawing.lines)
    paths = []
    path = path_of_segment[found.segment]
    bounds = np.searchsorted(path, np.arange(int(path_of_segment[-1]) + 2 if len(path_of_segment) else 1))
    for first, last in zip(bounds[:-1].tolist(), bounds[1:].tolist(), strict=True):
        paths.append(_path(found, slice(first, last), rails, lines, lost_role))
    drawing = replace(plan.drawing, lines=tuple(lines))
    return replace(plan, drawing=drawing, paths=tuple(paths), jobs=(), bound=0.0, windows=())


def _path(found: Stitched, rows: slice, rails: Rails, lines: list[Line], lost_role: Role) -> StitchPath:
    """Return one path; lines that are drawn for what strays are appended."""
    start, segment, kind, line = found.start[rows], found.segment[rows], found.kind[rows], found.line[rows]
    other = np.concatenate(([True], (np.diff(kind) != 0) | (np.diff(line) != 0)))
    kept = np.flatnonzero(other | np.concatenate(([True], np.diff(segment) != 0)))
    points = np.concatenate((start[kept], found.end[rows][-1:]))
    begins = np.flatnonzero(other[kept])
    spans = []
    lost = len(lines)
    threads: dict[bool, dict[str, float]] = {True: {}, False: {}}
    for first, last in zip(begins.tolist(), [*begins[1:].tolist(), len(kept)], strict=True):
        what, on = int(kind[kept[first]]), int(line[kept[first]])
        if what == LOST:
            lines.append(Line(points[first : last + 1], lost_role))
            on = len(lines)
        else:
            on = on + 1 if on < rails.asked else 0
        spans.append(Span(Move.SEW if what == SEWN else Move.TRAVEL, first, last, on or None))
        if what != LOST and on:
            mm = float(np.hypot(*np.diff(points[first : last + 1], axis=0).T).sum())
            told = threads[what == SEWN]
            told[lines[on - 1].thread] = told.get(lines[on - 1].thread, 0.0) + mm
    told = threads[True] or threads[False]
    thread = max(told, key=lambda name: told[name]) if told else ""
    lines[lost:] = [replace(line, thread=thread) for line in lines[lost:]]
    return StitchPath(points, tuple(spans), thread)
