"""Trails: every edge as often as asked, as few trails as the numbers force, straight on where they can."""

import math
from collections import Counter

import networkx as nx
import numpy as np
import pytest
from postman_cases import check_cover, turn_backs
from walk_figures import straight_share

from stitchpath.postman.trails.walks import trace


def random_problem(seed):
    """Return a random multigraph with loops, copies and ends; about half with a free start."""
    rng = np.random.default_rng(seed)
    size, m = int(rng.integers(1, 9)), int(rng.integers(0, 16))
    tails, heads = rng.integers(0, size, (2, m))
    times = rng.integers(0, 4, m)
    degree = np.bincount(np.concatenate((tails, heads)), np.concatenate((times, times)), minlength=size)
    degree = degree.astype(int)
    start = int(rng.integers(size)) if rng.random() < 0.5 else -1
    half = degree + (np.arange(size) == start)
    ends = half % 2 + 2 * rng.integers(0, 2, size)
    if rng.random() < 0.3:
        ends = half % 2
    ends = np.where(ends > degree, half % 2, ends)
    headings = rng.uniform(-math.pi, math.pi, (2, m))
    return {
        "size": size,
        "tails": tails,
        "heads": heads,
        "times": times,
        "ends": ends,
        "start": start,
        "headings": headings if rng.random() < 0.8 else None,
    }


def support(problem):
    graph = nx.MultiGraph()
    graph.add_nodes_from(np.flatnonzero(problem["ends"]).tolist())
    if problem["start"] >= 0:
        graph.add_node(problem["start"])
    for tail, head, often in zip(problem["tails"], problem["heads"], problem["times"], strict=True):
        graph.add_edges_from([(int(tail), int(head))] * int(often))
    return graph


