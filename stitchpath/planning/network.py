"""A drawing cut at its junctions: a planar multigraph of junctions and edges, in arrays.

The planner hands these arrays straight to `stitchpath.postman.solve`. `Network.graph` and `rural_postman`
speak networkx for whoever wants it, but a graph object of 128,000 edges takes longer to build than to route
(measured 2026-11-25).
"""

from collections import Counter
from dataclasses import dataclass, field
from functools import cached_property

import networkx as nx
import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError, Finding, LimitError
from stitchpath.geometry.noding import LOOSE_MM, Noded, node, predict_crossings
from stitchpath.geometry.pieces import Tallest, in_pieces, piece_counts
from stitchpath.geometry.through import run_through
from stitchpath.limits import MOST_CROSSINGS, MOST_NETWORK_LINES, MOST_NETWORK_POINTS, MOST_PIECES
from stitchpath.lines import Line
from stitchpath.planning.open_travel import lay_steps
from stitchpath.units import format_length

__all__ = ["Network", "build_network", "who"]

_HEADING_MM = 0.5
"""How far out an edge's direction is taken: far over what noding moves, and less than a stitch. Chosen."""


@dataclass(frozen=True, eq=False)
class Network:
    """Junctions and edges of a drawing.

    Attributes
    ----------
    drawing
        What was cut.
    junctions_mm
        (n, 2).
    tails, heads
        (m,) the junctions where each edge begins and ends.
    points_mm, first
        (k, 2) and (m + 1,): edge e has the points ``points_mm[first[e]:first[e + 1]]``, tail to head.
    length_mm
        (m,).
    headings
        (2, m) radians: the direction in which each edge leaves its tail, and its head.
    edge_of, line_of
        (s,) which edge stems from which line, sorted by edge; lines count from 0, asked ones first, then
        the hidden seams and the steps.
    notes
        Ends a hair short and lines that nearly coincide.
    steps
        Where the needle may step over open cloth (`stitchpath.planning.open_travel`).
    """

    drawing: Drawing
    junctions_mm: NDArray[np.float64]
    tails: NDArray[np.intp]
    heads: NDArray[np.intp]
    points_mm: NDArray[np.float64]
    first: NDArray[np.intp]
    length_mm: NDArray[np.float64]
    headings: NDArray[np.float64]
    edge_of: NDArray[np.intp]
    line_of: NDArray[np.intp]
    notes: tuple[Finding, ...] = field(default=())
    steps: tuple[Line, ...] = ()

    def __post_init__(self) -> None:
        for value in vars(self).values():
            if isinstance(value, np.ndarray):
                value.setflags(write=False)

    @cached_property
    def lines(self) -> tuple[Line, ...]:
        """The asked lines, then the hidden seams and the steps: what `line_of` counts."""
        return self.drawing.lines + self.drawing.hidden + self.steps

    @cached_property
    def is_step(self) -> NDArray[np.bool_]:
        """(m,) which edges are steps over open cloth."""
        flags = np.zeros(len(self.tails), dtype=bool)
        flags[self.edge_of[self.line_of >= len(self.lines) - len(self.steps)]] = True
        return flags

    def middles_mm(self, edges: NDArray[np.intp]) -> NDArray[np.float64]:
        """Return (k, 2) the points half-way along some edges."""
        points, sizes = self.points_of(edges)
        shapes = shapely.linestrings(points, indices=np.repeat(np.arange(len(edges)), sizes))
        middles = shapely.line_interpolate_point(shapes, 0.5, normalized=True)
        coordinates: NDArray[np.float64] = shapely.get_coordinates(middles)
        return coordinates

    def points_of(self, edges: NDArray[np.intp]) -> tuple[NDArray[np.float64], NDArray[np.intp]]:
        """Return the points of some edges, (k, 2) one edge after another, and how many each has."""
        sizes = np.diff(self.first)[edges]
        index = np.repeat(self.first[edges] - np.concatenate(([0], np.cumsum(sizes)[:-1])), sizes)
        return self.points_mm[index + np.arange(len(index))], sizes

    def extents_mm(self, axis: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return (m,) the least and the greatest x (axis 0) or y (axis 1) of each edge."""
        if not len(self.tails):
            return np.empty(0), np.empty(0)
        values, starts = self.points_mm[:, axis], self.first[:-1]
        return np.minimum.reduceat(values, starts), np.maximum.reduceat(values, starts)

    def graph(self) -> nx.MultiGraph:
        """Return it as a networkx multigraph.

        Nodes are junction numbers with ``x_mm`` and ``y_mm``; edges are keyed by their number and have
        ``length_mm`` and ``lines``, the ids (from 1) of the asked lines they stem from.
        """
        graph = nx.MultiGraph()
        graph.add_nodes_from(
            (i, {"x_mm": x, "y_mm": y}) for i, (x, y) in enumerate(self.junctions_mm.tolist())
        )
        asked: dict[int, list[int]] = {}
        for edge, line in zip(self.edge_of.tolist(), self.line_of.tolist(), strict=True):
            if line < len(self.drawing.lines):
                asked.setdefault(edge, []).append(line + 1)
        graph.add_edges_from(
            (u, v, e, {"length_mm": length, "lines": tuple(asked.get(e, ()))})
            for e, (u, v, length) in enumerate(
                zip(self.tails.tolist(), self.heads.tolist(), self.length_mm.tolist(), strict=True)
            )
        )
        return graph


def build_network(
    drawing: Drawing, *, tallest: Tallest | None = None, open_travel_mm: float = 0.0
) -> Network:
    """Cut a drawing at its junctions.

    Parameters
    ----------
    drawing
        What to cut.
    tallest
        Cut edges that are taller than this in pieces, too.
    open_travel_mm
        How far the needle may step over open cloth from one ring to the next; 0: not at all.

    Raises
    ------
    DesignError
        If a line vanishes on the grid or has a coordinate that is not finite.
    LimitError
        If there are more lines, points, crossings or pieces than can be handled; said before cutting.

    Examples
    --------
    >>> from shapely import LineString
    >>> cross = [LineString([(0, 0), (2, 0)]), LineString([(1, -1), (1, 1)])]
    >>> build_network(Drawing.from_lines(cross)).graph().number_of_edges()
    4
    >>> len(build_network(Drawing.from_lines([])).tails)
    0
    """
    steps = lay_steps(drawing, open_travel_mm)
    lines = drawing.lines + drawing.hidden + steps
    _refuse_over("lines", len(lines), MOST_NETWORK_LINES)
    _refuse_over("points", sum(len(line.points_mm) for line in lines), MOST_NETWORK_POINTS)
    raw = _shapes(lines)
    _refuse_over("crossings", predict_crossings(raw), MOST_CROSSINGS)
    try:
        noded = run_through(node(raw), raw)
    except ValueError as error:
        raise DesignError(str(error), key="lines") from None
    if tallest is not None:
        _refuse_pieces(int(piece_counts(noded, tallest).sum()))
        noded = in_pieces(noded, tallest)
    points, index = shapely.get_coordinates(noded.edges, return_index=True)
    first = np.searchsorted(index, np.arange(len(noded.edges) + 1))
    return Network(
        drawing,
        noded.nodes_mm,
        noded.tails,
        noded.heads,
        points,
        first,
        shapely.length(noded.edges),
        _headings(noded),
        noded.edge_of,
        noded.line_of,
        _short_notes(noded, lines) + _near_notes(noded, lines),
        steps,
    )


def _refuse_over(what: str, count: int, most: int) -> None:
    if count > most:
        raise LimitError(
            f"the drawing has about {count:,} {what}, and {most:,} can be routed at once",
            "widen the spacing or plan the top in parts",
            key="lines",
        )


def _refuse_pieces(count: int) -> None:
    if count > MOST_PIECES:
        raise LimitError(
            f"so short a reach cuts the lines in {count:,} pieces, and {MOST_PIECES:,} can be routed at once",
            "write a longer reach or plan the top in parts",
            key="machine.reach",
        )


def _shapes(lines: tuple[Line, ...]) -> NDArray[np.object_]:
    if not lines:
        return np.empty(0, dtype=object)
    sizes = np.array([len(line.points_mm) for line in lines])
    shapes: NDArray[np.object_] = shapely.linestrings(
        np.concatenate([line.points_mm for line in lines]), indices=np.repeat(np.arange(len(lines)), sizes)
    )
    return shapes


def _headings(noded: Noded) -> NDArray[np.float64]:
    """Where each edge goes from its tail and from its head, seen a little way along it."""
    reach = np.minimum(_HEADING_MM, shapely.length(noded.edges) / 2)
    headings = np.empty((2, len(noded.edges)))
    for row, (ends, along) in enumerate(((noded.tails, reach), (noded.heads, -reach))):
        ahead = shapely.get_coordinates(shapely.line_interpolate_point(noded.edges, along))
        step = ahead.reshape(-1, 2) - noded.nodes_mm[ends]
        headings[row] = np.arctan2(step[:, 1], step[:, 0])
    return headings


def who(line: Line) -> str:
    """Return what a line belongs to, as a quilter knows it.

    Examples
    --------
    >>> who(Line([(0, 0), (9, 0)], motif="pear: outside outline", block="row 2, column 3"))
    'pear: outside outline (row 2, column 3)'
    >>> who(Line([]))
    'drawn'
    """
    return f"{line.motif or line.role}{f' ({line.block})' if line.block else ''}"


def _short_notes(noded: Noded, lines: tuple[Line, ...]) -> tuple[Finding, ...]:
    return tuple(
        Finding(
            "short end",
            f"a line ends {end.distance_mm:.3f} mm short of {who(lines[end.line])}; "
            f"lengthen it to meet, or keep it over {LOOSE_MM:g} mm away",
            end.end_mm,
        )
        for end in noded.short
    )


def _near_notes(noded: Noded, lines: tuple[Line, ...]) -> tuple[Finding, ...]:
    """One note for each pair of motifs, since lines that nearly coincide come in dozens."""
    own = dict(zip(noded.edge_of.tolist()[::-1], noded.line_of.tolist()[::-1], strict=True))
    counts: Counter[tuple[str, str]] = Counter()
    seen: set[tuple[int, int]] = set()
    where: dict[tuple[str, str], tuple[int, float]] = {}
    for edge, line in noded.near.tolist():
        pair = sorted((lines[own[edge]], lines[line]), key=lambda x: (x.motif, x.block))
        names = (pair[0].motif or str(pair[0].role), pair[1].motif or str(pair[1].role))
        both = min(own[edge], line), max(own[edge], line)
        counts[names] += both not in seen
        seen.add(both)
        length = float(shapely.length(noded.edges[edge]))
        if length > where.get(names, (0, 0.0))[1]:
            where[names] = (edge, length)
    return tuple(
        Finding(
            "near lines",
            f"{a} and {b} run within 0.2 mm of each other, {count} pair{'s' * (count > 1)} of lines, the "
            f"longest stretch {format_length(where[a, b][1])}; sew them as one or move one",
            tuple(
                shapely.line_interpolate_point(noded.edges[where[a, b][0]], 0.5, normalized=True).coords[0]
            ),
        )
        for (a, b), count in sorted(counts.items())
    )
