"""First plans, against networkx's trees and distances, and every plan there is."""

import networkx as nx
import numpy as np
from cutting_cases import islands
from postman_oracle import optimum, random_problem

from stitchpath.postman.model.net import is_plan, make_net, price
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.relaxed.outset import make_outset
from stitchpath.postman.search.first_plan import cheaper, first_plan, grown_plan, joining, tree_in


def graph_of(net, edges):
    graph = nx.Graph()
    graph.add_nodes_from(range(net.size))
    graph.add_edges_from(zip(net.tails[edges].tolist(), net.heads[edges].tolist(), strict=True))
    return graph


def test_a_first_plan_is_one_and_no_cheaper_than_the_best():
    """Where what is required hangs together, the relaxed answer is the cheapest plan, taken as it is."""
    exact = 0
    for seed in range(40):
        problem = random_problem(seed, hub=True, tame=seed % 2 == 0)
        best = optimum(problem)
        if best is None:
            continue
        outset = make_outset(problem)
        plan = first_plan(outset.net, outset.relaxed, goal=outset.goal)
        if plan is None:
            assert (problem.extra[~problem.required] == 1).any()
            continue
        assert is_plan(outset.net, plan)
        cost = price(outset.net, plan) + int(problem.cost[problem.required].sum())
        assert cost >= best
        assert seed % 2 or cost == best
        exact += seed % 2 == 0
    assert exact > 10


def test_what_joins_costs_as_much_as_a_tree_over_shortest_ways():
    """By networkx: the least spanning tree over distances between required parts is no cheaper."""
    shared = 0
    for seed in range(20):
        net = make_net(islands(seed))
        found = joining(net, np.zeros(len(net.tails), bool))
        own = np.flatnonzero(net.required)
        whole = graph_of(net, np.append(own, found))
        must = np.flatnonzero(net.must).tolist()
        assert len({frozenset(nx.node_connected_component(whole, vertex)) for vertex in must}) == 1
        ways = nx.Graph()
        ways.add_weighted_edges_from(
            zip(net.tails.tolist(), net.heads.tolist(), net.cost.tolist(), strict=True)
        )
        ways.add_weighted_edges_from((int(net.tails[e]), int(net.heads[e]), 0) for e in own)
        far = dict(nx.all_pairs_dijkstra_path_length(ways))
        label = {v: int(net.part[v]) for v in must}
        closure = nx.Graph()
        for one in must:
            for other in must:
                pair = label[one], label[other]
                if pair[0] != pair[1]:
                    old = closure.get_edge_data(*pair, {"weight": 10**9})["weight"]
                    closure.add_edge(*pair, weight=min(old, far[one][other]))
        tree = nx.minimum_spanning_tree(closure).size(weight="weight")
        assert net.cost[np.setdiff1d(found, own)].sum() <= tree
        shared += net.cost[np.setdiff1d(found, own)].sum() < tree
    assert shared < 20


def test_a_tree_holds_the_required_parts_together_and_nothing_else():
    for seed in range(20):
        net, rng = make_net(islands(seed)), np.random.default_rng(seed)
        rank = rng.random(len(net.open))
        tree = tree_in(net, net.open, rank)
        parts = net.part[net.tails[tree]], net.part[net.heads[tree]]
        graph = nx.Graph(list(zip(*(part.tolist() for part in parts), strict=True)))
        assert nx.is_tree(graph)
        must = set(net.part[net.must].tolist())
        assert must <= set(graph)
        assert {vertex for vertex, degree in graph.degree if degree == 1} <= must
        whole = nx.Graph()
        for edge, cost in zip(net.open.tolist(), rank.tolist(), strict=True):
            pair = int(net.part[net.tails[edge]]), int(net.part[net.heads[edge]])
            if pair[0] != pair[1] and cost < whole.get_edge_data(*pair, {"weight": 9})["weight"]:
                whole.add_edge(*pair, weight=cost)
        least = nx.minimum_spanning_tree(whole)
        assert {frozenset(edge) for edge in graph.edges} <= {frozenset(edge) for edge in least.edges}


def test_a_plan_grows_from_what_is_held(every_plan):
    """Wherever copies may be taken twice there is one; and the cheaper of two plans is."""
    grown = 0
    for *_, net, plans in every_plan:
        plan = grown_plan(
            net, ~net.required & (plans[0] > 0) & (np.arange(len(net.tails)) < net.choices.start)
        )
        assert plan is not None or (net.extra[~net.required] == 1).any()
        costs = [price(net, one) for one in plans]
        worst, best = plans[int(np.argmax(costs))], plans[int(np.argmin(costs))]
        assert price(net, cheaper(net, worst, best)) == price(net, cheaper(net, best, worst)) == min(costs)
        assert cheaper(net, None, worst) is worst
        assert cheaper(net, np.full_like(worst, 3), None) is None
        grown += plan is not None and is_plan(net, plan)
    assert grown > 40


def test_limits_on_copies_leave_no_first_plan():
    """Two loops joined by one edge that may be taken once."""
    problem = Problem(2, [0, 1, 0], [0, 1, 1], [1, 1, 1], np.array([True, True, False]), [0, 0, 1], None)
    net = make_net(problem)
    assert first_plan(net, np.zeros(3, np.int64), goal=0) is None
