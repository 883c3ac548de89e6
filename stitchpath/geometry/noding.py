"""Lines cut at their junctions by one union on a fine grid, and what each edge came from found again.

Coordinates go in raw, and noding happens once. Rounding coordinates first would move a T-junction off its
line and leave dangling ends, and so does a decimal grid, since 1/16 in and its multiples lie exactly on half
of it. On `GRID_MM`, a power of two, none dangled, and no point moves by more than 0.0007 mm. Ends that stop a
hair short of a line are mended.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.geometry.lengths import along

__all__ = ["GRID_MM", "LOOSE_MM", "NEAR_MM", "Noded", "ShortEnd", "node", "predict_crossings"]

GRID_MM = 2.0**-10
"""A power of two: on it no end was left dangling, and no point moved by over 0.0007 mm. Multiples of 1/16 in
lie on half steps of a grid of 0.001 mm, and there ends dangled."""
LOOSE_MM = 0.1
"""An end farther than this from every other line is meant to be loose."""
NEAR_MM = 0.2
"""Lines closer than this along a stretch, yet not the same, make slivers or twin edges."""
_HAIR_MM = 2 * GRID_MM
"""What is as near was meant to meet: noding can part it no farther."""
_OWN_MM = 0.75 * GRID_MM
"""A line is no farther from its own edges: half a grid along either axis."""
_DRAWN_IN_MM = 0.51 * GRID_MM
"""Noding moves a point by no more along either axis: half a grid, and a little where lines graze."""
_SLIVER_MM = 10 * GRID_MM
"""Edges shorter than this say little by what is near them: a line across is as near as one along."""
_TWIN_LEAST_MM = 2.0
"""Lines that nearly coincide are told of along more than this: about a stitch. Chosen."""
_BACK_COSINE = -0.99
"""A line turns back on itself where it turns by more than 172°. Chosen."""


@dataclass(frozen=True, slots=True)
class ShortEnd:
    """A loose end close to another line: `end_mm`, the line's index and the distance."""

    end_mm: tuple[float, float]
    line: int
    distance_mm: float


@dataclass(frozen=True)
class Noded:
    """Raw lines cut at their junctions.

    Attributes
    ----------
    edges
        (m,) shapely lines, each from junction to junction.
    nodes_mm
        (n, 2) junctions.
    tails, heads
        (m,) the junctions where each edge begins and ends.
    edge_of, line_of
        (s,) which edge stems from which raw line, sorted by edge, then line.
    near
        (k, 2) pairs (edge, raw line) that nearly coincide.
    short
        Ends that stop short of a line by more than the grid and less than `LOOSE_MM`.
    mended
        How many ends within two grids of a line were put into it.
    """

    edges: NDArray[np.object_]
    nodes_mm: NDArray[np.float64]
    tails: NDArray[np.intp]
    heads: NDArray[np.intp]
    edge_of: NDArray[np.intp]
    line_of: NDArray[np.intp]
    near: NDArray[np.intp]
    short: tuple[ShortEnd, ...] = field(default=())
    mended: int = 0


def node(lines: Sequence[Any] | NDArray[np.object_]) -> Noded:
    """Cut lines at their junctions.

    Parameters
    ----------
    lines
        Shapely lines with finite coordinates, in millimetres.

    Returns
    -------
    Noded

    Raises
    ------
    ValueError
        If a coordinate is not finite, a line vanishes on the grid, an end dangles that no line has, or an
        edge stems from no line.

    Examples
    --------
    >>> from shapely import LineString
    >>> cross = node([LineString([(0, 0), (2, 0)]), LineString([(1, -1), (1, 1)])])
    >>> len(cross.edges), len(cross.nodes_mm)
    (4, 5)
    >>> len(node([]).edges)
    0
    """
    raw = np.asarray(lines, dtype=object)
    _refuse_unsound(raw)
    noded, mended = _cut(raw), 0
    loose = _LooseEnds(noded, raw)
    cut = raw
    if loose.hair.size:
        mended, cut = len(loose.hair), _mend(raw, loose)
        noded = _cut(cut)
        loose = _LooseEnds(noded, raw)
    loose.refuse_unexplained()
    edge_of, line_of, near = _sources(noded, cut)
    _refuse_lost(noded, edge_of)
    _refuse_vanished(line_of, raw)
    return Noded(
        noded.edges, noded.nodes_mm, noded.tails, noded.heads, edge_of, line_of, near, loose.short(), mended
    )


