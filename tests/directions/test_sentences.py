"""Sentences, each from one thing laid by hand; lengths in millimetres."""

from itertools import pairwise

import numpy as np
import pytest
from directions.laid import blocks, laid
from plans import circle

from stitchpath.directions.parallel_lines import Connector, ParallelLines
from stitchpath.directions.place_names import PlaceNames
from stitchpath.directions.repeats import Repeat
from stitchpath.directions.sentences import Sentences, hops_on
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.plan import Move

SEAM = Line([(0, 100), (200, 100)], Role.DITCH)
RING = Line(circle(50, 50, 30).coords, Role.OUTLINE, "", "plum: oval", "row 1, column 1")
SAY = Sentences(PlaceNames(Drawing((SEAM, RING), blocks=blocks(rows=2, columns=2)), "mm"))
HERE = "row 1, column 1"


def rain(*points, **more):
    return laid(*points, line=Line(points, Role.FILL, "", "rain", HERE), **more)


def said(hand_move, *, before=None, block=HERE, **more):
    return SAY.hand_move(hand_move, before=before, block=block, **more).text


@pytest.mark.parametrize(
    ("hand_move", "verb", "text"),
    [
        (rain((10, 5), (60, 5)), "sew", 'Sew right, 50 mm, along a line of "rain".'),
        (
            rain((10, 90), (10, 100)),
            "sew",
            'Sew down, 10 mm, along a line of "rain", to the seam between rows 1 and 2.',
        ),
        (
            laid((150, 100), (40, 100), line=SEAM),
            "sew",
            (
                "Sew left, 110 mm, in the ditch along the seam between rows 1 and 2, "
                "to 40 mm right of the left edge of column 1."
            ),
        ),
        (
            rain((10, 5), (60, 5), move=Move.TRAVEL),
            "travel",
            'Travel right, 50 mm, along a sewn line of "rain".',
        ),
        (
            rain((10, 5), (16, 5), move=Move.RESUME),
            "resume",
            'Go right, 6 mm, over the end sewn in an earlier band, along a line of "rain".',
        ),
        (
            laid(*RING.points_mm, line=RING, straight=False, lap=True),
            "lap",
            'Sew once round the oval "plum", clockwise, 188 mm, back to where the round began.',
        ),
        (
            laid(*RING.points_mm[36::-1], line=RING, straight=False),
            "sew",
            'Sew anticlockwise, 94 mm, along the oval "plum", to its right side.',
        ),
    ],
)
def test_one_hand_move(hand_move, verb, text):
    """The oval's 72 chords have 188.4 mm together."""
    told = SAY.hand_move(hand_move, before=None, block=HERE)
    assert (told.verb, told.text) == (verb, text)


def test_turning_back_and_another_block_are_said():
    there, back = rain((10, 5), (60, 5)), rain((60, 5), (10, 5), move=Move.TRAVEL)
    assert said(back, before=there) == 'Turn back and travel left, 50 mm, along a sewn line of "rain".'
    elsewhere = said(there, block="row 2, column 2")
    assert elsewhere == 'Sew right, 50 mm, along a line of "rain" in row 1, column 1.'


def test_travel_of_less_than_an_inch_is_a_hop_and_goes_with_the_line_before_it():
    line = rain((10, 5), (60, 5))
    hop, travel = rain((60, 5), (60, 30), move=Move.TRAVEL), rain((60, 5), (60, 31), move=Move.TRAVEL)
    assert hops_on(line, hop)
    assert not hops_on(line, travel)
    assert not hops_on(line, rain((60, 5), (40, 5), move=Move.TRAVEL))
    assert not hops_on(line, rain((60, 5), (60, 30), move=Move.TRAVEL, stage="seams"))
    assert hops_on(travel, rain((60, 31), (50, 31), move=Move.TRAVEL))
    assert not hops_on(rain((10, 5), (60, 5), move=Move.RESUME), hop)
    assert said(line, hop=hop) == (
        'Sew right, 50 mm, along a line of "rain"; hop down, 25 mm, along a sewn line of "rain".'
    )


def test_a_line_goes_on_round_its_corner_in_the_same_step():
    hook = Line([(10, 5), (60, 5), (60, 45)], Role.ECHO, "", "rain: round 2", HERE)
    one = laid((10, 5), (60, 5), line=hook)
    other = laid((60, 5), (60, 45), line=hook)
    assert hops_on(one, other)
    assert not hops_on(one, rain((60, 5), (60, 45)))
    assert not hops_on(one, laid((60, 5), (10, 5), line=hook))
    assert said(one, hop=other) == (
        'Sew right, 50 mm, along echo 2 of "rain", to its corner; sew down, 40 mm, along echo 2 of "rain".'
    )


