"""False junctions taken out: where a closed line begins, and where one of two coinciding lines has a point.

The union cuts lines there, but nothing meets, so the two edges are joined into one again. Otherwise bands
were parted in the middle of ovals (2026-11-30).
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.geometry.noding import GRID_MM, Noded

__all__ = ["run_through"]


def run_through(noded: Noded, lines: Sequence[Any] | NDArray[np.object_]) -> Noded:
    """Make one edge of the two that meet where nothing else does and no line ends.

    Parameters
    ----------
    noded, lines
        Lines cut at their junctions, and the lines.

    Examples
    --------
    >>> from stitchpath.geometry.noding import node
    >>> ring = shapely.LineString([(0, 0), (9, 0), (9, 9), (0, 9), (0, 0)])
    >>> lines = [ring, shapely.LineString([(9, 9), (20, 20)])]
    >>> len(node(lines).edges), len(run_through(node(lines), lines).edges)
    (3, 2)
    >>> len(run_through(node([]), []).edges)
    0
    """
    raw = np.asarray(lines, dtype=object)
    ends = np.concatenate((noded.tails, noded.heads))
    passed = np.flatnonzero(np.bincount(ends, minlength=len(noded.nodes_mm)) == 2)
    tips = shapely.STRtree(shapely.boundary(raw[~shapely.is_closed(raw)]) if len(raw) else raw)
    at, _ = tips.query(shapely.points(noded.nodes_mm[passed]), predicate="dwithin", distance=2 * GRID_MM)
    growing = _Growing(noded)
    for junction in np.delete(passed, at).tolist():
        growing.join(junction)
    return growing.noded() if growing.gone.any() else noded


class _Growing:
    """Edges that grow together, one junction after another, where they stem from the same lines."""

    def __init__(self, noded: Noded) -> None:
        self.gone = np.zeros(len(noded.edges), dtype=bool)
        self._old = noded
        self._grown: dict[int, NDArray[np.float64]] = {}
        self._ends = np.stack((noded.tails, noded.heads), axis=1)
        order = np.argsort(self._ends, axis=None, kind="stable")
        self._at = order // 2
        self._first = np.searchsorted(self._ends.ravel()[order], np.arange(len(noded.nodes_mm) + 1))
        self._sources = np.searchsorted(noded.edge_of, np.arange(len(noded.edges) + 1))

    def join(self, junction: int) -> None:
        """Make one edge of the two that end at a junction."""
        one, two = self._edges_at(junction).tolist()
        if one == two or self._lines(one) != self._lines(two):
            return
        before, after = self._points(one), self._points(two)
        before = before if self._ends[one, 1] == junction else before[::-1]
        after = after if self._ends[two, 0] == junction else after[::-1]
        begin, end = (int(self._ends[edge].sum()) - junction for edge in (one, two))
        self._grown[one] = np.concatenate((before, after[1:]))
        self._ends[one] = begin, end
        self.gone[two] = True
        there = self._edges_at(end)
        there[there == two] = one

    def _edges_at(self, junction: int) -> NDArray[np.intp]:
        return self._at[self._first[junction] : self._first[junction + 1]]

    def _lines(self, edge: int) -> list[int]:
        lines: list[int] = self._old.line_of[self._sources[edge] : self._sources[edge + 1]].tolist()
        return lines

    def _points(self, edge: int) -> NDArray[np.float64]:
        points = self._grown.get(edge)
        return shapely.get_coordinates(self._old.edges[edge]) if points is None else points

    def noded(self) -> Noded:
        """Return the edges and junctions that are left, numbered again."""
        old, kept, number = self._old, ~self.gone, np.cumsum(~self.gone) - 1
        edges = old.edges.copy()
        for edge, points in self._grown.items():
            edges[edge] = shapely.LineString(points)
        used, place = np.unique(self._ends[kept], return_inverse=True)
        tails, heads = place.reshape(-1, 2).T.astype(np.intp)
        own, near = kept[old.edge_of], old.near[kept[old.near[:, 0]]]
        return replace(
            old,
            edges=edges[kept],
            nodes_mm=old.nodes_mm[used],
            tails=tails,
            heads=heads,
            edge_of=number[old.edge_of[own]],
            line_of=old.line_of[own],
            near=np.column_stack((number[near[:, 0]], near[:, 1])),
        )
