"""A first plan: a tree of shortest ways connects the required parts, then a T-join (Frederickson 1979)."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.errors import OddComponentError
from stitchpath.postman.graphs import Ways, components, parity, shortest, spanning
from stitchpath.postman.joins.tjoin import min_join
from stitchpath.postman.model.net import Copies, Net, capped, complete, is_plan, price, pruned, stripped

__all__ = ["cheaper", "first_plan", "grown_plan", "joining", "near_plan", "tree_in"]

_NEAR = 0.002
"""A first plan this near to the bound, as a share, is good enough to leave the second out."""


def first_plan(net: Net, relaxed: NDArray[np.int64], *, goal: int) -> Copies | None:
    """Return a plan that grows `relaxed`, or one over the required parts alone where that might be better.

    Parameters
    ----------
    net
        The network.
    relaxed
        (m,) copies that the relaxed problem takes of each edge.
    goal
        A proven bound on the plan's price.

    Returns
    -------
    array or None
        Copies of each edge; None where limits stand in the way of all that was tried.
    """
    copies = stripped(net, capped(net, relaxed))
    if is_plan(net, copies):
        return copies
    best = None
    for held in (~net.required & (copies > 0), np.zeros(len(net.tails), bool)):
        if best is not None and price(net, best) <= (1 + _NEAR) * goal:
            break
        best = cheaper(net, best, grown_plan(net, held))
    return best


def grown_plan(net: Net, held: NDArray[np.bool_]) -> Copies | None:
    """Return a plan that joins optional edges held, where the limits on copies allow it."""
    grown = np.union1d(np.flatnonzero(held), joining(net, held))
    rank = np.where(held[grown], -1, net.cost[grown])
    return complete(net, tree_in(net, grown, rank))


def near_plan(net: Net, copies: Copies) -> Copies | None:
    """Return a plan close to copies that were one before limits were narrowed; None if none was found.

    What is too much is dropped, and a T-join mends the parities. An edge of which the join takes a copy too
    many loses both; what falls apart so is tied together again.

    Parameters
    ----------
    net
        The network, with the limits as they are now.
    copies
        (m,) copies of each of its edges.
    """
    kept = np.minimum(copies, net.most)
    try:
        join = min_join(net.web, parity(net.size, net.tails, net.heads, kept + net.required))
    except OddComponentError:
        return None
    times = kept + join.edges
    plan = stripped(net, capped(net, np.where(times > net.most, times - 2, times)))
    if is_plan(net, plan):
        return plan
    held = ~net.required & (plan > 0)
    return cheaper(net, _tied(net, plan), complete(net, joining(net, held), plan))


def _tied(net: Net, plan: Copies) -> Copies:
    """Tie what falls apart together, there and back, so that no parity changes."""
    free = np.where(net.most - plan >= 2, net.extra, 0).astype(np.int8)
    tree = joining(replace(net, extra=free), ~net.required & (plan > 0))
    times = plan.astype(np.int64)
    times[tree] += 2
    return stripped(net, capped(net, times))


def cheaper(net: Net, one: Copies | None, other: Copies | None) -> Copies | None:
    """Return the cheaper of two sets of copies, those that are no plan left out.

    Parameters
    ----------
    net
        The network.
    one, other
        (m,) copies each; None: there are none.
    """
    plans = [copies for copies in (one, other) if copies is not None and is_plan(net, copies)]
    return min(plans, key=lambda copies: price(net, copies), default=None)


def joining(net: Net, held: NDArray[np.bool_]) -> NDArray[np.intp]:
    """Return open edges that, with the required and the held ones, make everything hang together.

    They are a cheapest tree among the ways that lead over two neighbouring parts' borders, a part being the
    vertices nearest to one component.
    """
    count, label = components(net.size, net.tails, net.heads, np.flatnonzero(net.required | held))
    wanted = np.zeros(count, bool)
    wanted[label[net.must]] = True
    edges = net.tails, net.heads, net.cost
    ways = shortest(net.size, *edges, index=net.ways, sources=np.flatnonzero(wanted[label]))
    near = np.where(ways.source >= 0, label[ways.source], -1)
    one, other = near[net.tails], near[net.heads]
    border = net.ways[(one != other)[net.ways] & (one >= 0)[net.ways] & (other >= 0)[net.ways]]
    length = ways.distance[net.tails[border]] + net.cost[border] + ways.distance[net.heads[border]]
    bridges = spanning(count, one, other, length, index=border)
    return np.union1d(bridges, _back(ways, np.concatenate([net.tails[bridges], net.heads[bridges]])))


def _back(ways: Ways, vertices: NDArray[np.intp]) -> NDArray[np.intp]:
    """Collect the edges of the ways that lead to some vertices."""
    used = np.zeros(len(ways.edge), bool)
    while len(vertices := np.unique(vertices[(ways.edge[vertices] >= 0) & ~used[vertices]])):
        used[vertices] = True
        vertices = ways.before[vertices]
    return ways.edge[used]


def tree_in(net: Net, edges: NDArray[np.intp], rank: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return the tree of some edges, cheapest by rank, that holds the required parts together.

    Parameters
    ----------
    net
        The network.
    edges, rank
        Which edges may be taken, and a value for each.
    """
    ends = net.part[net.tails], net.part[net.heads]
    must = np.zeros(net.size, bool)
    must[net.part[net.must]] = True
    return pruned(*ends, spanning(net.size, *ends, rank, index=edges), must)
