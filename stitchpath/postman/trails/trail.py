"""A trail: one unbroken walk over edges, as data, and the other ways to walk the same edges."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["Trail", "from_departures", "reverse", "rotate_closed", "vertices_of"]

Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Trail:
    """One unbroken walk.

    Attributes
    ----------
    edges
        (k,) the edges in order, read-only; an empty trail stays at its first vertex.
    forward
        (k,) True: from the edge's tail to its head; read-only.
    first, last
        The vertices where it begins and ends.
    """

    edges: Ints
    forward: Bools
    first: int
    last: int

    def __post_init__(self) -> None:
        for name, kind in (("edges", np.intp), ("forward", np.bool_)):
            array: NDArray[np.generic] = np.array(getattr(self, name), dtype=kind)
            array.setflags(write=False)
            object.__setattr__(self, name, array)

    def __len__(self) -> int:
        return len(self.edges)

    @property
    def closed(self) -> bool:
        """Whether it ends where it begins."""
        return self.first == self.last

    def departures(self) -> Ints:
        """Return (k,) the end of its edge by which each step departs: 2 x edge, plus 1 at the head."""
        return 2 * self.edges + ~self.forward


def from_departures(departures: ArrayLike, *, tails: Ints, heads: Ints, first: int = -1) -> Trail:
    """Make a trail of the ends by which its steps depart; `first` is where an empty one stays.

    Parameters
    ----------
    departures
        (k,) half-edges: twice an edge's index, and one more where it is walked from its head.
    tails, heads
        (m,) the ends of each edge.
    first
        A vertex.

    Examples
    --------
    >>> trail = from_departures([0, 3], tails=np.array([5, 7]), heads=np.array([6, 6]))
    >>> trail.first, trail.last, trail.forward.tolist()
    (5, 7, [True, False])
    >>> from_departures([], tails=np.array([5]), heads=np.array([6]), first=5).last
    5
    """
    steps = np.asarray(departures, dtype=np.intp)
    edges, forward = steps >> 1, (steps & 1) == 0
    if not len(steps):
        return Trail(edges, forward, first, first)
    begin = tails[edges[0]] if forward[0] else heads[edges[0]]
    end = heads[edges[-1]] if forward[-1] else tails[edges[-1]]
    return Trail(edges, forward, int(begin), int(end))


def reverse(trail: Trail) -> Trail:
    """Return the trail walked the other way.

    Examples
    --------
    >>> back = reverse(Trail(np.array([0, 1]), np.array([True, False]), 5, 7))
    >>> back.edges.tolist(), back.forward.tolist(), back.first
    ([1, 0], [True, False], 7)
    >>> len(reverse(Trail(np.array([]), np.array([]), 3, 3)))
    0
    """
    return Trail(trail.edges[::-1], ~trail.forward[::-1], trail.last, trail.first)


def vertices_of(trail: Trail, *, tails: Ints, heads: Ints) -> Ints:
    """Return the (k + 1,) vertices that a trail comes through.

    Parameters
    ----------
    trail
        A trail.
    tails, heads
        (m,) the ends of each edge.

    Examples
    --------
    >>> trail = Trail(np.array([0, 1]), np.array([True, False]), 5, 7)
    >>> vertices_of(trail, tails=np.array([5, 7]), heads=np.array([6, 6])).tolist()
    [5, 6, 7]
    >>> empty = Trail(np.array([]), np.array([]), 3, 3)
    >>> vertices_of(empty, tails=np.array([5]), heads=np.array([6])).tolist()
    [3]
    """
    ends = np.where(trail.forward, heads[trail.edges], tails[trail.edges])
    return np.concatenate((np.array([trail.first], dtype=np.intp), ends))


def rotate_closed(trail: Trail, vertex: int, *, tails: Ints, heads: Ints) -> Trail:
    """Start a closed trail at another of its vertices, where it first comes there.

    Parameters
    ----------
    trail
        A closed trail.
    vertex
        Where it is to begin.
    tails, heads
        (m,) the ends of each edge.

    Raises
    ------
    ValueError
        If the trail is not closed or does not come through the vertex.

    Examples
    --------
    >>> tails, heads = np.array([0, 1, 2]), np.array([1, 2, 0])
    >>> round_ = Trail(np.array([0, 1, 2]), np.array([True, True, True]), 0, 0)
    >>> rotate_closed(round_, 2, tails=tails, heads=heads).edges.tolist()
    [2, 0, 1]
    """
    if not trail.closed:
        raise ValueError(
            f"the trail runs from {trail.first} to {trail.last}; only a closed one can be rotated"
        )
    places = np.flatnonzero(vertices_of(trail, tails=tails, heads=heads) == vertex)
    if not len(places):
        raise ValueError(f"the trail does not come through vertex {vertex}; choose one of its own")
    by = -int(places[0])
    return Trail(np.roll(trail.edges, by), np.roll(trail.forward, by), vertex, vertex)
