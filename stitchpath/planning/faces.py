"""The faces that seams cut a top into: blocks, pieces of sashing and of borders, and what lies outside.

A line in open cloth lies in one face. A seam lies between two, and can be sewn from either side: nothing
tells them apart on the cloth, since both hide in it. A seam that leads nowhere has one side, and so has the
outer edge, unless a line or a seam lies outside it, or blocks meet there in a point.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.planning.network import Network

__all__ = ["Faces", "find_faces"]

_BESIDE_MM = 1e-3
"""A seam lies on a face's edge if its middle is as near: noding moves points by less (`build_network`)."""

_Ints = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Faces:
    """Which faces each edge can be sewn from.

    Attributes
    ----------
    one
        (m,) a face of each edge, counted from 0; the last one is what lies outside all seams.
    other
        (m,) the face on a seam's other side; -1 where there is none.
    count
        How many faces there are.
    """

    one: _Ints
    other: _Ints
    count: int

    @property
    def divide(self) -> bool:
        """Whether any two lines lie in different faces."""
        return bool((self.one != self.one[:1]).any() or (self.other >= 0).any())


def find_faces(network: Network, seam: NDArray[np.bool_]) -> Faces:
    """Find the faces beside each edge of a network.

    Parameters
    ----------
    network
        The network.
    seam
        (m,) which of its edges are seams or the edge line.

    Returns
    -------
    Faces
        One or two for each edge.

    Examples
    --------
    Two squares that share a side, and a line in the second.

    >>> from shapely import LineString
    >>> from stitchpath import Drawing
    >>> from stitchpath.planning.network import build_network
    >>> seams = [LineString([(1, 0), (0, 0), (0, 1), (1, 1)]), LineString([(1, 0), (1, 1)]),
    ...          LineString([(1, 0), (2, 0), (2, 1), (1, 1)])]
    >>> network = build_network(Drawing.from_lines([*seams, LineString([(1, 0), (2, 1)])]))
    >>> faces = find_faces(network, np.arange(5) < 4)
    >>> faces.count, (faces.other >= 0).tolist()
    (3, [False, True, False, False, False])
    >>> find_faces(build_network(Drawing(())), np.zeros(0, bool)).divide
    False
    """
    middles = shapely.points(network.middles_mm(np.arange(len(network.tails))))
    polygons = _polygons(network, seam)
    outside = len(polygons)
    one = np.full(len(middles), outside, dtype=np.intp)
    other = np.full(len(middles), -1, dtype=np.intp)
    tree = shapely.STRtree(polygons)
    at, face = tree.query(middles, predicate="dwithin", distance=_BESIDE_MM)
    inside = ~seam[at]
    one[at[inside][::-1]] = face[inside][::-1]
    _beside(one, other, at[~inside], face[~inside])
    edge = np.flatnonzero(seam & (other < 0) & (one != outside))
    rim = edge[shapely.dwithin(middles[edge], shapely.boundary(polygons[one[edge]]), _BESIDE_MM)]
    if (one == outside).any() or _meet_in_points(network, rim):
        other[rim] = outside
    return Faces(one, other, outside + 1)


def _meet_in_points(network: Network, rim: _Ints) -> bool:
    """Tell whether faces that share no seam meet at a junction: only the outside leads across there."""
    return bool((np.bincount(np.concatenate((network.tails[rim], network.heads[rim]))) > 2).any())


def _polygons(network: Network, seam: NDArray[np.bool_]) -> NDArray[np.object_]:
    edges = np.flatnonzero(seam)
    if not len(edges):
        return np.empty(0, dtype=object)
    points, sizes = network.points_of(edges)
    lines = shapely.linestrings(points, indices=np.repeat(np.arange(len(edges)), sizes))
    found: NDArray[np.object_] = shapely.get_parts(shapely.polygonize(lines))
    return found


def _beside(one: _Ints, other: _Ints, edge: _Ints, face: _Ints) -> None:
    """Enter the first two faces beside each seam."""
    order = np.lexsort((face, edge))
    edge, face = edge[order], face[order]
    first = np.flatnonzero(np.diff(edge, prepend=-1))
    one[edge[first]] = face[first]
    second = first + 1
    second = second[second < len(edge)]
    second = second[edge[second] == edge[second - 1]]
    other[edge[second]] = face[second]
