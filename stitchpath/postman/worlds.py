"""The relaxed problem: what every plan must at least cost, world by world.

A world is a component of required and optional edges together that holds a required one. Every plan touches
the hub at least twice in each. Put each end's cheapest way to the hub, pi, in place of the hub edges: a
world's contacts are its odd junctions and its touching junction of least pi, each joined at pi to the hub
and to two terminals that force two ends. The minimum T-join over odd junctions and terminals bounds every
plan from below.

A trail that begins free at a door d of a world (the needle stands there, or runs on from an end already
paid) flips d, and leaves that world one terminal, joined to every touching junction, since the other end is
d.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.errors import NoPlanError
from stitchpath.postman.graphs import Ways, components, parity, shortest
from stitchpath.postman.net import Net
from stitchpath.postman.tjoin import Join, min_join, prepare

__all__ = ["Relaxed", "Worlds", "find_worlds", "relax", "way_out"]

NO_DOORS = np.zeros(0, np.intp)


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
    def nearest(self) -> NDArray[np.intp]:
        """Each world's touching vertex of least pi."""
        able = np.flatnonzero(self.touching & (self.pi >= 0))
        order = able[np.lexsort((able, self.pi[able], self.of[able]))]
        world, first = np.unique(self.of[order], return_index=True)
        if len(world) < self.count:
            vertex = int(np.flatnonzero(self.touching & ~np.isin(self.of, world))[0])
            raise NoPlanError(f"no trail may end anywhere in reach of vertex {vertex}", vertex=vertex)
        return order[first]


@dataclass(frozen=True)
class Relaxed:
    """An answer to the relaxed problem.

    Attributes
    ----------
    copies
        (m,) copies of the network's edges that the T-join stands for, ways to the hub put in place.
    lower
        (count,) proven bound on the cost of each world beyond its required edges' first traversals.
    door
        (count,) the door each entered world was entered by, or -1.
    matched
        False where a matching spent its budget.
    """

    copies: NDArray[np.int64]
    lower: NDArray[np.int64]
    door: NDArray[np.intp]
    matched: bool


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


def relax(
    worlds: Worlds, *, doors: NDArray[np.intp] = NO_DOORS, toll: NDArray[np.int64] = NO_DOORS
) -> Relaxed:
    """Solve the relaxed problem, each world that holds doors being entered by one of them.

    Parameters
    ----------
    worlds
        See `find_worlds`.
    doors
        Vertices in worlds at which a trail may begin; one is used in each world that holds any.
    toll
        What each door costs, whole units.

    Returns
    -------
    Relaxed
        Its bounds hold for each world by itself, tolls included.
    """
    net, extra = worlds.net, _gadgets(worlds, doors, toll)
    size = net.size + extra.count
    inner = net.open[(worlds.of[net.tails[net.open]] >= 0) & (net.open < net.asked)]
    tails, heads, cost = (
        np.concatenate([own[inner], more])
        for own, more in ((net.tails, extra.tails), (net.heads, extra.heads), (net.cost, extra.cost))
    )
    odd = np.ones(size, bool)
    odd[: net.size] = worlds.odd
    web = prepare(size, tails, heads, cost, index=np.arange(len(tails)), free=net.hub)
    join = min_join(web, odd)
    home = np.concatenate([worlds.of, extra.home])
    lower = np.zeros(worlds.count, np.int64)
    inside = home >= 0
    np.add.at(lower, home[inside], join.lower[inside])
    return _read(worlds, inner, extra, join, lower)


@dataclass(frozen=True)
class _Gadgets:
    """What is added to the network: edges to hub, terminals and entrances, and each new vertex's world."""

    tails: NDArray[np.intp]
    heads: NDArray[np.intp]
    cost: NDArray[np.int64]
    home: NDArray[np.intp]
    entrances: int

    @property
    def count(self) -> int:
        return len(self.home)


def _gadgets(worlds: Worlds, doors: NDArray[np.intp], toll: NDArray[np.int64]) -> _Gadgets:
    """Build the gadgets: first entrances (one a world entered) with their door edges, then all others."""
    net = worlds.net
    entered, place = np.unique(worlds.of[doors], return_inverse=True)
    entrance = net.size + place
    base = net.size + len(entered)
    if worlds.ways is None:
        return _Gadgets(doors, entrance, toll, entered, len(entered))
    shut = np.setdiff1d(np.arange(worlds.count), entered)
    contact = worlds.odd & (worlds.pi >= 0)
    contact[worlds.nearest] = True
    terminal = np.full((2, worlds.count), -1, np.intp)
    terminal[0, shut] = base + np.arange(len(shut))
    terminal[1, shut] = base + len(shut) + np.arange(len(shut))
    terminal[0, entered] = base + 2 * len(shut) + np.arange(len(entered))
    open_world = np.zeros(worlds.count, bool)
    open_world[entered] = True
    landing = worlds.touching & (worlds.pi >= 0)
    landing &= open_world[worlds.of] | contact
    tips = np.flatnonzero(landing)
    pairs = [(tips, terminal[0, worlds.of[tips]])]
    twice = tips[~open_world[worlds.of[tips]]]
    pairs.append((twice, terminal[1, worlds.of[twice]]))
    contact[doors[worlds.pi[doors] >= 0]] = True
    outs = np.flatnonzero(contact)
    pairs.append((outs, np.full(len(outs), net.hub)))
    tails = np.concatenate([doors] + [one for one, _ in pairs])
    heads = np.concatenate([entrance] + [other for _, other in pairs])
    cost = np.concatenate([toll, worlds.pi[tails[len(doors) :]]])
    return _Gadgets(tails, heads, cost, np.concatenate([entered, shut, shut, entered]), len(entered))


def _read(
    worlds: Worlds, inner: NDArray[np.intp], extra: _Gadgets, join: Join, lower: NDArray[np.int64]
) -> Relaxed:
    """Put each contact's way to the hub in its place."""
    net = worlds.net
    copies = np.zeros(len(net.tails), np.int64)
    copies[inner] = join.edges[: len(inner)]
    taken = join.edges[len(inner) :]
    entering = extra.heads >= net.size
    entering &= extra.heads < net.size + extra.entrances
    door = np.full(worlds.count, -1, np.intp)
    used = extra.tails[taken & entering]
    door[worlds.of[used]] = used
    for vertex in extra.tails[taken & ~entering].tolist():
        np.add.at(copies, way_out(worlds, vertex), 1)
    return Relaxed(copies, lower, door, join.matched)


def way_out(worlds: Worlds, vertex: int) -> NDArray[np.intp]:
    """Return the edges of the cheapest way from a vertex to the hub."""
    ways, edges = worlds.ways, []
    if ways is None or ways.distance[vertex] < 0:
        raise NoPlanError(f"no trail may end anywhere in reach of vertex {vertex}", vertex=vertex)
    while ways.edge[vertex] >= 0:
        edges.append(int(ways.edge[vertex]))
        vertex = int(ways.before[vertex])
    return np.array(edges, np.intp)
