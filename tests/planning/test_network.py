"""Drawings cut at their junctions."""

import networkx as nx
import numpy as np
import pytest
from plans import circle, edge_at, junction_at, line
from shapely import LineString, unary_union

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError, LimitError
from stitchpath.geometry.pieces import Tallest
from stitchpath.lines import Line
from stitchpath.planning import network as module
from stitchpath.planning.network import build_network

GRID = [line((0, y), (80, y)) for y in (16, 32, 48)] + [line((x, 0), (x, 64)) for x in (16, 32, 48, 64)]


def test_a_grid_of_lines_by_hand():
    """3 lines across 4: 12 crossings and 14 ends; 3 x 5 + 4 x 4 edges."""
    network = build_network(Drawing.from_lines(GRID))
    degrees = np.bincount(np.concatenate((network.tails, network.heads)))
    assert (len(network.junctions_mm), len(network.tails)) == (26, 31)
    assert sorted(degrees.tolist()) == [1] * 14 + [4] * 12
    assert network.length_mm.sum() == pytest.approx(3 * 80 + 4 * 64)
    assert network.length_mm.tolist() == [16] * 31
    assert network.notes == ()


def test_a_planar_network_obeys_eulers_formula():
    """Junctions - edges + faces = 2 for a connected planar graph (Euler 1752), faces counted by shapely."""
    from shapely.ops import polygonize

    shapes = [*GRID, circle(40, 32, 30), circle(30, 30, 17)]
    network = build_network(Drawing.from_lines(shapes))
    inner = len(list(polygonize(unary_union(shapes))))
    assert len(network.junctions_mm) - len(network.tails) + inner + 1 == 2


def test_edges_run_from_tail_to_head_and_have_their_length():
    network = build_network(Drawing.from_lines([*GRID, circle(40, 32, 30)]))
    for edge in range(len(network.tails)):
        points = network.points_mm[network.first[edge] : network.first[edge + 1]]
        assert points[0].tolist() == network.junctions_mm[network.tails[edge]].tolist()
        assert points[-1].tolist() == network.junctions_mm[network.heads[edge]].tolist()
        assert network.length_mm[edge] == pytest.approx(LineString(points).length)


def test_headings_point_away_from_both_ends():
    network = build_network(Drawing.from_lines([line((0, 0), (10, 0), (10, 30))]))
    tail, head = network.headings[:, 0].tolist()
    ends = network.junctions_mm[[network.tails[0], network.heads[0]]].tolist()
    away = {(0.0, 0.0): 0.0, (10.0, 30.0): -np.pi / 2}
    assert [tail, head] == pytest.approx([away[tuple(end)] for end in ends])


def test_sources_count_asked_lines_first_and_then_hidden_seams():
    drawing = Drawing.from_lines(
        [line((0, 0), (20, 0)), line((10, 0), (20, 0))], hidden=[line((0, 0), (10, 0)), line((0, 0), (0, 9))]
    )
    network = build_network(drawing)
    sources = {
        place: network.line_of[network.edge_of == edge_at(network, *place)].tolist()
        for place in [(5, 0), (15, 0), (0, 4.5)]
    }
    assert sources == {(5, 0): [0, 2], (15, 0): [0, 1], (0, 4.5): [3]}
    assert network.lines == drawing.lines + drawing.hidden
    assert (np.diff(network.edge_of) >= 0).all()


def test_as_a_networkx_graph():
    drawing = Drawing.from_lines(
        [line((0, 0), (20, 0)), line((10, 0), (20, 0))], hidden=[line((0, 0), (0, 9))]
    )
    network = build_network(drawing)
    graph = network.graph()
    assert isinstance(graph, nx.MultiGraph)
    ends = [junction_at(network, x, 0) for x in (10, 20)]
    assert graph.edges[*ends, edge_at(network, 15, 0)] == {"length_mm": 10.0, "lines": (1, 2)}
    hidden = [junction_at(network, 0, y) for y in (0, 9)]
    assert graph.edges[*hidden, edge_at(network, 0, 4.5)] == {"length_mm": 9.0, "lines": ()}
    assert graph.nodes[ends[1]] == {"x_mm": 20.0, "y_mm": 0.0}


