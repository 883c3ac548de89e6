"""Orders of threads against every order that there is."""

from itertools import pairwise, permutations, product

import numpy as np
import pytest

from stitchpath.planning.threads import thread_orders


def changes(orders):
    walked = [thread for order in orders for thread in order]
    return sum(a != b for a, b in pairwise(walked))


def allowed(threads, given):
    first = tuple(one for one in given if one in threads)
    return [order for order in permutations(sorted(threads)) if order[: len(first)] == first]


@pytest.mark.parametrize("seed", range(60))
def test_no_order_changes_thread_less_often(seed):
    rng = np.random.default_rng(seed)
    sizes = rng.integers(1, 4, rng.integers(1, 5)).tolist()
    pieces = [set(rng.choice(4, size, replace=False).tolist()) for size in sizes]
    given = rng.permutation(4)[: rng.integers(0, 3)].tolist()
    found = thread_orders(pieces, given)
    ways = [allowed(piece, given) for piece in pieces]
    assert all(order in way for order, way in zip(found, ways, strict=True))
    assert changes(found) == min(changes(orders) for orders in product(*ways))
