import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from places import block, drawn_in
from pydantic import ValidationError
from strategies import angles_deg, lengths_mm, picked, shares, yes_or_no

from stitchpath.errors import DesignError, LimitError
from stitchpath.lines import COVERED_MM, Role
from stitchpath.motifs import Echo, Ellipse, Fill, Strip

OVAL = Ellipse(name="pear", height=160, width=120, applique=True)


def fills(drawn):
    return [line for line in drawn.lines if line.role is Role.FILL]


def heights(drawn):
    """The heights of level fill lines, rising."""
    return sorted({round(float(y), 6) for line in fills(drawn) for y in line.points_mm[:, 1]})


def test_lies_at_its_spacing_counted_from_the_middle():
    drawn, _ = drawn_in(block(100), [Fill(spacing=12, angle=0)])
    assert heights(drawn) == [64, 76, 88, 100, 112, 124, 136]
    assert {tuple(line.points_mm[:, 0]) for line in drawn.lines} == {(100.0, 200.0)}


def test_angle_and_spacing():
    drawn, _ = drawn_in(block(), [Fill(spacing="1/2 in")])
    lines = [shapely.LineString(line.points_mm) for line in drawn.lines]
    gaps = [a.distance(b) for a, b in pairwise(lines)]
    assert gaps == pytest.approx([12.7] * (len(lines) - 1))
    ways = np.array([line.points_mm[1] - line.points_mm[0] for line in drawn.lines])
    assert np.degrees(np.arctan2(ways[:, 1], ways[:, 0])) == pytest.approx(45)


def test_the_spacing_carries_on_over_blocks_from_the_tops_middle():
    left, right = block(100, top_middle_mm=(0, 3)), block(100, top_middle_mm=(0, 3), name="right")
    right = right.__class__(
        **{**right.__dict__, "box_mm": (200, 50, 300, 150), "room_mm": (200, 50, 300, 150)}
    )
    ends = [
        {
            tuple(np.round(p, 6))
            for line in drawn_in(place, [Fill(spacing=9, counted_from="top")])[0].lines
            for p in line.points_mm
            if math.isclose(p[0], 200)
        }
        for place in (left, right)
    ]
    assert len(ends[0] & ends[1]) >= 6


def test_counted_from_a_seam():
    drawn, _ = drawn_in(block(100), [Fill(spacing=12, angle=0, counted_from="seam")])
    assert heights(drawn) == [62, 74, 86, 98, 110, 122, 134]  # 146 is within 1/4 in of the seam at 150
    drawn, _ = drawn_in(block(100), [Fill(spacing=20, angle=45, counted_from="seam")])
    corner = shapely.Point(100, 50)
    near = min(corner.distance(shapely.LineString(line.points_mm)) for line in drawn.lines)
    assert near == pytest.approx(0, abs=1e-9)


def test_counted_from_the_seam_nearest_to_the_middle():
    near = ((100.0, 97.0), (200.0, 97.0))
    drawn, _ = drawn_in(
        block(100, seams=(*block(100).seams, near)), [Fill(spacing=12, angle=0, counted_from="seam")]
    )
    assert heights(drawn) == [61, 73, 85, 109, 121, 133]


def test_counted_from_a_strips_lines_on_either_side():
    strip = Strip(width=30, angle=0)
    drawn, _ = drawn_in(block(200), [strip, Fill(spacing=20, counted_from="strip")])
    assert heights(drawn) == [75, 95, 115, 185, 205, 225]  # the strip's lines: 135 and 165
    drawn, _ = drawn_in(block(200), [strip, Fill(spacing=12, counted_from="strip", through_strips=True)])
    assert 147 in heights(drawn)
    with pytest.raises(DesignError, match="not parallel") as caught:
        drawn_in(block(200), [strip, Fill(spacing=20, angle=10, counted_from="strip")])
    assert caught.value.key == "counted_from"
    with pytest.raises(DesignError, match="no strip is sewn in row 2, column 3"):
        drawn_in(block(200), [Fill(spacing=20, counted_from="strip")])


def test_stops_at_an_oval_and_goes_on_behind_it():
    drawn, _ = drawn_in(block(), [OVAL, Fill(spacing=10, angle=0)])
    (shape,) = drawn.shapes
    level = [line for line in fills(drawn) if line.points_mm[0, 1] == 177.0]
    # On the long way through the middle: from the seam to the outside outline, 60 + 3.175 off the middle.
    assert [line.points_mm[:, 0].tolist() for line in level] == [
        pytest.approx([100.0, 227 - 63.175]),
        pytest.approx([227 + 63.175, 354.0]),
    ]
    sewn = shapely.MultiLineString([line.points_mm for line in fills(drawn)])
    assert sewn.intersection(shape.stop.buffer(-COVERED_MM)).is_empty


