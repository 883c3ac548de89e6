"""What is worth knowing of paths that hold: what is left to the hand, and ends in open cloth."""

import re
from dataclasses import replace

import pytest
from banded import along, block, fill, laid

from stitchpath.check.paths import check_paths
from stitchpath.check.tell import left_to_hand, tell_of_paths
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.planner import make_plan
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings
from stitchpath.words import WARNING

BLOCK = block(1, 1)
FILL = fill(BLOCK)
PEAR = Line([(0, 20), (100, 20)], Role.OUTLINE, motif="pear: outside outline", block=BLOCK.name)
SEAM = Line([(0, 0), (0, 100)], Role.HIDDEN, motif="seam")
EDGE = Line([(100, 0), (100, 100)], Role.ALLOWANCE, motif="edge line")
DRAWING = Drawing(lines=(PEAR, FILL), hidden=(SEAM, EDGE), blocks=(BLOCK,))


@pytest.mark.parametrize(
    ("machine", "by_hand", "told"),
    [
        (MachineSettings(), ["pear"], ("left to the hand, before each band: 1 outline (pear), 0.1 m",)),
        (MachineSettings(), ["fill", "outline"],
         ("left to the hand, before each band: 1 outline (pear), 0.1 m",
          "left to the hand, before each band: 1 fill line (fill), 0.1 m")),
        (MachineSettings(), ["fill"], ("left to the hand, after each band: 1 fill line (fill), 0.1 m",)),
        (MachineSettings(), [], ()),
        (MachineSettings(sewn_by="hand"), ["pear"], ()),
    ],
)  # fmt: skip
def test_what_is_left_to_the_hand_is_told(machine, by_hand, told):
    assert tell_of_paths([], DRAWING, machine=machine, schedule=ScheduleSettings(by_hand=by_hand)) == told


def test_ends_in_open_cloth_are_told_where_they_are_not_wanted():
    paths = [along(FILL), laid([(0, 20), (50, 20)]), laid([(50, 20), (100, 20)])]
    assert tell_of_paths(paths, DRAWING) == ()
    assert check_paths(paths, DRAWING, cost=CostSettings(open_ends=False)) == ()
    (told,) = tell_of_paths(paths, DRAWING, cost=CostSettings(open_ends=False))
    assert told.startswith("2 ends lie in open cloth, unasked, since ")
    assert told.endswith(": of paths 2, 3")
    assert tell_of_paths(paths[:1], DRAWING, cost=CostSettings(open_ends=False)) == ()
    no_seams = replace(DRAWING, hidden=())
    assert len(tell_of_paths(paths, no_seams, cost=CostSettings(open_ends=False))) == 1


def test_it_is_told_why_an_end_lies_in_open_cloth():
    """A line by itself touches nothing; the halves of the pear's lead to seams."""
    lone = Line([(40, 47), (60, 47)], Role.OUTLINE)
    paths = [laid([(40, 47), (60, 47)]), laid([(0, 20), (50, 20)]), laid([(50, 20), (100, 20)])]
    drawing = replace(DRAWING, lines=(PEAR, lone))
    told = tell_of_paths(paths, drawing, cost=CostSettings(open_ends=False))
    begin = "2 ends lie in open cloth, unasked, since no line"
    assert told == (
        f"{begin} leads from there to a seam: of path 1",
        f"{begin} that leads to a seam is in reach, or may be sewn once more: of paths 2, 3",
    )


def test_paths_that_end_on_lines_left_to_the_hand_are_warned_about():
    """Four lines of fill between two seams in the ditch: all eight ends lie there; of more lines, a share."""
    seams = [Line([(x, 0), (x, 90)], Role.DITCH) for x in (0, 50)]
    fills = [Line([(0, y), (50, y)], Role.FILL) for y in (20, 40, 60, 80)]
    left = ScheduleSettings(by_hand=["ditch"], by_hand_when="after the frame")
    paths = [along(line) for line in fills]

    def said(paths, schedule=left):
        told = tell_of_paths(paths, Drawing((*seams, *fills)), schedule=schedule)
        return [text for text in told if text.startswith(WARNING)]

    (warning,) = said(paths)
    assert warning.startswith(f"{WARNING}8 of 8 ends of paths lie on lines left to the hand")
    assert "travel_by_hand = true under [schedule]" in warning
    assert "save about 4 of 4 paths (an estimate" in warning
    apart = laid([(20, 30), (30, 30)])
    assert said([*paths[:2], *[apart] * 18])[0].startswith(f"{WARNING}4 of 40 ends")
    assert said([*paths[:2], *[apart] * 19]) == said(paths[:1]) == said([]) == []
    not_first = ScheduleSettings(by_hand=["ditch"], travel_by_hand=False)
    assert said(paths, not_first) == [warning]
    may = left.model_copy(update={"travel_by_hand": True})
    for schedule in (ScheduleSettings(), ScheduleSettings(by_hand=["ditch"]), may):
        assert said(paths, schedule) == []


def test_what_travel_saves_is_about_what_was_estimated():
    """A frame that may not travel along the seams begins anew at each of them."""
    seams = [Line([(x, 0), (x, 90)], Role.DITCH) for x in (0, 50, 100)]
    fills = [Line([(0, y), (100, y)], Role.FILL) for y in range(10, 90, 10)]
    drawing = Drawing((*seams, *fills))
    plans = [
        make_plan(drawing, schedule=ScheduleSettings(by_hand=["ditch"], travel_by_hand=travel))
        for travel in (False, True)
    ]
    shut, free = plans
    *_, warning = tell_of_paths(shut.paths, drawing, schedule=shut.schedule)
    about = int(re.search(r"save about (\d+) of", warning)[1])
    assert (len(shut.paths) - len(free.paths), about) == (7, 8)


def test_lines_left_to_the_hand_are_added_up_by_role_and_motif():
    outlines = [Line([(0, 0), (1234, 0)], Role.OUTLINE, motif=f"{name}: outline") for name in ("fig", "plum")]
    seam = Line([(0, 0), (1000, 0)], Role.DITCH)
    drawing = Drawing(lines=(outlines[0], outlines[1], outlines[0], seam))
    asked = ScheduleSettings(by_hand=["outline", "ditch"])
    assert left_to_hand(drawing, machine=MachineSettings(), schedule=asked) == (
        "left to the hand, before each band: 2 outlines (fig), 2.5 m",
        "left to the hand, before each band: 1 outline (plum), 1.2 m",
        "left to the hand, before each band: 1 seam in the ditch, 1.0 m",
    )
    assert left_to_hand(Drawing(()), machine=MachineSettings(), schedule=asked) == ()


def test_only_the_first_ten_paths_are_named():
    lines = tuple(Line([(0, y), (9, y)], Role.FILL) for y in range(11))
    cost = CostSettings(open_ends=False)
    (ten,) = tell_of_paths([along(line) for line in lines[:10]], Drawing(lines), cost=cost)
    assert ten.startswith("20 ends lie in open cloth")
    assert ten.endswith("of paths 1, 2, 3, 4, 5, 6, 7, 8, 9, 10")
    (eleven,) = tell_of_paths([along(line) for line in lines], Drawing(lines), cost=cost)
    assert eleven.startswith("22 ends lie in open cloth")
    assert eleven.endswith("9, 10 and more")
