"""Fewest crossings: by hand, and against every choice of sides tried."""

from itertools import pairwise, product

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from strategies import rows_of_sets, seeds

from stitchpath.check.measuring.crossings import fewest_crossings, steps_between

FACES = range(4)
CORNER = [(0, 1), (1, 2), (2, 3), (3, 0)]


def graph_of(pairs):
    """The faces around a junction; each is there, even where no seam parts it from another."""
    graph = nx.Graph(pairs)
    graph.add_nodes_from(FACES)
    return graph


def tried(sides, junctions, across):
    """Every choice of sides, by shortest paths of another library."""
    far = [dict(nx.all_pairs_shortest_path_length(graph_of(across.get(j, ())))) for j in junctions]
    counts = [
        sum(far[at][one].get(other, np.inf) for at, (one, other) in enumerate(pairwise(choice)))
        for choice in product(*sides)
    ]
    least = min(counts)
    return None if np.isinf(least) else least


@given(rows_of_sets(FACES, up_to=6), seeds(10_000))
def test_against_every_choice(sides, seed):
    rng = np.random.default_rng(seed)
    across = {
        junction: [tuple(pair) for pair in rng.integers(0, 4, (rng.integers(0, 5), 2)).tolist()]
        for junction in range(3)
    }
    junctions = rng.integers(0, 4, len(sides) - 1).tolist()
    assert fewest_crossings(sides, junctions, across) == tried(sides, junctions, across)


@given(seeds(1000))
def test_steps_around_a_junction(seed):
    rng = np.random.default_rng(seed)
    pairs = [tuple(pair) for pair in rng.integers(0, 6, (rng.integers(0, 8), 2)).tolist()]
    wanted = dict(nx.all_pairs_shortest_path_length(nx.Graph(pairs)))
    assert {face: dict(steps) for face, steps in steps_between(pairs).items()} == wanted


@pytest.mark.parametrize(
    ("sides", "count"),
    [
        ([{0}, {0}, {0}], 0),
        ([{0}, {1}, {0}], 2),
        ([{0}, {2}], 2),
        ([{0, 1}, {1, 2}, {2, 3}], 1),
        ([{0, 1}, {2, 3}], 1),
        ([{0}, {0, 1}, {1}], 1),
        ([{0}, {0, 1}, {0}], 0),
    ],
)
def test_around_a_corner_by_hand(sides, count):
    """The corner of four blocks: a seam is counted on the side that suits what comes before and after."""
    assert fewest_crossings(sides, [9] * (len(sides) - 1), {9: CORNER}) == count


def test_faces_that_do_not_meet_there():
    assert fewest_crossings([{0}, {1}], [1], {2: CORNER}) is None
    assert fewest_crossings([{0}, {1}, {1}], [1, 2], {2: CORNER}) is None
    assert fewest_crossings([{0}, {1}], [1], {1: [(0, 0)]}) is None
    assert fewest_crossings([{0}, {0}], [1], {}) == 0


def test_a_junction_between_each_two_edges():
    with pytest.raises(ValueError, match="3 edges have 1 junctions"):
        fewest_crossings([{0}] * 3, [1], {})
    with pytest.raises(ValueError, match="0 edges have 1 junctions"):
        fewest_crossings([], [1], {})


def test_a_long_path_takes_a_moment():
    """It is a walk to and fro over one seam, a hundred thousand edges long."""
    sides = [{0}, {0, 1}, {1}, {0, 1}] * 25_000
    assert fewest_crossings(sides, [5] * (len(sides) - 1), {5: [(0, 1)]}) == 49_999
