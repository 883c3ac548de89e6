"""Cuts that every plan crosses often enough, against networkx and every plan there is."""

import networkx as nx
import numpy as np
import pytest
from cutting_cases import both, parts, problems
from scipy.sparse import csr_array

from stitchpath.postman.cuts.columns import known_cuts, no_cuts
from stitchpath.postman.cuts.cut_sets import (
    CONNECTED,
    Taken,
    alone,
    first_cuts,
    flow_graph,
    loose_cuts,
    missed_cuts,
    odd_vertices,
    parting_cuts,
    reached,
    split,
)
from stitchpath.postman.cuts.cutting_planes import raise_bound
from stitchpath.postman.model.net import make_net
from stitchpath.postman.model.problem import Problem


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


def fractions(net, seed):
    """Return an answer at random, of which some columns are whole."""
    rng = np.random.default_rng(seed)
    single, pair = rng.choice([0, 0, 0.25, 0.5, 0.75, 1], (2, len(net.tails)))
    return Taken(np.where(net.extra > 0, single, 0), np.where(net.most > 1, pair, 0))


def test_cuts_hold_for_every_plan_there_is(every_plan):
    """First ones, those around loose parts, and those that an answer at random misses."""
    found = 0
    for seed, (*_, net, plans) in enumerate(every_plan):
        taken = fractions(net, seed)
        loose = loose_cuts(net, np.random.default_rng(seed).integers(0, 2, len(net.tails)).astype(np.int8))
        missed = [*missed_cuts(net, taken), *parting_cuts(net, taken)]
        assert (known_cuts(net, missed).rows @ both(taken) < known_cuts(net, missed).least).all()
        known = known_cuts(net, [*first_cuts(net), loose, *missed])
        for plan in plans[:: max(1, len(plans) // 40)]:
            assert (known.rows @ both(parts(net, plan)) >= known.least).all()
        found += len(known.least)
    assert found > 200


def test_what_falls_apart_misses_a_cut_and_plans_miss_none(every_plan):
    missed = 0
    for seed, (*_, net, plans) in enumerate(every_plan):
        for plan in plans[:5]:
            assert missed_cuts(net, Taken.of_copies(plan)) == []
            assert parting_cuts(net, Taken.of_copies(plan)) == []
        rng = np.random.default_rng(seed)
        for copies in rng.integers(0, np.minimum(net.most, 1) + 1, (5, len(net.tails))).astype(np.int8):
            if len(loose_cuts(net, copies).chosen):
                assert missed_cuts(net, Taken.of_copies(copies))
                missed += 1
    assert missed > 50


def test_who_must_not_stand_alone():
    """Two loops apart are alone both; with an anchor only the one without it; one by itself never is."""
    loops = Problem(3, [0, 1, 0], [0, 1, 2], [1, 1, 1], np.array([1, 1, 0]), [1, 1, 2], None)
    two = make_net(loops)
    assert alone(two, np.arange(3)).tolist() == [0, 1]
    assert alone(two, np.array([0, 0, 1])).tolist() == []
    assert loose_cuts(two, np.zeros(3, np.int8)).chosen.tolist() == [0, 1]
    assert alone(make_net(loops, start=0), np.arange(3)).tolist() == [1]
    assert odd_vertices(two).tolist() == [False] * 3


def test_reached_against_networkx():
    links = np.random.default_rng(3).random((9, 9)) < 0.15
    graph = nx.from_numpy_array(links.astype(int), create_using=nx.DiGraph)
    for one in range(9):
        side = {one} | nx.descendants(graph, one)
        assert set(np.flatnonzero(reached(csr_array(links.astype(np.int32)), one)).tolist()) == side


def test_too_little_between_two_loops_is_missed():
    """By two edges taken 0.6 times each, or by one 1.5 times, which least cuts tell; twice is enough."""
    two = make_net(
        Problem(2, [0, 1, 0, 0], [0, 1, 1, 1], [1] * 4, np.array([1, 1, 0, 0]), [1, 1, 2, 2], None)
    )
    for pairs, missed, parted in (((0.3, 0.3), 1, 1), ((0.75, 0), 0, 1), ((1, 0), 0, 0), ((0.5, 0.5), 0, 0)):
        taken = Taken(np.zeros(4), np.array([0, 0, *pairs]))
        assert [cuts.least for cuts in missed_cuts(two, taken)] == [CONNECTED] * missed
        assert [cuts.least for cuts in parting_cuts(two, taken)] == [CONNECTED] * parted
