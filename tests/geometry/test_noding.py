"""Noding, and each trap of it as a test that fails without its cure."""

import networkx as nx
import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from shapely import LineString
from strategies import near_lines, scattered_segments

from stitchpath.geometry.noding import GRID_MM, NEAR_MM, node, predict_crossings


def loose(tails, heads):
    return int((np.bincount(np.concatenate((tails, heads))) == 1).sum())


def union_loose(lines, grid):
    """Dangling ends after a plain union on a grid."""
    parts = shapely.get_parts(shapely.union_all(lines, grid_size=grid))
    ends = np.concatenate([shapely.get_coordinates(shapely.get_point(parts, i)) for i in (0, -1)])
    _, count = np.unique(np.rint(ends * 2**20), axis=0, return_counts=True)
    return int((count == 1).sum())


def t_junctions(count=60, seed=4):
    """Lines that end on a slanted one, cut by floating point, so never quite on it; and a frame."""
    rng = np.random.default_rng(seed)
    slant = LineString([(0.1234567, 3.7654321), (301.3333333, 97.1111111)])
    feet = [slant.interpolate(d) for d in np.linspace(5, 300, count) + rng.uniform(-1, 1, count)]
    stubs = [LineString([(p.x, p.y), (p.x + 0.37, p.y + 40.0)]) for p in feet]
    return [slant, *stubs]


def test_rounding_first_leaves_ends_that_dangle_and_raw_coordinates_do_not():
    lines = t_junctions()
    asked_for = 60 + 2  # the stubs' far ends and the slant's own
    rounded = [shapely.set_precision(line, 0.001) for line in lines]
    assert union_loose(rounded, 0.0) > asked_for
    noded = node(lines)
    assert loose(noded.tails, noded.heads) == asked_for
    assert not noded.short


def test_a_decimal_grid_splits_sixteenths_that_float_noise_moves_and_a_power_of_two_does_not():
    # 1/16 in = 1.5875 mm lies on half of a 0.001 mm grid, so the last bit decides which way it is rounded.
    assert pytest.approx(0.5) == 1.5875 / 0.001 % 1
    trapped = 0
    for odd in range(1, 181, 2):
        x = 1.5875 * odd
        base = LineString([(x, 0), (x, 300)])
        for noisy in (np.nextafter(x, 0), np.nextafter(x, 999)):
            stub = LineString([(noisy, 150.0), (noisy - 80, 150.0)])
            trapped += union_loose([base, stub], 0.001) > 3
            noded = node([base, stub])
            assert loose(noded.tails, noded.heads) == 3
            assert noded.mended == 0
    assert trapped > 20


def test_an_end_a_hair_short_is_mended():
    base = LineString([(0, 0), (100, 0)])
    for gap in (0.0012, 0.0018):
        stub = LineString([(50.3, gap), (50.3, 40)])
        assert union_loose([base, stub], GRID_MM) == 4  # without the cure it dangles
        noded = node([base, stub])
        assert noded.mended == 1
        assert loose(noded.tails, noded.heads) == 3
        assert not noded.short


@pytest.mark.parametrize("gap", [0.0035, 0.03, 0.09])
def test_an_end_that_is_short_by_more_is_reported_and_left(gap):
    noded = node([LineString([(0, 0), (100, 0)]), LineString([(50, gap), (50, 40)])])
    assert noded.mended == 0
    (end,) = noded.short
    assert end.line == 0
    assert end.distance_mm == pytest.approx(gap, abs=2e-3)
    assert loose(noded.tails, noded.heads) == 4


@pytest.mark.parametrize(
    ("xy", "edges"),
    [
        ([(0, 0), (60, 60), (5, 5)], 2),
        ([(0, 0), (60, 60), (60, 60), (5, 5)], 2),
        ([(0, 0), (10, 0), (0, 0)], 1),
        ([(5, 0), (10, 0), (0, 0), (5, 0)], 1),
    ],
)
def test_a_line_that_turns_back_on_itself_dangles_there_and_is_neither_mended_nor_short(xy, edges):
    noded = node([LineString(xy)])
    assert len(noded.edges) in (edges, edges + 1)  # a closed line is cut where it begins
    assert (noded.mended, noded.short) == (0, ())
    assert np.isclose(shapely.length(noded.edges).sum(), shapely.union_all([LineString(xy)]).length)


def test_an_end_a_hair_short_of_a_corner_is_mended_all_the_same():
    corner = LineString([(0, 0), (10, 0), (10, 10)])
    noded = node([corner, LineString([(10 + GRID_MM, 0), (20, 0)])])
    assert noded.mended == 1
    assert loose(noded.tails, noded.heads) == 3


def test_an_end_further_away_is_meant():
    noded = node([LineString([(0, 0), (100, 0)]), LineString([(50, 0.11), (50, 40)])])
    assert not noded.short


def test_lines_that_nearly_coincide_are_told_and_not_fused():
    near = LineString([(0, 0.05), (100, 0.05)])
    noded = node([LineString([(0, 0), (100, 0)]), near])
    assert len(noded.edges) == 2
    assert sorted(noded.near.tolist()) == [[0, 1], [1, 0]]
    apart = node([LineString([(0, 0), (100, 0)]), LineString([(0, NEAR_MM + 0.01), (100, NEAR_MM + 0.01)])])
    assert not len(apart.near)


