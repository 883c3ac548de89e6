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
from stitchpath.postman.tjoin import min_join, prepare

__all__ = ["Relaxed", "Worlds", "find_worlds", "relax", "way_out"]

NO_DOORS = np.zeros(0, np.intp)
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

    Terminals cost time, and a world whose cheapest join has its ends without them does not need them: two
    ways out stand for two terminals at the same cost. So only worlds that turn out to lack ends get them.

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
    case = _Case(worlds, np.ones(worlds.count, bool), doors, toll)
    free, ends = _answer(case, forced=False)
    lacking = ends < np.where(case.entered, 1, 2)
    if worlds.ways is None or not lacking.any():
        return free
    inside = lacking[worlds.of[doors]]
    forced, _ = _answer(_Case(worlds, lacking, doors[inside], toll[inside]), forced=True)
    changed = lacking[worlds.of[worlds.net.tails]] & (worlds.of[worlds.net.tails] >= 0)
    return Relaxed(
        np.where(changed, forced.copies, free.copies),
        np.where(lacking, forced.lower, free.lower),
        np.where(lacking, forced.door, free.door),
        free.matched and forced.matched,
    )


@dataclass(frozen=True)
class _Case:
    """The relaxed problem of some worlds only."""

    worlds: Worlds
    chosen: NDArray[np.bool_]
    doors: NDArray[np.intp]
    toll: NDArray[np.int64]

    @cached_property
    def entered(self) -> NDArray[np.bool_]:
        """Which worlds hold doors."""
        entered = np.zeros(self.worlds.count, bool)
        entered[self.worlds.of[self.doors]] = True
        return entered

    @cached_property
    def here(self) -> NDArray[np.bool_]:
        """Which vertices lie in the chosen worlds."""
        return np.append(self.chosen, False)[self.worlds.of]

    @cached_property
    def contact(self) -> NDArray[np.bool_]:
        """The chosen worlds' contacts."""
        contact = self.worlds.odd & (self.worlds.pi >= 0)
        contact[self.worlds.nearest] = True
        return contact & self.here


@dataclass(frozen=True)
class _Links:
    """Edges beside the network's, and the world of each new vertex that they lead to."""

    tails: NDArray[np.intp]
    heads: NDArray[np.intp]
    cost: NDArray[np.int64]
    home: NDArray[np.intp]


def _entrances(case: _Case, first: int) -> _Links:
    """One vertex for each entered world, joined to its doors."""
    home, place = np.unique(case.worlds.of[case.doors], return_inverse=True)
    return _Links(case.doors, first + place, case.toll, home)


def _exits(case: _Case) -> _Links:
    """Each contact and door joined to the hub."""
    worlds = case.worlds
    if worlds.ways is None:
        return _Links(NO_DOORS, NO_DOORS, NO_DOORS, NO_DOORS)
    contact = case.contact.copy()
    contact[case.doors[worlds.pi[case.doors] >= 0]] = True
    tails = np.flatnonzero(contact)
    return _Links(tails, np.full(len(tails), worlds.net.hub), worlds.pi[tails], NO_DOORS)


def _terminals(case: _Case, first: int) -> _Links:
    """Two for each world, joined to its contacts; one for an entered world, joined to all it touches."""
    worlds = case.worlds
    landing = case.here & worlds.touching & (worlds.pi >= 0)
    landing &= case.contact | np.append(case.entered, False)[worlds.of]
    tips, place = np.flatnonzero(landing), np.full((2, worlds.count), -1)
    single, double = np.flatnonzero(case.chosen), np.flatnonzero(case.chosen & ~case.entered)
    place[0, single] = first + np.arange(len(single))
    place[1, double] = first + len(single) + np.arange(len(double))
    both = np.concatenate([tips, tips[~case.entered[worlds.of[tips]]]])
    heads = np.append(place[0, worlds.of[tips]], place[1, worlds.of[both[len(tips) :]]])
    return _Links(both, heads, worlds.pi[both], np.append(single, double))


def _answer(case: _Case, *, forced: bool) -> tuple[Relaxed, NDArray[np.intp]]:
    """Return the answer, and how often each world reaches the hub from where a required edge ends."""
    worlds, net = case.worlds, case.worlds.net
    inner = net.open[case.here[net.tails[net.open]] & (net.open < net.asked)]
    links = [_entrances(case, net.size), _exits(case)]
    if forced:
        links.append(_terminals(case, net.size + len(links[0].home)))
    home = np.concatenate([np.where(case.here, worlds.of, -1)] + [link.home for link in links])
    odd = np.append(worlds.odd & case.here, np.ones(len(home) - net.size, bool))
    tails = np.concatenate([net.tails[inner]] + [link.tails for link in links])
    heads = np.concatenate([net.heads[inner]] + [link.heads for link in links])
    cost = np.concatenate([net.cost[inner]] + [link.cost for link in links])
    web = prepare(len(home), tails, heads, cost, index=np.arange(len(tails)), free=net.hub)
    join = min_join(web, odd)
    sums = np.zeros(worlds.count, np.int64)
    np.add.at(sums, home[home >= 0], join.lower[home >= 0])
    parts = np.split(join.edges, np.cumsum([len(inner)] + [len(link.tails) for link in links[:-1]]))
    copies = np.zeros(len(net.tails), np.int64)
    copies[inner] = parts[0]
    door = np.full(worlds.count, -1, np.intp)
    used = case.doors[parts[1]]
    door[worlds.of[used]] = used
    out = np.concatenate([link.tails[part] for link, part in zip(links[1:], parts[2:], strict=True)])
    for vertex in out.tolist():
        copies[way_out(worlds, vertex)] += 1
    ends = np.bincount(worlds.of[out[worlds.touching[out]]], minlength=worlds.count)
    return Relaxed(copies, sums, door, join.matched), ends


def way_out(worlds: Worlds, vertex: int) -> NDArray[np.intp]:
    """Return the edges of the cheapest way from a vertex to the hub."""
    ways, edges = worlds.ways, []
    if ways is None or ways.distance[vertex] < 0:
        raise NoPlanError(f"no trail may end anywhere in reach of vertex {vertex}", vertex=vertex)
    while ways.edge[vertex] >= 0:
        edges.append(int(ways.edge[vertex]))
        vertex = int(ways.before[vertex])
    return np.array(edges, np.intp)
