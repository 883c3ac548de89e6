"""Multigraphs as arrays, against networkx."""

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from strategies import seeds

from stitchpath.postman import graphs
from stitchpath.postman.graphs import (
    Halves,
    cheapest,
    components,
    forest_join,
    hops,
    nested,
    parity,
    rooted,
    shortest,
    spanning,
)

SOME = settings(deadline=None, derandomize=True, max_examples=40)


@pytest.fixture(autouse=True, scope="module", params=[0, 200])
def few(request):
    """Go the way of many edges, and that of few."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(graphs, "_FEW", request.param)
        yield


def random_edges(seed):
    """Return a random multigraph with loops, some of whose edges count, and networkx's of those."""
    rng = np.random.default_rng(seed)
    size, count = int(rng.integers(1, 12)), int(rng.integers(0, 20))
    tails, heads = rng.integers(0, size, (2, count))
    cost = rng.integers(0, 9, count)
    index = np.flatnonzero(rng.random(count) < 0.8)
    return size, tails, heads, cost, index, made(size, tails, heads, cost, index)


def made(size, tails, heads, cost, index):
    graph = nx.MultiGraph()
    graph.add_nodes_from(range(size))
    for edge in index.tolist():
        graph.add_edge(int(tails[edge]), int(heads[edge]), key=edge, weight=int(cost[edge]))
    return graph


def told(label):
    return sorted(np.flatnonzero(label == one).tolist() for one in np.unique(label))


@given(seeds())
@SOME
def test_components_and_parity(seed):
    size, tails, heads, cost, index, graph = random_edges(seed)
    count, label = components(size, tails, heads, index)
    parts = sorted(map(sorted, nx.connected_components(graph)))
    assert (count, told(label)) == (len(parts), parts)
    times = np.where(np.isin(np.arange(len(tails)), index), 1, 2)
    odd = [graph.degree[vertex] % 2 == 1 for vertex in range(size)]
    assert parity(size, tails, heads, times).tolist() == odd
    levels = (6, 3, 3, 0)
    found = [told(label) for _, label in nested(size, tails, heads, cost, levels=levels)]
    for level, parts in zip(levels, found, strict=True):
        above = made(size, tails, heads, cost, np.flatnonzero(cost > level))
        assert parts == sorted(map(sorted, nx.connected_components(above)))


@given(seeds())
@SOME
def test_cheapest_parallels(seed):
    size, tails, heads, cost, index, graph = random_edges(seed)
    least = {}
    for u, v, key, weight in graph.edges(keys=True, data="weight"):
        if u != v:
            pair = tuple(sorted((u, v)))
            least[pair] = min(least.get(pair, (99, 99)), (weight, key))
    assert cheapest(size, tails, heads, cost, index).tolist() == [least[pair][1] for pair in sorted(least)]


@given(seeds())
@SOME
def test_shortest_ways(seed):
    size, tails, heads, cost, index, graph = random_edges(seed)
    sources = np.unique(np.random.default_rng(seed).integers(0, size, 2))
    ways = shortest(size, tails, heads, cost, index=index, sources=sources)
    far = nx.multi_source_dijkstra_path_length(graph, set(sources.tolist()))
    assert ways.distance.tolist() == [far.get(vertex, -1) for vertex in range(size)]
    assert ((ways.source >= 0) == (ways.distance >= 0)).all()
    assert (ways.source[sources] == sources).all()
    for vertex in np.flatnonzero(ways.edge >= 0).tolist():
        edge, before = ways.edge[vertex], ways.before[vertex]
        assert edge in index
        assert {tails[edge], heads[edge]} == {vertex, before}
        assert ways.distance[vertex] == ways.distance[before] + cost[edge]
        assert ways.source[vertex] == ways.source[before]


@given(seeds())
@SOME
def test_spanning_forests(seed):
    """As cheap as networkx's, of as many edges; ranks may be below zero."""
    size, tails, heads, cost, index, _ = random_edges(seed)
    rank = cost[index] - 4
    forest = spanning(size, tails, heads, rank, index=index)
    shifted = np.zeros(len(cost), int)
    shifted[index] = rank
    graph = made(size, tails, heads, shifted, index)
    best = list(nx.minimum_spanning_edges(graph, keys=True, data=True))
    assert len(forest) == len(best)
    assert shifted[forest].sum() == sum(data["weight"] for *_, data in best)
    assert nx.is_forest(made(size, tails, heads, cost, forest))
    assert np.isin(forest, index).all()


@given(seeds())
@SOME
def test_hops(seed):
    size, tails, heads, _, _, _ = random_edges(seed)
    rng = np.random.default_rng(seed)
    root, shut = int(rng.integers(size)), rng.integers(0, size, 2)
    shut = shut[shut != root]
    graph = made(size, tails, heads, np.ones(len(tails), int), np.arange(len(tails)))
    for without in (None, shut):
        graph.remove_nodes_from([] if without is None else without.tolist())
        far = nx.single_source_shortest_path_length(graph, root)
        expected = [far.get(vertex, np.inf) for vertex in range(size)]
        assert hops(size, tails, heads, root, without=without).tolist() == expected


@given(seeds())
@SOME
def test_rooted_forests_and_their_joins(seed):
    size, tails, heads, cost, index, _ = random_edges(seed)
    rng = np.random.default_rng(seed)
    tree = spanning(size, tails, heads, cost[index], index=index)
    root = int(rng.integers(-1, size))
    forest = rooted(size, tails, heads, tree, root=root)
    graph = made(size, tails, heads, cost, tree)
    place = np.argsort(forest.order)
    assert sorted(forest.order.tolist()) == list(range(size))
    assert np.count_nonzero(forest.parent < 0) == nx.number_connected_components(graph)
    assert root < 0 or forest.parent[root] == forest.edge[root] == -1
    for vertex in np.flatnonzero(forest.parent >= 0).tolist():
        assert place[forest.parent[vertex]] < place[vertex]
        assert {tails[forest.edge[vertex]], heads[forest.edge[vertex]]} == {vertex, forest.parent[vertex]}
    odd = rng.random(size) < 0.5
    join = forest_join(forest, odd)
    wrong = parity(size, tails, heads, np.bincount(join, minlength=len(tails))) != odd
    assert np.isin(join, tree).all()
    assert (forest.parent[wrong] < 0).all()


def test_a_chain_is_walked_by_half_edges():
    """Round a ring of any directions and back to where it began."""
    ring, rng = np.arange(7), np.random.default_rng(0)
    ends = np.stack([ring, np.roll(ring, -1)])
    turned = rng.random(7) < 0.5
    ends[:, turned] = ends[::-1, turned]
    halves = Halves(7, *ends)
    at, seen = np.array([int(turned[0])]), []
    for _ in ring:
        seen.append(int(halves.tail[at[0]]))
        assert halves.head(at)[0] == (seen[-1] + 1) % 7
        at = halves.onward(at)
    assert seen == ring.tolist()
    assert at[0] == int(turned[0])


def test_ties_go_to_the_smaller_index():
    twice = np.array([0, 1, 0]), np.array([1, 0, 1]), np.array([4, 4, 4])
    assert cheapest(2, *twice, np.array([2, 1, 0])).tolist() == [0]
    assert spanning(2, *twice, index=np.arange(3)).tolist() == [0]
