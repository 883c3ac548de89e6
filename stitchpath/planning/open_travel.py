"""Where the needle may step over open cloth: from one ring of an echo or of nested ovals to the next.

Such rings touch no other line, so each would be a path of its own; a quilter steps over rather than tie off.
A step is straight, no longer than the rings are apart where they are nearest, no longer than the limit, and
meets no other line but at its ends. It is laid before the lines are cut at their junctions, since it makes
junctions; from there on it is an edge like any other, that may be travelled at a price.

Rings are told by what they are, not by who drew them: outlines and echoes of one block and thread. Two
outlines are neighbours if one lies within the other; an echo is one of any ring beside it, with nothing
between.

A step begins where another one ends on the ring, or a line does, if that can be: else the ring would hold
together what hangs on it, and could not be sewn in one round.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.geometry.lengths import linestrings
from stitchpath.lines import STEP_SLACK_MM, Line, Role
from stitchpath.sewable import DEEP_MM

__all__ = ["lay_steps"]

_PLACE_FOR_MM = 400.0
"""One place to step over for so much of the shorter ring, about a frame's reach: a ring that is reached at
one place only can be sewn in one round. With four a ring Winter Orchard took no path less (2026-11-30)."""
_MOST_PLACES = 8
"""More places for one pair of rings would make the network large: chosen."""
_SAMPLES = 16
"""So many points of each ring are tried: chosen."""
_MEETS_MM = 1e-6
"""What is as near meets; lengths worked out in different ways are equal within this."""
_LEAST_MM = 1.0
"""Rings nearer than this are as good as touching; about half a stitch, chosen."""
_CLEAR_MM = 0.5
"""A step keeps this far from all other lines: a little more than a thread is thick, chosen."""
_TRIM_MM = 1.0
"""How far from its ends a step must be clear of what it meets there, too: about half a stitch, chosen."""
_APART_MM = 3.0
"""Steps that do not meet leave a ring this far apart: a little over a stitch, chosen."""

_Floats = NDArray[np.float64]
_Ints = NDArray[np.intp]
_Shapes = NDArray[np.object_]
_Pair = tuple[int, int]


def lay_steps(drawing: Drawing, limit_mm: float) -> tuple[Line, ...]:
    """Return where the needle may step from one ring to the next.

    Parameters
    ----------
    drawing
        Its outlines and echoes are the rings.
    limit_mm
        The longest step; 0: none.

    Returns
    -------
    tuple of Line
        Straight, of two points each, with the thread and block of their rings.

    Examples
    --------
    >>> ring = lambda x: Line([(x, x), (90 - x, x), (90 - x, 90 - x), (x, 90 - x), (x, x)], Role.OUTLINE)
    >>> steps = lay_steps(Drawing((ring(0), ring(10))), 12.7)
    >>> len(steps), {step.length_mm for step in steps}
    (1, {10.0})
    >>> lay_steps(Drawing((ring(0), ring(10))), 9), lay_steps(Drawing(()), 12.7)
    ((), ())
    """
    lines = drawing.lines
    rings = np.array(
        [i for i, line in enumerate(lines) if line.role in (Role.OUTLINE, Role.ECHO)], dtype=np.intp
    )
    if limit_mm <= 0 or len(rings) < 2:
        return ()
    drawn = linestrings([line.points_mm for line in (*lines, *drawing.hidden)])
    kept_out = shapely.buffer(np.array([each.polygon for each in drawing.keep_outs], dtype=object), -DEEP_MM)
    shapely.prepare(drawn)
    laid = _Laid(
        drawing,
        drawn,
        shapely.STRtree(drawn),
        shapely.boundary(drawn),
        limit_mm,
        shapely.STRtree(kept_out),
        _ends_on(lines, drawn, rings),
    )
    of_block: dict[tuple[str, str], list[_Pair]] = defaultdict(list)
    for a, b in _neighbours(lines, drawn, rings, limit_mm):
        of_block[lines[a].block, lines[a].thread].append((a, b))
    for turn in range(max(map(len, of_block.values()), default=0)):
        laid.take([pairs[turn] for pairs in of_block.values() if turn < len(pairs)])
    return tuple(Line(step, Role.STEP, lines[a].thread, "", lines[a].block) for a, step in laid.steps)


def _neighbours(lines: Sequence[Line], drawn: _Shapes, rings: _Ints, limit_mm: float) -> Iterator[_Pair]:
    """Yield pairs of rings that are near enough, may follow each other, and have no ring between them."""
    tree = shapely.STRtree(drawn[rings])
    found = tree.query(drawn[rings], predicate="dwithin", distance=limit_mm + _MEETS_MM)
    found = found[:, found[0] < found[1]]
    ways = shapely.shortest_line(*drawn[rings[found]])
    way, met = tree.query(ways, predicate="intersects")
    parted = np.bincount(way[(met != found[0, way]) & (met != found[1, way])], minlength=len(ways)) > 0
    for a, b in sorted(rings[found[:, ~parted]].T.tolist()):
        one, two = lines[a], lines[b]
        if (one.block, one.thread) == (two.block, two.thread) and _may_follow(one, two):
            yield a, b


def _may_follow(one: Line, two: Line) -> bool:
    """Tell whether two rings belong together: two outlines only if one lies within the other."""
    if Role.ECHO in (one.role, two.role):
        return True
    if not (one.closed and two.closed):
        return False
    inner, outer = sorted((one, two), key=lambda ring: ring.length_mm)
    ring = shapely.make_valid(shapely.Polygon(outer.points_mm))
    return bool(shapely.contains(ring, shapely.LineString(inner.points_mm)))


def _ends_on(lines: Sequence[Line], drawn: _Shapes, rings: _Ints) -> dict[int, list[_Floats]]:
    """Return for each ring where other lines end on it."""
    tips = np.array([line.points_mm[[0, -1]] for line in lines if not line.closed]).reshape(-1, 2)
    ring, tip = shapely.STRtree(shapely.points(tips)).query(
        drawn[rings], predicate="dwithin", distance=_MEETS_MM
    )
    ends: dict[int, list[_Floats]] = defaultdict(list)
    for i, at in zip(rings[ring].tolist(), tip.tolist(), strict=True):
        ends[i].append(tips[at])
    return ends


@dataclass(eq=False)
class _Laid:
    """The steps laid so far: each with one of its rings; and where lines and steps end on each ring."""

    drawing: Drawing
    drawn: _Shapes
    tree: shapely.STRtree
    tips: _Shapes
    limit_mm: float
    kept_out: shapely.STRtree
    ends: dict[int, list[_Floats]]
    steps: list[tuple[int, _Floats]] = field(default_factory=list)
    own: dict[int, list[_Floats]] = field(default_factory=lambda: defaultdict(list))

    def take(self, pairs: Sequence[_Pair]) -> None:
        """Lay a few steps for each of some pairs of rings, no two of one block."""
        rings, ends = self._tried(pairs)
        near, row = np.unique(rings, axis=0, return_inverse=True)
        spacing = shapely.distance(self.drawn[near[:, 0]], self.drawn[near[:, 1]])[row.reshape(-1)]
        length = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
        most = np.minimum(spacing + STEP_SLACK_MM, self.limit_mm + _MEETS_MM)
        fit = (length <= most) & (length >= _LEAST_MM)
        rings, ends = rings[fit], ends[fit]
        free = self._free(rings, ends)
        found: dict[_Pair, list[_Floats]] = defaultdict(list)
        for a, b, step in zip(*rings[free].T.tolist(), ends[free], strict=True):
            found[a, b].append(step)
        for (a, b), steps in found.items():
            for step in self._chosen((a, b), steps):
                self.steps.append((a, step))
                self.own[a].append(step[0])
                self.own[b].append(step[1])

    def _tried(self, pairs: Sequence[_Pair]) -> tuple[_Ints, _Floats]:
        """Return the shortest ways between both rings of pairs from some points: (n, 2) and (n, 2, 2).

        First from where steps end, then from where lines end, then from points all around.
        """
        rings: list[_Pair] = []
        ends = [np.empty((0, 2, 2))]
        for a, b in pairs:
            for tell in (self._where_steps_end, self._where_lines_end, self._around):
                for one, two, way in ((a, b, 1), (b, a, -1)):
                    points = np.array(tell(one)).reshape(-1, 2)
                    ways = shapely.shortest_line(shapely.points(points), self.drawn[two])
                    both = shapely.get_coordinates(ways).reshape(-1, 2, 2)
                    both[:, 0] = points
                    ends.append(both[:, ::way])
                    rings += [(a, b)] * len(both)
        return np.array(rings, dtype=np.intp).reshape(-1, 2), np.concatenate(ends)

    def _where_steps_end(self, ring: int) -> Sequence[_Floats]:
        return self.own[ring]

    def _where_lines_end(self, ring: int) -> Sequence[_Floats]:
        ends = self.ends[ring]
        return [ends[at] for at in _evenly(len(ends), _SAMPLES)]

    def _around(self, ring: int) -> _Floats:
        """Return points of a ring: its own, which flattening has not moved, or of a coarse one any."""
        points = self.drawing.lines[ring].points_mm[1:-1]
        if len(points) >= _SAMPLES:
            return points[_evenly(len(points), _SAMPLES)]
        shares = (np.array(_evenly(_SAMPLES, _SAMPLES)) + 0.5) / _SAMPLES
        along = shapely.line_interpolate_point(self.drawn[ring], shares, normalized=True)
        between: _Floats = shapely.get_coordinates(along)
        return between

    def _free(self, rings: _Ints, ends: _Floats) -> NDArray[np.bool_]:
        """Tell which steps meet nothing but lines that end where they do, and enter no keep-out."""
        free = np.ones(len(ends), dtype=bool)
        if not len(ends):
            return free
        steps, laid = shapely.linestrings(ends), linestrings([step for _, step in self.steps])
        free[self.kept_out.query(steps, predicate="intersects")[0]] = False
        found = [
            tree.query(steps[free], predicate="dwithin", distance=_CLEAR_MM)
            for tree in (self.tree, shapely.STRtree(laid))
        ]
        step = np.flatnonzero(free)[np.concatenate([one[0] for one in found])]
        other = np.concatenate([found[0][1], found[1][1] + len(self.drawn)])
        others, far = np.append(self.drawn, laid), np.append(self.tips, shapely.boundary(laid))
        length = np.hypot(*(ends[:, 1] - ends[:, 0]).T)[step, None]
        trim = (ends[step, 1] - ends[step, 0]) * np.minimum(_TRIM_MM / length, 0.25)
        core = shapely.linestrings(np.stack((ends[step, 0] + trim, ends[step, 1] - trim), axis=1))
        clear = ~shapely.dwithin(others[other], core, np.minimum(_CLEAR_MM, length[:, 0] / 8))
        tips = [shapely.points(ends[step, side]) for side in (0, 1)]
        meets = np.any([shapely.dwithin(others[other], tip, _MEETS_MM) for tip in tips], axis=0)
        ring_ends = np.min([_to_tips(tip, far[other]) for tip in tips], axis=0)
        own = (rings[step] == other[:, None]).any(axis=1)
        meets &= (own & (ring_ends > _CLEAR_MM)) | (~own & (ring_ends <= _MEETS_MM))
        free[step[~(clear & meets)]] = False
        return free

    def _chosen(self, pair: _Pair, steps: Sequence[_Floats]) -> Iterator[_Floats]:
        """Yield a few of some steps, far from each other; on a ring they meet earlier ones or keep apart."""
        around_mm = min(self.drawing.lines[ring].length_mm for ring in pair)
        places = int(np.clip(around_mm // _PLACE_FOR_MM, 1, _MOST_PLACES))
        kept: list[_Floats] = []
        for step in steps:
            far = all(np.hypot(*(step[0] - one[0])) >= around_mm / (3 * places) for one in kept)
            if far and all(_apart(end, self.own[ring]) for ring, end in zip(pair, step, strict=True)):
                kept.append(step)
                yield step
            if len(kept) == places:
                return


def _to_tips(points: _Shapes, tips: _Shapes) -> _Floats:
    """Return how far points are from the ends of lines; infinite where a line is closed."""
    far: _Floats = np.nan_to_num(shapely.distance(points, tips), nan=np.inf)
    return far


def _apart(point: _Floats, others: Sequence[_Floats]) -> bool:
    if not others:
        return True
    far = np.hypot(*(np.array(others) - point).T)
    return bool(((far == 0) | (far >= _APART_MM)).all())


def _evenly(count: int, most: int) -> list[int]:
    """Return at most so many of so many places, in an order that parts them ever more finely.

    Examples
    --------
    >>> _evenly(8, 99), _evenly(100, 3), _evenly(0, 1)
    ([0, 4, 2, 6, 1, 3, 5, 7], [0, 50, 25], [])
    """
    order: dict[int, None] = {}
    parts = 1
    while len(order) < min(count, most):
        order |= dict.fromkeys(i * count // parts for i in range(parts))
        parts *= 2
    return list(order)[:most]
