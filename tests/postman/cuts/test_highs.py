"""Linear and integer programs, against scipy's way in and all whole numbers tried."""

import itertools

import numpy as np
import pytest
from scipy.optimize import linprog
from scipy.sparse import csr_array

from stitchpath.postman.cuts.highs import Growing, best_columns


def program(seed):
    """Return costs, rows, and what each comes to from and to; upper limits of columns are 1."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(1, 7))
    rows = rng.integers(-2, 4, (int(rng.integers(1, 5)), count)).astype(float)
    least = rng.integers(-2, 4, len(rows)).astype(float)
    return rng.integers(1, 9000, count).astype(float), rows, least, least + rng.integers(0, 4, len(rows))


def test_rows_that_grow_come_to_what_scipy_comes_to():
    """One after another, then some columns held at 1: values, reduced costs and duals make up the value."""
    none = 0
    for seed in range(60):
        costs, rows, least, most = program(seed)
        growing = Growing(costs, np.ones(len(costs)))
        bounds = [(0, 1)] * len(costs)
        for count in range(1, len(rows) + 2):
            if count > len(rows):
                growing.fix(np.array([0]))
                bounds[0] = (1, 1)
            else:
                growing.add(csr_array(rows[[count - 1]]), least[[count - 1]], most[[count - 1]])
            these = slice(0, min(count, len(rows)))
            sides = np.vstack([rows[these], -rows[these]]), np.append(most[these], -least[these])
            known = linprog(costs, *sides, bounds=bounds)
            answer = growing.solve()
            assert answer.feasible == (known.status == 0), seed
            if not answer.feasible:
                none += 1
                break
            assert answer.value == pytest.approx(known.fun, abs=1e-5)
            assert costs @ answer.columns == pytest.approx(answer.value, abs=1e-5)
            assert answer.rows == pytest.approx(rows[these] @ answer.columns, abs=1e-6)
            assert answer.reduced + rows[these].T @ answer.duals == pytest.approx(costs, abs=1e-5)
    assert none > 10


def test_a_ray_shows_why_there_is_no_answer():
    """x >= 1/2 and x <= 1/4 times the ray: more than the columns can come to; with an answer, no ray."""
    growing = Growing(np.array([1.0]), np.ones(1))
    assert growing.solve().feasible
    growing.add(csr_array(np.array([[1.0], [1.0]])), np.array([0.5, -np.inf]), np.array([np.inf, 0.25]))
    growing.hold(np.array([0]), np.zeros(1), np.ones(1))
    assert not growing.solve().feasible
    ray = growing.ray()
    if ray is not None:
        assert len(ray) == 2
        assert ray.any()


def test_whole_columns_against_all_tried():
    """The search ends, at the least cost, with a bound no higher; or it says that there is none."""
    none = 0
    for seed in range(60):
        costs, rows, least, most = program(seed)
        upper = np.random.default_rng(seed).integers(0, 3, len(costs)).astype(float)
        tried = [np.array(one) for one in itertools.product(*(range(int(top) + 1) for top in upper))]
        able = [one for one in tried if (least <= rows @ one).all() and (rows @ one <= most).all()]
        start = able[-1].astype(float) if able and seed % 2 else None
        found = best_columns(
            costs, csr_array(rows), least, most, upper=upper, gap=0.5, nodes=10_000, start=start
        )
        assert found.ended
        if not able:
            assert found.columns is None
            none += 1
            continue
        best = min(float(costs @ one) for one in able)
        assert costs @ np.rint(found.columns) == best
        assert found.bound <= best + 1e-6
        assert found.bound >= best - 0.5
    assert none > 5


def test_without_columns_rows_hold_or_not():
    none = np.zeros(0)
    for least, most, fits in ((-1.0, 1.0, True), (1.0, 2.0, False)):
        limits = np.array([least]), np.array([most])
        found = best_columns(none, csr_array((1, 0)), *limits, upper=none, gap=0.5, nodes=1)
        assert (found.columns is not None, found.ended, found.work) == (fits, True, 0)
