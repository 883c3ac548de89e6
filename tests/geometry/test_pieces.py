"""Tall edges in pieces: nothing is lost, nothing is taller than it may be, sources stay."""

import numpy as np
import pytest
import shapely

from stitchpath.geometry.noding import GRID_MM, node
from stitchpath.geometry.pieces import Tallest, in_pieces

SHAPES = [
    shapely.Point(50, 50).buffer(40).exterior,
    shapely.LineString([(0, 0), (0, 100), (30, 100)]),
    shapely.LineString([(0, 90), (200, 95)]),
    shapely.LineString([(120, 0), (150, 100)]),
]


@pytest.mark.parametrize("axis", [0, 1])
def test_pieces_make_up_the_same_lines(axis):
    whole = node(SHAPES)
    cut = in_pieces(whole, Tallest(axis=axis, fits=lambda low, high: high - low <= 30, piece_mm=11))
    bounds = shapely.bounds(cut.edges)
    assert len(cut.edges) > len(whole.edges)
    assert (bounds[:, axis + 2] - bounds[:, axis]).max() <= 30
    assert shapely.length(cut.edges).sum() == pytest.approx(shapely.length(whole.edges).sum())
    ends = shapely.get_point(cut.edges, 0), shapely.get_point(cut.edges, -1)
    for points, place in zip(ends, (cut.tails, cut.heads), strict=True):
        assert np.array_equal(shapely.get_coordinates(points), cut.nodes_mm[place])
    for line in range(len(SHAPES)):
        before, after = (
            shapely.union_all(one.edges[one.edge_of[one.line_of == line]]) for one in (whole, cut)
        )
        assert before.hausdorff_distance(after) < 1e-9
    assert (np.diff(cut.edge_of) >= 0).all()


def test_what_is_not_tall_stays_as_it_is():
    whole = node(SHAPES)
    cut = in_pieces(whole, Tallest(axis=1, fits=lambda low, high: high - low <= 500, piece_mm=11))
    assert list(cut.edges) == list(whole.edges)
    assert np.array_equal(cut.nodes_mm, whole.nodes_mm)
    assert np.array_equal(cut.edge_of, whole.edge_of)


def test_a_point_beside_a_cut_makes_no_step_of_its_own():
    """In a file, where points are rounded, such a step would have no length."""
    whole = node([shapely.LineString([(0, 0), (0, 30 + GRID_MM), (0, 90)])])
    cut = in_pieces(whole, Tallest(axis=1, fits=lambda low, high: high - low <= 50, piece_mm=30))
    steps = [np.hypot(*np.diff(shapely.get_coordinates(edge), axis=0).T) for edge in cut.edges]
    assert len(cut.edges) == 3
    assert np.concatenate(steps).min() > 0.01
