"""Distinct ovals: those that are the same but turned or mirrored stand together, and say how each lies."""

import numpy as np
import pytest
from ruled import oval

from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.pages.distinct_ovals import ovals_of

BLOCKS = [f"row 1, column {column}" for column in range(1, 7)]


def test_congruent_ovals_are_one_with_the_blocks_they_serve():
    one, other = ovals_of(
        Drawing(
            (
                oval(60, 40, -15, "row 1, column 1"),
                oval(60, 40, 15, "row 1, column 2"),
                oval(70, 45, 0, "row 2, column 1"),
            )
        )
    )
    assert list(one.told()) == [
        "pear: outside outline, turned 15° to the left: row 1, column 1",
        "pear: outside outline, turned 15° to the right: row 1, column 2",
    ]
    assert list(other.told()) == ["pear: outside outline, upright: row 2, column 1"]


def told(*lines):
    return [list(one.told()) for one in ovals_of(Drawing(lines))]


@pytest.mark.parametrize("tilt", [0, 15, -30, 90, 45])
def test_however_it_is_turned_it_is_one_oval(tilt):
    (one,) = ovals_of(Drawing((oval(60, 40, 0, BLOCKS[0]), oval(60, 40, tilt, BLOCKS[1]))))
    assert [served.block for served in one.serves] == BLOCKS[:2]
    assert abs(one.serves[1].turned_deg) == pytest.approx(abs(tilt), abs=0.1)


def test_blocks_it_serves_in_one_way_stand_together_and_are_counted():
    lines = [oval(60, 40, 0, block) for block in (BLOCKS[0], BLOCKS[1], BLOCKS[0], "")]
    blocks = "row 1, column 1 (2); row 1, column 2; the whole top"
    assert told(*lines) == [[f"pear: outside outline, upright: {blocks}"]]
    (one, other) = told(oval(60, 40, 0, BLOCKS[0]), oval(60, 40.2, 0, BLOCKS[1]))
    assert (len(one), len(other)) == (1, 1)


def test_a_mirror_image_is_the_same_and_said_to_be_one():
    """A leaf that leans to one side, and the one that leans to the other."""
    leaf = np.array([(0, 0), (30, 10), (40, 60), (10, 90), (-5, 40), (0, 0)], dtype=float)
    right, left = (Line(leaf * (side, 1), Role.OUTLINE, "", "leaf") for side in (1, -1))
    (one,) = ovals_of(Drawing((right, left)))
    assert [served.mirrored for served in one.serves] == [False, True]
    assert [said.startswith("leaf, mirrored and ") for said in one.told()] == [False, True]


def test_only_closed_outlines_count():
    closed = oval(60, 40, 0, BLOCKS[0])
    assert told(Line(closed.points_mm[:-1], Role.OUTLINE), Line(closed.points_mm, Role.ECHO)) == []
    assert ovals_of(Drawing(())) == ()
