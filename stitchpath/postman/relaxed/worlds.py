"""Worlds: the components of required and optional edges together that hold a required edge.

The relaxed problem does not ask for connection, so it falls apart into worlds, and each is bounded by itself.
So two T-joins in all give the gain of running on into each world, however many ends there are to run on from;
and the whole plan's bound over all jobs uses the same two.

Every plan touches the hub at least twice in each world. The cost of each vertex's cheapest way to the hub,
called pi, stands for the hub's edges. A world's contacts are its odd junctions and, of the junctions it
touches, the one with the least pi. Each contact is joined at its pi to the hub, and to two terminals,
vertices that force two ends. The minimum T-join over odd junctions and terminals bounds every plan from
below.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.errors import NoPlanError
from stitchpath.postman.graphs import Ways, components, parity, shortest
from stitchpath.postman.model.net import Net

__all__ = ["Worlds", "find_worlds"]

_Ints = NDArray[np.intp]


@dataclass(frozen=True)
class Worlds:
    """The worlds of a network.

    Attributes
    ----------
    net
        The network, without a free start.
    count
        How many worlds.
    of
        (net.size,) each vertex's world, or -1.
    touching, odd
        (net.size,) where a required edge ends, and where oddly many do.
    ways
        The cheapest way from the hub to each vertex; None without a hub.
    """

    net: Net
    count: int
    of: NDArray[np.intp]
    touching: NDArray[np.bool_]
    odd: NDArray[np.bool_]
    ways: Ways | None

    @cached_property
    def pi(self) -> NDArray[np.int64]:
        """The cost of each vertex's way to the hub, -1 where there is none."""
        return np.full(self.net.size, -1) if self.ways is None else self.ways.distance

    @cached_property
    def trees(self) -> NDArray[np.bool_]:
        """Which worlds are trees of edges that copies can be taken of."""
        links = self.net.links[self.net.links < self.net.asked]
        home = self.of[self.net.tails[links]]
        edges = np.bincount(home[home >= 0], minlength=self.count)
        return np.asarray(edges + 1 == np.bincount(self.of[self.of >= 0], minlength=self.count))

    @cached_property
    def nearest(self) -> NDArray[np.intp]:
        """Each world's touching vertex of least pi."""
        able = np.flatnonzero(self.touching & (self.pi >= 0))
        order = able[np.lexsort((able, self.pi[able], self.of[able]))]
        world, first = np.unique(self.of[order], return_index=True)
        if len(world) < self.count:
            vertex = int(np.flatnonzero(self.touching & ~np.isin(self.of, world))[0])
            raise NoPlanError(
                f"no trail may end anywhere in reach of vertex {vertex}",
                "let one end there (trail_cost)",
                vertex=vertex,
            )
        return order[first]


def find_worlds(net: Net) -> Worlds:
    """Find a network's worlds and the cheapest ways from the hub.

    Raises
    ------
    NoPlanError
        If nothing is required, or, without a hub, required edges lie in more than one world.
    """
    own = np.arange(net.asked)
    touching = np.zeros(net.size, bool)
    first = own[net.required[: net.asked]]
    touching[net.tails[first]] = touching[net.heads[first]] = True
    usable = own[net.required[: net.asked] | (net.extra[: net.asked] > 0)]
    label = components(net.size, net.tails, net.heads, usable)[1]
    held, inverse = np.unique(label[touching], return_inverse=True)
    if net.hub < 0 and len(held) > 1:
        vertex = int(np.flatnonzero(touching)[inverse.argmax()])
        raise NoPlanError(
            f"the required edges at vertex {vertex} cannot be reached from the others in one closed walk",
            "add edges that lead there, or allow trails (trail_cost)",
            vertex=vertex,
        )
    world = np.full(int(label.max(initial=-1)) + 1, -1, np.intp)
    world[held] = np.arange(len(held))
    odd = parity(net.size, net.tails[: net.asked], net.heads[: net.asked], net.required[: net.asked])
    return Worlds(net, len(held), world[label], touching, odd, _ways(net))


def _ways(net: Net) -> Ways | None:
    if net.hub < 0:
        return None
    edges = net.tails, net.heads, net.cost
    return shortest(net.size, *edges, index=net.open, sources=np.array([net.hub]))
