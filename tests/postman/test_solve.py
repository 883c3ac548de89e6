"""Plans against an integer program: no bound above the optimum, no cost below it, no wrong proof."""

import collections
import csv
from pathlib import Path

import numpy as np
import pytest
from postman_oracle import optimum, random_candidates, random_problem, run_on_optimum

from stitchpath.postman.errors import NoPlanError, PostmanError
from stitchpath.postman.problem import Problem
from stitchpath.postman.solve import solve

URPP = Path(__file__).resolve().parents[3] / "shared" / "urpp"
BATCH = 50


def check(problem, best, **options):
    """Compare with the optimum; return how it came out."""
    try:
        found = solve(problem, **options)
    except NoPlanError:
        assert best is None
        return "none"
    assert best is not None
    assert found.bound <= best <= found.cost
    assert found.cost == spent(problem, found, **options)
    return "optimal" if found.optimal else "found" if found.cost == best else "gap"


def spent(problem, found, *, candidates=None, **_):
    """Add up the cost anew."""
    times = problem.required.astype(int) + found.copies
    assert (times <= problem.required.astype(int) + problem.extra).all()
    total = int(times @ problem.cost)
    if problem.end_cost is None:
        return total
    assert (problem.end_cost[found.ends > 0] >= 0).all()
    refund = 0 if candidates is None or found.start < 0 else int(problem.end_cost[found.start])
    return total + int(found.ends @ problem.end_cost) - refund


@pytest.mark.parametrize("first", range(0, 600, BATCH))
def test_against_integer_program(first):
    """600 small graphs: islands, parallel edges, self-loops, zero costs, limits, with and without ends."""
    kinds = collections.Counter()
    for seed in range(first, first + BATCH):
        problem = random_problem(seed)
        kinds[check(problem, optimum(problem))] += 1
    assert kinds["optimal"] >= BATCH // 3
    assert kinds["gap"] <= BATCH // 10


@pytest.mark.parametrize("first", range(0, 200, BATCH))
def test_connected_worlds_are_always_optimal(first):
    for seed in range(first, first + BATCH):
        problem = random_problem(seed, hub=True, tame=True)
        assert check(problem, optimum(problem)) == "optimal"


@pytest.mark.parametrize("tame", [False, True])
@pytest.mark.parametrize("first", range(0, 150, BATCH))
def test_run_on_against_integer_program(first, tame):
    """A start, and the best of some candidates or none; never dearer than without."""
    for seed in range(first, first + BATCH):
        problem = random_problem(seed, hub=True, tame=tame)
        start = seed % problem.size
        kind = check(problem, optimum(problem, start=start), start=start)
        assert not tame or kind == "optimal"
        candidates = random_candidates(problem, seed)
        kind = check(problem, run_on_optimum(problem, candidates), candidates=candidates)
        assert not tame or kind == "optimal"
        if kind != "none":
            assert solve(problem, candidates=candidates).cost <= solve(problem).cost


@pytest.mark.parametrize("seed", range(30))
def test_closed_walk_passes_its_start(seed):
    problem = random_problem(seed, hub=False)
    start = seed % problem.size
    check(problem, optimum(problem, start=start), start=start)


def urpp(name):
    rows = list(csv.DictReader((URPP / f"{name}.csv").read_text().splitlines()))
    tails, heads, cost, required = (
        np.array([int(row[key]) for row in rows]) for key in ("u", "v", "cost", "required")
    )
    required = required.astype(bool)
    size = int(max(tails.max(), heads.max()))
    return Problem(size, tails - 1, heads - 1, cost, required, np.where(required, 1, 2), None)


@pytest.mark.parametrize("name", ["UR532", "UR535", "UR537", "UR545", "UR565", "UR765"])
def test_published_optima(name):
    """Corberan, Plana, Sanchis: instances and proven optima of the undirected rural postman problem."""
    if not URPP.is_dir():
        pytest.skip(f"the published instances are not at {URPP}")
    optima = csv.DictReader((URPP / "optimal.csv").read_text().splitlines())
    best = {row["instance"]: int(row["optimal_cost"]) for row in optima}[name]
    found = solve(urpp(name))
    assert found.bound <= best <= found.cost <= best * 1.03


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
    if not URPP.is_dir():
        pytest.skip(f"the published instances are not at {URPP}")
    one, other = solve(urpp("UR532"), seed=3), solve(urpp("UR532"), seed=3)
    assert (one.copies == other.copies).all()


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
