"""What is proven in whole numbers is true, and a cheapest plan is proven."""

import numpy as np
import pytest
from cutting_cases import first_cost, problems
from postman_oracle import run_on_optimum

from stitchpath.postman.cuts.columns import no_cuts
from stitchpath.postman.cuts.cutting_planes import raise_bound
from stitchpath.postman.model.net import NO_DOORS, make_net
from stitchpath.postman.search.whole_proof import _BITS, _Rows, costs_at_least


@pytest.mark.parametrize("gates", [False, True])
def test_the_optimum_is_proven_and_no_more(gates):
    proven = 0
    for problem, best, _ in problems(60):
        doors = (
            np.flatnonzero(problem.end_cost >= 0)[:2] if gates and problem.end_cost is not None else NO_DOORS
        )
        net = make_net(problem, doors=doors)
        least = best if not len(doors) else run_on_optimum(problem, doors) - first_cost(problem)
        known = raise_bound(net, most=10**9, rounds=40, halves=4).known
        assert not costs_at_least(net, least + 1, known=known, nodes=200)
        proven += costs_at_least(net, least, known=known, nodes=200)
    assert proven > 40


def test_without_cuts_or_programs_nothing_is_proven_that_is_not_true():
    for problem, best, _ in problems(60):
        net = make_net(problem)
        assert not costs_at_least(net, best + 1, known=no_cuts(net), nodes=200)
    assert costs_at_least(net, 0, known=no_cuts(net), nodes=1)


def test_duals_that_float_prove_what_whole_numbers_do():
    """Two columns of which the sum is at least one: 0.4999... of a dual for a cost of 3 proves 2, not 3."""
    from scipy.sparse import csr_array

    rows = _Rows(csr_array(np.array([[1, 1]])), np.array([1.0]), np.array([np.inf]))
    costs, low, high = np.array([3, 5]), np.zeros(2, np.int64), np.ones(2, np.int64)
    assert rows.proven(np.array([3.0]), costs, low, high) == 3
    assert rows.proven(np.array([3.0 - 2.0**-_BITS]), costs, low, high) == 3
    assert rows.proven(np.array([1.9]), costs, low, high) == 2
    assert rows.proven(np.array([4.5]), costs, low, high) == 3
    assert rows.proven(np.array([-1.0]), costs, low, high) == 0
    assert rows.proven(np.array([2.0**50]), costs, low, high) is None
    assert rows.proven(np.array([3.0]), costs, low + 1, high) == 5
