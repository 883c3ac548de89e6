"""Whether a plan says truly which outlines and echoes are finished too late: the trade's order in a block.

The order is that of `stitchpath.figures.outline_order`, asked here of the design and of the stitching alone:
outlines come before the echoes around them, and both before the fill. Where lines coincide, that line counts
which the plan's spans name; that they lie on it is a rule of its own.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.check.measuring.intervals import Floats, Ints
from stitchpath.check.measuring.rails import named
from stitchpath.check.rules.evidence import Evidence
from stitchpath.errors import Finding
from stitchpath.lines import COVERED_MM, Line, Role
from stitchpath.plan import OrderException, Plan

__all__ = ["exceptions_hold"]

_FILL = (Role.STRIP, Role.FILL, Role.DRAWN)

_MOST_SHARE = 0.1
"""What may be sewn before an outline is finished; before an inside one, nothing of its block's fill."""

_ROOM = 1e-3
"""Shares are of lengths rounded to 3 decimals, from point to point; nobody can tell less apart."""

_AS_NEAR_MM = 0.1
"""An echo around several outlines is as far from each; cloth is good to a millimetre."""

_Key = tuple[int, str]
"""The index of an outline or echo, and what is sewn before it: ``"fill"`` or ``"echoes"``."""


def exceptions_hold(seen: Evidence, plan: Plan) -> Iterator[Finding]:
    """Outlines and echoes that are finished too late are those that a plan states, with how much and when.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Move, Span, StitchPath
    >>> ring = Line([(0, 0), (9, 0), (9, 9), (0, 0)], Role.OUTLINE, motif="oval")
    >>> drawing = Drawing((ring, Line([(9, 0), (20, 0)], Role.FILL)))
    >>> fill_first = StitchPath([(20, 0), (9, 0)], (Span(Move.SEW, 0, 1, 2),))
    >>> then_round = StitchPath(ring.points_mm, (Span(Move.SEW, 0, 3, 1),))
    >>> plan = Plan(drawing, (fill_first, then_round), (), 0.0)
    >>> [found.message for found in exceptions_hold(look_at(plan.paths, Asked(drawing)), plan)]
    ['oval: 100.00 % of its fill comes before path 2 finishes it, and the plan does not say so']
    >>> empty = Plan(Drawing(()), (), (), 0.0)
    >>> list(exceptions_hold(look_at((), Asked(empty.drawing)), empty))
    []
    """
    stated = {(one.line - 1, str(one.early)): one for one in plan.order_exceptions}
    if len(stated) < len(plan.order_exceptions):
        yield Finding("order", "the plan states an exception from the trade's order twice")
    found = _early(seen)
    for key in sorted({*stated, *found}):
        said = _said(seen, key, stated.get(key), found)
        if said and key[0] < seen.rails.asked:
            x, y = seen.rails.lines[key[0]].points_mm[0].tolist()
            yield Finding("order", f"{named(seen.rails.lines[key[0]])}: {said}", (x, y))
        elif said:
            yield Finding(
                "order", f"the plan states an exception at line {key[0] + 1}; there is no such line"
            )


@dataclass(frozen=True, slots=True)
class _Early:
    """What is sewn before an outline or echo is finished: its share, how much may be, and by which path."""

    share: float
    most: float
    path: int

    @property
    def surely(self) -> bool:
        """Whether it is an exception beyond doubt."""
        return self.share > (self.most + _ROOM if self.most else 0.0)

    @property
    def perhaps(self) -> bool:
        """Whether it may be one."""
        return self.share > max(self.most - _ROOM, 0.0)


def _said(seen: Evidence, key: _Key, stated: OrderException | None, found: Mapping[_Key, _Early]) -> str:
    """Return what is wrong with an exception that is stated, or is not; nothing if all is well."""
    early, (index, what) = found.get(key), key
    come = f"{what} {'comes' if what == 'fill' else 'come'}"
    if stated is None:
        if early is None or not early.surely:
            return ""
        share = f"{early.share:.2%}".replace("%", " %")
        return f"{share} of its {come} before path {early.path} finishes it, and the plan does not say so"
    if early is None or not early.perhaps:
        return f"the plan says that too much of its {come} before it, and it does not"
    if abs(stated.share - early.share) > _ROOM:
        there = f"{early.share:.4f}"
        return (
            f"the plan says that {stated.share:.4f} of its {come} before it is finished; {there} of it does"
        )
    if stated.path != early.path:
        return f"the plan says that path {stated.path} finishes it; path {early.path} does"
    line = seen.rails.lines[index]
    if (stated.block, stated.motif) != (line.block, line.motif):
        return f'the plan calls it "{stated.block}: {stated.motif}"'
    return ""


