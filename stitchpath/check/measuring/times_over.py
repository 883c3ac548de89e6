"""How often the needle has been along each bit of travel by then: thread that builds up costs more.

The times are counted along the lines, whatever points a path has there. Where several lines lie within
`COVERED_MM` of each other, what passes beside one of them may have passed along another: then it is a range.
"""

import numpy as np
from numpy.typing import NDArray

from stitchpath.check.measuring.intervals import Ints
from stitchpath.check.measuring.match import STRETCH_MM, Cells, Matches, spread
from stitchpath.check.measuring.segments import NEVER, Stretches

__all__ = ["times_range"]


def times_range(
    stretches: Stretches, matches: Matches, cells: Cells, passes: Ints, asked: Ints
) -> tuple[Ints, Ints]:
    """Return how often lines are sewn over by the time of some segments, theirs included.

    Parameters
    ----------
    stretches, matches, cells
        The stitching, and on which lines it lies.
    passes
        The segments that count, ascending.
    asked
        (N,) those of them that are asked after.

    Returns
    -------
    tuple
        (N,) at least, and at most.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line, Move, Span, StitchPath
    >>> path = StitchPath([(0, 0), (9, 0), (0, 0), (4, 0)], (Span(Move.SEW, 0, 1), Span(Move.TRAVEL, 1, 3)))
    >>> seen = look_at([path], Asked(Drawing(lines=(Line([(0, 0), (9, 0)]),))))
    >>> beside = seen.stretches, seen.matches, seen.cells
    >>> [times.tolist() for times in times_range(*beside, np.arange(3), np.array([1, 2]))]
    [[2, 3], [2, 3]]
    >>> [times.tolist() for times in times_range(*beside, np.arange(0), np.arange(0))]
    [[], []]
    """
    at_least = np.zeros(len(stretches.of), dtype=np.int64)
    at_least[passes] = _numbered(stretches.of[passes])
    at_most = at_least.copy()
    segment, cell = _beside(stretches, matches, cells, passes)
    times = _numbered(cell)
    np.maximum.at(at_most, segment, times)
    alone = _on_one_line(stretches, matches)[stretches.of[segment]] & (
        np.diff(cells.bounds)[cell] > STRETCH_MM
    )
    fewest = np.full(len(at_least), NEVER)
    np.minimum.at(fewest, segment[alone], times[alone])
    at_least = np.where(fewest < NEVER, fewest, at_least)
    return at_least[asked], at_most[asked]


def _beside(stretches: Stretches, matches: Matches, cells: Cells, passes: Ints) -> tuple[Ints, Ints]:
    """Return segments by time, and the cells along which each goes, every one of them once."""
    bounds = cells.bounds
    rows = np.flatnonzero(matches.follows)
    owner, cell = spread(*(np.searchsorted(bounds, end[rows]) for end in matches.beside))
    count = len(bounds) + 1
    stretch, cell = np.divmod(np.unique(matches.stretch[rows][owner] * count + cell), count)
    of = stretches.of[passes]
    which, pair = spread(np.searchsorted(stretch, of), np.searchsorted(stretch, of, side="right"))
    return passes[which], cell[pair]


def _numbered(kind: Ints) -> Ints:
    """Return for each of some things in order the how-manieth of its kind it is, from 1."""
    order = np.argsort(kind, kind="stable")
    number = np.empty(len(kind), dtype=np.int64)
    number[order] = np.arange(len(kind)) - np.searchsorted(kind[order], kind[order]) + 1
    return number


def _on_one_line(stretches: Stretches, matches: Matches) -> NDArray[np.bool_]:
    """Tell of each stretch whether it follows one line only."""
    count = int(matches.line.max(initial=0)) + 1
    followed = np.unique(matches.stretch[matches.follows] * count + matches.line[matches.follows])
    one: NDArray[np.bool_] = np.bincount(followed // count, minlength=len(stretches.times)) == 1
    return one
