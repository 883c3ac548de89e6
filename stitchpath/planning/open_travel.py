"""Where the needle may step over open cloth: from one ring of an echo or of nested ovals to the next.

Such rings touch no other line, so each would be a path of its own; a quilter steps over rather than tie off. A
step is straight, no longer than the rings are apart where they are nearest, no longer than the limit, and meets
no other line. It is laid before the lines are cut at their junctions, since it makes junctions; from there on
it is an edge like any other, that may be travelled at a price.

Rings are told by what they are, not by who drew them: outlines and echoes of one block and thread. Two outlines
are neighbours if one lies within the other, an echo of any ring beside it with nothing between. A ring is sewn
all round anyway, so it hardly matters where a step leaves it: a few places, spread around, do.
"""

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.geometry.clear import entered
from stitchpath.geometry.lengths import linestrings
from stitchpath.lines import COVERED_MM, STEP_SLACK_MM, Line, Role
from stitchpath.sewable import DEEP_MM

__all__ = ["lay_steps"]

_PLACES = 4
"""So many steps from a ring to the next: with eight, Winter Orchard took as many paths (2026-11-30)."""
_SAMPLES = 16
"""So many points of a ring are tried, where it is not crossed there: four times what is kept, chosen."""
_LEAST_MM = 1.0
"""Rings nearer than this are as good as touching; about half a stitch, chosen."""
_CLEAR_MM = 0.5
"""A step keeps this far from all other lines: a little more than a thread is thick, chosen."""
_TRIM_MM = 0.25
"""How far from its ends a step must be clear of its own rings, too."""
_APART_MM = 3.0
"""Steps leave a ring no nearer to each other than this: about a stitch, chosen."""