def test_inside_where_a_least_room_remains():
    drawn, _ = drawn_in(block(), [OVAL, Fill(spacing=10, where="inside")])
    assert fills(drawn)
    for line in fills(drawn):
        assert drawn.shapes[0].core.buffer(1e-6).contains(shapely.LineString(line.points_mm))
    narrow = Fill(spacing=10, where="inside", least_room=120)  # the core is 113.65 mm wide
    drawn, _ = drawn_in(block(), [OVAL, narrow])
    assert [note.kind for note in drawn.notes] == ["left out", "no line"]
    assert "113.6 mm wide is left empty" in drawn.notes[0].message


def test_a_strip_divides_the_room_inside():
    strip = Strip(width=80, angle=90, where="inside")
    drawn, _ = drawn_in(block(), [OVAL, strip, Fill(spacing=10, angle=0, where="inside", least_room=10)])
    assert fills(drawn)
    for line in fills(drawn):
        x = line.points_mm[:, 0]
        assert (x <= 187 + 1e-9).all() or (x >= 267 - 1e-9).all()
    drawn, _ = drawn_in(block(), [OVAL, strip, Fill(spacing=10, angle=0, where="inside", least_room=20)])
    assert not fills(drawn)


def test_everywhere_goes_on_along_the_same_lines():
    drawn, _ = drawn_in(block(), [OVAL, Fill(spacing=10, angle=0, where="everywhere", even=True)])
    level = [h for h in heights(drawn) if 110 < h < 240]
    counts = {h: sum(line.points_mm[0, 1] == pytest.approx(h) for line in fills(drawn)) for h in level}
    assert set(counts.values()) == {3}


def test_even_divides_the_room():
    border = block(box_mm=(0, 0, 800, 101.6), room_mm=(-3.175, -3.175, 803.175, 101.6), seams=())
    drawn, _ = drawn_in(border, [Fill(spacing="5/8 in", angle="square to the edge", even=True)])
    x = sorted(float(line.points_mm[0, 0]) for line in drawn.lines)
    assert np.diff(x) == pytest.approx([800 / 50] * 48)  # 800 / 15.875 = 50.4
    assert x[0] == pytest.approx(16)
    assert {tuple(line.points_mm[:, 1]) for line in drawn.lines} == {(-3.175, 101.6)}
    drawn, _ = drawn_in(border, [Fill(spacing="5/8 in", angle="along the edge", even=True)])
    assert heights(drawn) == pytest.approx([101.6 / 6 * k for k in range(1, 6)])  # 101.6 / 15.875 = 6.4


def test_square_to_the_edge_of_an_upright_border():
    border = block(box_mm=(0, 0, 100, 800), room_mm=(0, 0, 100, 800), seams=())
    drawn, _ = drawn_in(border, [Fill(spacing=50, angle="square to the edge")])
    assert {tuple(sorted(line.points_mm[:, 0])) for line in drawn.lines} == {(0.0, 100.0)}


def test_nothing_closer_than_a_quarter_inch_to_a_parallel_seam_or_strip_line():
    seam = ((100.0, 100.0), (200.0, 100.0))
    place = block(100, seams=(*block(100).seams, seam))
    drawn, _ = drawn_in(place, [Fill(spacing=5, angle=0)])
    assert heights(drawn) == [60, 65, 70, 75, 80, 85, 90, 110, 115, 120, 125, 130, 135, 140]
    near = [note for note in drawn.notes if "nearer than" in note.message]
    assert sorted(note.place_mm[1] for note in near) == [55, 95, 100, 105, 145]
    drawn, _ = drawn_in(block(100), [Strip(width=20), Fill(spacing=6, angle=0, through_strips=True)])
    assert heights(drawn) == [58, 64, 70, 76, 82, 100, 118, 124, 130, 136, 142]  # strip lines at 90 and 110
    drawn, _ = drawn_in(block(100), [Fill(spacing=5, angle=0, least_gap=0)])
    assert len(heights(drawn)) == 19


def test_a_line_beside_the_edge_line_is_left_out_too():
    place = block(100, box_mm=(0, 0, 100, 100), room_mm=(-3.175, -3.175, 103.175, 103.175), seams=())
    drawn, _ = drawn_in(place, [Fill(spacing=10, angle=0)])
    assert heights(drawn) == [10, 20, 30, 40, 50, 60, 70, 80, 90]


