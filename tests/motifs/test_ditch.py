"""Ditch: every seam of the top, asked for on the whole of it."""

from places import block

from stitchpath.lines import Role
from stitchpath.motifs import Ditch

TOP = block(name="", room_mm=(90, 40, 364, 314))


def test_ditch_stitches_every_seam():
    drawn = Ditch(name="ditch work", thread="clear").lines(TOP)
    assert [line.points_mm.tolist() for line in drawn.lines] == [[list(a), list(b)] for a, b in TOP.seams]
    assert {(line.role, line.motif, line.thread, line.block) for line in drawn.lines} == {
        (Role.DITCH, "ditch work", "clear", "")
    }
    assert Ditch().predicted_lines(TOP) == 4


def test_a_top_without_seams_says_so():
    bare = block(name="", seams=())
    (note,) = Ditch().lines(bare).notes
    assert (note.kind, note.message) == ("no line", "ditch yields no line in the top")
    assert note.place_mm == bare.middle_mm == (227, 177)
    assert Ditch().predicted_lines(bare) == 0