def predict_crossings(lines: Sequence[Any] | NDArray[np.object_], *, sample: int = 500) -> int:
    """Estimate how many pairs of lines meet, without cutting them: every line's from a fixed sample of them.

    Examples
    --------
    >>> from shapely import LineString
    >>> predict_crossings([LineString([(0, 0), (2, 0)]), LineString([(1, -1), (1, 1)])])
    1
    >>> predict_crossings([])
    0
    """
    raw = np.asarray(lines, dtype=object)
    if not len(raw):
        return 0
    asked = raw[:: -(-len(raw) // sample)]
    asker, _ = shapely.STRtree(raw).query(asked, predicate="intersects")
    return round((len(asker) - len(asked)) / len(asked) * len(raw) / 2)


@dataclass(frozen=True)
class _Cut:
    edges: NDArray[np.object_]
    nodes_mm: NDArray[np.float64]
    tails: NDArray[np.intp]
    heads: NDArray[np.intp]


def _refuse_unsound(raw: NDArray[np.object_]) -> None:
    coordinates = shapely.get_coordinates(raw)
    if not np.isfinite(coordinates).all():
        _, index = shapely.get_coordinates(raw, return_index=True)
        bad = int(index[~np.isfinite(coordinates).all(axis=1)][0])
        raise ValueError(f"line {bad + 1} has a coordinate that is not finite; write numbers")
    empty = np.flatnonzero(shapely.length(raw) < GRID_MM / 2)
    if empty.size:
        raise ValueError(f"line {int(empty[0]) + 1} is shorter than {GRID_MM / 2:.4f} mm; leave it out")


def _refuse_vanished(line_of: NDArray[np.intp], raw: NDArray[np.object_]) -> None:
    seen = np.zeros(len(raw), dtype=bool)
    seen[line_of] = True
    if not seen.all():
        lost = int(np.flatnonzero(~seen)[0]) + 1
        raise ValueError(f"line {lost} vanished on the {GRID_MM:.4f} mm grid; make it longer or leave it out")


def _refuse_lost(cut: _Cut, edge_of: NDArray[np.intp]) -> None:
    lost = np.bincount(edge_of, minlength=len(cut.edges)) == 0
    if lost.any():
        x, y = cut.nodes_mm[cut.tails[lost][0]]
        raise ValueError(f"an edge from ({x:.3f}, {y:.3f}) mm stems from no line")


def _cut(raw: NDArray[np.object_]) -> _Cut:
    union = shapely.union_all(raw, grid_size=GRID_MM) if len(raw) else None
    return _numbered(shapely.get_parts(union) if len(raw) else np.empty(0, dtype=object))


def _numbered(edges: NDArray[np.object_]) -> _Cut:
    """Give the junctions in which edges begin and end their numbers."""
    xy, index = shapely.get_coordinates(edges, return_index=True)
    starts = np.flatnonzero(np.diff(index, prepend=-1))
    stops = np.append(starts[1:], len(xy)) - 1 if len(edges) else starts
    ends = np.concatenate((xy[starts], xy[stops]))
    whole = np.rint(ends / GRID_MM).astype(np.int64)
    keys, place = np.unique(whole[:, 0] * 2**31 + whole[:, 1], return_inverse=True)
    nodes = np.empty((len(keys), 2))
    nodes[place] = ends
    return _Cut(edges, nodes, place[: len(edges)].astype(np.intp), place[len(edges) :].astype(np.intp))


def _sources(
    cut: _Cut, raw: NDArray[np.object_]
) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp]]:
    """Find the lines under each edge: on it at 1/4, 1/2 and 3/4, and drawn into both ends of a sliver.

    A midpoint alone errs near tangents; nearness alone errs on edges hardly longer than the grid is wide.
    """
    middle = shapely.line_interpolate_point(cut.edges, 0.5, normalized=True)
    edge, line = shapely.STRtree(raw).query(middle, predicate="dwithin", distance=NEAR_MM)
    apart = shapely.distance(middle[edge], raw[line])
    for share in (0.25, 0.75):
        where = shapely.line_interpolate_point(cut.edges, share, normalized=True)
        there = shapely.distance(where[edge], raw[line])
        keep = there <= NEAR_MM
        edge, line, apart = edge[keep], line[keep], np.maximum(apart, there)[keep]
    order = np.lexsort((line, edge))
    edge, line, apart = edge[order], line[order], apart[order]
    length = shapely.length(cut.edges)[edge]
    least = np.full(len(cut.edges), np.inf)
    np.minimum.at(least, edge, apart)
    same = apart <= np.minimum(np.maximum(least[edge], _OWN_MM), _HAIR_MM)
    doubtful = np.flatnonzero(same & (length < _SLIVER_MM))
    same[doubtful] = _drawn_in(cut, edge[doubtful], raw[line[doubtful]])
    near = ~same & (length > _TWIN_LEAST_MM)
    return edge[same], line[same], np.stack((edge[near], line[near]), axis=1)