def test_pieces_shorter_than_a_quarter_inch_are_left_out_and_listed():
    drawn, _ = drawn_in(block(100), [Fill(spacing=2, angle=45)])
    assert min(line.length_mm for line in drawn.lines) >= 6.35
    # A line h from the corner is 2 h long there; offsets are even numbers from the middle, the corner lies
    # 50 sqrt(2) = 70.711 off it: lines 0.711 and 2.711 from it, at two corners.
    assert sorted(note.message for note in drawn.notes) == [
        f"fill: a piece {length} mm long is left out in row 2, column 3, shorter than 6.3 mm"
        for length in ("1.42", "1.42", "5.42", "5.42")
    ]
    assert {note.kind for note in drawn.notes} == {"left out"}


def test_stops_where_echoes_and_nested_ovals_are():
    leaf = Ellipse(name="leaf", height=60, width=40)
    big = Ellipse(name="big", height=200, width=200)
    fill = Fill(spacing=5, angle=0, where="inside")
    drawn, _ = drawn_in(block(), [big, leaf, Echo(of="leaf", spacing=8, count=2), fill])
    sewn = shapely.MultiLineString([line.points_mm for line in fills(drawn)])
    ring = shapely.Point(227, 177).buffer(1).union(drawn.shapes[1].core)
    assert sewn.intersects(ring)  # inside the leaf it goes on
    between = drawn.shapes[1].stop.buffer(15.9).difference(drawn.shapes[1].stop.buffer(0.1))
    assert sewn.intersection(between).length < 1e-6


def test_no_line_of_the_outer_oval_enters_one_that_lies_in_it():
    big = Ellipse(name="big", height=200, width=200)
    bud = Ellipse(name="bud", height=60, width=40, tilt=20, applique=True, keep_out="whole")
    drawn, _ = drawn_in(block(), [big, bud, Fill(spacing=5, angle=0, where="inside")])
    sewn = shapely.MultiLineString([line.points_mm for line in fills(drawn)])
    assert sewn.intersection(drawn.shapes[1].stop.buffer(-COVERED_MM)).is_empty
    assert sewn.intersects(drawn.shapes[1].stop.buffer(1e-6))


def test_no_line_says_so():
    drawn, _ = drawn_in(block(20), [Fill(spacing=400, angle=0, counted_from="seam")])
    assert [note.kind for note in drawn.notes][-1] == "no line"


@pytest.mark.parametrize("spacing", [0.1, 0.13])
def test_a_budget_is_refused_before_drawing(spacing):
    with pytest.raises(LimitError, match="over the limit of 10,000; write a wider spacing") as caught:
        Fill(spacing=spacing).lines(block(1000))
    assert caught.value.key == "spacing"


@pytest.mark.parametrize(
    "fields",
    [
        {},
        {"spacing": 0},
        {"spacing": -1},
        {"spacing": 5e-300},
        {"spacing": 9e11},
        {"spacing": math.inf},
        {"spacing": math.nan},
        {"spacing": 5, "angle": "up"},
        {"spacing": 5, "even": True, "counted_from": "top"},
        {"spacing": 5, "least_gap": -1},
        {"spacing": 5, "angle": True},
    ],
)
def test_what_does_not_fit_together_is_refused(fields):
    with pytest.raises(ValidationError):
        Fill(**fields)


@settings(deadline=None, derandomize=True, max_examples=80)
@given(
    lengths_mm(20, 110),
    shares(0.5, 2),
    angles_deg(-90, 90),
    angles_deg(-180, 180),
    lengths_mm(4, 40),
    picked("outside", "inside", "everywhere"),
    picked("middle", "top", "seam"),
    yes_or_no(),
    picked("edge", "whole"),
)
def test_no_line_enters_a_keep_out_or_leaves_its_zone(
    height, ratio, tilt, angle, spacing, where, counted_from, through, keep_out
):
    oval = Ellipse(height=height, ratio=ratio, tilt=tilt, applique=True, keep_out=keep_out)
    leaf = Ellipse(height=40, width=25, centre=(150, 100), tilt=tilt)
    strip = Strip(width=min(height, height / ratio) / 3, angle=angle / 2)
    fill = Fill(
        spacing=spacing,
        angle=angle,
        where=where,
        counted_from=counted_from,
        through_strips=through,
        least_room=5,
    )
    place = block(450)
    drawn, _ = drawn_in(place, [oval, leaf, strip, fill])
    lines = shapely.MultiLineString([line.points_mm for line in fills(drawn)])
    for keep in drawn.keep_outs:
        assert lines.intersection(keep.polygon.buffer(-COVERED_MM)).is_empty
    if where == "outside":
        for shape in drawn.shapes:
            assert lines.intersection(shape.stop.buffer(-COVERED_MM)).is_empty
    if not through:
        for polygon in place.after(drawn).strips[0].cloth:
            assert lines.intersection(polygon.buffer(-COVERED_MM)).is_empty
    assert shapely.box(*place.room_mm).buffer(1e-9).covers(lines) or lines.is_empty
    assert all(line.length_mm >= 6.35 - 1e-6 for line in fills(drawn))
