"""Cuts that every plan crosses often enough, against networkx and every plan there is."""

import networkx as nx
import numpy as np
import pytest
from cutting_cases import both, parts, problems

from stitchpath.postman.cuts.columns import known_cuts, no_cuts
from stitchpath.postman.cuts.cut_sets import first_cuts, flow_graph, missed_cuts, parting_cuts, split
from stitchpath.postman.cuts.cutting_planes import raise_bound
from stitchpath.postman.model.net import make_net


def test_least_cuts_against_networkx():
    for seed in range(60):
        rng = np.random.default_rng(seed)
        size, count = int(rng.integers(2, 9)), int(rng.integers(1, 20))
        tails, heads = rng.integers(0, size, (2, count))
        inner = tails != heads
        tails, heads, flow = tails[inner], heads[inner], rng.integers(1, 9, count)[inner] / 4
        graph = nx.Graph()
        graph.add_nodes_from(range(size))
        for u, v, most in zip(tails.tolist(), heads.tolist(), flow, strict=True):
            graph.add_edge(u, v, capacity=graph.get_edge_data(u, v, {"capacity": 0})["capacity"] + most)
        value, _ = split(flow_graph(size, tails, heads, flow), 0, size - 1)
        assert value == pytest.approx(nx.minimum_cut_value(graph, 0, size - 1))


def test_flows_go_through_indices_that_older_scipy_takes():
    """Before 1.15 `maximum_flow` takes indices of 32 bits only, and others made a traceback of a plan."""
    graph = flow_graph(3, np.array([0, 1, 1]), np.array([1, 2, 2]), np.array([1.0, 0.5, 0.5]))
    assert (graph.indices.dtype, graph.indptr.dtype) == (np.int32, np.int32)
    assert split(graph, 0, 2)[0] == 1.0


def test_cuts_part_answers_from_plans():
    """Every cut found is missed by the fractional answer, and crossed often enough by an optimal plan."""
    found = 0
    for problem, _, copies in problems(150):
        net = make_net(problem)
        first = known_cuts(net, first_cuts(net))
        assert (first.rows @ both(parts(net, copies)) >= first.least).all()
        taken = raise_bound(net, most=10**9, rounds=1).taken
        for cuts in missed_cuts(net, taken) + parting_cuts(net, taken):
            known = no_cuts(net).and_more(net, cuts)
            assert (known.rows @ both(taken) < known.least).all()
            assert (known.rows @ both(parts(net, copies)) >= known.least).all()
            found += len(known.least)
    assert found > 20