def _early(seen: Evidence) -> dict[_Key, _Early]:
    """Return what is sewn before each outline and echo is finished, where that is anything at all."""
    sewn = _SewnLines(seen)
    lines = seen.asked.drawing.lines
    inside = np.array([_is_inside(line) for line in lines], dtype=bool)
    found: dict[_Key, _Early] = {}
    for what, (first, after) in (("fill", _fill_after(seen, inside)), ("echoes", _echoes_after(seen))):
        early, whole = sewn.before(after, sewn.finished[first])
        parts, wholes = (np.bincount(first, part, len(lines)) for part in (early, whole))
        for i in np.flatnonzero(parts > 0).tolist():
            most = 0.0 if what == "fill" and inside[i] else _MOST_SHARE
            path = int(seen.segments.path[sewn.finished[i]]) + 1
            found[i, what] = _Early(float(parts[i] / wholes[i]), most, path)
    return found


def _is_inside(line: Line) -> bool:
    return line.role is Role.OUTLINE and bool(line.block) and line.motif.endswith(": inside outline")


class _SewnLines:
    """How much of each line is sewn by when; a time is a segment's index."""

    def __init__(self, seen: Evidence) -> None:
        segments, count = seen.segments, len(seen.asked.drawing.lines)
        sews = np.flatnonzero(segments.sew & (segments.line >= 0) & (segments.line < count))
        sews = sews[np.argsort(segments.line[sews], kind="stable")]
        self._many = len(segments.line) + 1
        self._keys = segments.line[sews] * self._many + sews
        self._mm = np.concatenate(([0.0], np.cumsum(segments.length[sews])))
        self.finished = np.full(count, -1, dtype=np.int64)
        np.maximum.at(self.finished, segments.line[sews], sews)

    def before(self, line: Ints, time: Ints) -> tuple[Floats, Floats]:
        """Return the length of lines sewn before times (before -1 none), and of what is sewn of them."""
        first, last = (np.searchsorted(self._keys, key * self._many) for key in (line, line + 1))
        till = np.searchsorted(self._keys, line * self._many + np.maximum(time, 0))
        return self._mm[till] - self._mm[first], self._mm[last] - self._mm[first]


_Pairs = tuple[Ints, Ints]
"""Indices of outlines or echoes, and beside each a line that should come after it."""


def _fill_after(seen: Evidence, inside: NDArray[np.bool_]) -> _Pairs:
    """Return what ends on outlines and echoes, and the fill of the blocks that inside outlines are in."""
    lines, rails = seen.asked.drawing.lines, seen.rails
    stops = np.array([x.role is Role.ECHO or _is_outline(x) for x in rails.lines], dtype=bool)
    stops[: len(lines)] &= ~inside
    stops[len(lines) :] = False
    fill = np.array([i for i, line in enumerate(lines) if line.role in _FILL], dtype=np.int64)
    ends = np.array([lines[i].points_mm[[0, -1]] for i in fill]).reshape(-1, 2)
    end, piece = rails.tree.query(shapely.points(ends), predicate="dwithin", distance=COVERED_MM)
    on = stops[rails.line[piece]]
    pairs = {*zip(rails.line[piece[on]].tolist(), fill[end[on] // 2].tolist(), strict=True)}
    of_block: dict[str, list[int]] = {}
    for i in fill.tolist():
        of_block.setdefault(lines[i].block, []).append(i)
    pairs |= {(i, j) for i in np.flatnonzero(inside).tolist() for j in of_block.get(lines[i].block, ())}
    return _columns(pairs)


def _is_outline(line: Line) -> bool:
    return line.role is Role.OUTLINE and line.closed


def _echoes_after(seen: Evidence) -> _Pairs:
    """Return the echoes around each outline: it is the nearest one of their block, or as near as that."""
    lines = seen.asked.drawing.lines
    pairs: set[tuple[int, int]] = set()
    outlines, echoes = (
        [i for i, line in enumerate(lines) if of(line)] for of in (_is_outline, lambda x: x.role is Role.ECHO)
    )
    for block in sorted({lines[i].block for i in echoes}):
        own = [i for i in outlines if lines[i].block == block]
        tree = shapely.STRtree([shapely.LineString(lines[i].points_mm) for i in own])
        for echo in (i for i in echoes if own and lines[i].block == block):
            drawn = shapely.LineString(lines[echo].points_mm)
            away = drawn.distance(tree.geometries[tree.nearest(drawn)])
            near = tree.query(drawn, predicate="dwithin", distance=away + _AS_NEAR_MM)
            pairs |= {(own[i], echo) for i in near.tolist()}
    return _columns(pairs)


def _columns(pairs: set[tuple[int, int]]) -> _Pairs:
    table = np.array(sorted(pairs), dtype=np.int64).reshape(-1, 2)
    return table[:, 0], table[:, 1]
