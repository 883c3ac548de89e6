"""What `solve` does beside finding plans, and what it refuses; `test_exactness` compares its plans."""

from dataclasses import replace

import numpy as np
import pytest
from postman_oracle import optimum, random_problem, run_on_optimum

from stitchpath.postman.errors import PostmanError
from stitchpath.postman.graphs import components, parity
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.solve import narrowed, solve


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
    one, other = solve(scattered(), seed=3), solve(scattered(), seed=3)
    assert (one.copies == other.copies).all()
    assert (one.cost, one.bound) == (other.cost, other.bound)


def told_by(problem, *, stop_at=None, **options):
    """Solve; return the solution, and each (cost, bound) told until the one at which it is stopped."""
    told = []

    def hear(cost, bound):
        told.append((cost, bound))
        return len(told) - 1 != stop_at

    return solve(problem, progress=hear, **options), told


@pytest.mark.parametrize("effort", ["quick", "standard", "proof"])
def test_progress_tells_a_falling_cost_and_a_rising_bound(effort):
    found, told = told_by(scattered(), effort=effort)
    costs, bounds = zip(*told, strict=True)
    assert list(costs) == sorted(costs, reverse=True)
    assert list(bounds) == sorted(bounds)
    assert bounds[-1] <= found.bound <= found.cost <= costs[-1]
    assert costs[0] > found.cost or effort == "quick"


@pytest.mark.parametrize("effort", ["quick", "standard", "proof"])
def test_a_search_can_stop_at_every_word_and_keeps_the_best_so_far(effort):
    """Nothing is told after that, and the plan is the one that was told last, or better."""
    problem = scattered()
    whole, told = told_by(problem, effort=effort)
    for at in [*range(min(4, len(told))), *range(4, len(told), max(1, len(told) // 3))]:
        found, heard = told_by(problem, stop_at=at, effort=effort)
        assert heard == told[: at + 1]
        assert found.cost <= heard[-1][0]
        assert heard[-1][1] <= found.bound <= whole.cost <= found.cost


def test_a_listener_that_says_nothing_does_not_stop():
    quiet = solve(scattered(), progress=lambda _cost, _bound: None)
    assert quiet.cost == solve(scattered()).cost


def scattered(side=10):
    """Build a grid with three in ten of its edges required at random, so that connection must be bought."""
    rng = np.random.default_rng(5)
    place = np.arange(side * side).reshape(side, side)
    tails = np.concatenate([place[:, :-1].ravel(), place[:-1].ravel()])
    heads = np.concatenate([place[:, 1:].ravel(), place[1:].ravel()])
    required = rng.random(len(tails)) < 0.3
    cost = rng.integers(20, 50, len(tails))
    return Problem(side * side, tails, heads, cost, required, np.where(required, 1, 2), None)


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


FAR_BELOW = """
19 20 21 22 23 24 0 6 11 14 18 19 25 17 12 9 5 4 3 2 1 18 14 11 6 16 0 15 1 13 2 3 4
20 21 22 23 24 25 6 11 14 18 19 25 17 12 9 5 4 3 2 1 0 20 21 22 10 23 8 24 7 17 12 9 5
31171 94164 94164 94164 94167 8323 94164 94164 94164 94164 31173 1231811 85842 94164 94167 94164 \
78989 94164 94164 94164 94164 881673 3545046 6208420 2180269 2905179 3619301 3383903 3140613 2180342 \
6443854 3780444 1117070
0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 1 1 1 1 1 1 1 1 1 1 1 1
2 2 2 2 2 2 2 2 2 2 2 2 2 2 2 2 2 2 2 2 2 1 1 1 1 1 1 1 1 1 1 1 1
1966080 1966080 1966080 1966080 1966080 1966080 1966080 -1 -1 1966080 -1 1966080 1966080 -1 1966080 \
-1 -1 1966080 1966080 1966080 -1 -1 -1 -1 -1 1966080
"""
"""A job's tails, heads, costs, required, extra and end costs: a fill around what is left to the hand."""


def test_a_program_that_misstates_its_value_is_not_believed():
    """HiGHS 1.16 called 18,579,070 optimal here from a start of 18,767,404, with columns that cost that."""
    rows = [np.array(line.split(), dtype=np.int64) for line in FAR_BELOW.split("\n")[1:-1]]
    tails, heads, cost, required, extra, ends = rows
    problem = Problem(len(ends), tails, heads, cost, required > 0, extra, ends)
    best = run_on_optimum(problem, [19])
    for effort in ("standard", "proof"):
        found = solve(problem, candidates=np.array([19]), effort=effort)
        assert found.bound <= best <= found.cost
        assert found.cost == best


def test_a_plan_is_mended_where_limits_were_narrowed():
    """What is mended is a plan, costs what it says, and no less than the best of all plans there are."""
    mended, best = 0, 0
    for seed in range(300):
        problem, rng = random_problem(seed, hub=True, tame=True), np.random.default_rng(seed)
        found = solve(problem, effort="proof")
        used = np.flatnonzero(~problem.required & (found.copies > 0))
        if not len(used):
            continue
        less = problem.extra.copy()
        less[rng.choice(used)] -= rng.integers(1, 3)
        tight = replace(problem, extra=less)
        near, least = narrowed(tight, found), optimum(tight)
        if near is None:
            continue
        mended += 1
        assert (near.copies <= tight.extra).all()
        times = near.copies + tight.required
        assert not (parity(tight.size, tight.tails, tight.heads, times) ^ (near.ends % 2 == 1)).any()
        taken = np.flatnonzero(times)
        label = components(tight.size, tight.tails, tight.heads, taken)[1]
        with_ends = set(label[near.ends > 0].tolist())
        touched = {*label[tight.tails[taken]].tolist(), *label[tight.heads[taken]].tolist()}
        assert touched <= with_ends
        assert near.cost == int(times @ tight.cost) + int(near.ends @ tight.end_cost) >= least >= near.bound
        best += near.cost == least
    assert mended > 60
    assert best > mended // 2
