"""Where blocks, sashing, borders and seams lie: small tops by hand, and what holds for all of them."""

import pytest
import shapely
from hypothesis import given, settings
from strategies import designs

from stitchpath.design import Border, Design, Sashing, Top, lay_out

IN = 25.4


def top_of(layout, **about):
    return lay_out(Design(top=Top(block_width=100, block_height=50, **about), layout=layout))


def boxes(layout):
    return {laid.place.name: laid.place.box_mm for laid in layout.pieces}


def seams(*straights):
    return {((float(x0), float(y0)), (float(x1), float(y1))) for x0, y0, x1, y1 in straights}


def test_plain_blocks_and_seams_that_run_out_to_the_edge_line():
    layout = top_of(["..", ".."], binding_allowance="1/4 in")
    out = IN / 8  # the edge line runs 1/8 in from the raw edge (common practice, no source)
    assert layout.whole.box_mm == (0, 0, 200, 100)
    assert layout.whole.room_mm == (-out, -out, 200 + out, 100 + out)
    assert set(layout.whole.seams) == seams((100, -out, 100, 100 + out), (-out, 50, 200 + out, 50))
    first = layout.pieces[0].place
    assert (first.name, first.row, first.column, first.rows, first.columns) == ("row 1, column 1", 1, 1, 2, 2)
    assert first.box_mm == (0, 0, 100, 50)
    assert first.room_mm == (-out, -out, 100, 50)
    assert set(first.seams) == seams((100, -out, 100, 50), (-out, 50, 100, 50))
    assert first.top_middle_mm == (100, 50)


@pytest.mark.parametrize(("allowance", "out"), [(0, 0.0), ("1/4 in", IN / 8), ("1/2 in", 3 * IN / 8)])
def test_the_edge_line(allowance, out):
    assert top_of(["."], binding_allowance=allowance).whole.room_mm == pytest.approx(
        (-out, -out, 100 + out, 50 + out)
    )


@pytest.mark.parametrize("allowance", ["1/8 in", "1/16 in", 3.175])
def test_an_allowance_without_room_for_the_edge_line(allowance):
    with pytest.raises(ValueError, match="edge line"):
        Top(block_width=1, block_height=1, binding_allowance=allowance)


def test_sashing_with_cornerstones_and_two_borders():
    layout = top_of(["..", ".."], sashing=Sashing(width=10), borders=[Border(width=20), Border(width=5)])
    out = IN / 8
    assert layout.whole.box_mm == (0, 0, 260, 160)
    assert set(layout.whole.seams) == seams(
        (125, 25, 125, 135), (135, 25, 135, 135), (25, 75, 235, 75), (25, 85, 235, 85),
        (5, 25, 255, 25), (5, 135, 255, 135), (25, 25, 25, 135), (235, 25, 235, 135),
        (-out, 5, 260 + out, 5), (-out, 155, 260 + out, 155), (5, 5, 5, 155), (255, 5, 255, 155),
    )  # fmt: skip
    assert boxes(layout) == {
        "row 1, column 1": (25, 25, 125, 75), "row 1, column 2": (135, 25, 235, 75),
        "row 2, column 1": (25, 85, 125, 135), "row 2, column 2": (135, 85, 235, 135),
        "sashing between columns 1 and 2, row 1": (125, 25, 135, 75),
        "sashing between columns 1 and 2, row 2": (125, 85, 135, 135),
        "sashing between rows 1 and 2, column 1": (25, 75, 125, 85),
        "sashing between rows 1 and 2, column 2": (135, 75, 235, 85),
        "cornerstone between rows 1 and 2, between columns 1 and 2": (125, 75, 135, 85),
        "top border 1": (5, 5, 255, 25), "right border 1": (235, 25, 255, 135),
        "bottom border 1": (5, 135, 255, 155), "left border 1": (5, 25, 25, 135),
        "top border 2": (0, 0, 260, 5), "right border 2": (255, 5, 260, 155),
        "bottom border 2": (0, 155, 260, 160), "left border 2": (0, 5, 5, 155),
    }  # fmt: skip


def test_sashing_around_without_cornerstones():
    layout = top_of([".."], sashing=Sashing(width=10, cornerstones=False, around=True), binding_allowance=0)
    assert layout.whole.box_mm == (0, 0, 230, 70)
    assert set(layout.whole.seams) == seams(
        (0, 10, 230, 10), (0, 60, 230, 60),
        (10, 10, 10, 60), (110, 10, 110, 60), (120, 10, 120, 60), (220, 10, 220, 60),
    )  # fmt: skip
    assert boxes(layout) == {
        "row 1, column 1": (10, 10, 110, 60), "row 1, column 2": (120, 10, 220, 60),
        "sashing left of column 1, row 1": (0, 10, 10, 60),
        "sashing between columns 1 and 2, row 1": (110, 10, 120, 60),
        "sashing right of column 2, row 1": (220, 10, 230, 60),
        "sashing above row 1": (0, 0, 230, 10), "sashing below row 1": (0, 60, 230, 70),
    }  # fmt: skip


def test_one_border_needs_no_number():
    names = set(boxes(top_of(["."], borders=[Border(width=5)])))
    assert names == {"row 1, column 1", "top border", "right border", "bottom border", "left border"}


def test_rows_and_columns_each_of_their_own_size():
    top = Top(column_widths=(10, 20, 30), row_heights=(5, 7), binding_allowance=0)
    layout = lay_out(Design(top=top, layout=["...", "..."]))
    assert layout.whole.box_mm == (0, 0, 60, 12)
    assert boxes(layout)["row 2, column 3"] == (30, 5, 60, 12)
    with pytest.raises(ValueError, match="has 2 columns and this list 3 sizes; write one for each"):
        Design(top=top, layout=["..", ".."])


def test_winter_orchards_size():
    # 5 x 10 + 4 x 1 1/2 + 2 x 4 = 64 in wide; 6 x 12 + 5 x 1 1/2 + 2 x 4 = 87 1/2 in tall
    top = Top(
        block_width="10 in",
        block_height="12 in",
        sashing=Sashing(width="1 1/2 in"),
        borders=[Border(width="4 in")],
    )
    assert lay_out(Design(top=top, layout=["....."] * 6)).whole.box_mm == pytest.approx(
        (0, 0, 64 * IN, 87.5 * IN)
    )


@settings(deadline=None, derandomize=True, max_examples=60)
@given(designs(most=3))
def test_the_pieces_cover_the_top_and_seams_are_what_parts_them(design):
    layout = lay_out(design)
    whole = shapely.box(*layout.whole.box_mm)
    pieces = [shapely.box(*laid.place.box_mm) for laid in layout.pieces]
    assert sum(piece.area for piece in pieces) == pytest.approx(whole.area)
    assert shapely.union_all(pieces).symmetric_difference(whole).area < 1e-6 * whole.area
    names = [laid.place.name for laid in layout.pieces]
    assert len(set(names)) == len(names)
    drawn = shapely.union_all(
        shapely.linestrings([list(seam) for seam in layout.whole.seams or [((0, 0),) * 2]])
    )
    wide = drawn.buffer(1e-6, quad_segs=1)
    inner = shapely.union_all([piece.exterior for piece in pieces]).difference(whole.exterior)
    assert inner.difference(wide).length < 1e-6
    within = drawn.intersection(whole).difference(whole.exterior)
    assert within.difference(inner.buffer(1e-6, quad_segs=1)).length < 1e-6
    sides = [seam for laid in layout.pieces for seam in laid.place.seams]
    assert not sides or wide.covers(shapely.multilinestrings([list(side) for side in sides]))
