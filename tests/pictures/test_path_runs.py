from itertools import pairwise

import numpy as np
import pytest
import shapely
from export_plans import orchard

from stitchpath.pictures.path_runs import aside, heads, parts, runs
from stitchpath.plan import Move


def test_runs_hold_the_whole_path():
    for path in orchard():
        lengths = {Move.SEW: 0.0, Move.TRAVEL: 0.0}
        for move, points in runs(path):
            lengths[move] += shapely.LineString(points).length
        assert lengths[Move.TRAVEL] == pytest.approx(path.travel_mm)
        assert sum(lengths.values()) == pytest.approx(path.length_mm)


def test_to_the_right_and_so_back_on_the_other_side():
    there = np.array([(0.0, 0.0), (10.0, 0.0)])
    assert aside(there, 1.0)[:, 1].tolist() == [1.0, 1.0]
    assert aside(there[::-1], 1.0)[:, 1].tolist() == [-1.0, -1.0]


def test_around_a_square_the_distance_holds():
    square = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])
    np.testing.assert_allclose(aside(square, 1.0), [(0, 1), (9, 1), (9, 9), (0, 9)])


def test_a_turn_back_stays_near():
    back = np.array([(0.0, 0.0), (10.0, 0.0), (0.0, 0.0)])
    moved = aside(back, 1.0)
    assert np.isfinite(moved).all()
    assert np.hypot(*(moved - back).T).max() <= 3.0


def test_heads_point_along_and_lie_on_the_run():
    points = np.array([(0.0, 0.0), (100.0, 0.0), (100.0, 60.0)])
    found = heads(points, 2.0)
    assert len(found) == 8
    middles = (found[:, 0] + found[:, 1:].mean(axis=1)) / 2
    assert shapely.distance(shapely.points(middles), shapely.LineString(points)).max() < 1e-9
    ahead = found[:, 0] - found[:, 1:].mean(axis=1)
    across = np.isclose(middles[:, 0], 100.0)
    np.testing.assert_allclose(ahead[~across], np.tile([2.0, 0.0], ((~across).sum(), 1)), atol=1e-9)
    np.testing.assert_allclose(ahead[across], np.tile([0.0, 2.0], (across.sum(), 1)), atol=1e-9)


def test_a_short_run_has_none():
    assert heads(np.array([(0.0, 0.0), (3.0, 0.0)]), 2.0).shape == (0, 3, 2)


@pytest.mark.parametrize("count", [1, 2, 5, 1000])
def test_parts_are_the_path(count):
    for path in orchard():
        cut = list(parts(path, count))
        assert len(cut) <= count
        assert sum(part.length_mm for part in cut) == pytest.approx(path.length_mm)
        assert sum(part.travel_mm for part in cut) == pytest.approx(path.travel_mm)
        for before, after in pairwise(cut):
            assert before.coordinates_mm[-1].tolist() == after.coordinates_mm[0].tolist()
        for part in cut:
            assert part.spans[0].first == 0
            assert part.spans[-1].last == len(part.coordinates_mm) - 1
