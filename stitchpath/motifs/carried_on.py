"""Lines that carry on over the whole top are judged whole: a short piece of a long line is sewn.

A fill counted from the top is drawn place by place. Where one of its lines cuts off the corner of a block,
the piece there may be shorter than the least that is sewn, and left out it breaks the line: the needle goes
around by the seams, a jog of some millimetres. So its short pieces wait until all places are drawn.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stitchpath.lines import LEAST_STITCH_MM, Line, Role
from stitchpath.motifs.place import Drawn
from stitchpath.motifs.short import ROUNDING_MM

__all__ = ["carried_on", "whole_lengths_mm"]


def carried_on(drawn: Sequence[Drawn]) -> tuple[Drawn, ...]:
    """Settle which short pieces are sewn: those that are part of a line long enough, over all places.

    What is shorter than any stitch is left out all the same; the line goes on beyond it.

    Parameters
    ----------
    drawn
        What the motifs of all places handed back.

    Returns
    -------
    tuple of Drawn
        As many, without short pieces: each is a line, or a note.

    Examples
    --------
    >>> from stitchpath.motifs import Fill, Place
    >>> boxes = (0, 0, 100, 100), (100, 0, 200, 100)
    >>> places = [Place("row 1", box, box, top_middle_mm=(97, 0)) for box in boxes]
    >>> drawn = [Fill(spacing=500, angle=45, counted_from="top").lines(place) for place in places]
    >>> [len(one.lines) for one in drawn], [len(one.lines) for one in carried_on(drawn)]
    ([0, 1], [1, 1])
    >>> carried_on([])
    ()
    """
    if not any(one.short for one in drawn):
        return tuple(drawn)
    short = [piece for one in drawn for piece in one.short]
    straight = [
        line for one in drawn for line in one.lines if line.role is Role.FILL and len(line.points_mm) == 2
    ]
    whole = whole_lengths_mm([*(piece.line for piece in short), *straight])[: len(short)]
    kept = {
        id(piece)
        for piece, mm in zip(short, whole.tolist(), strict=True)
        if mm >= piece.least_mm - ROUNDING_MM and piece.line.length_mm >= LEAST_STITCH_MM
    }
    return tuple(
        replace(
            one,
            lines=one.lines + tuple(piece.line for piece in one.short if id(piece) in kept),
            notes=one.notes + tuple(piece.note for piece in one.short if id(piece) not in kept),
            short=(),
        )
        for one in drawn
    )


def whole_lengths_mm(lines: Sequence[Line]) -> NDArray[np.float64]:
    """Return for each of some straight lines how long it is with all that goes straight on in its thread.

    Examples
    --------
    >>> whole_lengths_mm([Line([(0, 0), (3, 0)]), Line([(9, 0), (3, 0)]), Line([(9, 0), (9, 2)])])
    array([9., 9., 2.])
    >>> whole_lengths_mm([])
    array([], dtype=float64)
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components
    from scipy.spatial import KDTree

    if not lines:
        return np.empty(0)
    ends = np.array([line.points_mm for line in lines])
    length = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    names = list(dict.fromkeys(line.thread for line in lines))
    thread = np.array([names.index(line.thread) for line in lines])
    outwards = np.concatenate([ends[:, 0] - ends[:, 1], ends[:, 1] - ends[:, 0]])
    places = np.concatenate([ends[:, 0], ends[:, 1]])
    one, other = KDTree(places).query_pairs(ROUNDING_MM, output_type="ndarray").T
    (ax, ay), (bx, by) = outwards[one].T, outwards[other].T
    a, b = one % len(lines), other % len(lines)
    beside = np.abs(ax * by - ay * bx) / np.maximum(length[a], length[b])
    on = (beside <= 2 * ROUNDING_MM) & (ax * bx + ay * by < 0) & (thread[a] == thread[b])
    joined = coo_array((np.ones(int(on.sum())), (a[on], b[on])), shape=(len(lines),) * 2)
    count, part = connected_components(joined, directed=False)
    whole: NDArray[np.float64] = np.bincount(part, weights=length, minlength=count)[part]
    return whole
