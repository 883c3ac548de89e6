"""Vertices passed by change nothing, held against exact programs; and what is no smaller problem is told."""

from dataclasses import replace
from types import MappingProxyType

import networkx as nx
import numpy as np
import pytest
from postman_oracle import optimum, random_candidates, random_problem, run_on_optimum

from stitchpath.postman import NoPlanError, PromiseError, rural_postman, verify
from stitchpath.postman.cuts.columns import no_cuts
from stitchpath.postman.cuts.cutting_planes import Task
from stitchpath.postman.model.net import NO_DOORS, is_plan
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.proof.cut_bound import Asked
from stitchpath.postman.proof.smaller_graph import gone_past
from stitchpath.postman.relaxed.outset import make_outset
from stitchpath.postman.search import fewer_vertices
from stitchpath.postman.search.connect import Held
from stitchpath.postman.smaller.bypass import bypassed
from stitchpath.postman.solve import solve


def spread(seed, *, hub):
    """Make a few required edges far apart in a net of optional ones, some of which may be taken once."""
    rng = np.random.default_rng(seed)
    graph = nx.gnm_random_graph(12, int(rng.integers(14, 24)), seed=seed)
    tails, heads = np.array(graph.edges).T
    required = rng.random(len(tails)) < 0.2
    required[rng.integers(len(tails))] = True
    extra = np.where(rng.random(len(tails)) < 0.85, 2, rng.integers(0, 3, len(tails)))
    ends = np.where(rng.random(12) < 0.7, rng.integers(0, 15, 12), -1) if hub else None
    return Problem(12, tails, heads, rng.integers(0, 9, len(tails)), required, extra, ends)


PROBLEMS = {
    "random": random_problem,
    "spread": lambda seed: spread(seed, hub=False),
    "spread, trails": lambda seed: spread(seed, hub=True),
}


@pytest.mark.parametrize("name", PROBLEMS)
def test_the_optimum_stays_what_it_was(name):
    left_out = 0
    for seed in range(100):
        problem = PROBLEMS[name](seed)
        small = bypassed(problem, np.zeros(problem.size, bool))
        assert optimum(small.problem) == optimum(problem), seed
        left_out += len(small.vertices) < problem.size
    assert left_out > 30


@pytest.mark.parametrize("name", PROBLEMS)
@pytest.mark.parametrize("effort", ["standard", "proof"])
def test_plans_come_back_whole(monkeypatch, name, effort):
    """Also where that spares few vertices or none, with starts and places to run on from."""
    monkeypatch.setattr(fewer_vertices, "_SHARE", 1.0)
    passed = proven = 0
    for seed in range(40):
        problem = PROBLEMS[name](seed)
        doors = problem.end_cost is not None and seed % 2 and (problem.end_cost >= 0).any()
        options = {"candidates": random_candidates(problem, seed)} if doors else {}
        if seed % 3 == 0 and not doors:
            options = {"start": seed % problem.size}
        best = run_on_optimum(problem, options["candidates"]) if doors else optimum(problem, **options)
        if best is None:
            with pytest.raises(NoPlanError):
                solve(problem, **options, effort=effort)
            continue
        found = solve(problem, **options, effort=effort)
        assert found.bound <= best <= found.cost, seed
        times = problem.required + found.copies
        paid = 0 if problem.end_cost is None else int(found.ends @ problem.end_cost)
        back = int(problem.end_cost[found.start]) if doors and found.start >= 0 else 0
        assert found.cost == int(times @ problem.cost) + paid - back, seed
        assert (found.copies <= problem.extra).all()
        passed += found.certificate.smaller is not None
        proven += found.cost == best
    assert passed > 1
    assert proven > 35 * (name != "random")


def nearby(count, seed):
    """Join random points to their four nearest, one edge in ten required."""
    rng = np.random.default_rng(seed)
    points = rng.random((count, 2)) * 1000
    far = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
    graph = nx.Graph()
    for one in range(count):
        for other in np.argsort(far[one])[1:5].tolist():
            graph.add_edge(one, other, cost=round(float(far[one, other])), required=False)
    for one, other in sorted(graph.edges):
        graph.edges[one, other]["required"] = bool(rng.random() < 0.1)
    return graph


@pytest.fixture(scope="module")
def passed():
    """Graphs, prices of trails, and results that rest on smaller ones."""
    found = []
    for seed, ends in ((1, None), (2, None), (3, 300), (4, dict.fromkeys(range(0, 150, 2), 300))):
        graph = nearby(150, seed)
        result = rural_postman(graph, trail_cost=ends)
        assert result.past is not None
        assert len(result.past.nodes) > 60
        found.append((graph, ends, result))
    return found


def test_a_check_goes_by_the_smaller_graph(passed):
    for graph, ends, result in passed:
        checked = verify(graph, result, trail_cost=ends)
        assert checked.proven > 0.98 * result.cost
        assert set(result.past.nodes).isdisjoint(node for way in result.past.ways for node in way[:2])