def forced_turn_backs(problem):
    """Where one edge's end has over half of a junction's half-edges, the rest of it must turn back."""
    sides = Counter()
    for tail, head, often, edge in zip(
        problem["tails"], problem["heads"], problem["times"], range(len(problem["tails"])), strict=True
    ):
        sides[int(tail), edge, 0] += int(often)
        sides[int(head), edge, 1] += int(often)
    total = Counter()
    for (vertex, _, _), often in sides.items():
        total[vertex] += often
    stops = problem["ends"] + (np.arange(problem["size"]) == problem["start"])
    return sum(
        max(0, (2 * often - total[vertex] - int(stops[vertex])) // 2)
        for (vertex, _, _), often in sides.items()
    )


@pytest.mark.parametrize("seed", range(400))
def test_random_multigraphs_edge_by_edge(seed):
    problem = random_problem(seed)
    trails = trace(**problem)
    check_cover(trails, **{name: problem[name] for name in ("tails", "heads", "times")})
    graph = support(problem)
    stops = problem["ends"] + (np.arange(problem["size"]) == problem["start"])
    closed = 0
    expected = Counter()
    for component in nx.connected_components(graph):
        inside = int(sum(stops[v] for v in component))
        expected[min(component)] = inside // 2 or 1
        closed += inside == 0
    # Euler 1736, Listing 1847: half the ends, or one closed walk where there is none.
    assert len(trails) == stops.sum() // 2 + closed
    found = Counter(min(nx.node_connected_component(graph, trail.first)) for trail in trails)
    assert found == +expected
    if problem["start"] >= 0:
        assert trails[0].first == problem["start"]
    with_ends = trails[: len(trails) - closed]
    at_ends = Counter(v for trail in with_ends for v in (trail.first, trail.last))
    assert [at_ends[v] for v in range(problem["size"])] == stops.tolist()


@pytest.mark.parametrize("seed", range(400))
def test_no_turning_back_that_is_not_forced(seed):
    # Kotzig 1968: an Euler tour without forbidden passages exists if no class of half-edges is a majority.
    problem = random_problem(seed)
    assert turn_backs(trace(**problem)) <= forced_turn_backs(problem)


@pytest.mark.parametrize("seed", range(60))
def test_connected_graph_with_2k_odd_vertices_takes_k_trails(seed):
    rng = np.random.default_rng(seed)
    graph = nx.gnm_random_graph(12, int(rng.integers(14, 30)), seed=seed)
    if not nx.is_connected(graph):
        graph = nx.compose(graph, nx.path_graph(12))
    tails, heads = np.array(graph.edges).T
    odd = np.array([graph.degree[v] % 2 for v in range(12)])
    trails = trace(size=12, tails=tails, heads=heads, times=np.ones(len(tails), int), ends=odd)
    check_cover(trails, tails=tails, heads=heads, times=np.ones(len(tails), int))
    # networkx as the reference: one open trail exactly if has_eulerian_path, closed if is_eulerian.
    assert len(trails) == max(1, odd.sum() // 2)
    assert (len(trails) == 1) == nx.has_eulerian_path(graph)
    assert (len(trails) == 1 and trails[0].closed) == nx.is_eulerian(graph)


def star(directions, times=None):
    """Return the problem of rays from vertex 0 at these directions in degrees, an end at each tip."""
    m = len(directions)
    angle = np.radians(directions)
    times = np.ones(m, int) if times is None else np.asarray(times)
    return {
        "size": m + 1,
        "tails": np.zeros(m, int),
        "heads": np.arange(1, m + 1),
        "times": times,
        "ends": np.concatenate(([0], times % 2)),
        "headings": np.stack((angle, angle + math.pi)),
    }


def test_a_crossing_is_walked_straight():
    trails = trace(**star([0, 90, 180, 270]))
    assert sorted(sorted(t.edges.tolist()) for t in trails) == [[0, 2], [1, 3]]


@pytest.mark.parametrize("degree", [4, 6, 8, 10, 16, 24])
def test_a_wheel_is_walked_straight_at_any_degree(degree):
    problem = star(np.arange(degree) * 360 / degree)
    trails = trace(**problem)
    assert all(abs(int(t.edges[0]) - int(t.edges[1])) == degree // 2 for t in trails)
    share = {name: problem[name] for name in ("size", "tails", "heads", "headings")}
    assert straight_share(trails, **share) == (degree // 2, degree // 2)


@pytest.mark.parametrize("seed", range(30))
def test_large_junctions_against_the_cheapest_perfect_matching(seed):
    # networkx's blossom algorithm as the reference: as many straight passages as any pairing has.
    rng = np.random.default_rng(seed)
    degree = int(rng.choice([8, 10, 12, 14]))
    directions = rng.choice([0, 10, 45, 90, 180, 190, 225, 268], degree) + rng.uniform(-2, 2, degree)
    problem = star(directions)
    share = {name: problem[name] for name in ("size", "tails", "heads", "headings")}
    went, could = straight_share(trace(**problem), **share)
    assert went >= (could if degree == 8 else could - 1)


def test_bad_numbers_name_the_vertex():
    edge = {"size": 2, "tails": [0], "heads": [1], "times": [1]}
    with pytest.raises(ValueError, match=r"vertex 1 has an odd number"):
        trace(**edge, ends=[1, 0])
    with pytest.raises(ValueError, match=r"vertex 0 has more ends than half-edges"):
        trace(**edge, ends=[3, 1])


def test_start_with_nothing_left_is_an_empty_trail():
    trails = trace(size=3, tails=[0], heads=[1], times=[1], ends=[1, 1, 1], start=2)
    assert (len(trails[0]), trails[0].first, trails[0].last) == (0, 2, 2)
    assert [t.edges.tolist() for t in trails[1:]] == [[0]]


def test_results_are_read_only():
    (trail,) = trace(size=2, tails=[0], heads=[1], times=[1], ends=[1, 1])
    with pytest.raises(ValueError, match="read-only"):
        trail.edges[0] = 5


@pytest.mark.parametrize("rays", [800, 4_000])
def test_a_great_many_lines_through_one_point_are_walked_straight(rays):
    """Each ray twice, so that all hangs together: nearly every passage straight, one walk, at once."""
    problem = star(np.arange(rays) * 360 / rays, times=np.full(rays, 2))
    (trail,) = trace(**problem)
    check_cover([trail], **{name: problem[name] for name in ("tails", "heads", "times")})
    steps = trail.departures() % 2 == 1
    inward = np.flatnonzero(steps[:-1])
    turned = np.abs(trail.edges[inward] - trail.edges[inward + 1])
    assert len(turned) == rays - 1
    assert np.mean(np.abs(turned - rays // 2) < rays / 24) > 0.95
