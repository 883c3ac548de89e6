"""How much work large matchings may be, and what is left where that is not enough.

The reference is the same join by other means: terminals in place of a rebate (each an exact method), and
matching without any limit.
"""

import networkx as nx
import numpy as np
import pytest

from stitchpath.postman import rural_postman, verify
from stitchpath.postman.graphs import parity
from stitchpath.postman.joins import tjoin
from stitchpath.postman.joins.tjoin import Web, min_join, prepare
from stitchpath.postman.model.net import make_net
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.relaxed import end_rebates as rebate
from stitchpath.postman.relaxed import relax as worlds
from stitchpath.postman.relaxed.relax import relax
from stitchpath.postman.relaxed.worlds import find_worlds

ONE_TRY = {"_PRICE_FROM": 0, "_PRICE_WORK": 0, "_LEAST_TRIES": 1, "_NEAR_EDGES": 0}
"""Prices that run out at once."""


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


@pytest.mark.parametrize("tries", [1, 2])
def test_wherever_the_tries_end_there_is_a_join_and_a_bound(monkeypatch, tries):
    unmet, bounds = 0, []
    for seed in range(60):
        web, odd = islands(seed)
        best = value(web, min_join(web, odd).edges)
        with monkeypatch.context() as few:
            for name, limit in (ONE_TRY | {"_LEAST_TRIES": tries}).items():
                few.setattr(tjoin, name, limit)
            join = min_join(web, odd)
        assert join.lower.sum() <= best <= value(web, join.edges)
        assert not (parity(web.size, web.tails, web.heads, join.edges) ^ odd)[:-1].any()
        assert not join.matched or join.lower.sum() == best
        unmet += not join.matched
        bounds.append(join.lower.sum() / best)
    assert unmet > 3
    assert min(bounds) > 0
    assert np.mean(bounds) > 0.8


def lattice(side: int) -> nx.Graph:
    graph, rng = nx.grid_2d_graph(side, side), np.random.default_rng(7)
    for _, _, data in graph.edges(data=True):
        data.update(cost=int(rng.integers(1, 100)), required=bool(rng.random() < 0.5))
    return graph


@pytest.mark.parametrize("trail_cost", [400, 4000])
def test_a_result_says_that_a_matching_was_too_much_work(monkeypatch, trail_cost):
    """There are a plan and a bound above nothing all the same."""
    graph = lattice(14)
    asked = {"trail_cost": trail_cost, "start": (0, 0)}
    exact = rural_postman(graph, **asked, effort="quick")
    monkeypatch.setattr(worlds, "_LITTLE", 0)
    for name, limit in ONE_TRY.items():
        monkeypatch.setattr(tjoin, name, limit)
    spent = rural_postman(graph, **asked, effort="quick")
    assert exact.matched
    assert not spent.matched
    assert not spent.optimal
    first = sum(data["cost"] for _, _, data in graph.edges(data=True) if data["required"])
    assert first < spent.bound <= exact.cost <= spent.cost
    monkeypatch.undo()
    assert verify(graph, spent, **asked).proven <= exact.cost


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
