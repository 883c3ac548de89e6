"""What `solve` does beside finding plans, and what it refuses; `test_exactness` compares its plans."""

import numpy as np
import pytest

from stitchpath.postman.errors import PostmanError
from stitchpath.postman.problem import Problem
from stitchpath.postman.solve import solve


def two_islands(**changes):
    fields = {
        "size": 4,
        "tails": [0, 2],
        "heads": [1, 3],
        "cost": [5, 7],
        "required": [True, True],
        "extra": [1, 1],
        "end_cost": [1, 2, 3, 4],
    } | changes
    return Problem(**fields)


def test_each_island_pays_two_ends():
    found = solve(two_islands())
    assert (found.cost, found.forced, found.ends.tolist()) == (5 + 7 + 10, 2 + 6, [1, 1, 1, 1])


def test_results_are_read_only():
    found = solve(two_islands())
    for array in (found.copies, found.ends):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 1


def test_run_on_picks_the_dearest_end():
    found = solve(two_islands(), candidates=np.array([0, 3]))
    assert (found.start, found.cost) == (3, 5 + 7 + 10 - 4 - 4)


def test_run_on_that_gains_nothing_is_left_out():
    problem = two_islands(end_cost=[0, 0, 0, 0])
    assert solve(problem, candidates=np.array([0])).start == -1


def test_same_input_same_plan():
    one, other = solve(ring_of_islands(), seed=3), solve(ring_of_islands(), seed=3)
    assert (one.copies == other.copies).all()
    assert (one.cost, one.bound) == (other.cost, other.bound)


def test_progress_tells_a_falling_cost_and_can_stop():
    problem, told = ring_of_islands(), []
    solve(problem, progress=lambda cost, bound: told.append((cost, bound)) is None)
    costs = [cost for cost, _ in told]
    assert costs == sorted(costs, reverse=True)
    assert all(bound <= cost for cost, bound in told)
    once = []
    stopped = solve(problem, progress=lambda cost, bound: bool(once.append(cost)))
    assert len(once) == 1
    assert stopped.cost == once[0]


def ring_of_islands():
    """Twelve required triangles on a ring of optional edges, so that connection must be bought."""
    rng = np.random.default_rng(5)
    corner = np.arange(36).reshape(12, 3)
    tails = np.concatenate([corner.ravel(), corner[:, 0], corner[:, 1]])
    heads = np.concatenate(
        [np.roll(corner, 1, 1).ravel(), np.roll(corner[:, 1], 1), np.roll(corner[:, 2], 3)]
    )
    required = np.arange(len(tails)) < 36
    cost = rng.integers(1, 50, len(tails))
    return Problem(36, tails, heads, cost, required, np.where(required, 1, 2), None)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"required": [False, False]}, "no edge is required"),
        ({"end_cost": None}, "vertex 2 cannot be reached"),
        ({"end_cost": [-1, -1, 1, 1]}, "no trail may end anywhere in reach of vertex 0"),
        ({"end_cost": [1, -1, 1, 1], "extra": [0, 1]}, "vertex 1"),
        ({"cost": [5, -7]}, r"cost\[1\] is -7"),
        ({"extra": [5, 0]}, r"extra\[0\] is 5"),
        ({"heads": [1, 9]}, r"heads\[1\] is 9"),
        ({"cost": [5, 7, 8]}, "cost has shape"),
        ({"cost": [5, 2**50]}, r"add up to over 2\*\*50"),
        ({"cost": [5, 0.5]}, "cost holds 0.5"),
    ],
)
def test_errors_name_the_place(changes, words):
    with pytest.raises(PostmanError, match=words):
        solve(two_islands(**changes))


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"start": 9}, "9 is no vertex"),
        ({"candidates": np.array([-1])}, "-1 is no vertex"),
        ({"effort": "heroic"}, "'heroic' is no effort"),
        ({"start": 1, "candidates": np.array([1])}, "no start"),
    ],
)
def test_wrong_options(options, words):
    with pytest.raises(PostmanError, match=words):
        solve(two_islands(), **options)


def test_a_candidate_must_be_an_end():
    with pytest.raises(PostmanError, match="no trail may end at vertex 1"):
        solve(two_islands(end_cost=[1, -1, 3, 4]), candidates=np.array([1]))
