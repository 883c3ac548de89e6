"""Places named, on a top of two rows and two columns of blocks of 100 mm with a basting line 5 mm outside."""

import numpy as np
import pytest
from directions.laid import blocks, laid
from plans import circle

from stitchpath.directions.place_names import PlaceNames, SeamPiece, in_words
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role

EDGE = Line([(-5, -5), (205, -5), (205, 205), (-5, 205), (-5, -5)], Role.BASTE)
OVAL = Line(circle(50, 50, 30).coords, Role.OUTLINE, "", "plum: oval", "row 1, column 1")
RAIN = Line([(110, 150), (190, 150)], Role.FILL, "", "rain", "row 2, column 2")
SEAMS = (
    Line([(-5, 100), (205, 100)], Role.HIDDEN),
    Line([(100, -5), (100, 205)], Role.HIDDEN),
    Line([(0, 140), (50, 190)], Role.HIDDEN),
)
TOP = PlaceNames(Drawing((EDGE, OVAL, RAIN), SEAMS, blocks=blocks(rows=2, columns=2)), "mm")
DIAGONAL = 30 / np.sqrt(2)


@pytest.mark.parametrize(
    ("point", "place"),
    [
        ((100, 100), "at the lower right corner of row 1, column 1"),
        ((0, 200), "at the lower left corner of row 2, column 1"),
        ((60, 100), "on the seam between rows 1 and 2, 60 mm right of the left edge of column 1"),
        ((100, 130), "on the seam between columns 1 and 2, 30 mm below the top edge of row 2"),
        ((205, 60), "on the right basting line, 60 mm below the top edge of row 1"),
        ((205, 100), "where the seam between rows 1 and 2 meets the right basting line"),
        ((20, 50), 'at the left side of the oval "plum" in row 1, column 1'),
        ((50, 80), 'at the bottom of the oval "plum" in row 1, column 1'),
        (
            (50 + DIAGONAL, 50 - DIAGONAL),
            'on the oval "plum" in row 1, column 1, 21 mm right of and 21 mm above its middle',
        ),
        ((130, 170), "30 mm right of and 70 mm below the upper left corner of row 2, column 2"),
        ((-30, 20), "30 mm left of and 20 mm below the upper left corner of row 1, column 1"),
    ],
)
def test_places_by_the_nearest_thing_that_can_be_seen(point, place):
    assert TOP.place(np.array(point, dtype=float)) == place


def test_of_several_corners_that_of_the_block_at_work_is_named():
    for block, corner in [("row 2, column 2", "upper left"), ("row 1, column 2", "lower left")]:
        assert TOP.place(np.array([100.0, 100.0]), block=block) == f"at the {corner} corner of {block}"


def test_seams_in_pieces_level_and_upright():
    assert set(TOP.seams) == {
        SeamPiece(False, -5, -5, 205, "the top basting line"),
        SeamPiece(True, 205, -5, 205, "the right basting line"),
        SeamPiece(False, 205, -5, 205, "the bottom basting line"),
        SeamPiece(True, -5, -5, 205, "the left basting line"),
        SeamPiece(False, 100, -5, 205, "the seam between rows 1 and 2"),
        SeamPiece(True, 100, -5, 205, "the seam between columns 1 and 2"),
    }


def test_a_long_top_has_its_four_edges():
    edge = Line([(0, 0), (300, 0), (300, 100), (0, 100), (0, 0)], Role.ALLOWANCE)
    names = {(seam.upright, seam.at_mm): seam.name for seam in PlaceNames(Drawing((), (edge,))).seams}
    assert names == {
        (False, 0): "the top edge line",
        (True, 300): "the right edge line",
        (False, 100): "the bottom edge line",
        (True, 0): "the left edge line",
    }


def test_what_a_hand_move_lies_on_and_comes_to():
    level, slanting = laid((60, 100), (90, 100)), laid((0, 140), (50, 190))
    assert TOP.name_of(level) == "the seam between rows 1 and 2"
    assert TOP.name_of(slanting) == "the seam"
    assert TOP.name_of(laid((110, 150), (190, 150), line=RAIN)) == 'a line of "rain"'
    assert TOP.name_of(laid((-5, 0), (-5, 50), line=EDGE)) == "the left basting line"
    for end, what in [
        ((100, 100), "the lower right corner of row 1, column 1"),
        ((70, 100), "the seam between rows 1 and 2"),
        ((20, 50), 'the oval "plum" in row 1, column 1'),
        ((12, 60), ""),
    ]:
        assert TOP.landmark(laid((10, 55), end), "a line", "") == what
    rising = laid((60, 90), (70, 100))
    assert TOP.landmark(rising, "a line", "") == "the seam between rows 1 and 2"
    assert TOP.landmark(rising, "the seam between rows 1 and 2", "") == ""


def test_without_blocks_places_are_told_from_all_that_is_sewn():
    told = PlaceNames(Drawing((RAIN,)), "in").place(np.array([110 + 25.4, 150 - 50.8]))
    assert told == "1 in right of and 2 in above the upper left corner of all that is sewn"
    nothing = PlaceNames(Drawing(()), "mm")
    assert nothing.seams == ()
    assert nothing.place(np.array([5.0, 7.0])) == (
        "5 mm right of and 7 mm below the upper left corner of all that is sewn"
    )
    assert [in_words(place) for place in ("row 3, column 1", "left border", "")] == [
        " in row 3, column 1", " in the left border", ""
    ]  # fmt: skip
