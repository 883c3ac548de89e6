"""The network cut by blocks, against the network as it is, by exact solutions."""

import numpy as np
import pytest
from sided_tops import sided, sided_top

from stitchpath.planning.part import part_of, usable_part
from stitchpath.planning.sides import Sides
from stitchpath.postman.solve import solve
from stitchpath.settings import CostSettings

NONE = np.zeros(0, np.intp)
OFTEN = {role: {"most_times": 9} for role in ("ditch", "hidden", "fill", "outline")}
"""So often that the two sides of a seam never share too little."""


def detail(weights):
    """What a job of fill requires, and what was sewn before it."""
    required = (weights.line >= 0) & ~weights.seam_edge
    return required, ((weights.line >= 0) & weights.seam_edge).astype(np.int64)


def best(sides, weights, required, sewn):
    """Return the proven cost, and the crossings among it."""
    part = part_of(weights, usable_part(sides, weights, required, sewn), NONE)
    found = solve(part.problem(weights), effort="proof")
    assert found.cost == found.bound
    return found.cost, int((found.copies * part.crossings).sum())


def case(seed, price, **how):
    cost = CostSettings(path_cost_s=20.0, roles=OFTEN)
    return sided(sided_top(seed, rows=2, columns=1 + seed % 3, **how), price, cost=cost)


@pytest.mark.parametrize("seed", range(12))
def test_without_a_price_the_cut_problem_costs_what_the_uncut_one_does(seed):
    _, weights, _, whole, split = case(seed, 0)
    for required, sewn in (detail(weights), (weights.line >= 0, np.zeros(len(weights.line), np.int64))):
        assert best(split, weights, required, sewn)[0] == best(whole, weights, required, sewn)[0]


@pytest.mark.parametrize("seed", range(12))
def test_a_price_for_crossings_adds_no_more_than_their_price(seed):
    """A dearer crossing makes a dearer plan with as many crossings or fewer."""
    costs, crossings = [], []
    for price in (0.01, 1, 5, 20):
        _, weights, _, whole, split = case(seed, price)
        cost, crossed = best(split, weights, *detail(weights))
        plain, _ = best(whole, weights, *detail(weights))
        assert plain <= cost - crossed * weights.leaving
        costs.append(cost)
        crossings.append(crossed)
    assert costs == sorted(costs)
    assert crossings == sorted(crossings, reverse=True)


@pytest.mark.parametrize("seed", range(16))
@pytest.mark.parametrize("together", [False, True])
def test_crossings_that_are_spared_change_no_optimum(seed, together, monkeypatch):
    _, weights, _, _, split = case(seed, 2)
    given = (weights.line >= 0, np.zeros(len(weights.line), np.int64)) if together else detail(weights)
    spared, _ = best(split, weights, *given)
    none = np.zeros(len(split.edge), dtype=bool)
    monkeypatch.setattr(Sides, "spared", lambda *_: none)
    every, _ = best(split, weights, *given)
    assert spared == every


@pytest.mark.parametrize("seed", range(8))
def test_a_cut_network_is_the_network_when_its_copies_are_one(seed):
    network, weights, faces, _, split = case(seed, 2)
    real = ~split.crossing
    assert np.array_equal(split.junction[split.tails[real]], network.tails[split.edge[real]])
    assert np.array_equal(split.junction[split.heads[real]], network.heads[split.edge[real]])
    assert np.array_equal(split.junction[split.tails[~real]], split.junction[split.heads[~real]])
    assert np.array_equal(np.bincount(split.edge[real]), 1 + (faces.other >= 0))
    assert np.array_equal(np.sort(split.edge[split.required]), np.arange(len(network.tails)))
    assert np.array_equal(split.headings[:, real], network.headings[:, split.edge[real]])
    assert np.array_equal(split.seam[real], weights.seam_edge[split.edge[real]])
    assert not split.seam[~real].any()
