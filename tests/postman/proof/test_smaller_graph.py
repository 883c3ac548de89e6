"""A smaller problem is believed only if it costs no more."""

from dataclasses import replace

import numpy as np
import pytest

from stitchpath.postman.errors import PromiseError
from stitchpath.postman.proof.cut_bound import Asked
from stitchpath.postman.proof.smaller_graph import gone_past


def test_a_required_edge_is_no_way_where_it_may_not_be_taken_again():
    path = np.array([0, 1, 0]), np.array([1, 2, 2]), np.array([3, 4, 1]), np.array([False, False, True])
    once = Asked(3, *path, np.array([2, 2, 0]), None, -1)
    with pytest.raises(PromiseError, match="as short"):
        gone_past(once, np.array([1]), [], {})
    twice = replace(once, extra=np.array([2, 2, 1]))
    assert gone_past(twice, np.array([1]), [], {}).cost.tolist() == [1]


def test_a_required_loop_is_not_left_out():
    ring = np.array([0, 1]), np.array([1, 1]), np.array([3, 4]), np.array([False, True]), np.array([2, 1])
    with pytest.raises(PromiseError, match="are not all nodes that may be"):
        gone_past(Asked(2, *ring, None, -1), np.array([1]), [], {})
