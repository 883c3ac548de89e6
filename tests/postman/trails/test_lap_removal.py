"""Which laps can be taken out, at no extra trail."""

import numpy as np
import pytest

from stitchpath.postman.trails.lap_removal import loose_laps


def test_a_lap_that_holds_lines_together_stays_in():
    # Two triangles without ends hang on one ring: out, they would fall apart.
    a, b = np.arange(6), np.roll(np.arange(6), -1)
    tails = np.concatenate((a, [0, 6, 7, 3, 8, 9]))
    heads = np.concatenate((b, [6, 7, 0, 8, 9, 3]))
    problem = {
        "size": 10,
        "tails": tails,
        "heads": heads,
        "times": np.ones(12, int),
        "required": np.ones(12, bool),
    }
    laps = np.array([0] * 6 + [-1] * 6)
    assert loose_laps(**problem, laps=laps).tolist() == [False]
    # With ends of their own both are trails anyway, and the ring may be sewn in one round.
    ends = np.bincount([6, 6, 8, 8], minlength=10)
    assert loose_laps(**problem, laps=laps, ends=ends).tolist() == [True]


def test_one_ring_of_a_pair_is_enough_to_hold_lines_together():
    a, b = np.arange(6), np.roll(np.arange(6), -1)
    tails = np.concatenate((a, a, [0, 6, 7, 3, 8, 9]))
    heads = np.concatenate((b, b, [6, 7, 0, 8, 9, 3]))
    times = np.ones(18, int)
    loose = loose_laps(
        size=10,
        tails=tails,
        heads=heads,
        times=times,
        required=times > 0,
        laps=np.array([0] * 6 + [1] * 6 + [-1] * 6),
    )
    assert loose.tolist() == [False, True]


def test_a_chain_of_rings_stays_where_it_joins_two_parts():
    # Triangle, ring, ring, ring, triangle: no ring joins two parts by itself, all three do.
    tails = np.concatenate(([0, 1, 2], [0, 3], [3, 4], [4, 5], [5, 6, 7]))
    heads = np.concatenate(([1, 2, 0], [3, 0], [4, 3], [5, 4], [6, 7, 5]))
    laps = np.array([-1] * 3 + [0, 0, 1, 1, 2, 2] + [-1] * 3)
    times = np.ones(len(tails), int)
    given = {"size": 8, "tails": tails, "heads": heads, "times": times, "required": times > 0, "laps": laps}
    assert loose_laps(**given).tolist() == [False] * 3
    # Without the last triangle only the last ring comes out: each other one carries the next.
    given["times"] = np.where(np.arange(len(tails)) < 9, 1, 0)
    assert loose_laps(**given).tolist() == [False, False, True]


def line_of_laps(count, ends):
    """Return laps of two edges, each hung on the one before, and where trails end."""
    at = np.arange(count)
    tails, heads = np.append(at, at + 1), np.append(at + 1, at)
    given = {"size": count + 1, "tails": tails, "heads": heads, "times": np.ones(2 * count, int)}
    return given | {"required": np.ones(2 * count, bool), "laps": np.append(at, at), "ends": ends}


def test_a_lap_with_an_edge_that_was_walked_before_or_that_does_not_close_stays_in():
    given = line_of_laps(2, [0, 0, 0])
    assert loose_laps(**given | {"required": np.array([1, 1, 1, 1])}).sum() == 1
    for required in ([0, 1, 1, 1], [1, 1, 0, 1]):
        assert not loose_laps(**given | {"required": np.array(required)})[0]
    assert loose_laps(**given | {"laps": np.array([0, -1, -1, -1])}).tolist() == [False]


def test_a_lap_where_a_trail_begins_free_comes_out_only_if_an_end_is_left_for_it():
    """At the start an empty trail may be; two ends at a vertex that laps alone come to need one of them."""
    given = line_of_laps(1, [1, 0])
    assert loose_laps(**given, start=0).tolist() == [True]
    assert loose_laps(**given | {"ends": [2, 0]}).tolist() == [False]


def test_there_may_be_no_lap_and_results_are_read_only():
    given = line_of_laps(1, [0, 0])
    assert len(loose_laps(**given | {"laps": np.array([-1, -1])})) == 0
    with pytest.raises(ValueError, match="read-only"):
        loose_laps(**given)[0] = True
