"""Ditch and basting: what is asked for on the whole top."""

from places import block

from stitchpath.lines import Role
from stitchpath.motifs import Basting, Ditch

TOP = block(name="", room_mm=(90, 40, 364, 314))


def test_ditch_stitches_every_seam():
    drawn = Ditch(name="ditch work", thread="clear").lines(TOP)
    assert [line.points_mm.tolist() for line in drawn.lines] == [[list(a), list(b)] for a, b in TOP.seams]
    assert {(line.role, line.motif, line.thread, line.block) for line in drawn.lines} == {
        (Role.DITCH, "ditch work", "clear", "")
    }
    assert Ditch().predicted_lines(TOP) == 4


def test_a_top_without_seams_says_so():
    assert [note.kind for note in Ditch().lines(block(seams=())).notes] == ["no line"]


def test_basting_goes_once_around_the_edge_line():
    (line,) = Basting().lines(TOP).lines
    assert (line.role, line.closed, line.length_mm) == (Role.BASTE, True, 4 * 274)
    assert Basting().predicted_lines(TOP) == 1
