"""The problem as arrays: whole units by exact fractions, and what is refused."""

from fractions import Fraction

import numpy as np
import pytest

from stitchpath.postman.errors import PostmanError
from stitchpath.postman.model.problem import MOST_TOTAL, Problem, to_whole, whole_unit


def test_a_unit_holds_all_costs_exactly_or_has_23_bits():
    """By fractions: no unit is finer than it must be."""
    exact = 0
    for seed in range(300):
        rng = np.random.default_rng(seed)
        costs = rng.integers(0, 2**10, 5) / 2.0 ** rng.integers(0, 30)
        if seed % 3 == 0:
            costs = rng.random(5) * 10.0 ** rng.integers(-9, 9)
        unit, greatest = Fraction(whole_unit(costs)), max(map(Fraction, costs))
        whole = to_whole(costs, float(unit)).tolist()
        apart = [abs(number * unit - Fraction(cost)) for number, cost in zip(whole, costs, strict=True)]
        if any(apart):
            assert max(apart) <= unit / 2
            assert 2**22 <= greatest / unit < 2**23
            continue
        exact += 1
        if unit < 1:
            assert any(Fraction(cost) % (2 * unit) for cost in costs) or greatest < 2**22 * unit * 2
    assert exact > 150


def test_halves_of_a_unit_go_to_the_even_number():
    assert to_whole(np.array([0.5, 1.5, 2.4, 2.6]), 1.0).tolist() == [0, 2, 2, 3]
    assert whole_unit(np.zeros(3)) == 1.0


@pytest.mark.parametrize("cost", [-1.0, np.nan, np.inf, -np.inf])
def test_what_is_no_cost_has_no_unit(cost):
    with pytest.raises(PostmanError, match="is no cost; costs are finite numbers >= 0") as caught:
        whole_unit(np.array([3.0, cost]))
    assert str(caught.value.value) == str(cost)


def problem(**changes):
    """One required edge and an optional one, ends at both sides."""
    given = {"size": 3, "tails": [0, 1], "heads": [1, 2], "cost": [4, 5], "required": [1, 0]}
    given |= {"extra": [1, 2], "end_cost": [7, -1, 0]} | changes
    return Problem(**{name: value if name == "size" else np.array(value) for name, value in given.items()})


def test_arrays_are_frozen_and_the_caller_s_are_not():
    given = np.array([4, 5])
    held = problem(cost=given)
    with pytest.raises(ValueError, match="read-only"):
        held.cost[0] = 1
    given[0] = 9
    assert held.cost.tolist() == [4, 5]
    assert held.required.tolist() == [True, False]


@pytest.mark.parametrize(
    ("changes", "place", "words"),
    [
        ({"tails": [0, 3]}, "tails[1]", "tails[1] is 3; it must be from 0 to 2"),
        ({"heads": [-1, 2]}, "heads[0]", "heads[0] is -1; it must be from 0 to 2"),
        ({"extra": [1, 3]}, "extra[1]", "extra[1] is 3; it must be from 0 to 2"),
        ({"cost": [4, -5]}, "cost[1]", "cost[1] is -5"),
        ({"end_cost": [7, -2, 0]}, "end_cost[1]", "end_cost[1] is -2; it must be from -1"),
        ({"cost": [4, 5, 6]}, "cost", "cost has shape (3,); it must be (2,)"),
        ({"end_cost": [7, 1]}, "end_cost", "end_cost has shape (2,); it must be (3,)"),
        ({"cost": [4, 5.5]}, "cost", "cost holds 5.5, which is no int64"),
        ({"required": [2, 0]}, "required", "required holds 2, which is no bool"),
        ({"cost": [MOST_TOTAL, 1]}, None, "add up to over 2**50 whole units; choose a coarser unit"),
        ({"cost": [MOST_TOTAL - 7, 1]}, None, "add up to over 2**50"),
    ],
)
def test_what_is_out_of_range_is_named(changes, place, words):
    with pytest.raises(PostmanError) as caught:
        problem(**changes)
    assert words in str(caught.value)
    assert caught.value.place == place


def test_costs_may_add_up_to_the_most():
    assert problem(cost=[MOST_TOTAL - 8, 1]).cost.sum() + 7 == MOST_TOTAL
