"""Pieces too short to be worth a stitch: left out from the least length on, and each of them told."""

import pytest
import shapely
from places import block
from shapely import LineString, MultiLineString, Point

from stitchpath.geometry.clip import clipped
from stitchpath.motifs import Fill
from stitchpath.motifs.short import curved_lines, straight_lines

ASKED = Fill(spacing=10)
TRIANGLE = shapely.Polygon([(0, 0), (40, 0), (0, 40)])
"""A level line at y is 40 - y long in it."""


def straight(*offsets, least, **about):
    pieces = clipped(list(offsets), 0, within=[TRIANGLE])
    return straight_lines(ASKED, pieces, block(**about), "outside", least=least)


def test_straight_pieces_from_the_least_length_on():
    drawn = straight(10, 30, 35, least=10)
    assert [line.length_mm for line in drawn.lines] == pytest.approx([30, 10])
    assert {(line.motif, line.block) for line in drawn.lines} == {("fill: outside", "row 2, column 3")}
    (note,) = drawn.notes
    assert note.kind == "left out"
    assert note.message == "fill: a piece 5.00 mm long is left out in row 2, column 3, shorter than 10 mm"
    assert note.place_mm == pytest.approx((2.5, 35))


def test_what_is_told_is_in_the_unit_of_the_place():
    (note,) = straight(35, least=25.4, unit="in", name="").notes
    assert note.message == "fill: a piece 5.00 mm long is left out in the top, shorter than 1 in"


def test_nothing_to_draw_and_nothing_left_out():
    for drawn in (straight(least=10), curved_lines(ASKED, MultiLineString(), block(), "", least=1)):
        assert (drawn.lines, drawn.notes) == ((), ())
    # A piece of no length is no piece, and not told.
    hair = straight(40 - 1e-7, least=10)
    assert (hair.lines, hair.notes) == ((), ())


def test_curved_pieces_that_meet_at_the_ends_of_two_are_one_line():
    halves = MultiLineString([[(0, 0), (6, 8)], [(6, 8), (6, 18)]])
    drawn = curved_lines(ASKED, halves, block(), "round 1", least=15)
    (line,) = drawn.lines
    assert (line.length_mm, line.motif, drawn.notes) == (20, "fill: round 1", ())
    apart = MultiLineString([[(0, 0), (6, 8)], [(6, 9), (6, 19)]])
    left = curved_lines(ASKED, apart, block(), "round 1", least=15)
    assert left.lines == ()
    assert [note.place_mm for note in left.notes] == [(3, 4), (6, 14)]
    assert all("a piece 10.00 mm long" in note.message for note in left.notes)


def test_where_three_meet_each_stays_a_line():
    star = MultiLineString([[(0, 0), (9, 0)], [(0, 0), (0, 9)], [(0, 0), (-9, 0)]])
    assert [line.length_mm for line in curved_lines(ASKED, star, block(), "", least=9).lines] == [9, 9, 9]


def test_points_are_dropped():
    both = shapely.GeometryCollection([Point(3, 3), LineString([(0, 0), (9, 0)])])
    drawn = curved_lines(ASKED, both, block(), "", least=1)
    assert [line.length_mm for line in drawn.lines] == [9]
    assert drawn.notes == ()
