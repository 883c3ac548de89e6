"""Lengths by the marks of a ruler, ways by the compass, names by who asked."""

from fractions import Fraction

import numpy as np
import pytest
from directions.laid import laid

from stitchpath.directions.words import (
    count_words,
    length_words,
    line_words,
    name_words,
    quoted,
    range_words,
    sewn_words,
    way_words,
)
from stitchpath.lines import Line, Role
from stitchpath.plan import Move


def inches(said):
    """Return how many inches are said."""
    return sum(map(Fraction, said.removesuffix(" in").split()))


@pytest.mark.parametrize("eighths", range(1, 40))
def test_a_length_is_said_to_the_nearest_mark(eighths):
    for off in (-0.06, 0, 0.06):
        assert inches(length_words(25.4 * (eighths / 8 + off))) == Fraction(eighths, 8)
    assert length_words(eighths + 0.4, "mm") == length_words(eighths - 0.4, "mm") == f"{eighths} mm"
    assert float(length_words(eighths + 0.4, "cm").removesuffix(" cm")) == eighths / 10


def test_what_is_too_short_for_a_mark_and_from_what_to_what():
    assert [length_words(0, unit) for unit in ("in", "mm", "cm")] == [
        "less than 1/8 in", "less than 1 mm", "less than 0.1 cm"
    ]  # fmt: skip
    assert range_words(25.4, 60) == "1 to 2 3/8 in"
    assert range_words(11.6, 12.4, "mm") == "12 mm"
    assert range_words(0, 12, "mm") == "less than 1 mm to 12 mm"


@pytest.mark.parametrize(
    ("degrees", "way"),
    [
        (0, "right"), (45, "down to the right"), (90, "down"), (135, "down to the left"),
        (180, "left"), (225, "up to the left"), (270, "up"), (315, "up to the right"),
    ],
)  # fmt: skip
def test_ways_by_the_angle_clockwise_from_the_right(degrees, way):
    """Level and upright ways take up to 5 degrees on either side, the ways between them the rest."""
    far = 4.9 if degrees % 90 == 0 else 39.9
    for off in (-far, 0, far):
        angle = np.radians(degrees + off)
        assert way_words(7 * np.array([np.cos(angle), np.sin(angle)])) == way
    assert way_words(np.zeros(2)) == "nowhere"


def test_lines_are_named_by_their_motif_and_their_part():
    def said(role, motif):
        return line_words(Line([(0, 0), (1, 0)], role, motif=motif))

    assert said(Role.OUTLINE, "plum: oval") == 'the oval "plum"'
    assert said(Role.OUTLINE, "plum: inside outline") == 'the inside outline of "plum"'
    assert said(Role.STRIP, "fence") == 'a line of the strip "fence"'
    assert said(Role.DITCH, "patch") == 'the seam of "patch"'
    assert said(Role.FILL, "") == 'a line of "fill"'
    assert name_words(Line([], Role.FILL, motif='a "b": round 2')) == "\"a 'b'\""
    assert quoted("a\n\tb\u202e") == '"ab"'


def test_travel_says_whether_what_it_lies_on_is_sewn():
    sewn = laid((0, 0), (9, 0), line=Line([(0, 0), (9, 0)]), move=Move.TRAVEL)
    unsewn = laid((0, 0), (9, 0), move=Move.TRAVEL)
    assert sewn_words('a line of "rain"', sewn) == 'a sewn line of "rain"'
    assert sewn_words("the seam", unsewn) == "the unstitched seam"
    assert sewn_words("round 2", sewn) == "sewn round 2"
    assert [count_words(count) for count in (1, 2, 3, 12)] == ["once", "twice", "3 times", "12 times"]