_Floats = NDArray[np.float64]
_Ints = NDArray[np.intp]
_Shapes = NDArray[np.object_]


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
    (4, {10.0})
    >>> lay_steps(Drawing((ring(0), ring(10))), 9), lay_steps(Drawing(()), 12.7)
    ((), ())
    """
    lines = drawing.lines + drawing.hidden
    drawn = linestrings([line.points_mm for line in lines])
    pairs = _neighbours(drawing.lines, drawn, limit_mm)
    if not len(pairs):
        return ()
    spacing = shapely.distance(drawn[pairs[:, 0]], drawn[pairs[:, 1]])
    pair, ends = _tried(drawing.lines, drawn, pairs)
    length = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    near = (length <= np.minimum(spacing[pair] + STEP_SLACK_MM, limit_mm + COVERED_MM)) & (length >= _LEAST_MM)
    pair, ends = pair[near], ends[near]
    free = _free(drawing, drawn, pairs[pair], ends)
    chosen = _spread(pairs, pair[free], ends[free])
    return tuple(
        Line(step, Role.STEP, drawing.lines[ring].thread, "", drawing.lines[ring].block) for ring, step in chosen
    )


def _neighbours(lines: Sequence[Line], drawn: _Shapes, limit_mm: float) -> _Ints:
    """Return (k, 2) pairs of rings, the shorter one first, that are near enough and may be next to each other."""
    rings = np.array([i for i, line in enumerate(lines) if line.role in (Role.OUTLINE, Role.ECHO)], dtype=np.intp)
    if limit_mm <= 0 or len(rings) < 2:
        return np.empty((0, 2), dtype=np.intp)
    reach = limit_mm + COVERED_MM
    found = rings[shapely.STRtree(drawn[rings]).query(drawn[rings], predicate="dwithin", distance=reach)]
    kept = [pair for pair in sorted(found.T.tolist()) if pair[0] < pair[1] and _may_follow(lines, drawn, *pair)]
    pairs = np.array(kept, dtype=np.intp).reshape(-1, 2)
    swap = shapely.length(drawn[pairs[:, 0]]) > shapely.length(drawn[pairs[:, 1]])
    pairs[swap] = pairs[swap][:, ::-1]
    return pairs


def _may_follow(lines: Sequence[Line], drawn: _Shapes, a: int, b: int) -> bool:
    """Tell whether two rings belong together: two outlines only if one lies within the other."""
    one, two = lines[a], lines[b]
    if (one.block, one.thread) != (two.block, two.thread):
        return False
    if Role.ECHO in (one.role, two.role):
        return True
    if not (one.closed and two.closed):
        return False
    inner, outer = sorted((drawn[a], drawn[b]), key=lambda ring: float(ring.length))
    return bool(shapely.Polygon(outer).buffer(0).contains(inner))


def _tried(lines: Sequence[Line], drawn: _Shapes, pairs: _Ints) -> tuple[_Ints, _Floats]:
    """Return for some points of both rings of each pair the shortest way to the other: (n,) pair, (n, 2, 2)."""
    pair, ends = [np.empty(0, dtype=np.intp)], [np.empty((0, 2, 2))]
    for i, (a, b) in enumerate(pairs.tolist()):
        for one, two, back in ((a, b, False), (b, a, True)):
            points = lines[one].points_mm[: -1 if lines[one].closed else None]
            at = np.unique(np.linspace(0, len(points) - 1, min(_SAMPLES, len(points))).astype(np.intp))
            ways = shapely.get_coordinates(shapely.shortest_line(shapely.points(points[at]), drawn[two]))
            ways = ways.reshape(-1, 2, 2)
            pair.append(np.full(len(ways), i, dtype=np.intp))
            ends.append(ways[:, ::-1] if back else ways)
    return np.concatenate(pair), np.concatenate(ends)


def _free(drawing: Drawing, drawn: _Shapes, rings: _Ints, ends: _Floats) -> NDArray[np.bool_]:
    """Tell which steps meet nothing: no keep-out, no other line, and their own rings at their ends only."""
    free = np.ones(len(ends), dtype=bool)
    if not len(ends):
        return free
    steps = shapely.linestrings(ends)
    polygons = np.array([keep_out.polygon for keep_out in drawing.keep_outs], dtype=object)
    if len(polygons):
        free[entered(steps, polygons, over_mm=DEEP_MM).line] = False
    left = np.flatnonzero(free)
    step, line = shapely.STRtree(drawn).query(steps[left], predicate="dwithin", distance=_CLEAR_MM)
    step = left[step]
    free[step[(rings[step] != line[:, None]).all(axis=1)]] = False
    along = (ends[:, 1] - ends[:, 0]) / np.hypot(*(ends[:, 1] - ends[:, 0]).T)[:, None] * _TRIM_MM
    core = shapely.linestrings(np.stack((ends[:, 0] + along, ends[:, 1] - along), axis=1))
    for side in (0, 1):
        own = drawn[rings[:, side]]
        free &= shapely.distance(core, own) > _TRIM_MM / 2
        tips = shapely.distance(shapely.points(ends[:, side]), shapely.boundary(own))
        free &= ~(tips <= _CLEAR_MM)  # NaN on a closed ring, so it stays
    return free


def _spread(pairs: _Ints, pair: _Ints, ends: _Floats) -> Iterator[tuple[int, _Floats]]:
    """Yield a few steps of each pair, spread along its first ring and apart from others there."""
    taken: dict[int, list[_Floats]] = {}

    def clear(ring: int, point: _Floats) -> bool:
        return all(np.hypot(*(point - other)) >= _APART_MM for other in taken.get(ring, ()))

    for i in np.unique(pair).tolist():
        own = ends[pair == i]
        own = own[np.argsort(_order(own[:, 0]), kind="stable")]
        kept = 0
        for at in _evenly(len(own)):
            step = own[at]
            if kept < _PLACES and all(clear(int(ring), point) for ring, point in zip(pairs[i], step, strict=True)):
                kept += 1
                for ring, point in zip(pairs[i].tolist(), step, strict=True):
                    taken.setdefault(ring, []).append(point)
                yield int(pairs[i, 0]), step


def _order(points: _Floats) -> _Floats:
    """Return by which angle around their middle points come one after another."""
    x, y = (points - points.mean(axis=0)).T
    return np.arctan2(y, x)


def _evenly(count: int) -> list[int]:
    """Return all of so many places, those first that part them evenly.

    Examples
    --------
    >>> _evenly(8), _evenly(0)
    ([0, 2, 4, 6, 1, 3, 5, 7], [])
    """
    first = np.unique(np.linspace(0, count, _PLACES, endpoint=False).astype(int)).tolist() if count else []
    return first + [at for at in range(count) if at not in first]
