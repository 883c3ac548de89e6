"""Joins against networkx's matching and brute force, and at the limits of what the matching can take."""

import itertools

import networkx as nx
import numpy as np
import pytest
from postman_oracle import brute_force_join

from stitchpath.postman.errors import OddComponentError
from stitchpath.postman.graphs import components, parity
from stitchpath.postman.joins.tjoin import min_join, prepare
from stitchpath.postman.model.problem import to_whole, whole_unit


def random_web(seed, *, free=False, scale=20):
    rng = np.random.default_rng(seed)
    size = int(rng.integers(2, 8))
    count = int(rng.integers(1, 13))
    tails, heads = rng.integers(0, size, count), rng.integers(0, size, count)
    cost = rng.integers(0, scale, count)
    odd = rng.random(size) < 0.5
    web = prepare(size, tails, heads, cost, index=np.arange(count), free=size - 1 if free else -1)
    return web, odd


def value(web, join):
    return int(web.cost[join.edges].sum())


@pytest.mark.parametrize("first", range(0, 300, 50))
def test_against_brute_force(first):
    feasible = 0
    for seed in range(first, first + 50):
        web, odd = random_web(seed)
        best = brute_force_join(web.size, web.tails, web.heads, web.cost, odd)
        if best is None:
            with pytest.raises(OddComponentError):
                min_join(web, odd)
            continue
        join = min_join(web, odd)
        assert value(web, join) == best == join.lower.sum()
        assert (parity(web.size, web.tails, web.heads, join.edges) == odd).all()
        feasible += 1
    assert feasible > 10


@pytest.mark.parametrize("first", range(0, 150, 50))
def test_a_free_vertex_takes_whichever_parity_is_cheaper(first):
    """The free vertex is the matching's boundary; as an ordinary vertex, in or out, it gives the same."""
    for seed in range(first, first + 50):
        web, odd = random_web(seed, free=True)
        both = []
        for last in (False, True):
            odd[-1] = last
            both.append(brute_force_join(web.size, web.tails, web.heads, web.cost, odd))
        best = min((one for one in both if one is not None), default=None)
        if best is None:
            with pytest.raises(OddComponentError):
                min_join(web, odd)
        else:
            join = min_join(web, odd)
            assert value(web, join) == best == join.lower.sum()


def grid(side, cost):
    """Build a square grid of vertices."""
    place = np.arange(side * side).reshape(side, side)
    tails = np.concatenate([place[:, :-1].ravel(), place[:-1].ravel()])
    heads = np.concatenate([place[:, 1:].ravel(), place[1:].ravel()])
    return prepare(side * side, tails, heads, cost(len(tails)), index=np.arange(len(tails)))


def matched_by_networkx(web, odd):
    """Match over shortest distances with networkx (Edmonds and Johnson 1973)."""
    graph = nx.Graph()
    for u, v, cost in zip(web.tails.tolist(), web.heads.tolist(), web.cost.tolist(), strict=True):
        known = graph.get_edge_data(u, v, {"weight": cost})
        graph.add_edge(u, v, weight=min(cost, known["weight"]))
    complete = nx.Graph()
    ends = np.flatnonzero(odd).tolist()
    for u, v in itertools.combinations(ends, 2):
        if nx.has_path(graph, u, v):
            complete.add_edge(u, v, weight=nx.dijkstra_path_length(graph, u, v))
    return sum(complete.edges[pair]["weight"] for pair in nx.min_weight_matching(complete))


