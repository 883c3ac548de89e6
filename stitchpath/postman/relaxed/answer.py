"""One answer to the relaxed problem of some worlds: their network with its ways out, joined once.

The hub is the matching's boundary. Its parity does not matter, so it needs no vertex, and its degree, which
may be as large as the number of junctions, costs nothing.
"""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.errors import NoPlanError
from stitchpath.postman.joins.tjoin import min_join, prepare
from stitchpath.postman.relaxed.worlds import Worlds

__all__ = ["Relaxed", "SomeWorlds", "answer", "mixed", "way_out"]

NONE = np.zeros(0, np.intp)
"""No vertices."""


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
        False where a matching was too much work.
    """

    copies: NDArray[np.int64]
    lower: NDArray[np.int64]
    door: NDArray[np.intp]
    matched: bool


@dataclass(frozen=True)
class SomeWorlds:
    """The relaxed problem of some worlds only.

    Attributes
    ----------
    worlds, chosen
        All worlds, and (count,) which of them are meant.
    doors, toll
        Vertices at which a trail may begin, and what each costs, whole units.
    rebate
        What is taken off the cost of each end.
    """

    worlds: Worlds
    chosen: NDArray[np.bool_]
    doors: NDArray[np.intp]
    toll: NDArray[np.int64]
    rebate: int = 0

    def of(self, chosen: NDArray[np.bool_]) -> "SomeWorlds":
        """Return the same of fewer worlds."""
        inside = chosen[self.worlds.of[self.doors]]
        return replace(self, chosen=chosen, doors=self.doors[inside], toll=self.toll[inside])

    @property
    def least(self) -> NDArray[np.intp]:
        """How many ends each world has at the least."""
        return np.where(self.entered, 1, 2)

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


def mixed(worlds: Worlds, one: Relaxed, other: Relaxed, chosen: NDArray[np.bool_]) -> Relaxed:
    """Return an answer that is the other one's in the chosen worlds.

    Parameters
    ----------
    worlds
        All worlds.
    one, other
        Two answers.
    chosen
        (count,) in which worlds the other one holds.
    """
    home = worlds.of[worlds.net.tails]
    return Relaxed(
        np.where((home >= 0) & chosen[home], other.copies, one.copies),
        np.where(chosen, other.lower, one.lower),
        np.where(chosen, other.door, one.door),
        one.matched and other.matched,
    )


@dataclass(frozen=True)
class _Links:
    """Edges beside the network's, and the world of each new vertex that they lead to."""

    tails: NDArray[np.intp]
    heads: NDArray[np.intp]
    cost: NDArray[np.int64]
    home: NDArray[np.intp]


def _entrances(some: SomeWorlds, first: int) -> _Links:
    """One vertex for each entered world, joined to its doors."""
    home, place = np.unique(some.worlds.of[some.doors], return_inverse=True)
    return _Links(some.doors, first + place, some.toll, home)


def _exits(some: SomeWorlds) -> _Links:
    """Each contact and door joined to the hub."""
    worlds = some.worlds
    if worlds.ways is None:
        return _Links(NONE, NONE, NONE, NONE)
    contact = some.contact.copy()
    if some.rebate:
        contact |= some.here & worlds.touching & (worlds.pi >= 0) & np.append(some.entered, False)[worlds.of]
    contact[some.doors[worlds.pi[some.doors] >= 0]] = True
    tails = np.flatnonzero(contact)
    cost = worlds.pi[tails] - np.where(worlds.touching[tails], some.rebate, 0)
    return _Links(tails, np.full(len(tails), worlds.net.hub), cost, NONE)


def _terminals(some: SomeWorlds, first: int) -> _Links:
    """Two for each world, joined to its contacts; one for an entered world, joined to all it touches."""
    worlds = some.worlds
    landing = some.here & worlds.touching & (worlds.pi >= 0)
    landing &= some.contact | np.append(some.entered, False)[worlds.of]
    tips, place = np.flatnonzero(landing), np.full((2, worlds.count), -1)
    single, double = np.flatnonzero(some.chosen), np.flatnonzero(some.chosen & ~some.entered)
    place[0, single] = first + np.arange(len(single))
    place[1, double] = first + len(single) + np.arange(len(double))
    both = np.concatenate([tips, tips[~some.entered[worlds.of[tips]]]])
    heads = np.append(place[0, worlds.of[tips]], place[1, worlds.of[both[len(tips) :]]])
    return _Links(both, heads, worlds.pi[both], np.append(single, double))


def answer(some: SomeWorlds, *, forced: bool = False) -> tuple[Relaxed, NDArray[np.intp]]:
    """Return the answer, and how often each world reaches the hub from where a required edge ends."""
    worlds, net = some.worlds, some.worlds.net
    inner = net.open[some.here[net.tails[net.open]] & (net.open < net.asked)]
    links = [_entrances(some, net.size), _exits(some)]
    if forced:
        links.append(_terminals(some, net.size + len(links[0].home)))
    home = np.concatenate([np.where(some.here, worlds.of, -1)] + [link.home for link in links])
    odd = np.append(worlds.odd & some.here, np.ones(len(home) - net.size, bool))
    tails = np.concatenate([net.tails[inner]] + [link.tails for link in links])
    heads = np.concatenate([net.heads[inner]] + [link.heads for link in links])
    cost = np.concatenate([net.cost[inner]] + [link.cost for link in links])
    index, apart = np.arange(len(tails)), np.arange(net.size, len(home))
    web = prepare(len(home), tails, heads, cost, index=index, free=net.hub, apart=apart)
    join = min_join(web, odd)
    sums = np.zeros(worlds.count, np.int64)
    np.add.at(sums, home[home >= 0], join.lower[home >= 0])
    parts = np.split(join.edges, np.cumsum([len(inner)] + [len(link.tails) for link in links[:-1]]))
    copies = np.zeros(len(net.tails), np.int64)
    copies[inner] = parts[0]
    door = np.full(worlds.count, -1, np.intp)
    used = some.doors[parts[1]]
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
        problem = f"no trail may end anywhere in reach of vertex {vertex}"
        raise NoPlanError(problem, "let one end there (trail_cost)", vertex=vertex)
    while ways.edge[vertex] >= 0:
        edges.append(int(ways.edge[vertex]))
        vertex = int(ways.before[vertex])
    return np.array(edges, np.intp)
