"""How a walk passes through a junction, against networkx's matching and all pairings tried."""

import itertools
import math

import networkx as nx
import numpy as np
import pytest

from stitchpath.postman.trails.pairing import (
    END,
    START,
    STRAIGHT,
    HalfEdges,
    best_pairs,
    by_degree,
    pair_costs,
    turning,
)


def junction(degree, seed, *, ends=0):
    """Return the half-edges of one junction at random, some of them twice, some of them ends of trails."""
    rng = np.random.default_rng(seed)
    key = rng.integers(0, degree, degree)
    angle = rng.choice(np.radians([0, 10, 45, 90, 180, 190, 225, 268]), degree)[key] + key * 1e-3
    key[:ends], angle[:ends] = END, 0
    return HalfEdges(np.zeros(degree, np.intp), key, angle)


def cost_of(halves, pairs):
    return float(pair_costs(halves, *np.asarray(pairs).reshape(-1, 2).T).sum())


def all_pairings(left):
    """Yield every way to put an even number of things in pairs."""
    if not left:
        yield []
    for other in left[1:]:
        rest = [one for one in left[1:] if one != other]
        yield from ([(left[0], other), *more] for more in all_pairings(rest))


@pytest.mark.parametrize("degree", [2, 4, 6, 8])
def test_small_junctions_are_paired_as_well_as_trying_all_finds(degree):
    for seed in range(12):
        halves = junction(degree, seed, ends=seed % 3)
        (found,) = best_pairs(halves, np.arange(degree)[None])
        assert sorted(found.ravel().tolist()) == list(range(degree))
        best = min(cost_of(halves, pairing) for pairing in all_pairings(list(range(degree))))
        assert cost_of(halves, found) == pytest.approx(best)


@pytest.mark.parametrize("degree", [10, 24, 258])
def test_large_ones_nearly_as_well_as_the_best_matching_by_networkx(degree):
    """As few passages that turn back, and hardly any fewer straight ones; rays here and there."""
    for seed in range(4 if degree < 100 else 1):
        rng = np.random.default_rng(seed)
        angle = rng.permutation(degree) * 2 * math.pi / degree
        halves = HalfEdges(np.zeros(degree, np.intp), np.arange(degree), angle)
        (found,) = best_pairs(halves, np.arange(degree)[None])
        assert sorted(found.ravel().tolist()) == list(range(degree))
        straight = int((turning(*halves.angle[found].T) < STRAIGHT).sum())
        if degree < 100:
            graph = nx.Graph()
            for one, other in itertools.combinations(range(degree), 2):
                if turning(angle[one], angle[other]) < STRAIGHT:
                    graph.add_edge(one, other)
            best = len(nx.max_weight_matching(graph, maxcardinality=True))
        else:
            best = degree // 2
        assert best > 0
        assert straight >= 0.95 * best


def test_costs_rank_passages():
    """Straight, then turning, then turning back, then an empty first trail, then an end with an end."""
    key = np.array([0, 2, 4, 0, END, END, START])
    halves = HalfEdges(np.zeros(7, np.intp), key, np.array([0, math.pi, math.pi / 2, 0, 0, 0, 0]))
    ranked = [(4, 0), (0, 1), (0, 2), (0, 3), (4, 6), (4, 5)]
    costs = pair_costs(halves, *np.array(ranked).T)
    assert costs[:2].tolist() == [0, pytest.approx(0)]
    assert (costs[2:] > 50 * np.maximum(costs[1:-1], 1)).all()
    assert (pair_costs(halves, *np.array(ranked).T[::-1]) == costs).all()


def test_turning_by_hand():
    angles = np.radians([[0, 180], [0, 0], [90, 0], [350, 190], [-10, 10]])
    assert np.degrees(turning(*angles.T)).round(6).tolist() == [0, 180, 90, 20, 160]


def test_half_edges_are_grouped_by_junctions_of_equal_degree():
    rng = np.random.default_rng(1)
    at = rng.integers(0, 9, 40)
    groups = list(by_degree(at, 12))
    assert sorted(half for group in groups for half in group.ravel().tolist()) == list(range(40))
    for group in groups:
        assert (at[group] == at[group[:, :1]]).all()
        assert (np.bincount(at)[at[group[:, 0]]] == group.shape[1]).all()
    assert [group.shape[1] for group in groups] == sorted(set(np.bincount(at)) - {0})