@pytest.mark.parametrize("scale", [1, 2**20, 2**23])
@pytest.mark.parametrize("seed", range(4))
def test_against_networkx_matching(seed, scale):
    rng = np.random.default_rng(seed)
    web = grid(7, lambda count: rng.integers(0, 3 * scale, count) // 2)
    odd = np.zeros(49, bool)
    odd[rng.choice(49, 12, replace=False)] = True
    join = min_join(web, odd)
    assert value(web, join) == matched_by_networkx(web, odd)
    assert (web.shift > 0) == (web.cost.max() >= 2**24)


def path(cost):
    count = len(cost)
    return prepare(count + 1, np.arange(count), np.arange(1, count + 1), cost, index=np.arange(count))


@pytest.mark.parametrize(
    ("cost", "shift"),
    [
        (np.array([2**24 - 1, 1]), 0),
        (np.array([2**24, 3]), 1),
        (np.full(65, 2**24 - 1), 2),
        (np.full(31, 2**24 - 1), 0),
        (np.array([2**40, 0, 1, 2**40]), 17),
    ],
)
def test_costs_are_shifted_to_fit(cost, shift):
    """Each weight under 2**24, each distance under 2**30: on a path both ends' join takes everything."""
    web = path(cost)
    odd = np.zeros(web.size, bool)
    odd[[0, -1]] = True
    join = min_join(web, odd)
    assert web.shift == shift
    assert join.edges.all()
    assert (cost >> shift).max() < 2**24
    assert int((cost >> shift).sum()) < 2**30
    assert 0 <= cost.sum() - join.lower.sum() < 2**shift * len(cost)


@pytest.mark.parametrize("seed", range(10))
def test_mixed_magnitudes_give_a_bound_from_below(seed):
    rng = np.random.default_rng(seed)
    web = grid(6, lambda count: np.exp2(rng.uniform(0, 48, count)).astype(np.int64))
    odd = np.zeros(36, bool)
    odd[rng.choice(36, 8, replace=False)] = True
    join = min_join(web, odd)
    best = matched_by_networkx(web, odd)
    assert join.lower.sum() <= best <= value(web, join)
    assert value(web, join) - best <= len(web.tails) << web.shift


def test_a_long_way_is_scaled_down():
    """Unscaled it would be 2**34.5 long; a distance near 2**31 makes the matching hang."""
    web = path(np.full(3000, 2**23))
    odd = np.zeros(web.size, bool)
    odd[[0, -1]] = True
    join = min_join(web, odd)
    assert join.edges.all()
    assert join.matched
    assert web.cost.sum() >> web.shift < 2**30 <= web.cost.sum() >> web.shift - 2
    assert join.lower.sum() == web.cost.sum()


@pytest.mark.parametrize("over", [-1, 0, 1])
def test_weights_at_their_limit(over):
    """A weight of 2**24 is scaled by a bit, and a unit less is not."""
    web = path(np.array([2**24 + over]))
    join = min_join(web, np.array([True, True]))
    assert web.shift == (over >= 0)
    assert join.edges.all()
    assert 2**24 + over - join.lower.sum() == max(over, 0)


@pytest.mark.parametrize("over", [-(2**24), -1, 0, 1])
@pytest.mark.parametrize("bits", [29, 30, 31, 34])
def test_ways_at_their_limit(bits, over):
    """End to end just around a power of two: what is matched stays below 2**30, and the bound close."""
    whole = 2**bits + over
    cost = np.full(whole // (2**24 - 1), 2**24 - 1)
    cost = np.append(cost, whole - cost.sum())
    web = path(cost)
    odd = np.zeros(web.size, bool)
    odd[[0, -1]] = True
    join = min_join(web, odd)
    assert int((cost >> web.shift).sum()) < 2**30
    assert web.shift <= max(0, bits - 28)
    assert web.shift == 0 or whole >= 2**30
    assert join.edges[cost > 0].all()
    assert 0 <= whole - join.lower.sum() <= len(cost) * (2**web.shift - 1)


@pytest.mark.parametrize(("outlet", "shift"), [(2**22, 1), (2**21, 0)])
def test_two_ways_out_count_towards_the_limit(outlet, shift):
    """Between the ends of a path, each with an edge to the free vertex, a way leads out and in again."""
    inner = 2**30 - 6 * 2**20
    cost = np.full(inner // 2**20, 2**20)
    size = len(cost) + 2
    tails = np.append(np.arange(size - 2), [0, size - 2])
    heads = np.append(np.arange(1, size - 1), [size - 1, size - 1])
    web = prepare(size, tails, heads, np.append(cost, [outlet] * 2), index=np.arange(size), free=size - 1)
    assert web.shift == shift
    join = min_join(web, np.isin(np.arange(size), [0, size - 2]))
    assert join.edges.tolist() == [False] * (size - 2) + [True] * 2
    assert join.lower.sum() == 2 * outlet


def random_graph(seed, cost):
    """Make a graph with parallel edges and self-loops; twelve of its thirty vertices odd, in pairs."""
    rng = np.random.default_rng(seed)
    tails, heads = rng.integers(0, 30, (2, 90))
    web = prepare(30, tails, heads, cost(rng, 90), index=np.arange(90))
    odd = np.zeros(30, bool)
    component = components(30, tails, heads, np.arange(90))[1]
    for part in np.unique(component):
        inside = rng.permutation(np.flatnonzero(component == part))
        odd[inside[: min(len(inside), 12) // 2 * 2]] = True
    return web, odd


COSTS = {
    "small": lambda rng, count: rng.integers(0, 9, count),
    "mostly zero": lambda rng, count: rng.integers(0, 9, count) * (rng.random(count) < 0.2),
    "all zero": lambda rng, count: np.zeros(count, np.int64),
    "near 2**24": lambda rng, count: 2**24 - rng.integers(1, 1000, count),
    "near 2**24 and one": lambda rng, count: np.where(rng.random(count) < 0.5, 1, 2**24 - 1),
}


@pytest.mark.parametrize("name", COSTS)
@pytest.mark.parametrize("seed", range(12))
def test_multigraphs_against_networkx_matching(seed, name):
    web, odd = random_graph(seed, COSTS[name])
    join = min_join(web, odd)
    assert web.shift == 0
    assert value(web, join) == matched_by_networkx(web, odd) == join.lower.sum()
    assert (parity(web.size, web.tails, web.heads, join.edges) == odd).all()


@pytest.mark.parametrize("seed", range(12))
def test_costs_from_a_millionth_to_a_thousand_million(seed):
    """Rounded once to whole units: each edge is half a unit out at most, and so much a join may be."""
    rng = np.random.default_rng(seed)
    exact = 10 ** rng.uniform(-6, 9, 90)
    unit = whole_unit(exact)
    web, odd = random_graph(seed, lambda _rng, _count: to_whole(exact, unit))
    assert web.shift == 0
    join = min_join(web, odd)
    assert value(web, join) == matched_by_networkx(web, odd)
    best = matched_by_networkx(prepare(30, web.tails, web.heads, exact, index=web.index), odd)
    spent = float(exact[join.edges].sum())
    assert best * (1 - 1e-12) <= spent <= best + unit * len(exact)


def test_an_odd_component_is_named():
    web = path(np.array([1, 1]))
    with pytest.raises(OddComponentError, match="vertex 1 lies in a component with oddly many") as caught:
        min_join(web, np.array([False, True, False]))
    assert caught.value.vertex == 1


def test_of_two_components_the_odd_one_is_named():
    """The first one is even; the second one has three odd vertices, and the first of them is told."""
    tails, heads = np.array([0, 2, 3]), np.array([1, 3, 4])
    web = prepare(5, tails, heads, np.ones(3, np.int64), index=np.arange(3))
    with pytest.raises(OddComponentError) as caught:
        min_join(web, np.ones(5, bool))
    assert caught.value.vertex == 2
    free = prepare(5, tails, heads, np.ones(3, np.int64), index=np.arange(3), free=3)
    assert min_join(free, np.ones(5, bool)).edges.sum() == 3
