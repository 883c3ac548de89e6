"""Worlds, against networkx's components and shortest paths."""

import networkx as nx
import numpy as np
import pytest
from postman_oracle import random_problem

from stitchpath.postman.errors import NoPlanError
from stitchpath.postman.model.net import make_net
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.relaxed.worlds import find_worlds


def parts_with_required(problem):
    """Return the components that hold a required edge, over all edges that may be taken, by networkx."""
    graph = nx.MultiGraph()
    graph.add_nodes_from(range(problem.size))
    able = problem.required | (problem.extra > 0)
    graph.add_edges_from(zip(problem.tails[able].tolist(), problem.heads[able].tolist(), strict=True))
    held = set(problem.tails[problem.required].tolist())
    return graph, sorted(sorted(part) for part in nx.connected_components(graph) if part & held)


def test_worlds_are_components_that_hold_something_required():
    several = 0
    for seed in range(60):
        problem = random_problem(seed, hub=True)
        worlds = find_worlds(make_net(problem))
        _, parts = parts_with_required(problem)
        assert sorted(np.flatnonzero(worlds.of == one).tolist() for one in range(worlds.count)) == parts
        degree = nx.MultiGraph()
        degree.add_nodes_from(range(problem.size))
        own = problem.required
        degree.add_edges_from(zip(problem.tails[own].tolist(), problem.heads[own].tolist(), strict=True))
        assert worlds.odd[:-1].tolist() == [degree.degree[v] % 2 == 1 for v in range(problem.size)]
        assert worlds.touching[:-1].tolist() == [degree.degree[v] > 0 for v in range(problem.size)]
        several += worlds.count > 1
    assert several > 20


def test_ways_out_and_the_nearest_vertex():
    """The hub joined to every end: networkx's distances from there."""
    refused = trees = 0
    for seed in range(60):
        problem = random_problem(seed, hub=True)
        graph, parts = parts_with_required(problem)
        for edge in np.flatnonzero(problem.extra > 0).tolist():
            graph.add_edge(int(problem.tails[edge]), int(problem.heads[edge]), cost=int(problem.cost[edge]))
        ways = nx.MultiGraph([(u, v, d) for u, v, d in graph.edges(data=True) if "cost" in d])
        ways.add_node("hub")
        ways.add_edges_from(("hub", v, {"cost": int(c)}) for v, c in enumerate(problem.end_cost) if c >= 0)
        far = nx.single_source_dijkstra_path_length(ways, "hub", weight="cost")
        worlds = find_worlds(make_net(problem))
        assert worlds.pi[:-1].tolist() == [far.get(vertex, -1) for vertex in range(problem.size)]
        touched = [[v for v in part if worlds.touching[v] and v in far] for part in parts]
        if not all(touched):
            with pytest.raises(NoPlanError, match="no trail may end anywhere in reach of vertex") as caught:
                _ = worlds.nearest
            assert not any(caught.value.vertex in ways and v in far for v in [caught.value.vertex])
            refused += 1
            continue
        for world, able in zip(
            sorted(range(worlds.count), key=lambda one: parts_of(worlds, one)), touched, strict=True
        ):
            assert worlds.nearest[world] == min(able, key=lambda v: (far[v], v))
        for world in range(worlds.count):
            inside = ways.subgraph(parts_of(worlds, world)).copy()
            inside.add_nodes_from(parts_of(worlds, world))
            inside.remove_edges_from([*nx.selfloop_edges(inside, keys=True)])
            if nx.is_connected(inside):  # else a required edge that may not be taken again holds it together
                assert worlds.trees[world] == nx.is_tree(inside)
                trees += worlds.trees[world]
    assert refused > 0
    assert trees > 5


def parts_of(worlds, world):
    return np.flatnonzero(worlds.of == world).tolist()


def test_a_closed_walk_reaches_one_world_only():
    ends = np.array([0, 2]), np.array([1, 3])
    two = Problem(4, *ends, np.ones(2, int), np.ones(2, bool), np.ones(2, int), None)
    with pytest.raises(NoPlanError, match=r"vertex 2 cannot be reached .* allow trails") as caught:
        find_worlds(make_net(two))
    assert caught.value.vertex == 2
    trails = Problem(4, *ends, np.ones(2, int), np.ones(2, bool), np.ones(2, int), np.ones(4, int))
    assert find_worlds(make_net(trails)).count == 2


def test_without_a_hub_there_is_no_way_out():
    one = Problem(2, [0], [1], [3], np.array([True]), [1], None)
    worlds = find_worlds(make_net(one))
    assert worlds.ways is None
    assert worlds.pi.tolist() == [-1, -1]