def test_coinciding_lines_share_edges_and_keep_all_sources():
    noded = node(
        [LineString([(0, 0), (100, 0)]), LineString([(40, 0), (140, 0)]), LineString([(40, 0), (40, 9)])]
    )
    by_edge = {}
    for edge, line in zip(noded.edge_of.tolist(), noded.line_of.tolist(), strict=True):
        by_edge.setdefault(edge, []).append(line)
    assert sorted(map(tuple, by_edge.values())) == [(0,), (0, 1), (1,), (2,)]


def sources(noded):
    """Which lines each edge stems from."""
    return [set(noded.line_of[noded.edge_of == edge].tolist()) for edge in range(len(noded.edges))]


def test_a_sliver_hardly_longer_than_the_grid_stems_from_the_line_along_it_alone():
    # The second line ends 0.002 mm beside the first one's end and passes it there, nearly square to it.
    noded = node([LineString([(50, 80), (60, 10)]), LineString([(60.002, 10.002), (0, 20)])])
    slivers = np.flatnonzero(shapely.length(noded.edges) < 0.01)
    assert slivers.size
    across = np.abs(np.diff(noded.nodes_mm[np.stack((noded.tails, noded.heads))], axis=0)[0])
    for edge in slivers.tolist():
        x, y = across[edge]
        assert sources(noded)[edge] == ({1} if x > y else {0})


def test_what_was_mended_stems_from_the_line_that_was_bent_to_meet_it():
    base, stub = LineString([(0, 0), (0.1, 0)]), LineString([(0.05, 0.0018), (0.05, 0.04)])
    noded = node([base, stub])
    assert noded.mended == 1
    assert sorted(map(tuple, sources(noded))) == [(0,), (0,), (1,)]


def joins_its_ends(noded, number, line):
    """Whether edges that stem from a line lead from its one end to the other."""
    own = noded.edge_of[noded.line_of == number]
    graph = nx.Graph(zip(noded.tails[own].tolist(), noded.heads[own].tolist(), strict=True))
    ends = line.coords[0], line.coords[-1]
    first, last = (int(np.abs(noded.nodes_mm - end).max(axis=1).argmin()) for end in ends)
    return {first, last} <= set(graph) and nx.has_path(graph, first, last)


@settings(deadline=None, derandomize=True, max_examples=150)
@given(near_lines(points=2, up_to=12, step_mm=10.0))
def test_every_line_keeps_its_whole_way_among_lines_a_hair_apart(ends):
    # Snap rounding: what runs through the square around a node is drawn into it (Hobby 1999, from memory).
    lines = [LineString(both) for both in ends]
    noded = node(lines)
    assert all(joins_its_ends(noded, number, line) for number, line in enumerate(lines))
    sliver = shapely.length(noded.edges)[noded.edge_of] < 0.008
    tails = shapely.points(noded.nodes_mm)[noded.tails[noded.edge_of]]
    reach = shapely.distance(tails, np.array(lines)[noded.line_of])[sliver]
    assert noded.mended or (reach <= 0.75 * GRID_MM).all()


def test_a_midpoint_alone_would_err_where_a_line_touches_a_curve():
    # A chord's middle may lie on another line that the chord only crosses there.
    arc = LineString([(-10, 10), (0, 0), (10, 10)])
    noded = node([arc, LineString([(-10, 0), (0, 0), (10, 0)])])
    assert len(noded.edges) == 4
    assert len(noded.edge_of) == 4


def test_not_finite_and_vanishing_lines_are_errors_that_name_the_line():
    with np.errstate(invalid="ignore"):
        unsound = shapely.linestrings([(0, 0), (np.nan, 1)])
    with pytest.raises(ValueError, match="line 2 has a coordinate that is not finite"):
        node([LineString([(0, 0), (1, 0)]), unsound])
    with pytest.raises(ValueError, match="line 1 is shorter than"):
        node([LineString([(0, 0), (0.0001, 0)])])


def test_crossings_are_predicted_without_cutting():
    across = [LineString([(0, i), (100, i)]) for i in range(1, 41)]
    down = [LineString([(i, 0), (i, 100)]) for i in range(1, 41)]
    assert predict_crossings(across + down) == 1600
    assert predict_crossings(across + down, sample=10) == pytest.approx(1600, rel=0.05)


@settings(deadline=None, derandomize=True, max_examples=60)
@given(scattered_segments(300, fewest=1, up_to=12))
def test_nothing_is_lost_and_nothing_moves_far(ends):
    lines = [LineString(both) for both in ends]
    noded = node(lines)
    whole = shapely.union_all(noded.edges)
    for line in lines:
        assert shapely.hausdorff_distance(line.intersection(whole.buffer(0.004)), line) < 0.004
    raw = shapely.union_all(lines)
    assert (shapely.distance(shapely.points(noded.nodes_mm), raw) <= 0.0015).all()
    assert len(np.unique(noded.edge_of)) == len(noded.edges)