def test_a_step_says_over_what_and_to_which_ring():
    step = laid((10, 5), (10, 17.7), move=Move.STEP)
    assert said(step) == "Step down, 13 mm, over open cloth."
    assert SAY.hand_move(step, before=None, block=HERE).verb == "step"
    to_ring = laid((RING.points_mm[0, 0] + 12.7, RING.points_mm[0, 1]), RING.points_mm[0], move=Move.STEP)
    assert said(to_ring) == 'Step left, 13 mm, over open cloth, to the oval "plum".'
    assert said(to_ring, block="row 2, column 2").endswith('to the oval "plum" in row 1, column 1.')
    assert not hops_on(rain((10, 5), (60, 5)), step)


def test_lines_sewn_to_and_fro():
    levels = (10, 20, 30, 40)
    lines = [rain(*[(10, y), (60 + y, y)][:: 1 if at % 2 == 0 else -1]) for at, y in enumerate(levels)]
    sides = [laid(a.points_mm[-1], b.points_mm[0], move=Move.TRAVEL) for a, b in pairwise(lines)]
    joins = [Connector((one,), ("the seam",)) for one in sides]
    told = SAY.parallel_lines(ParallelLines(tuple(lines), tuple(joins)), block=HERE)
    assert told.verb == "lines"
    assert told.text == (
        'Sew 4 lines of "rain" to and fro, 10 mm apart, the first right, each next one farther down: '
        "first 60 mm, last 90 mm. Between them hop 14 mm, along the unstitched seam, then hop 10 mm, "
        "along the unstitched seam, by turns."
    )


def test_lines_joined_in_several_ways():
    """The fourth line lies farther on; a seam that is sewn joins the first two, a corner the last two."""
    levels = (10, 20, 30, 40, 70)
    lines = [rain(*[(10, y), (60, y)][:: 1 if at % 2 == 0 else -1]) for at, y in enumerate(levels)]
    sides = [laid(a.points_mm[-1], b.points_mm[0], move=Move.TRAVEL) for a, b in pairwise(lines)]
    joins = [Connector((one,), ("the seam",)) for one in sides]
    joins[0] = Connector((laid((60, 10), (60, 20), line=SEAM),), ("the seam left of column 2",))
    corner = laid((10, 40), (10, 55), move=Move.TRAVEL), laid((10, 55), (10, 70), move=Move.TRAVEL)
    joins[3] = Connector(corner, ("the seam", "the left edge line"))
    told = SAY.parallel_lines(ParallelLines(tuple(lines), tuple(joins)), block=HERE)
    assert told.text == (
        'Sew 5 lines of "rain" to and fro, 10 mm apart, but 30 mm before the 5th, the first right, each next '
        "one farther down: all 50 mm. Between them sew 10 mm, the short way along the seam left of column 2; "
        "and travel 10 to 30 mm, the short way along the unstitched seam or the unstitched left edge line."
    )


@pytest.mark.parametrize(
    ("times", "at_once", "numbers", "text"),
    [
        (1, True, [3, 4], "Do steps 3 to 4 again, once, 20 mm farther down."),
        (2, True, [3, 3], "Do step 3 again, twice, each time 20 mm farther down."),
        (1, False, [3, 7], "From here do steps 3 to 7 again, 20 mm farther down."),
    ],
)
def test_what_comes_again(times, at_once, numbers, text):
    again = Repeat((), 0, len(numbers), times, np.array([0.0, 20.0]), at_once)
    assert SAY.repeat(again, numbers).text == text


def test_the_ends_of_a_path():
    """3, 4, 5: the needle-up move is the way from one end to the other."""
    up = SAY.bring_up("at the seam", np.array([-30.0, 40.0]))
    assert up.text == "Needle up, move 50 mm down to the left. Bring up the bobbin thread at the seam."
    for moved in (None, np.zeros(2)):
        assert SAY.bring_up("at the seam", moved).text == "Bring up the bobbin thread at the seam."
    assert SAY.tie_off("at the seam", closed=False).text == "Tie off at the seam."
    assert SAY.tie_off("at the seam", closed=True).text == "Tie off where the path began."
    assert SAY.as_path(2, HERE, 50.0).text == (
        "Sew as path 2 in row 1, column 1, which is exactly alike: 50 mm."
    )
