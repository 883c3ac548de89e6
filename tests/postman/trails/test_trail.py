"""A trail as data, and the other ways to walk it; closed walks are networkx's."""

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from postman_cases import check_cover
from strategies import seeds

from stitchpath.postman.trails.trail import Trail, from_departures, reverse, rotate_closed, vertices_of


def round_trip(seed):
    """Return a closed trail over a random multigraph whose edges are doubled, its ends, and its vertices."""
    rng = np.random.default_rng(seed)
    size = int(rng.integers(1, 7))
    ends = [(v, int(rng.integers(0, v))) for v in range(1, size)]
    ends += [tuple(pair) for pair in rng.integers(0, size, (int(rng.integers(0, 4)), 2)).tolist()]
    turned = [pair if rng.random() < 0.5 else pair[::-1] for pair in ends + ends]
    graph = nx.MultiGraph()
    graph.add_node(0)
    for edge, (tail, head) in enumerate(turned):
        graph.add_edge(tail, head, key=edge)
    steps = list(nx.eulerian_circuit(graph, source=0, keys=True)) if turned else []
    tails, heads = np.array(turned, np.intp).reshape(-1, 2).T
    edges = np.array([key for *_, key in steps], np.intp)
    forward = np.array([turned[key][0] == u for u, _, key in steps], bool)
    return Trail(edges, forward, 0, 0), {"tails": tails, "heads": heads}, [0, *(v for _, v, _ in steps)]


@given(seeds())
@settings(deadline=None, derandomize=True, max_examples=60)
def test_reverse_and_rotate_keep_the_walk(seed):
    trail, where, path = round_trip(seed)
    back = reverse(trail)
    assert vertices_of(trail, **where).tolist() == path
    assert vertices_of(back, **where).tolist() == path[::-1]
    again = reverse(back)
    assert (again.edges == trail.edges).all()
    vertex = path[len(trail) // 2]
    turned = rotate_closed(trail, vertex, **where)
    assert (
        vertices_of(turned, **where).tolist()
        == path[path.index(vertex) : -1] + path[: path.index(vertex) + 1]
    )
    check_cover([turned], **where, times=np.ones(len(where["tails"]), int))


@given(seeds())
@settings(deadline=None, derandomize=True, max_examples=60)
def test_departures_tell_the_trail(seed):
    trail, where, path = round_trip(seed)
    departures = trail.departures()
    assert [int(where[("tails", "heads")[d % 2]][d // 2]) for d in departures] == path[:-1]
    again = from_departures(departures, **where, first=0)
    assert (again.edges.tolist(), again.forward.tolist()) == (trail.edges.tolist(), trail.forward.tolist())
    assert (again.first, again.last, again.closed) == (0, 0, True)


def test_a_trail_is_frozen_and_the_caller_s_arrays_are_not():
    edges = np.array([0])
    trail = Trail(edges, np.array([True]), 0, 1)
    with pytest.raises(ValueError, match="read-only"):
        trail.edges[0] = 5
    edges[0] = 5
    assert trail.edges.tolist() == [0]
    assert not trail.closed


def test_rotate_refuses_what_it_cannot():
    where = {"tails": np.array([0]), "heads": np.array([1])}
    with pytest.raises(ValueError, match="only a closed one"):
        rotate_closed(Trail(np.array([0]), np.array([True]), 0, 1), 1, **where)
    with pytest.raises(ValueError, match="vertex 7"):
        rotate_closed(Trail(np.array([0, 0]), np.array([True, False]), 0, 0), 7, **where)
