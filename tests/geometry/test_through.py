"""Where nothing meets and no line ends is no junction; where something does is one."""

import numpy as np
import shapely
from hypothesis import given, settings
from strategies import whole

from stitchpath.geometry.noding import node
from stitchpath.geometry.through import run_through

RING = [(0, 0), (40, 0), (40, 40), (0, 40), (0, 0)]


def begun_at(corner):
    points = RING[:-1]
    return shapely.LineString([*points[corner:], *points[:corner], points[corner]])


def through(*lines):
    return run_through(node(lines), lines)


@given(whole(0, 3), whole(0, 3))
@settings(max_examples=16, deadline=None)
def test_where_rings_begin_does_not_matter(one, other):
    """Two rings on each other and a line across: two halves and three parts, wherever they begin."""
    across = shapely.LineString([(-10, 20), (50, 20)])
    noded = through(begun_at(one), begun_at(other), across)
    assert len(noded.edges) == 5
    assert sorted(np.round(shapely.length(noded.edges), 6).tolist()) == [10, 10, 40, 80, 80]
    rings = noded.edge_of[noded.line_of == 0]
    assert np.array_equal(rings, noded.edge_of[noded.line_of == 1])
    assert shapely.length(noded.edges)[rings].sum() == 160


def test_a_ring_that_nothing_meets_is_one_edge():
    noded = through(begun_at(0), begun_at(2))
    assert len(noded.edges) == len(noded.nodes_mm) == 1
    assert noded.tails[0] == noded.heads[0]


def test_points_of_lines_that_coincide_are_no_junctions():
    bent = [(0, 0), (30, 30), (60, 0)]
    noded = through(shapely.LineString(bent), shapely.LineString(bent[::-1]))
    assert len(noded.edges) == 1
    assert noded.line_of.tolist() == [0, 1]


def test_where_a_line_ends_on_another_is_a_junction():
    half = shapely.LineString([(0, 0), (30, 0)])
    noded = through(shapely.LineString([(0, 0), (60, 0)]), half)
    assert len(noded.edges) == 2


def test_where_one_of_two_lines_turns_back_is_a_junction():
    """The edge before that place stems from both lines, the one after from one."""
    there = shapely.LineString([(-20, 9), (0, 0), (30, 0), (0, 0), (-20, -9)])
    noded = through(shapely.LineString([(0, 0), (60, 0)]), there)
    sources = [noded.line_of[noded.edge_of == edge].tolist() for edge in range(len(noded.edges))]
    assert sorted(sources) == [[0], [0, 1], [1], [1]]
