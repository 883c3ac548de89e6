"""Lines of a whole top, judged whole: against whole lines clipped by shapely."""

from collections import defaultdict

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from strategies import carried_on_tops

from stitchpath.check import check_plan
from stitchpath.design import Design, Kind, Top
from stitchpath.design.drawn import draw_places, wanted_in_places
from stitchpath.drawing import draw
from stitchpath.lines import LEAST_STITCH_MM, Line, Role
from stitchpath.motifs import Drawn, Fill
from stitchpath.motifs.carried_on import carried_on, whole_lengths_mm
from stitchpath.planner import make_plan

NEAR_MM = 1e-4


def whole_lines(layout, fill):
    """Return the fill's lines across the whole top, each as long as the top is wide and high together."""
    middle, (x0, y0, x1, y1) = np.array(layout.whole.middle_mm), layout.whole.room_mm
    turn = np.radians(fill.angle)
    along, across = np.array([np.cos(turn), np.sin(turn)]), np.array([-np.sin(turn), np.cos(turn)])
    far = x1 - x0 + y1 - y0
    count = int(far / fill.spacing) + 1
    at = [middle + across * k * fill.spacing for k in range(-count, count + 1)]
    return [shapely.LineString([place - along * far, place + along * far]) for place in at]


@given(carried_on_tops())
@settings(derandomize=True, deadline=None, max_examples=40)
def test_a_piece_is_sewn_if_the_whole_line_is_long_enough(design):
    layout, drawn = draw_places(design)
    fill = design.kinds["filled"].motifs[0]
    cloth, shapes = defaultdict(list), {}
    for (place, one), result in zip(wanted_in_places(design, layout), drawn, strict=True):
        assert result.short == ()
        if result.shapes:
            shapes[place.name] = result.shapes
        if isinstance(one.motif, Fill):
            room = shapely.box(*place.room_mm)
            for shape in () if fill.where == "everywhere" else shapes.get(place.name, ()):
                room = room.difference(shape.stop)
            cloth[one.motif.thread or place.thread].append(room)
    sewn = defaultdict(list)
    for result in drawn:
        for line in result.lines:
            if line.role is Role.FILL:
                sewn[line.thread].append(shapely.LineString(line.points_mm))
    for thread, rooms in cloth.items():
        region, lines = shapely.union_all(rooms), shapely.union_all(sewn[thread])
        near, told = lines.buffer(NEAR_MM, quad_segs=1), 0.0
        for whole in whole_lines(layout, fill):
            for piece in shapely.get_parts(shapely.line_merge(whole.intersection(region))):
                if abs(piece.length - fill.least_piece) < NEAR_MM or not piece.length:
                    continue
                there = piece.intersection(near).length
                if piece.length > fill.least_piece:
                    missing = piece.difference(near)
                    assert all(part.length < LEAST_STITCH_MM for part in shapely.get_parts(missing))
                    told += there
                else:
                    assert there == pytest.approx(0, abs=10 * NEAR_MM)
        assert lines.length == pytest.approx(told, abs=0.01 + 1e-6 * told)


NINE = Design(
    top=Top(block_width=100, block_height=100, binding_allowance=0),
    layout=["FFF", "FFF", "FFF"],
    kinds={"filled": Kind(letter="F", motifs=[Fill(spacing=70, angle=45, counted_from="top", least_gap=0)])},
)
"""Nine blocks; lines pass 0.7 mm beside their corners, or 1.4 mm, or 2.1 mm beside a corner of the top."""
BESIDE_MM = np.array([1, 2, 3]) * 2 * (100 * np.sqrt(0.5) - 70)
"""What is cut off there."""


def test_a_line_beside_corners_of_blocks_is_not_broken():
    drawing = draw(NINE)
    small = [line.length_mm for line in drawing.lines if line.length_mm < 6]
    assert sorted(small) == pytest.approx([*[BESIDE_MM[0]] * 6, *[BESIDE_MM[1]] * 4])
    assert [note.message.split(" is ")[0] for note in drawing.notes] == ["fill: a piece 4.26 mm long"] * 2
    plan = make_plan(drawing)
    assert check_plan(plan, drawing) == ()


def test_short_pieces_by_themselves_are_left_out_and_listed():
    drawing = draw(NINE.model_copy(update={"layout": ["...", ".F.", "..."], "kinds": NINE.kinds}))
    assert [line.length_mm for line in drawing.lines] == pytest.approx([100 * np.sqrt(2)])
    assert [note.message.split(" is ")[0] for note in drawing.notes] == ["fill: a piece 1.42 mm long"] * 2


@pytest.mark.parametrize(
    ("other", "mm"),
    [
        (((3, 0), (9, 0)), 9),
        (((9, 0), (3, 0)), 9),
        (((3, 0), (9, 0.1)), 3),
        (((3.001, 0), (9, 0)), 3),
        (((3, 0), (1, 0)), 3),
        (((3, 1e-9), (9, 0)), 9),
    ],
)
def test_what_goes_straight_on_is_one_line(other, mm):
    one = Line([(0, 0), (3, 0)], Role.FILL, "cotton")
    assert whole_lengths_mm([one, Line(other, Role.FILL, "cotton")])[0] == pytest.approx(mm)
    assert whole_lengths_mm([one, Line(other, Role.FILL, "silk")])[0] == 3


def test_nothing_is_changed_where_nothing_is_short():
    drawn = (Drawn(lines=(Line([(0, 0), (3, 0)], Role.FILL),)),)
    assert carried_on(drawn) == drawn
