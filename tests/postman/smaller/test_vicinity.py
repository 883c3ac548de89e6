"""Where a cheapest plan goes, and where its trails end."""

import networkx as nx
import numpy as np
from postman_oracle import random_problem

from stitchpath.postman.model.net import price
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.smaller.vicinity import vicinity, ways_out


def test_ways_out_are_the_cheapest_to_an_end():
    for seed in range(40):
        problem = random_problem(seed, hub=True)
        out = ways_out(problem)
        ends = problem.end_cost
        assert (out[ends >= 0] <= ends[ends >= 0]).all()
        twice = np.flatnonzero(problem.extra >= np.where(problem.required, 1, 2))
        for u, v, cost in zip(problem.tails[twice], problem.heads[twice], problem.cost[twice], strict=True):
            if out[v] >= 0:
                assert 0 <= out[u] <= out[v] + cost


def test_ways_out_by_networkx():
    """A vertex more, joined to each end: distances from there over what may be taken beside anything else."""
    for seed in range(30):
        problem = random_problem(seed, hub=True)
        graph = nx.MultiGraph()
        graph.add_node("out")
        graph.add_edges_from(
            ("out", v, {"weight": c}) for v, c in enumerate(problem.end_cost.tolist()) if c >= 0
        )
        for u, v, cost, required, extra in zip(
            problem.tails.tolist(),
            problem.heads.tolist(),
            problem.cost.tolist(),
            problem.required,
            problem.extra,
            strict=True,
        ):
            if extra >= (1 if required else 2):
                graph.add_edge(u, v, weight=cost)
        far = nx.single_source_dijkstra_path_length(graph, "out")
        assert ways_out(problem).tolist() == [far.get(vertex, -1) for vertex in range(problem.size)]


def test_some_cheapest_plan_keeps_to_what_is_kept(every_plan):
    """Of all plans: the least cost is that of one whose edges and ends are kept; without doors, and with."""
    less = 0
    for problem, doors, net, plans in every_plan:
        kept, ends = vicinity(problem, doors)
        able = np.append(kept, np.zeros(net.size - problem.size, bool))
        stays = (able[net.tails] & able[net.heads]) | ~net.inner
        if net.hub >= 0:
            at = np.flatnonzero(problem.end_cost >= 0)
            stays[net.asked + np.arange(len(at))] = (kept & ends)[at]
        costs = np.array([price(net, plan) for plan in plans])
        inside = (plans[:, ~stays] == 0).all(axis=1)
        assert costs[inside].min() == costs.min()
        assert kept[problem.tails[problem.required]].all()
        assert (ends & kept)[doors].all()
        less += not stays.all()
    assert less > 5


def test_a_closed_walk_may_go_everywhere():
    problem = Problem(3, [0, 1], [1, 2], [1, 9], np.array([True, False]), [1, 2], None)
    kept, ends = vicinity(problem, np.zeros(0, int))
    assert kept.all()
    assert ends.all()
    assert ways_out(problem).tolist() == [-1, -1, -1]


def test_where_no_end_is_in_reach_nothing_is_left_out():
    problem = Problem(3, [0, 1], [1, 2], [1, 9], np.array([True, False]), [1, 1], np.array([-1, -1, 4]))
    kept, ends = vicinity(problem, np.zeros(0, int))
    assert kept.all()
    assert ends.tolist() == [False, False, True]
