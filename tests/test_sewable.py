"""Whatever may be sewn or travelled stays out of keep-outs; what is left out of asked lines is told."""

import numpy as np
import shapely
from hypothesis import given, settings
from strategies import lines

from stitchpath.design import Design, Kind, Top
from stitchpath.drawing import Drawing, draw
from stitchpath.lines import COVERED_MM, KeepOut, Line, Role
from stitchpath.motifs import Ditch, Ellipse
from stitchpath.sewable import DEEP_MM, sewable

PEAR = KeepOut(shapely.box(40, -10, 60, 10), "pear", "row 1, column 1")
ROLES = (Role.DITCH, Role.HIDDEN, Role.ALLOWANCE, Role.FILL)


def drawn(lines):
    return np.array([shapely.LineString(line.points_mm) for line in lines], dtype=object)


@given(lines((-2, 12), (-3, 3), step_mm=(10.0, 9.999), of=ROLES, points=5, fewest=1, up_to=6))
@settings(max_examples=100, deadline=None)
def test_no_line_of_any_role_enters_a_keep_out(asked):
    clear, _ = sewable(asked, [PEAR])
    inner = PEAR.polygon.buffer(-DEEP_MM)
    assert not shapely.intersects(drawn(clear), inner).any()
    left = shapely.buffer(shapely.union_all(drawn(clear)), 0.05)
    kept = shapely.difference(shapely.union_all(drawn(asked)), PEAR.polygon.buffer(0.2))
    assert shapely.difference(kept, left).length < 1e-6


def test_lines_keep_their_order_role_thread_and_motif():
    lines = [
        Line([(0, 5), (100, 5)], Role.FILL, "red", "fill", "row 1, column 1"),
        Line([(0, 0), (100, 0)], Role.DITCH, "blue", "ditch"),
        Line([(0, 90), (100, 90)], Role.HIDDEN, "", "seam"),
    ]
    clear, _ = sewable(lines, [PEAR])
    assert [(line.role, line.thread, line.motif) for line in clear] == [
        (Role.FILL, "red", "fill"), (Role.FILL, "red", "fill"),
        (Role.DITCH, "blue", "ditch"), (Role.DITCH, "blue", "ditch"),
        (Role.HIDDEN, "", "seam"),
    ]  # fmt: skip
    assert clear[-1] is lines[-1]


def test_what_asked_lines_lose_is_told_once_for_each_two_motifs_and_of_hidden_seams_not_at_all():
    """A top of many blocks must not tell it line by line."""
    ditches = [Line([(0, y), (100, y)], Role.DITCH, motif="ditch") for y in (-5, 0, 5)]
    seam = Line([(50, -90), (50, 90)], Role.HIDDEN, motif="seam")
    _, notes = sewable([*ditches, seam], [PEAR])
    assert [note.message for note in notes] == [
        "ditch: 3 lines lose 60 mm in all, where the keep-out of pear reaches over"
    ]
    assert 40 < notes[0].place_mm[0] < 60


def test_a_line_wholly_in_a_keep_out_is_none_and_a_short_rest_is_none():
    inside = Line([(45, 0), (55, 0)], Role.DITCH, motif="ditch")
    reaching = Line([(39.95, 0), (55, 0)], Role.DITCH, motif="ditch")
    assert sewable([inside, reaching], [PEAR])[0] == ()


def test_a_line_snapped_into_a_keep_out_is_cut_again():
    """The fill line passes below a keep-out, and is led through the end of a seam above its lower edge."""
    tip = KeepOut(shapely.box(5, -0.004, 6, 0.006), "tip")
    ditch = Line([(4.9, 0.0015), (4.9, 50)], Role.DITCH, motif="ditch")
    fill = Line([(0, -0.006), (10, -0.006)], Role.FILL, motif="fill")
    clear, notes = sewable([ditch, fill], [tip])
    assert [line.role for line in clear] == [Role.DITCH, Role.FILL, Role.FILL]
    assert not shapely.intersects(drawn(clear), tip.polygon.buffer(-DEEP_MM)).any()
    assert [note.message for note in notes] == [
        "fill: a line loses 1 mm, where the keep-out of tip reaches over"
    ]


def test_hidden_seams_of_a_drawing_from_lines_are_cut_and_its_asked_lines_only_snapped():
    asked = shapely.LineString([(0, 0), (0, 100)])
    drawing = Drawing.from_lines(
        [asked, shapely.LineString([(0.002, 0), (0.002, 100)])],
        hidden=[shapely.LineString([(0, 20), (100, 20)])],
        keep_outs=[shapely.box(40, 10, 60, 30)],
    )
    assert [line.points_mm.tolist() for line in drawing.lines] == [
        [[0, 0], [0, 100]],
        [[0, 0], [0, 100]],
    ]
    assert [line.points_mm.tolist() for line in drawing.hidden] == [
        [[0, 20], [40, 20]],
        [[60, 20], [100, 20]],
    ]


def test_a_designs_seams_end_at_the_keep_out_that_reaches_over_them():
    """Only the inside outline is sewn, so nothing keeps the appliqué away from its block's edge."""
    oval = Ellipse(height=99, ratio=1, applique=True, outlines="inside")
    drawing = draw(
        Design(
            top=Top(block_width=100, block_height=100),
            layout=["AA"],
            kinds={"a": Kind(letter="A", motifs=[oval])},
            motifs=[Ditch()],
        )
    )
    inner = [keep_out.polygon.buffer(-COVERED_MM) for keep_out in drawing.keep_outs]
    lines = drawn(drawing.lines + drawing.hidden)
    assert not any(shapely.intersects(lines, one).any() for one in inner)
    assert [note.kind for note in drawing.notes] == ["keep-out"]