def _drawn_in(cut: _Cut, edge: NDArray[np.intp], line: NDArray[np.object_]) -> NDArray[np.bool_]:
    """Tell whether a line runs through the squares around both ends of an edge, so that it is drawn in."""
    ends = np.stack((cut.nodes_mm[cut.tails[edge]], cut.nodes_mm[cut.heads[edge]]))
    low, high = (np.moveaxis(ends + side, 2, 0) for side in (-_DRAWN_IN_MM, _DRAWN_IN_MM))
    squares = shapely.box(*low, *high)
    inside: NDArray[np.bool_] = shapely.intersects(squares, line).all(axis=0)
    return inside


class _LooseEnds:
    """Junctions where only one edge ends, and the lines of others that they stop short of."""

    def __init__(self, cut: _Cut, raw: NDArray[np.object_]) -> None:
        degree = np.bincount(np.concatenate((cut.tails, cut.heads)), minlength=len(cut.nodes_mm))
        self.nodes_mm = cut.nodes_mm[degree == 1]
        points = shapely.points(self.nodes_mm)
        end, line = shapely.STRtree(raw).query(points, predicate="dwithin", distance=LOOSE_MM)
        tips = shapely.boundary(raw[line])
        own = shapely.distance(points[end], tips) <= _HAIR_MM  # NaN, so False, on a closed line
        for i in np.flatnonzero(~own & (shapely.distance(points[end], raw[line]) <= _HAIR_MM)):
            own[i] = _turns_back(raw[line[i]], self.nodes_mm[end[i]])
        self.explained = np.zeros(len(points), dtype=bool)
        self.explained[end[own]] = True
        end, line = end[~own], line[~own]
        apart = shapely.distance(points[end], raw[line])
        order = np.lexsort((line, apart, end))
        first = order[np.flatnonzero(np.diff(end[order], prepend=-1))]
        self.end, self.line, self.apart = end[first], line[first], apart[first]

    @property
    def hair(self) -> NDArray[np.intp]:
        """Which of the short ends are within two grids of a line."""
        return np.flatnonzero(self.apart <= _HAIR_MM)

    def refuse_unexplained(self) -> None:
        if not self.explained.all():
            x, y = self.nodes_mm[~self.explained][0]
            raise ValueError(f"an end dangles at ({x:.3f}, {y:.3f}) mm where no line ends")

    def short(self) -> tuple[ShortEnd, ...]:
        return tuple(
            ShortEnd((float(x), float(y)), int(line), float(apart))
            for (x, y), line, apart in zip(self.nodes_mm[self.end], self.line, self.apart, strict=True)
        )


def _turns_back(line: Any, point: NDArray[np.float64]) -> bool:
    """Tell whether a line turns back on itself at a point, which then dangles though no line ends there."""
    xy = shapely.get_coordinates(shapely.remove_repeated_points(line))
    xy = np.concatenate((xy, xy[1:2])) if (xy[0] == xy[-1]).all() else xy
    steps = np.diff(xy, axis=0)
    lengths = np.hypot(*steps.T)
    back = (steps[:-1] * steps[1:]).sum(axis=1) < _BACK_COSINE * lengths[:-1] * lengths[1:]
    return bool((back & (np.hypot(*(xy[1:-1] - point).T) <= _HAIR_MM)).any())


def _mend(raw: NDArray[np.object_], loose: _LooseEnds) -> NDArray[np.object_]:
    """Put each end that is a hair short into the line it stops short of."""
    mended = raw.copy()
    for i in loose.hair:
        line, end = mended[loose.line[i]], loose.nodes_mm[loose.end[i]]
        xy = shapely.get_coordinates(line)
        far = along(xy)
        at = int(np.searchsorted(far, shapely.line_locate_point(line, shapely.Point(end)), side="right"))
        mended[loose.line[i]] = shapely.LineString(np.insert(xy, min(max(at, 1), len(xy) - 1), end, axis=0))
    return mended
