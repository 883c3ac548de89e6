"""The trade's order in a block: outlines before the echoes around them, and both before the fill.

Quilting pushes fullness ahead of it. Fill that is sewn first pushes it into the shape that the outline is
still to flatten; so an outline is finished before the fill that stops at it, on either side of it.

What stops at a closed outline or at an echo are the strips, fill lines and drawn lines that end on it. An
echo lies around the outline of its block that is nearest to it, or around several equally near ones. For an
outline or an echo it is an exception if more than a tenth of what should come after it, by length, is sewn
before it is finished: a path must arrive by some line. For an appliqué's inside outline, at which hardly
anything stops, it is one if any fill of its block is.

Where lines coincide, that line counts which the plan's spans name.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.geometry.lengths import linestrings
from stitchpath.lines import COVERED_MM, Line, Role
from stitchpath.once import once
from stitchpath.plan import Move, OrderException, Plan

__all__ = ["FILL_ROLES", "Follow", "is_inside_outline", "order_exceptions", "what_follows"]

FILL_ROLES = frozenset({Role.STRIP, Role.FILL, Role.DRAWN})
"""What stops at outlines and at echoes, and comes after them."""

_MOST_EARLY = 0.1
"""So much may be sewn before an outline is finished, as a share: a path arrives by a line. Chosen."""

_AS_NEAR_MM = 0.1
"""An echo around several outlines is as far from each; cloth is good to a millimetre."""


@dataclass(frozen=True, eq=False)
class Follow:
    """What should come after an outline or an echo.

    Attributes
    ----------
    line
        The index of the outline or echo in its drawing.
    what
        ``"fill"`` or ``"echoes"``.
    after
        The indices of the lines that should come after it, ascending.
    most_early
        The greatest share of them, by length, that is no exception.
    """

    line: int
    what: Literal["fill", "echoes"]
    after: NDArray[np.intp]
    most_early: float


def is_inside_outline(line: Line) -> bool:
    """Tell whether a line is the outline inside an appliqué's edge.

    Examples
    --------
    >>> ring = [(0, 0), (9, 0), (9, 9), (0, 0)]
    >>> is_inside_outline(Line(ring, Role.OUTLINE, motif="pear: inside outline"))
    True
    >>> is_inside_outline(Line(ring, Role.OUTLINE, motif="pear: outside outline"))
    False
    """
    return line.role is Role.OUTLINE and line.motif.endswith(": inside outline")


def what_follows(drawing: Drawing) -> tuple[Follow, ...]:
    """Return what should come after each outline and each echo of a drawing, in the order of its lines.

    Examples
    --------
    >>> ring = Line([(0, 0), (9, 0), (9, 9), (0, 0)], Role.OUTLINE)
    >>> fill, far = Line([(9, 0), (20, 0)], Role.FILL), Line([(10, 5), (20, 5)], Role.FILL)
    >>> [(follow.line, follow.after.tolist()) for follow in what_follows(Drawing((ring, fill, far)))]
    [(0, [1])]
    >>> what_follows(Drawing(()))
    ()
    """
    lines = drawing.lines
    first = [i for i, line in enumerate(lines) if line.role is Role.ECHO or _is_outline(line)]
    if not first:
        return ()
    fill = [i for i, line in enumerate(lines) if line.role in FILL_ROLES]
    found = [
        *(Follow(i, "fill", after, _MOST_EARLY) for i, after in _stops(lines, first, fill)),
        *(Follow(i, "echoes", after, _MOST_EARLY) for i, after in _echoes(lines, first)),
    ]
    inside = [i for i in first if lines[i].block and is_inside_outline(lines[i])]
    found = [one for one in found if one.line not in set(inside) or one.what == "echoes"]
    found += [Follow(i, "fill", after, 0.0) for i, after in _fill_of_blocks(lines, inside, fill)]
    return tuple(sorted(found, key=lambda one: (one.line, one.what)))


def _is_outline(line: Line) -> bool:
    return line.role is Role.OUTLINE and line.closed


_Pairs = Iterator[tuple[int, NDArray[np.intp]]]


def _stops(lines: Sequence[Line], first: Sequence[int], fill: Sequence[int]) -> _Pairs:
    """Yield each outline or echo that lines of fill end on, and those lines."""
    if not fill:
        return
    drawn = linestrings([lines[i].points_mm for i in first])
    ends = np.concatenate([lines[i].points_mm[[0, -1]] for i in fill])
    end, ring = shapely.STRtree(drawn).query(shapely.points(ends), predicate="dwithin", distance=COVERED_MM)
    yield from _by_first(np.array(first, dtype=np.intp)[ring], np.array(fill, dtype=np.intp)[end // 2])


def _by_first(one: NDArray[np.intp], other: NDArray[np.intp]) -> _Pairs:
    pairs = np.unique(np.column_stack((one, other)), axis=0)
    firsts, starts = np.unique(pairs[:, 0], return_index=True)
    yield from zip(firsts.tolist(), np.split(pairs[:, 1], starts[1:]), strict=True) if len(pairs) else ()


def _echoes(lines: Sequence[Line], first: Sequence[int]) -> _Pairs:
    """Yield each outline that echoes lie around, and the echoes."""
    blocks: dict[str, tuple[list[int], list[int]]] = {}
    for i in first:
        blocks.setdefault(lines[i].block, ([], []))[lines[i].role is Role.ECHO].append(i)
    for outlines, echoes in blocks.values():
        if not (outlines and echoes):
            continue
        tree = shapely.STRtree(linestrings([lines[i].points_mm for i in outlines]))
        drawn = linestrings([lines[i].points_mm for i in echoes])
        (row, _), away = tree.query_nearest(drawn, all_matches=False, return_distance=True)
        echo, outline = tree.query(drawn[row], predicate="dwithin", distance=away + _AS_NEAR_MM)
        yield from _by_first(np.array(outlines)[outline], np.array(echoes)[row[echo]])


def _fill_of_blocks(lines: Sequence[Line], inside: Sequence[int], fill: Iterable[int]) -> _Pairs:
    of_block: dict[str, list[int]] = {lines[i].block: [] for i in inside}
    for i in fill:
        if lines[i].block in of_block:
            of_block[lines[i].block].append(i)
    for i in inside:
        if of_block[lines[i].block]:
            yield i, np.array(of_block[lines[i].block], dtype=np.intp)


@once
def order_exceptions(plan: Plan) -> tuple[OrderException, ...]:
    """Return the outlines and echoes that are finished too late, in the order of the drawing's lines.

    Parameters
    ----------
    plan
        Its paths are looked at, and not what it states itself. What it does not sew is left out: what is
        left to the hand has an order of its own.

    Examples
    --------
    >>> from stitchpath.plan import Span, StitchPath
    >>> ring = Line([(0, 0), (9, 0), (9, 9), (0, 0)], Role.OUTLINE, motif="oval")
    >>> drawing = Drawing((ring, Line([(9, 0), (20, 0)], Role.FILL)))
    >>> fill_first = StitchPath([(20, 0), (9, 0)], (Span(Move.SEW, 0, 1, 2),))
    >>> then_round = StitchPath(ring.points_mm, (Span(Move.SEW, 0, 3, 1),))
    >>> order_exceptions(Plan(drawing, (fill_first, then_round), (), 0.0))
    (OrderException(line=1, block='', motif='oval', early='fill', share=1.0, path=2),)
    >>> order_exceptions(Plan(drawing, (then_round, fill_first), (), 0.0))
    ()
    """
    sewn = _sewn(plan)
    lines, found = plan.drawing.lines, []
    for follow in what_follows(plan.drawing):
        finished = sewn.finished[follow.line]
        share = sewn.share_before(finished, follow.after) if finished >= 0 else 0.0
        if share > follow.most_early:
            line, path = lines[follow.line], int(sewn.path[finished]) + 1
            found.append(OrderException(follow.line + 1, line.block, line.motif, follow.what, share, path))
    return tuple(found)


@dataclass(frozen=True, eq=False)
class _Sewn:
    """Every span that sews a line for the first time; its index is its time.

    Attributes
    ----------
    path, mm
        Of each span: the index of its path, and its length.
    of_line
        For each line: the spans that sew it, ascending.
    finished
        For each line: when it is finished; -1 if it is not sewn at all.
    """

    path: NDArray[np.intp]
    mm: NDArray[np.float64]
    of_line: Sequence[NDArray[np.intp]]
    finished: NDArray[np.intp]

    def share_before(self, time: int, lines: NDArray[np.intp]) -> float:
        """Return how much of some lines, by length, is sewn before a time; 0 where they are not sewn."""
        spans = np.concatenate([self.of_line[i] for i in lines.tolist()])
        whole = float(self.mm[spans].sum())
        return float(self.mm[spans[spans < time]].sum()) / whole if whole else 0.0


def _sewn(plan: Plan) -> _Sewn:
    sewn = [
        (number, span.line - 1, mm)
        for number, path in enumerate(plan.paths)
        for span, mm in zip(path.spans, path.spans_mm.tolist(), strict=True)
        if span.move is Move.SEW and span.line is not None
    ]
    path = np.array([number for number, _, _ in sewn], dtype=np.intp)
    line = np.array([i for _, i, _ in sewn], dtype=np.intp)
    mm = np.array([length for _, _, length in sewn], dtype=np.float64)
    count = len(plan.drawing.lines)
    order = np.argsort(line, kind="stable")
    of_line = np.split(order, np.searchsorted(line[order], np.arange(1, count)))
    finished = np.full(count, -1, dtype=np.intp)
    finished[line] = np.arange(len(line))  # the last one stays
    return _Sewn(path, mm, of_line, finished)