def test_a_circle_alone_is_one_edge_from_a_junction_to_itself():
    network = build_network(Drawing.from_lines([circle()]))
    assert len(network.tails) == 1
    assert network.tails.tolist() == network.heads.tolist()
    assert network.length_mm[0] == pytest.approx(circle().length)


def test_an_end_short_of_a_line_is_told_with_its_distance_and_not_mended():
    drawing = Drawing.from_lines([line((0, 0), (100, 0)), line((50, 0.03125), (50, 50))])
    (note,) = build_network(drawing).notes
    assert (note.kind, note.place_mm) == ("short end", (50.0, 0.03125))
    assert "0.031 mm short of line" in note.message
    assert len(build_network(drawing).tails) == 2


def test_lines_that_nearly_coincide_are_told_once_for_each_pair_of_motifs():
    apart = [line((0, 0), (100, 0)), line((0, 0.1), (100, 0.1)), line((0, -0.1), (100, -0.1))]
    notes = [note for note in build_network(Drawing.from_lines(apart)).notes if note.kind == "near lines"]
    assert len(notes) == 1
    told = "line and line run within 0.2 mm of each other, 3 pairs of lines, the longest stretch 100 mm; sew"
    assert notes[0].message.startswith(told)


@pytest.mark.parametrize(
    ("budget", "what", "count"),
    [("NETWORK_LINES", "lines", 7), ("NETWORK_POINTS", "points", 14), ("CROSSINGS", "crossings", 12)],
)
def test_what_is_over_a_budget_is_refused_before_it_is_cut(monkeypatch, budget, what, count):
    monkeypatch.setattr(module, f"MOST_{budget}", count - 1)
    monkeypatch.setattr(module, "node", lambda _: pytest.fail("cut although over budget"))
    told = rf"about {count} {what}, and {count - 1} can be routed at once; widen"
    with pytest.raises(LimitError, match=told) as caught:
        build_network(Drawing.from_lines(GRID))
    assert caught.value.key == "lines"


def test_exactly_a_budget_is_let_through(monkeypatch):
    for budget, count in (("NETWORK_LINES", 7), ("NETWORK_POINTS", 14), ("CROSSINGS", 12)):
        monkeypatch.setattr(module, f"MOST_{budget}", count)
    assert len(build_network(Drawing.from_lines(GRID)).tails) == 31


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ([(0, 0), (1e-4, 0)], "line 2 is shorter than 0.0005 mm; leave it out"),
        ([(0, 0), (np.nan, 0)], "line 2 has a coordinate that is not finite"),
    ],
)
def test_lines_that_no_network_can_hold_are_refused(points, said):
    drawing = Drawing((Line([(0, 0), (9, 0)]), Line(points)))
    with pytest.raises(DesignError, match=said):
        build_network(drawing)


def test_nobody_can_break_its_arrays():
    network = build_network(Drawing.from_lines(GRID))
    arrays = [value for value in vars(network).values() if isinstance(value, np.ndarray)]
    assert len(arrays) == 9
    assert not any(array.flags.writeable for array in arrays)


def test_pieces_for_a_reach_are_counted_before_they_are_cut(monkeypatch):
    """A reach of 0.0001 mm asked for 4 GB; a top of 10 m and a reach of 25 mm are too much as well."""
    monkeypatch.setattr(module, "in_pieces", lambda *_: pytest.fail("cut before counted"))
    tallest = Tallest(axis=1, fits=lambda low, high: high - low <= 25, piece_mm=3.125)
    lines = [line((x, 0), (x, 100_000)) for x in range(0, 1000, 50)]
    with pytest.raises(LimitError, match="so short a reach cuts the lines in 640,000 pieces") as caught:
        build_network(Drawing.from_lines(lines), tallest=tallest)
    assert caught.value.key == "machine.reach"
    monkeypatch.undo()
    few = Drawing.from_lines([line((0, 0), (0, 1000))])
    assert len(build_network(few, tallest=tallest).tails) == 320
