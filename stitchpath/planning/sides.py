"""A network as one block after another sees it: seams have two sides, and leaving a block has a price.

Every junction on a seam is there once for each face that meets it, and a line in open cloth ends at the copy
of its own face. A seam is there once for each of its sides. Copies of a junction that are neighbours across a
seam are joined by a *crossing*, an edge that no network has: it costs what leaving a block costs. So a plan
that pays for leaving blocks is still an undirected rural postman problem, and its bound stays one.

Two things the problem does not know. Both sides of a seam share its most times (`stitchpath.planning.router`
sees to that). And a seam that is still to be sewn would be required on either side: a job of nothing but
seams takes the network as it is, and a job that mixes them requires each on one side, and is bounded by the
network as it is.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.planning.faces import Faces
from stitchpath.planning.network import Network

__all__ = ["Sides", "split_sides", "whole_sides"]

_Ints = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Sides:
    """A network whose junctions are cut by faces; or one that is not, with one side of everything.

    Attributes
    ----------
    edge
        (M,) the network's edge of each of its own; -1 for a crossing.
    tails, heads
        (M,) their vertices. A side runs as its edge runs.
    headings
        (2, M) where each leaves its tail, and its head.
    junction
        (N,) the network's junction of each vertex.
    required
        (M,) the one side of each edge on which it is required if it is.
    seam
        (M,) what is a side of a seam.
    corner
        (N,) where other than two seams meet.
    """

    edge: _Ints
    tails: _Ints
    heads: _Ints
    headings: NDArray[np.float64]
    junction: _Ints
    required: NDArray[np.bool_]
    seam: NDArray[np.bool_]
    corner: NDArray[np.bool_]

    @property
    def crossing(self) -> NDArray[np.bool_]:
        """(M,) which of its edges lead across a seam."""
        return self.edge < 0

    def spared(self, usable: NDArray[np.bool_], asked: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """Tell which crossings no cheapest plan needs.

        A way that crosses a seam and then runs along its other side can as well run along this side and cross
        farther on, for the same seams are sewn. So it is enough to cross at corners, and where a line of the
        one face, the first of the two, meets the seam.

        Parameters
        ----------
        usable
            (M,) which edges may be used at all.
        asked
            (M,) which of them must be sewn.

        Returns
        -------
        ndarray
            (M,) bool, false but for crossings.
        """
        kept = self.corner.copy()
        meets = usable & (~self.seam | asked) & ~self.crossing
        kept[self.tails[meets]] = kept[self.heads[meets]] = True
        spared: NDArray[np.bool_] = self.crossing & ~kept[self.tails]
        return spared


def whole_sides(network: Network) -> Sides:
    """Return a network as it is.

    Examples
    --------
    >>> from stitchpath import Drawing
    >>> from stitchpath.planning.network import build_network
    >>> whole_sides(build_network(Drawing(()))).edge
    array([], dtype=int64)
    """
    every = np.ones(len(network.tails), dtype=bool)
    edge, junction = np.arange(len(network.tails)), np.arange(len(network.junctions_mm))
    none = np.zeros(len(edge), dtype=bool)
    corner = np.zeros(len(junction), dtype=bool)
    return Sides(edge, network.tails, network.heads, network.headings, junction, every, none, corner)


def split_sides(network: Network, faces: Faces, seam: NDArray[np.bool_]) -> Sides:
    """Return a network cut by its faces.

    Parameters
    ----------
    network
        The network.
    faces
        Its faces.
    seam
        (m,) which of its edges are seams or the edge line.

    Examples
    --------
    Two squares that share a side: the side is there twice, and a crossing stands at each of its ends.

    >>> from shapely import LineString
    >>> from stitchpath import Drawing
    >>> from stitchpath.planning.faces import find_faces
    >>> from stitchpath.planning.network import build_network
    >>> seams = [LineString([(1, 0), (0, 0), (0, 1), (1, 1)]), LineString([(1, 0), (1, 1)]),
    ...          LineString([(1, 0), (2, 0), (2, 1), (1, 1)])]
    >>> network = build_network(Drawing.from_lines(seams))
    >>> sides = split_sides(network, find_faces(network, np.ones(3, bool)), np.ones(3, bool))
    >>> len(sides.junction), len(sides.edge), int(sides.crossing.sum())
    (4, 6, 2)
    >>> split_sides(build_network(Drawing(())), Faces(*np.zeros((2, 0), int), 1), np.zeros(0, bool)).edge
    array([], dtype=int64)
    """
    both = np.flatnonzero(faces.other >= 0)
    edge = np.concatenate((np.arange(len(faces.one)), both)).astype(np.intp)
    face = np.concatenate((faces.one, faces.other[both]))
    places = np.stack((network.tails[edge], network.heads[edge])) * faces.count + face
    copies, number = np.unique(places, return_inverse=True)
    tails, heads = number.reshape(2, -1)
    across, toward = _crossings(network, faces, both, copies)
    none = np.full(len(across), -1, dtype=np.intp)
    headings = np.concatenate((network.headings[:, edge], toward), axis=1)
    ends = np.concatenate((network.tails[seam], network.heads[seam]))
    meeting = np.bincount(ends, minlength=len(network.junctions_mm))
    return Sides(
        np.concatenate((edge, none)),
        np.concatenate((tails, across[:, 0])),
        np.concatenate((heads, across[:, 1])),
        headings,
        copies // faces.count,
        np.arange(len(edge) + len(none)) < len(faces.one),
        np.append(seam[edge], none == 0),
        (meeting != 2)[copies // faces.count],
    )


def _crossings(
    network: Network, faces: Faces, both: _Ints, copies: _Ints
) -> tuple[_Ints, NDArray[np.float64]]:
    """Return (k, 2) pairs of copies across the seams, and (2, k) headings from one to the other and back."""
    ends = np.stack((network.tails[both], network.heads[both]), axis=1).ravel()
    beside = np.sort(np.stack((faces.one[both], faces.other[both]), axis=1), axis=1).repeat(2, axis=0)
    pairs = np.searchsorted(copies, ends[:, None] * faces.count + beside)
    pairs, first = np.unique(pairs, axis=0, return_index=True)
    along = network.headings[first % 2, both[first // 2]]
    return pairs.astype(np.intp).reshape(-1, 2), np.stack((along + np.pi / 2, along - np.pi / 2))
