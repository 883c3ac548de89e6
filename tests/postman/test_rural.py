"""The public door: walks on networkx graphs, and errors in words of graphs."""

from collections import Counter
from itertools import pairwise

import networkx as nx
import numpy as np
import pytest
from postman_oracle import optimum, random_problem

from stitchpath.postman import NoPlanError, PostmanError, rural, rural_postman, solve, verify
from stitchpath.postman.cuts.certificate import Certificate
from stitchpath.postman.model.problem import to_whole, whole_unit


def koenigsberg(cost=10):
    """Euler 1736: seven bridges, four odd vertices."""
    graph = nx.MultiGraph()
    bridges = ["AB", "AB", "AC", "AC", "AD", "BD", "CD"]
    graph.add_edges_from((*bridge, {"cost": cost, "required": True}) for bridge in bridges)
    return graph


def test_koenigsberg_takes_two_trails():
    result = rural_postman(koenigsberg(), trail_cost=1)
    assert (len(result.walks), result.cost, result.optimal) == (2, 72, True)
    assert sum(map(len, result.walks)) == 7


def test_koenigsberg_closed_repeats_two_bridges():
    result = rural_postman(koenigsberg())
    assert (result.cost, result.optimal, len(result.walks)) == (90, True, 1)
    walk = result.walks[0]
    assert len(walk) == 9
    assert walk[0][0] == walk[-1][1]


@pytest.mark.parametrize("start", "ABCD")
def test_a_closed_walk_begins_at_its_start(start):
    walk = rural_postman(koenigsberg(), start=start).walks[0]
    assert (walk[0][0], walk[-1][1]) == (start, start)


@pytest.mark.parametrize("start", "ABCD")
def test_the_first_trail_begins_at_its_start_free(start):
    result = rural_postman(koenigsberg(), start=start, trail_cost=2)
    assert result.walks[0][0][0] == start
    assert result.cost == 70 + 3
    assert len(result.walks) == 2


def test_ends_only_where_they_are_allowed():
    result = rural_postman(koenigsberg(), trail_cost={"A": 2, "B": 4})
    ends = sorted(node for walk in result.walks for node in (walk[0][0], walk[-1][1]))
    assert (ends, result.cost) == (["A", "B"], 70 + 10 + 3)


@pytest.mark.parametrize("seed", range(40))
def test_walks_of_random_graphs(seed):
    problem = random_problem(seed)
    graph = nx.MultiGraph()
    graph.add_nodes_from(range(problem.size))
    columns = zip(problem.tails, problem.heads, problem.cost, problem.required, problem.extra, strict=True)
    for u, v, cost, required, extra in columns:
        graph.add_edge(int(u), int(v), cost=int(cost), required=bool(required), extra=int(extra))
    ends = problem.end_cost
    trail_cost = None if ends is None else {v: 2 * int(c) for v, c in enumerate(ends) if c >= 0}
    best = optimum(problem)
    if best is None:
        with pytest.raises(NoPlanError):
            rural_postman(graph, trail_cost=trail_cost)
        return
    result = rural_postman(graph, trail_cost=trail_cost)
    assert result.bound <= best <= result.cost
    assert measured(graph, result, ends) == result.cost


def measured(graph, result, ends):
    """Check the walks against the graph by counting, and add up what they cost."""
    times = Counter()
    for walk in result.walks:
        for (_, here, _), (there, _, _) in pairwise(walk):
            assert here == there
        times.update((min(u, v), max(u, v), key) for u, v, key in walk)
    total = 0
    for u, v, key, data in graph.edges(keys=True, data=True):
        count = times.pop((min(u, v), max(u, v), key), 0)
        assert data["required"] <= count <= data["required"] + data["extra"]
        total += count * data["cost"]
    assert not times
    if ends is None:
        assert result.walks[0][0][0] == result.walks[0][-1][1]
        return total
    return total + sum(int(ends[walk[0][0]]) + int(ends[walk[-1][1]]) for walk in result.walks)


def test_a_simple_graph_has_no_keys():
    graph = nx.path_graph(3)
    nx.set_edge_attributes(graph, 2.5, "cost")
    nx.set_edge_attributes(graph, True, "required")
    result = rural_postman(graph)
    assert {key for *_, key in result.walks[0]} == {None}
    assert result.cost == 10.0
    assert result.unit == 0.5
    assert dict(result.copies) == {(0, 1, None): 1, (1, 2, None): 1}


def test_cuts_are_told_by_the_names_of_their_nodes(monkeypatch):
    """Two rings of cost 3, five apart: the cut around either pays 5 for each of two crossings."""
    graph = nx.Graph()
    for names in ("pqr", "xyz"):
        nx.add_cycle(graph, names, cost=1, required=True)
    graph.add_edge("r", "x", cost=5, required=False)
    kept = Certificate(np.array([2, 0, 1, 4, 3, 5]), np.array([0, 0, 0, 1, 1, 1]), np.array([6, 4]), fine=1)
    bounded = {"bound": 16, "certificate": kept}
    monkeypatch.setattr(rural, "solve", lambda *a, **k: Changed(solve(*a, **k), bounded))
    result = rural_postman(graph, effort="quick")
    assert result.cuts == ((("p", "q", "r"), 6), (("x", "y", "z"), 4))
    assert (result.fine, result.optimal, verify(graph, result).proven) == (1, True, 16)


class Changed:
    """A solution with other values in some places."""

    def __init__(self, found, other):
        self.__dict__ |= {name: getattr(found, name) for name in found.__dataclass_fields__} | other
        self.optimal = self.cost == self.bound


def test_the_result_cannot_be_changed():
    result = rural_postman(koenigsberg())
    with pytest.raises(AttributeError):
        result.cost = 0
    with pytest.raises(TypeError):
        result.copies["A", "B", 0] = 5


def test_islands_need_trails():
    graph = nx.Graph([("pear", "leaf", {"cost": 1, "required": True})])
    graph.add_edge("seam", "edge", cost=1, required=True)
    with pytest.raises(NoPlanError, match="node 'seam' cannot be reached"):
        rural_postman(graph)
    assert len(rural_postman(graph, trail_cost=1).walks) == 2


def test_units():
    """Whole numbers stay themselves; else a power of two, exact where 24 bits are enough."""
    assert whole_unit(np.array([1e9, 3.0])) == 1.0
    assert whole_unit(np.array([1.5, 0.125])) == 0.125
    mixed = np.array([1e-6, 1e9])
    assert np.log2(whole_unit(mixed)) == 7
    assert to_whole(mixed, 64.0).tolist() == [0, 15_625_000]
    with pytest.raises(PostmanError, match="nan is no cost"):
        whole_unit(np.array([np.nan]))


def test_mixed_magnitudes_are_solved():
    rng = np.random.default_rng(4)
    graph = nx.random_regular_graph(3, 20, seed=1)
    for u, v in graph.edges:
        graph.edges[u, v].update(cost=float(10 ** rng.uniform(-6, 9)), required=bool(rng.random() < 0.7))
    result = rural_postman(graph, trail_cost=1e3)
    assert result.bound <= result.cost
