"""One join for some worlds: what it bounds, how often each is left, and ways out."""

import numpy as np
import pytest
from cutting_cases import first_cost
from postman_oracle import optimum, random_problem

from stitchpath.postman.errors import NoPlanError
from stitchpath.postman.model.net import NO_DOORS, make_net
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.relaxed.answer import SomeWorlds, answer, mixed, way_out
from stitchpath.postman.relaxed.worlds import find_worlds


def all_of(worlds):
    return SomeWorlds(worlds, np.ones(worlds.count, bool), NO_DOORS, NO_DOORS)


def tame_worlds(count):
    for seed in range(count):
        problem = random_problem(seed, hub=True, tame=True)
        yield problem, find_worlds(make_net(problem)), np.random.default_rng(seed)


def test_terminals_force_two_ends_in_each_world_at_the_exact_cost():
    freed = 0
    for problem, worlds, _ in tame_worlds(25):
        best = optimum(problem) - first_cost(problem)
        forced, _ = answer(all_of(worlds), forced=True)
        free, ends = answer(all_of(worlds))
        assert forced.lower.sum() == best
        assert (free.lower <= forced.lower).all()
        enough = ends >= 2
        assert (free.lower[enough] == forced.lower[enough]).all()
        freed += (free.lower < forced.lower).any()
    assert freed > 5


def test_a_rebate_and_two_ends_bound_a_world_from_below():
    """The Lagrangian: what the join comes to at ends cheaper by a rebate, and two rebates, is no more."""
    met = 0
    for _, worlds, rng in tame_worlds(40):
        true = answer(all_of(worlds), forced=True)[0].lower
        for world in range(worlds.count):
            one = all_of(worlds).of(np.arange(worlds.count) == world)
            dearest = int(worlds.pi[worlds.nearest[world]])
            rebate = int(rng.integers(0, dearest + 1))
            some = SomeWorlds(worlds, one.chosen, NO_DOORS, NO_DOORS, rebate)
            relaxed, _ = answer(some)
            assert relaxed.lower[world] + 2 * rebate <= true[world]
            met += rebate > 0 and relaxed.lower[world] + 2 * rebate == true[world]
    assert met > 10


def test_some_worlds_answer_as_in_all():
    """Alone each world costs what it does beside others, and mixing them gives back the whole."""
    several = 0
    for _, worlds, rng in tame_worlds(40):
        whole, _ = answer(all_of(worlds), forced=True)
        chosen = rng.random(worlds.count) < 0.5
        part, _ = answer(all_of(worlds).of(chosen), forced=True)
        rest, _ = answer(all_of(worlds).of(~chosen), forced=True)
        assert (part.lower == np.where(chosen, whole.lower, 0)).all()
        both = mixed(worlds, rest, part, chosen)
        assert (both.lower == whole.lower).all()
        assert int(both.copies @ worlds.net.cost) == whole.lower.sum()
        several += chosen.any() and not chosen.all()
    assert several > 5


def test_doors_belong_to_their_worlds():
    """An entered world needs one more end, and is the only one that does not need two."""
    ends = np.array([0, 2]), np.array([1, 3])
    two = Problem(4, *ends, np.ones(2, int), np.ones(2, bool), np.ones(2, int), np.arange(1, 5))
    worlds = find_worlds(make_net(two))
    some = SomeWorlds(worlds, np.ones(2, bool), np.array([3]), np.array([5]))
    assert some.entered.tolist() == [False, True]
    assert some.least.tolist() == [2, 1]
    relaxed, ends = answer(some, forced=True)
    assert (relaxed.door.tolist(), relaxed.lower.tolist()) == ([-1, 3], [1 + 2, 5 + 3])
    left = some.of(np.array([True, False]))
    assert (len(left.doors), len(left.toll), left.here.tolist()) == (0, 0, [True, True, False, False, False])


def test_a_way_out_is_as_cheap_as_it_is_said_to_be():
    for _, worlds, _ in tame_worlds(30):
        net = worlds.net
        for vertex in np.flatnonzero(worlds.pi >= 0).tolist():
            way = way_out(worlds, vertex)
            assert net.cost[way].sum() == worlds.pi[vertex]
            at = vertex
            for edge in way.tolist():
                assert at in (net.tails[edge], net.heads[edge])
                at = int(net.tails[edge] + net.heads[edge] - at)
            assert at == net.hub


def test_where_no_end_is_there_is_no_way_out():
    for end in (None, np.array([-1, -1])):
        net = make_net(Problem(2, [0], [1], [3], np.array([True]), [1], end))
        with pytest.raises(NoPlanError, match="in reach of vertex 1; let one end there"):
            way_out(find_worlds(net), 1)