def test_a_smaller_graph_that_costs_more_is_told(passed):
    """A way made dearer, or left out, or an end: where nothing goes round it, the rest proves nothing."""
    rng = np.random.default_rng(0)
    for graph, ends, result in passed:
        past, told = result.past, 0
        stay = nx.Graph()
        stay.add_weighted_edges_from((u, v, d["cost"]) for u, v, d in graph.edges(data=True) if d["required"])
        for place in rng.permutation(len(past.ways))[:20].tolist():
            u, v, cost = past.ways[place]
            others = past.ways[:place] + past.ways[place + 1 :]
            around = nx.Graph(stay)
            around.add_nodes_from((u, v))
            for one, other, price in others:
                if price < around.get_edge_data(one, other, {"weight": price + 1})["weight"]:
                    around.add_edge(one, other, weight=price)
            needed = not nx.has_path(around, u, v) or nx.dijkstra_path_length(around, u, v) > cost
            for ways in (others, (*others, (u, v, cost + 1))):
                wrong = replace(result, past=replace(past, ways=ways))
                if needed:
                    with pytest.raises(PromiseError, match="as short"):
                        verify(graph, wrong, trail_cost=ends)
                    told += 1
        assert told > 10
        dearer = 0
        for node in past.ends:
            wrong = replace(past, ends=MappingProxyType({**past.ends, node: 10**6}))
            try:
                verify(graph, replace(result, past=wrong), trail_cost=ends)
            except PromiseError:
                dearer += 1
        assert dearer > 0 or not past.ends
    assert passed[3][2].past.ends


def test_what_must_stay_is_not_left_out(passed):
    graph, _, result = passed[0]
    past = result.past
    required = next(u for u, _, needed in graph.edges(data="required") if needed)
    for wrong, words in (
        (replace(past, nodes=(*past.nodes, required)), "are not all nodes that may be"),
        (replace(past, ways=(*past.ways, (past.nodes[0], required, 5))), "are not all nodes that may be"),
        (replace(past, ways=(*past.ways, (required, required, -5))), "less than nothing"),
        (replace(past, nodes=(*past.nodes, "q")), "'q' is no node"),
    ):
        with pytest.raises(PromiseError, match=words):
            verify(graph, replace(result, past=wrong))
    graph, ends, result = passed[3]
    left_out = MappingProxyType({result.past.nodes[0]: 0})
    with pytest.raises(PromiseError, match="an end past nodes is none"):
        verify(graph, replace(result, past=replace(result.past, ends=left_out)), trail_cost=ends)


def test_the_bound_gains_by_it(monkeypatch):
    """On this graph cutting planes and the plans grown from them come closer on fewer vertices."""
    graph = nearby(200, 6)
    less = rural_postman(graph)
    monkeypatch.setattr(fewer_vertices, "_SHARE", 0.0)
    whole = rural_postman(graph)
    assert less.past is not None
    assert whole.past is None
    assert less.cost <= whole.cost
    assert less.cost - less.bound <= whole.cost - whole.bound


def test_copies_that_come_together_are_dropped_in_pairs():
    """Three rings around a vertex: two ways there and back past it are four copies of an edge they share."""
    rings = np.arange(1, 4)
    tails, heads = np.append(rings, np.zeros(3, int)), np.append(rings, rings)
    required = np.arange(6) < 3
    problem = Problem(4, tails, heads, np.array([1, 1, 1, 5, 5, 5]), required, 2 - required, None)
    small = bypassed(problem, np.zeros(4, bool))
    assert len(small.problem.tails) == 6
    task = Task(problem, None, NO_DOORS)
    less = make_outset(small.problem)
    twice = np.where((small.problem.tails == 1) | (small.problem.heads == 1), 2, 0) * ~small.problem.required
    times, _ = small.times(twice, np.zeros(3, int))
    assert sorted(times[3:].tolist()) == [2, 2, 4]
    held = Held(less, twice.astype(np.int8), 0, no_cuts(less.net))
    found = fewer_vertices.restored(task, make_outset(problem), small, held)
    assert found.plan.tolist() == [0, 0, 0, 2, 2, 2]


def test_a_start_that_gains_nothing_is_paid_for_where_it_is():
    """The only other end lies behind a dear edge, with vertices between that are passed by."""
    line = np.arange(8), np.arange(1, 9), np.full(8, 50), np.arange(8) == 0, np.full(8, 2)
    problem = Problem(9, *line, np.where(np.arange(9) % 7 == 1, 2, np.where(np.arange(9) == 0, 2, -1)))
    task = Task(problem, 8, NO_DOORS)
    small = fewer_vertices.fewer(task)
    less = fewer_vertices.on_fewer(task, small)
    assert len(small.vertices) == 3
    outset = make_outset(less.problem, start=less.start)
    plan = np.zeros(len(outset.net.tails), np.int8)
    plan[(outset.net.heads == outset.net.hub) & ~outset.net.required] = 1
    found = fewer_vertices.restored(
        task, make_outset(problem, start=8), small, Held(outset, plan, 0, no_cuts(outset.net))
    )
    assert is_plan(found.outset.net, found.plan)
    assert 50 + found.cost == optimum(problem, start=8) == 50 + 2 + 2 + 2


def test_a_required_edge_is_no_way_where_it_may_not_be_taken_again():
    path = np.array([0, 1, 0]), np.array([1, 2, 2]), np.array([3, 4, 1]), np.array([False, False, True])
    once = Asked(3, *path, np.array([2, 2, 0]), None, -1)
    with pytest.raises(PromiseError, match="as short"):
        gone_past(once, np.array([1]), [], {})
    twice = replace(once, extra=np.array([2, 2, 1]))
    assert gone_past(twice, np.array([1]), [], {}).cost.tolist() == [1]


def test_a_required_loop_is_not_left_out():
    ring = np.array([0, 1]), np.array([1, 1]), np.array([3, 4]), np.array([False, True]), np.array([2, 1])
    with pytest.raises(PromiseError, match="are not all nodes that may be"):
        gone_past(Asked(2, *ring, None, -1), np.array([1]), [], {})
