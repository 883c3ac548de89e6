"""A smaller problem is believed only if it costs no more."""

from dataclasses import replace

import networkx as nx
import numpy as np
import pytest
from postman_oracle import even_problem, optimum, random_problem

from stitchpath.postman.errors import PromiseError
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.proof.cut_bound import AskedGraph
from stitchpath.postman.proof.smaller_graph import gone_past


def test_a_required_edge_is_no_way_where_it_may_not_be_taken_again():
    path = np.array([0, 1, 0]), np.array([1, 2, 2]), np.array([3, 4, 1]), np.array([False, False, True])
    once = AskedGraph(3, *path, np.array([2, 2, 0]), None, -1)
    with pytest.raises(PromiseError, match="as short"):
        gone_past(once, np.array([1]), [], {})
    twice = replace(once, extra=np.array([2, 2, 1]))
    assert gone_past(twice, np.array([1]), [], {}).cost.tolist() == [1]


def test_a_required_loop_is_not_left_out():
    ring = np.array([0, 1]), np.array([1, 1]), np.array([3, 4]), np.array([False, True]), np.array([2, 1])
    with pytest.raises(PromiseError, match="are not all nodes that may be"):
        gone_past(AskedGraph(2, *ring, None, -1), np.array([1]), [], {})


def as_asked(problem, start=-1):
    arrays = problem.tails, problem.heads, problem.cost, problem.required, problem.extra.astype(int)
    return AskedGraph(problem.size, *arrays, problem.end_cost, start)


def of_asked(asked):
    ends = None if asked.ends is None else asked.ends
    return Problem(asked.size, asked.tails, asked.heads, asked.cost, asked.required, asked.extra, ends)


def test_what_is_believed_costs_no_more_and_what_costs_more_is_not():
    """Ways past left out vertices as short as they are, by networkx, or one unit longer."""
    believed = told = 0
    for seed in range(60):
        problem = (random_problem, even_problem)[seed % 2](seed)
        best, asked = optimum(problem), as_asked(problem)
        stays = problem.required | (problem.extra == 1)
        must = np.zeros(problem.size, bool)
        must[problem.tails[stays]] = must[problem.heads[stays]] = True
        must |= problem.end_cost >= 0 if problem.end_cost is not None else False
        free = nx.Graph()
        for u, v, cost, extra, own in zip(
            problem.tails.tolist(),
            problem.heads.tolist(),
            problem.cost.tolist(),
            problem.extra.tolist(),
            problem.required.tolist(),
            strict=True,
        ):
            if extra > 1 and not own and cost < free.get_edge_data(u, v, {"weight": 10**9})["weight"]:
                free.add_edge(u, v, weight=cost)
        far = dict(nx.all_pairs_dijkstra_path_length(free))
        stay = np.flatnonzero(must).tolist()
        ways = [(u, v, far[u][v]) for u in stay for v in stay if u < v and v in far.get(u, {})]
        smaller = gone_past(asked, np.flatnonzero(~must), ways, {})
        cost = optimum(of_asked(smaller))
        assert cost is None or best is None or cost <= best
        assert (cost is None) == (best is None)
        assert cost == best
        believed += len(ways) > 0
        dearer = [(u, v, cost + 1) for u, v, cost in ways]
        if ways:
            try:
                gone_past(asked, np.flatnonzero(~must), dearer, {})
            except PromiseError:
                told += 1
    assert believed > 20
    assert told > 15


@pytest.mark.parametrize(
    ("left_out", "ways", "ends", "start", "words"),
    [
        ([1], [(0, 2, 6)], {}, 1, "not all nodes that may be"),
        ([1], [(0, 1, 6)], {}, -1, "not all nodes that may be"),
        ([1], [(1, 2, 6)], {}, -1, "not all nodes that may be"),
        ([1], [(0, 2, -1)], {}, -1, "costs less than nothing"),
        ([1], [(0, 2, 8)], {}, -1, "as short"),
        ([1], [], {}, -1, "as short"),
        ([1], [(0, 2, 7)], {1: 5}, -1, "an end past nodes costs less"),
        ([1], [(0, 2, 7)], {0: -5}, -1, "an end past nodes costs less"),
        ([1], [(0, 2, 7)], {0: 6}, -1, "as short"),
    ],
)
def test_what_is_not_believed(left_out, ways, ends, start, words):
    """Of a path of 3 and 4 with ends at 0, 1 and 2 for 5, 2 and 9 its middle is passed by."""
    path = np.array([0, 1]), np.array([1, 2]), np.array([3, 4]), np.zeros(2, bool), np.full(2, 2)
    asked = AskedGraph(3, *path, np.array([5, 2, 9]), start)
    with pytest.raises(PromiseError, match=words):
        gone_past(asked, np.array(left_out), ways, ends)


def test_an_end_past_nodes_takes_the_place_of_one_that_is_left_out():
    path = np.array([0, 1]), np.array([1, 2]), np.array([3, 4]), np.zeros(2, bool), np.full(2, 2)
    asked = AskedGraph(3, *path, np.array([5, 2, 9]), -1)
    smaller = gone_past(asked, np.array([1]), [(0, 2, 7)], {2: 6})
    assert smaller.ends.tolist() == [5, -1, 6]
    assert (smaller.tails.tolist(), smaller.heads.tolist(), smaller.cost.tolist()) == ([0], [2], [7])
