"""What large matchings may take, and what is left where they may not.

The reference is the same join by other means: terminals in place of a rebate (each an exact method), and
matching without any limit.
"""

import importlib

import networkx as nx
import numpy as np
import pytest

from stitchpath.postman import blossom, rebate, rural, rural_postman, tjoin, verify, worlds
from stitchpath.postman.graphs import parity
from stitchpath.postman.net import make_net
from stitchpath.postman.problem import Problem
from stitchpath.postman.tjoin import Web, min_join, prepare
from stitchpath.postman.worlds import find_worlds, relax

solving = importlib.import_module("stitchpath.postman.solve")


def islands(seed: int) -> tuple[Web, np.ndarray]:
    """Two lattices and a free vertex, each vertex with a way there; costs from a few to many edges'."""
    rng = np.random.default_rng(seed)
    side, each = 7, 49
    at = np.arange(each).reshape(side, side)
    tails = np.concatenate([at[:, :-1].ravel(), at[:-1].ravel()])
    heads = np.concatenate([at[:, 1:].ravel(), at[1:].ravel()])
    tails = np.concatenate([tails, tails + each, np.arange(2 * each)])
    heads = np.concatenate([heads, heads + each, np.full(2 * each, 2 * each)])
    cost = rng.integers(0 if seed % 5 == 0 else 1, 40, len(tails))
    cost[-2 * each :] = rng.choice([[30, 31, 32], [60, 150, 600], [5, 400, 800]][seed % 3], 2 * each)
    web = prepare(2 * each + 1, tails, heads, cost, index=np.arange(len(tails)), free=2 * each)
    return web, np.append(rng.random(2 * each) < 0.5, False)


def value(web: Web, edges: np.ndarray) -> int:
    return int(web.cost[edges].sum())


def test_a_rebate_finds_what_terminals_find(monkeypatch):
    lone = 0
    for seed in range(120):
        web, odd = islands(seed)
        best = value(web, min_join(web, odd).edges)
        monkeypatch.setattr(tjoin, "_PRICE_FROM", 0)
        priced = min_join(web, odd)
        monkeypatch.undo()
        assert priced.matched
        assert value(web, priced.edges) == best == priced.lower.sum()
        assert priced.lower[-1] == 0
        assert not (parity(web.size, web.tails, web.heads, priced.edges) ^ odd)[:-1].any()
        lone += odd[:49].sum() % 2 or odd[49:].sum() % 2
    assert lone > 60


@pytest.mark.parametrize("through", [0, 1, 2])
def test_wherever_the_budget_ends_there_is_a_join_and_a_bound(monkeypatch, through):
    """After so many matchings none succeeds; what was learnt before counts."""
    monkeypatch.setattr(tjoin, "_PRICE_FROM", 0)
    true_match, bounds = blossom.match, []
    for seed in range(40):
        web, odd = islands(seed)
        best, calls = value(web, min_join(web, odd).edges), []

        def spent(*case, calls=calls, **_):
            calls.append(1)
            return true_match(*case) if len(calls) <= through or np.count_nonzero(case[3]) < 9 else None

        monkeypatch.setattr(blossom, "match", spent)
        join = min_join(web, odd)
        monkeypatch.setattr(blossom, "match", true_match)
        assert join.lower.sum() <= best <= value(web, join.edges)
        assert not (parity(web.size, web.tails, web.heads, join.edges) ^ odd)[:-1].any()
        assert not join.matched or join.lower.sum() == best
        bounds.append(join.lower.sum() / best)
    assert min(bounds) > 0
    assert through == 0 or np.mean(bounds) > 0.85


def test_children_share_seconds(monkeypatch):
    monkeypatch.setattr(blossom, "CHILD_FROM", 0)
    edge = np.array([0]), np.array([1]), np.array([3]), np.array([True, True])
    with blossom.sharing(60.0) as outer:
        with blossom.sharing(0.0) as inner:
            assert blossom.match(*edge) is None
        assert inner.spent
        assert outer.spent
        assert outer.left_s > 59
        assert blossom.match(*edge).tolist() == [True]
        assert outer.left_s < 60
    assert blossom.match(*edge).tolist() == [True]


def lattice(side: int) -> nx.Graph:
    graph, rng = nx.grid_2d_graph(side, side), np.random.default_rng(7)
    for _, _, data in graph.edges(data=True):
        data.update(cost=int(rng.integers(1, 100)), required=bool(rng.random() < 0.5))
    return graph


@pytest.mark.parametrize("trail_cost", [None, 400, 4000])
def test_a_result_says_that_its_budget_was_spent(monkeypatch, trail_cost):
    """No matching succeeds, and there are a plan and a bound above nothing all the same."""
    graph = lattice(14)
    exact = rural_postman(graph, trail_cost=trail_cost, effort="quick")
    monkeypatch.setattr(blossom, "CHILD_FROM", 1)
    monkeypatch.setattr(solving, "_BUDGET_S", {"quick": 0.0})
    monkeypatch.setattr(rural, "_CHECK_S", 0.0)
    spent = rural_postman(graph, trail_cost=trail_cost, effort="quick")
    assert exact.matched
    assert not spent.matched
    assert not spent.optimal
    first = sum(data["cost"] for _, _, data in graph.edges(data=True) if data["required"])
    assert first < spent.bound <= exact.cost <= spent.cost
    monkeypatch.undo()
    assert verify(graph, spent, trail_cost=trail_cost).proven <= exact.cost


def test_a_world_that_lacks_ends_is_priced_as_terminals_price_it(monkeypatch):
    """Ends so dear that no plan has more than it must: the first answer has none."""
    rng = np.random.default_rng(0)
    met = 0
    for seed in range(20):
        graph = nx.convert_node_labels_to_integers(lattice(8 + seed % 3))
        tails, heads = np.array(graph.edges).T
        required = rng.random(len(tails)) < 0.6
        end = rng.choice([500, 700], graph.number_of_nodes())
        cost = rng.integers(1, 60, len(tails))
        problem = Problem(len(end), tails, heads, cost, required, np.where(required, 1, 2), end)
        found = find_worlds(make_net(problem))
        true = relax(found)
        monkeypatch.setattr(worlds, "LACKING_FROM", 1)
        priced = relax(found)
        monkeypatch.undo()
        assert (priced.lower <= true.lower).all()
        assert priced.lower.sum() > 0.95 * true.lower.sum()
        met += bool((priced.lower == true.lower).all())
    assert met >= 10
    assert rebate.LACKING_FROM == worlds.LACKING_FROM
