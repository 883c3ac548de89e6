"""Which stretch of stitching lies on which line, and what each bit of a line has seen of the needle."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.check.measuring.intervals import Floats, Interval, Ints, near
from stitchpath.check.measuring.rails import Rails
from stitchpath.check.measuring.segments import NEVER, Stretches
from stitchpath.lines import COVERED_MM

__all__ = ["STRETCH_MM", "Cells", "Matches", "cut_cells", "match", "spread", "tally"]

STRETCH_MM = 0.05
"""What is shorter is no stretch of its own: two lines that cross at 10 degrees are within `COVERED_MM` of
each other for this long. Coverage and open cloth know no such allowance."""


_FOLLOWED_SHARE = 0.45
"""A stretch follows a piece at least for this share: one that passes a corner is on two pieces."""


@dataclass(frozen=True, eq=False)
class Matches:
    """Pairs of a stretch and a straight piece of line within `COVERED_MM` of each other.

    Attributes
    ----------
    stretch, piece, line
        Indices.
    covers
        What part of the line is near the stretch, on the rails' axis.
    lies
        What part of the stretch is near the line, on the stretches' axis.
    beside
        What part of the line runs beside the stretch, on the rails' axis: as `covers`, but without what is
        near the stretch's ends only.
    follows
        Whether the two run beside each other, and do not merely cross or touch.
    same_way
        Whether they run the same way.
    """

    stretch: Ints
    piece: Ints
    line: Ints
    covers: Interval
    lies: Interval
    beside: Interval
    follows: NDArray[np.bool_]
    same_way: NDArray[np.bool_]


def match(rails: Rails, stretches: Stretches) -> Matches:
    """Find the lines on which each stretch lies.

    Examples
    --------
    >>> from stitchpath.check.measuring.segments import take_segments, take_stretches
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line, Move, Span, StitchPath
    >>> rails = look_at([], Asked(Drawing(lines=(Line([(0, 0), (9, 0)]), Line([(0, 0), (0, 9)]))))).rails
    >>> path = StitchPath([(9, 0), (0, 0)], (Span(Move.SEW, 0, 1),))
    >>> found = match(rails, take_stretches(take_segments([path], stages=["detail"])))
    >>> found.line.tolist(), found.follows.tolist(), found.same_way.tolist()
    ([0, 1], [True, False], [False, False])
    """
    stretch, piece = _pairs(rails, stretches.drawn)
    p, q = stretches.start[stretch], stretches.end[stretch]
    a, b = rails.start[piece], rails.end[piece]
    beside = near(a, b, p, q, within_mm=COVERED_MM, caps=False)
    shorter = np.minimum(np.hypot(*(q - p).T), np.hypot(*(b - a).T))
    follows = beside[1] - beside[0] >= np.minimum(STRETCH_MM, _FOLLOWED_SHARE * shorter)
    return Matches(
        stretch,
        piece,
        rails.line[piece],
        _shift(near(a, b, p, q, within_mm=COVERED_MM), rails.at[piece]),
        _shift(near(p, q, a, b, within_mm=COVERED_MM), stretches.extent[0][stretch]),
        _shift(beside, rails.at[piece]),
        follows,
        ((q - p) * (b - a)).sum(axis=1) > 0,
    )


def _pairs(rails: Rails, drawn: NDArray[np.object_]) -> tuple[Ints, Ints]:
    if not len(drawn) or not len(rails.line):
        return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
    shapely.prepare(drawn)
    stretch, piece = rails.tree.query(drawn, predicate="dwithin", distance=COVERED_MM)
    return stretch, piece


def _shift(interval: Interval, by: Floats) -> Interval:
    return interval[0] + by, interval[1] + by


@dataclass(frozen=True, eq=False)
class Cells:
    """The rails cut wherever stitching beside them begins or ends.

    Attributes
    ----------
    bounds
        Where on the rails' axis they are cut, (N + 1,); cells between two lines see nothing.
    first_sew
        When each is first sewn; `NEVER` if it is not.
    times, sews
        How often each is passed, and how often that is called sewing.
    """

    bounds: Floats
    first_sew: Ints
    times: Ints
    sews: Ints


def cut_cells(rails: Rails, stretches: Stretches, matches: Matches) -> Cells:
    """Cut the rails into cells and count what each has seen.

    Parameters
    ----------
    rails
        The lines.
    stretches
        The stitching.
    matches
        Which stretch lies on which line.

    Returns
    -------
    Cells
        In order along the rails' axis.

    Examples
    --------
    >>> from stitchpath.check.measuring.segments import take_segments, take_stretches
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line, Move, Span, StitchPath
    >>> rails = look_at([], Asked(Drawing(lines=(Line([(0, 0), (9, 0)]),)))).rails
    >>> path = StitchPath([(0, 0), (5, 0)], (Span(Move.SEW, 0, 1),))
    >>> stretches = take_stretches(take_segments([path], stages=["detail"]))
    >>> cut_cells(rails, stretches, match(rails, stretches)).times.tolist()
    [1, 0]
    """
    kept = np.flatnonzero(matches.follows)
    low, high, stretch = matches.beside[0][kept], matches.beside[1][kept], matches.stretch[kept]
    bounds = np.unique(np.concatenate((low, high, *rails.extent)))
    first, last = np.searchsorted(bounds, low), np.searchsorted(bounds, high)
    count = max(len(bounds) - 1, 0)
    first_sew = np.full(count, NEVER)
    owner, cell = spread(first, last)
    np.minimum.at(first_sew, cell, stretches.first_sew[stretch][owner])
    return Cells(
        bounds,
        first_sew,
        tally(first, last, stretches.times[stretch], count),
        tally(first, last, stretches.sews[stretch], count),
    )


def spread(first: Ints, last: Ints) -> tuple[Ints, Ints]:
    """Return every cell of each half-open range of cells, and the range's index beside it.

    Examples
    --------
    >>> import numpy as np
    >>> spread(np.array([3, 7]), np.array([5, 8]))
    (array([0, 0, 1]), array([3, 4, 7]))
    >>> spread(np.array([], int), np.array([], int))
    (array([], dtype=int64), array([], dtype=int64))
    """
    length = last - first
    owner = np.repeat(np.arange(len(first)), length)
    within = np.arange(len(owner)) - np.repeat(np.cumsum(length) - length, length)
    return owner, first[owner] + within


def tally(first: Ints, last: Ints, weight: Ints, count: int) -> Ints:
    """Return for each of so many cells the weights of all half-open ranges that hold it.

    Parameters
    ----------
    first, last
        (N,) each range's first cell, and the one after its last.
    weight
        (N,) of each range.
    count
        How many cells there are.

    Returns
    -------
    ndarray
        (count,)

    Examples
    --------
    >>> import numpy as np
    >>> tally(np.array([0, 1]), np.array([2, 3]), np.array([1, 5]), 4)
    array([1, 6, 5, 0])
    >>> tally(np.array([], int), np.array([], int), np.array([], int), 0)
    array([], dtype=int64)
    """
    change = np.zeros(count + 1, dtype=np.int64)
    np.add.at(change, first, weight)
    np.subtract.at(change, last, weight)
    return np.cumsum(change)[:count]
