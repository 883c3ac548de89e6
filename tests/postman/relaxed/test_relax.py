"""The relaxed problem, against every plan there is and exact answers where worlds hang together."""

import numpy as np
import pytest
from cutting_cases import first_cost
from postman_oracle import optimum, random_problem

from stitchpath.postman.graphs import parity
from stitchpath.postman.model.net import make_net, price
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.relaxed import relax as module
from stitchpath.postman.relaxed.relax import relax
from stitchpath.postman.relaxed.worlds import find_worlds


@pytest.fixture(params=[300, -1], ids=["at once", "where they lack"])
def little(request, monkeypatch):
    """Give terminals to all worlds at once, or to those only that turn out to lack ends."""
    monkeypatch.setattr(module, "_LITTLE", request.param)


def test_it_is_exact_where_the_required_edges_of_each_world_hang_together(little):
    """Worlds need nothing to hold them together then: the bound is the least cost, and copies come to it."""
    compared = 0
    for seed in range(30):
        problem = random_problem(seed, hub=seed % 3 > 0, tame=True)
        best = optimum(problem)
        if best is None:
            continue
        net = make_net(problem)
        relaxed = relax(find_worlds(net))
        assert relaxed.lower.sum() == best - first_cost(problem), seed
        assert int(relaxed.copies @ net.cost) == relaxed.lower.sum()
        compared += 1
    assert compared > 20


def test_it_bounds_every_plan_and_leaves_nothing_odd(every_plan, little):
    met = 0
    for _, doors, net, plans in every_plan:
        if len(doors):
            continue
        relaxed = relax(find_worlds(net))
        odd = parity(net.size, net.tails, net.heads, net.required + relaxed.copies)
        odd[[] if net.hub < 0 else net.hub] = False
        assert not odd.any()
        assert relaxed.matched
        least = min(price(net, plan) for plan in plans)
        assert relaxed.lower.sum() <= least
        assert relaxed.lower.sum() <= int(relaxed.copies @ net.cost)
        met += relaxed.lower.sum() == least
    assert met > 20


def test_a_world_is_entered_by_the_door_that_costs_least(little):
    """Each door alone, as a free start by the exact program, and its toll: the least of them."""
    entered = 0
    for seed in range(30):
        problem = random_problem(seed, hub=True, tame=True)
        worlds = find_worlds(make_net(problem))
        rng = np.random.default_rng(seed)
        world = int(rng.integers(worlds.count))
        doors = rng.permutation(np.flatnonzero(worlds.of == world))[:3]
        toll = rng.integers(0, 9, len(doors))
        plain, relaxed = relax(worlds), relax(worlds, doors=doors, toll=toll)
        others = plain.lower.sum() - plain.lower[world]
        costs = [optimum(problem, start=int(door)) - first_cost(problem) - others for door in doors]
        assert relaxed.lower[world] == min(np.array(costs) + toll), seed
        chosen = np.flatnonzero(doors == relaxed.door[world])
        assert costs[chosen[0]] + toll[chosen[0]] == relaxed.lower[world]
        assert (np.delete(relaxed.door, world) == -1).all()
        assert (np.delete(relaxed.lower, world) == np.delete(plain.lower, world)).all()
        entered += len(doors) > 1
    assert entered > 15


def test_nothing_odd_costs_nothing():
    """A loop, as a closed walk."""
    net = make_net(Problem(1, [0], [0], [5], np.array([True]), [1], None))
    relaxed = relax(find_worlds(net))
    assert (relaxed.lower.tolist(), price(net, relaxed.copies.astype(np.int8))) == ([0], 0)
