"""Plans bettered by trees within them, and by pieces of others."""

import numpy as np
from cutting_cases import first_cost, islands
from postman_oracle import optimum

from stitchpath.postman.model.net import is_plan, make_net, price, stripped
from stitchpath.postman.relaxed.outset import make_outset
from stitchpath.postman.search.first_plan import grown_plan
from stitchpath.postman.search.rotation import guided, merged, rotate


def beginnings(count):
    """Problems on grids with their networks, goals, and poor plans: trees over edges in a random order."""
    for seed in range(count):
        problem = islands(seed, end_cost=None if seed % 2 else 25)
        rng = np.random.default_rng(seed)
        net = make_net(problem)
        held = ~net.required & (rng.random(len(net.tails)) < 0.5)
        yield problem, net, make_outset(problem).goal, grown_plan(net, held)


def test_rotations_are_never_worse_and_mostly_better():
    better = 0
    for problem, net, goal, plan in beginnings(10):
        kept = plan.copy()
        found = rotate(net, plan, goal=goal, rounds=30, patience=10)
        assert is_plan(net, found)
        assert (plan == kept).all()
        assert optimum(problem) - first_cost(problem) <= price(net, found) <= price(net, plan)
        again = rotate(net, plan, goal=goal, rounds=30, patience=10)
        assert (again == found).all()
        better += price(net, found) < price(net, plan)
    assert better > 7


def test_rotations_end_at_the_goal_in_patience_or_when_told():
    _, net, goal, plan = next(beginnings(1))
    told = []
    rotate(net, plan, goal=goal, rounds=5, patience=5, go_on=lambda cost: told.append(cost) or True)
    assert 1 <= len(told) <= 5
    assert told == sorted(told, reverse=True)
    told.clear()
    rotate(net, plan, goal=goal, rounds=5, patience=5, go_on=lambda cost: told.append(cost) or False)
    assert len(told) == 1
    for limits in (
        {"goal": price(net, plan), "rounds": 5, "patience": 5},
        {"goal": goal, "rounds": 5, "patience": 0},
        {"goal": goal, "rounds": 0, "patience": 5},
    ):
        assert rotate(net, plan, **limits) is plan


def test_a_fractional_answer_guides_to_a_better_plan():
    """The best that rotations find, given as an answer, leads at once to no worse a plan."""
    better = 0
    for _, net, goal, plan in beginnings(10):
        best = rotate(net, plan, goal=goal, rounds=30, patience=10, seed=1)
        found = guided(net, plan, taken=best.astype(float), goal=goal, rounds=4)
        assert is_plan(net, found)
        assert price(net, found) <= price(net, plan)
        better += price(net, found) < price(net, plan)
        assert guided(net, plan, taken=best.astype(float), goal=price(net, plan), rounds=4) is plan
    assert better > 7


def test_of_two_plans_the_better_pieces_are_taken(every_plan):
    """Never worse than either; and the best where one of them is."""
    below = 0
    for *_, net, plans in every_plan:
        rng = np.random.default_rng(len(plans))
        costs = np.array([price(net, plan) for plan in plans])
        best = plans[int(costs.argmin())]
        for one, other in rng.integers(0, len(plans), (10, 2)).tolist():
            found = merged(net, plans[one], plans[other])
            assert is_plan(net, found)
            assert costs.min() <= price(net, found) <= min(costs[one], costs[other])
            both = (price(net, stripped(net, plans[each])) for each in (one, other))
            below += price(net, found) < min(both)
            assert price(net, merged(net, plans[one], best)) == costs.min()
    assert below > 0
