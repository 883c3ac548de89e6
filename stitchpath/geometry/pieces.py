"""Edges too tall for a frame's reach, cut into pieces where no junction cuts them."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.geometry.lengths import along
from stitchpath.geometry.noding import GRID_MM, Noded

__all__ = ["Tallest", "in_pieces", "piece_counts"]


@dataclass(frozen=True)
class Tallest:
    """Which edges are to be cut, and in what.

    Attributes
    ----------
    axis
        0: x, 1: y.
    fits
        Tells of edges, by the least and the greatest place of each along the axis, which may stay whole.
    piece_mm
        How long the pieces of the others may be.
    """

    axis: int
    fits: Callable[[NDArray[np.float64], NDArray[np.float64]], NDArray[np.bool_]]
    piece_mm: float


def piece_counts(noded: Noded, tallest: Tallest) -> NDArray[np.intp]:
    """Return (m,) in how many pieces each edge is to be cut, before any is.

    Examples
    --------
    >>> from stitchpath.geometry.noding import node
    >>> tallest = Tallest(axis=1, fits=lambda low, high: high - low <= 5, piece_mm=3)
    >>> piece_counts(node([shapely.LineString([(0, 0), (0, 9)])]), tallest)
    array([3])
    >>> piece_counts(node([]), tallest)
    array([], dtype=int64)
    """
    bounds = shapely.bounds(noded.edges).reshape(-1, 4)
    tall = ~tallest.fits(bounds[:, tallest.axis], bounds[:, 2 + tallest.axis])
    return np.where(tall, np.ceil(shapely.length(noded.edges) / tallest.piece_mm), 1).astype(np.intp)


def in_pieces(noded: Noded, tallest: Tallest) -> Noded:
    """Cut the edges that are taller than allowed in equal pieces; all else stays as it is.

    Parameters
    ----------
    noded
        Lines cut at their junctions.
    tallest
        What is too tall.

    Examples
    --------
    >>> from stitchpath.geometry.noding import node
    >>> noded = node([shapely.LineString([(0, 0), (0, 9)]), shapely.LineString([(0, 0), (9, 0)])])
    >>> tallest = Tallest(axis=1, fits=lambda low, high: high - low <= 5, piece_mm=3)
    >>> cut = in_pieces(noded, tallest)
    >>> sorted(shapely.length(cut.edges).tolist()), len(cut.nodes_mm)
    ([3.0, 3.0, 3.0, 9.0], 5)
    >>> len(in_pieces(node([]), tallest).edges)
    0
    """
    if not len(noded.edges):
        return noded
    count = piece_counts(noded, tallest)
    old = np.repeat(np.arange(len(count)), count)
    first = np.cumsum(count) - count
    edges, nodes = noded.edges[old], [noded.nodes_mm]
    tails, heads, size = noded.tails[old], noded.heads[old], len(noded.nodes_mm)
    for edge in np.flatnonzero(count > 1).tolist():
        pieces = _pieces(noded.edges[edge], int(count[edge]))
        new = slice(first[edge], first[edge] + count[edge])
        edges[new] = pieces
        inner = np.arange(size, size + count[edge] - 1)
        tails[new][1:], heads[new][:-1] = inner, inner
        nodes.append(np.array([piece.coords[0] for piece in pieces[1:]]))
        size += len(inner)
    place = np.repeat(np.arange(len(noded.edge_of)), count[noded.edge_of])
    again = np.concatenate([np.arange(n) for n in count[noded.edge_of].tolist()])
    edge_of, line_of = first[noded.edge_of][place] + again, noded.line_of[place]
    order = np.lexsort((line_of, edge_of))
    return replace(
        noded,
        edges=edges,
        nodes_mm=np.concatenate(nodes),
        tails=tails,
        heads=heads,
        edge_of=edge_of[order],
        line_of=line_of[order],
        near=np.column_stack([first[noded.near[:, 0]], noded.near[:, 1]]),
    )


def _pieces(edge: shapely.LineString, count: int) -> list[shapely.LineString]:
    """Cut a line in equal pieces that meet in the very same points."""
    coordinates = shapely.get_coordinates(edge)
    far = along(coordinates)
    cuts = np.linspace(0, far[-1], count + 1)
    at = np.column_stack([np.interp(cuts, far, axis) for axis in coordinates.T])
    at[0], at[-1] = coordinates[0], coordinates[-1]
    return [
        shapely.LineString([at[i], *coordinates[(far > a + GRID_MM) & (far < b - GRID_MM)], at[i + 1]])
        for i, (a, b) in enumerate(pairwise(cuts))
    ]
