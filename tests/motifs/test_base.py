"""What every motif has: its name, its thread, and how it names its lines."""

import pytest
from places import block
from pydantic import ValidationError

from stitchpath.lines import Role
from stitchpath.motifs.base import MotifBase


class Wave(MotifBase):
    motif: str = "wave"

    @property
    def role(self):
        return Role.DRAWN


POINTS = [(0, 0), (9, 0)]


@pytest.mark.parametrize(
    ("motif", "part", "said"),
    [
        (Wave(), "", "wave"),
        (Wave(), "round 2", "wave: round 2"),
        (Wave(name="crest"), "", "crest"),
        (Wave(name="crest"), "inside", "crest: inside"),
    ],
)
def test_a_line_says_who_asked_and_where(motif, part, said):
    line = motif.line(POINTS, block(), part=part)
    assert line.points_mm.tolist() == [[0, 0], [9, 0]]
    assert (line.motif, line.block, line.role) == (said, "row 2, column 3", Role.DRAWN)


def test_its_own_thread_goes_before_the_places():
    assert Wave().line(POINTS, block()).thread == "grey"
    assert Wave(thread="red").line(POINTS, block()).thread == "red"


def test_that_nothing_comes_is_said_with_the_place():
    told = Wave(name="crest").no_line(block())
    assert (told.kind, told.message) == ("no line", "crest yields no line in row 2, column 3")
    assert told.place_mm == (100 + 127, 50 + 127)
    assert Wave().no_line(block(name="")).message == "wave yields no line in the top"


@pytest.mark.parametrize("wrong", [{"name": ""}, {"name": "=crest"}, {"thread": "a\n"}, {"colour": "red"}])
def test_what_does_not_fit_is_refused(wrong):
    with pytest.raises(ValidationError):
        Wave(**wrong)


def test_a_motif_without_a_role_is_none():
    with pytest.raises(NotImplementedError):
        MotifBase(motif="bare").line(POINTS, block())
