import numpy as np
import pytest
import shapely
from places import block, drawn_in

from stitchpath.errors import DesignError
from stitchpath.lines import Role
from stitchpath.motifs import Ellipse, Strip

OVAL = Ellipse(name="pear", height=160, width=120, applique=True)


def test_goes_on_behind_the_oval():
    drawn, _ = drawn_in(block(), [OVAL, Strip(width=40)])
    lines = [line for line in drawn.lines if line.role is Role.STRIP]
    assert [line.motif for line in lines] == ["strip: outside"] * 4 + ["strip: inside"] * 2
    assert {float(y) for line in lines for y in line.points_mm[:, 1]} == {157.0, 197.0}
    # Outside outline: the point at height 20 of the curve 3.175 mm outside semi-axes (60, 80).
    ends = sorted({round(float(x), 6) for line in lines for x in line.points_mm[:, 0]})
    assert len(ends) == 6
    assert (ends[0], ends[-1]) == (100.0, 354.0)
    (shape,) = drawn.shapes
    for line in lines:
        middle = shapely.LineString(line.points_mm)
        assert not middle.intersects(drawn.keep_outs[0].polygon.buffer(-0.001))
        assert shape.core.buffer(1e-9).contains(middle) == line.motif.endswith("inside")


@pytest.mark.parametrize(("where", "count"), [("inside", 2), ("outside", 4), ("both", 6)])
def test_where(where, count):
    drawn, place = drawn_in(block(), [OVAL, Strip(width=40, where=where, angle=35)])
    assert sum(line.role is Role.STRIP for line in drawn.lines) == count
    (strip,) = place.strips
    assert len(strip.sewn) == count
    stop, core = drawn.shapes[0].stop, drawn.shapes[0].core
    for polygon in strip.cloth:
        inside = core.buffer(1e-6).contains(polygon)
        assert inside or polygon.intersection(stop).area < 1e-6
        assert where in {"both", "inside" if inside else "outside"}


def test_width_angle_and_offset():
    drawn, _ = drawn_in(block(), [Strip(width=30, angle=90, offset=10)])
    # Left of the middle, x = 227, by 10: 217, and 15 on either side.
    assert sorted(float(line.points_mm[0, 0]) for line in drawn.lines) == [202.0, 232.0]
    drawn, _ = drawn_in(block(), [Strip(width=30, offset=10)])
    assert sorted(float(line.points_mm[0, 1]) for line in drawn.lines) == [172.0, 202.0]
    drawn, place = drawn_in(block(), [Strip(width=30, angle=30)])
    ways = [np.subtract(*line.points_mm[::-1]) for line in drawn.lines]
    assert [np.degrees(np.arctan2(way[1], way[0])) for way in ways] == pytest.approx([30, 30])
    first, second = (shapely.LineString(side) for side in place.strips[0].sides)
    assert first.distance(second) == pytest.approx(30)


def test_pieced_strips_are_stitched_in_the_ditch():
    drawn, _ = drawn_in(block(), [Strip(width=30, pieced=True)])
    assert {line.role for line in drawn.lines} == {Role.DITCH}


def test_wider_than_its_oval():
    for where in ("inside", "outside", "both"):
        with pytest.raises(DesignError, match="strip is 120 mm wide, its oval only 120 mm across") as caught:
            drawn_in(block(), [OVAL, Strip(width=120, angle=90, where=where)])
        assert (caught.value.key, caught.value.remedy) == ("width", "write a narrower strip")
    assert drawn_in(block(), [OVAL, Strip(width=119, angle=90)])[0].lines


def test_no_line_says_so():
    drawn, place = drawn_in(block(), [Strip(name="path", width=30, where="inside")])
    assert [note.message for note in drawn.notes] == ["path yields no line in row 2, column 3"]
    assert place.strips == ()


def test_a_short_piece_is_listed():
    # At 45° through a corner: each side's line is as long as its distance from the corner, doubled.
    corner = 254 / 2**0.5
    drawn, _ = drawn_in(block(), [Strip(width=4, angle=45, offset=corner - 4)])
    assert [round(line.length_mm, 3) for line in drawn.lines] == [12.0]
    assert drawn.notes[0].kind == "left out"
    assert "4.00 mm long" in drawn.notes[0].message


def test_runs_through_the_room_to_the_edge_line():
    drawn, _ = drawn_in(block(room_mm=(96.825, 50, 354, 304)), [Strip(width=40)])
    assert {float(line.points_mm[0, 0]) for line in drawn.lines} == {96.825}
