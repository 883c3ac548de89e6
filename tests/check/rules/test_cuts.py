"""What bands may part, and how a line is taken up again."""

from dataclasses import replace

import numpy as np
import pytest
from banded import RESUME, SEW, TRAVEL, along, block, fill, kinds, laid, messages
from hypothesis import assume, given, settings
from strategies import lists_of_whole, picked, whole, yes_or_no

from stitchpath.check import check_paths
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.settings import CostSettings, MachineSettings, RoleChange, ScheduleSettings

BLOCKS = tuple(block(row, 1) for row in (1, 2, 3))
FILLS = tuple(fill(one) for one in BLOCKS)
SEAM = Line([(50, 0), (50, 300)], Role.DITCH, motif="ditch")
DRAWING = Drawing(lines=(SEAM, *FILLS), blocks=BLOCKS)
FRAME = MachineSettings(reach=200)
FREE = ScheduleSettings(groups="none")
"""One band takes the first row, the next one the others; the seam is cut at the second row's fill."""


def check(paths, drawing=DRAWING, *, machine=FRAME, schedule=FREE, cost=None):
    return check_paths(paths, drawing, machine=machine, schedule=schedule, cost=cost)


def cut_at(y, *, back=6.0, turned=False, move=RESUME):
    """The seam sewn in two bands, parted at a height, taken up again so far back."""
    lower = [(50, y - back), (50, y), (50, 300)] if back else [(50, y), (50, 300)]
    moves = [move, SEW] if back else [SEW]
    second = (lower[::-1], moves[::-1]) if turned else (lower, moves)
    return (
        laid([(50, 0), (50, y)], stage="seams", band=1),
        along(FILLS[0], band=1),
        laid(*second, stage="seams", band=2),
        along(FILLS[1], band=2),
        along(FILLS[2], band=2),
    )


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("y", [150, 50])
def test_a_seam_may_be_cut_at_a_junction_and_taken_up_a_little_back(y, turned):
    machine = MachineSettings(reach=260)
    assert check(cut_at(y, turned=turned), machine=machine) == ()
    assert check(cut_at(y, back=0), machine=machine) == ()


def test_a_seam_cut_between_junctions_is_found():
    (finding,) = check(cut_at(120))
    assert finding.kind == "band"
    assert finding.message == (
        "ditch is parted between two junctions 99.992 mm apart: it is sewn in bands 1 and 2"
    )
    assert finding.place_mm == pytest.approx((50, 120))


def test_a_stretch_taller_than_the_reach_may_be_cut_anywhere():
    drawing = Drawing(lines=(SEAM,))
    paths = [path for path in cut_at(120) if path.stage == "seams"]
    assert check(paths, drawing, machine=MachineSettings(reach=200)) == ()
    assert kinds(check(paths, drawing, machine=MachineSettings(reach=301))) == {"band"}
    across = Line([(0, 120), (100, 120)], Role.HIDDEN)
    assert check(paths, replace(drawing, hidden=(across,)), machine=MachineSettings(reach=301)) == ()


def test_a_line_that_another_touches_may_be_cut_there():
    angle = np.linspace(0, 2 * np.pi, 361)
    rim = Line(np.column_stack([110 + 60 * np.cos(angle), 120 + 60 * np.sin(angle)]), Role.OUTLINE)
    drawing = Drawing(lines=(SEAM, *FILLS, rim), blocks=BLOCKS)
    paths = [*cut_at(120)[:2], along(rim, band=1), *cut_at(120)[2:]]
    order = sorted(paths, key=lambda path: (path.band, path.stage != "seams"))
    found = check(order, drawing, machine=MachineSettings(reach=260), cost=CostSettings())
    assert found == ()


def test_a_closed_line_has_no_junction_where_it_begins():
    ring = Line([(20, 10), (20, 190), (80, 190), (80, 10), (20, 10)], Role.OUTLINE, motif="ring")
    other = Line([(0, 150), (100, 150)], Role.FILL)
    drawing = Drawing(lines=(ring, other, Line([(0, 50), (100, 50)], Role.FILL)))
    upper = laid([(20, 50), (20, 10), (80, 10), (80, 50)], band=1)
    cross = [along(drawing.lines[2], band=1), along(other, band=2)]
    lower = laid([(80, 50), (80, 190), (20, 190), (20, 50)], band=2)
    assert check([upper, cross[0], lower, cross[1]], drawing) == ()
    first = laid([(20, 50), (20, 10)], band=1)
    second = laid([(20, 10), (80, 10), (80, 50), (80, 190), (20, 190), (20, 50)], band=2)
    (finding,) = check([first, cross[0], second, cross[1]], drawing)
    assert finding.kind == "band"
    assert finding.message.startswith("ring is parted between two junctions 139.992 mm apart")


def test_a_block_that_fits_lies_in_one_band():
    one = BLOCKS[0]
    lines = (fill(one, at=0.3), fill(one, at=0.7), FILLS[1])
    drawing = Drawing(lines=lines, blocks=BLOCKS)
    paths = [along(lines[0], band=1), along(lines[1], band=2), along(lines[2], band=2)]
    found = check(paths, drawing)
    assert messages(found) == [
        "row 1, column 1 is sewn in bands 1 and 2, though its 40.000 mm fit in the reach of 200.000 mm"
    ]
    assert kinds(found) == {"band"}
    assert kinds(check(paths, drawing, machine=MachineSettings(reach=85))) == {"band"}
    lines = (fill(one, at=0.0), fill(one, at=1.0), FILLS[1])
    paths = [along(line, band=band) for line, band in zip(lines, (1, 2, 2), strict=True)]
    assert check(paths, Drawing(lines=lines, blocks=BLOCKS), machine=MachineSettings(reach=90)) == ()


def test_a_line_that_coincides_with_a_seam_says_nothing_of_its_block():
    edge = Line([(0, 100), (100, 100)], Role.DITCH, motif="ditch")
    shared = fill(BLOCKS[1], at=0.0)
    lines = (edge, shared, FILLS[1])
    paths = [along(edge, band=1, stage="seams"), along(FILLS[1], band=2)]
    assert check(paths, Drawing(lines=lines, blocks=BLOCKS)) == ()
    assert kinds(check([along(shared, band=1), paths[1]], Drawing(lines=lines[1:], blocks=BLOCKS))) == {
        "band"
    }


@pytest.mark.parametrize(
    ("cuts", "role", "said"),
    [
        ("anywhere", Role.FILL, None),
        ("in seams", Role.DITCH, None),
        ("in seams", Role.STRIP, "only seams may be cut"),
        ("none", Role.DITCH, "no line may be cut"),
        ("none", Role.STRIP, "no line may be cut"),
    ],
)
def test_lines_are_cut_where_the_schedule_allows(cuts, role, said):
    seam = replace(SEAM, role=role, motif="long one")
    stage = "seams" if role is Role.DITCH else "detail"
    paths = [replace(p, spans=tuple(replace(s, stage=stage) for s in p.spans)) for p in cut_at(150)[::2]]
    paths = [paths[0], along(FILLS[0], band=1), paths[1], along(FILLS[1], band=2), along(FILLS[2], band=2)]
    schedule = FREE.model_copy(update={"cuts": cuts})
    found = check(paths, replace(DRAWING, lines=(seam, *FILLS)), schedule=schedule)
    assert [(f.kind, f.message) for f in found] == (
        [("cut", f"long one is cut between bands 1 and 2; {said}")] if said else []
    )


def test_a_line_sewn_in_part_as_another_is_not_cut():
    strip = Line([(50, 50), (50, 250)], Role.STRIP)
    seam = replace(SEAM, points_mm=[(50, 0), (50, 150)])
    drawing = Drawing(lines=(seam, strip, *FILLS), blocks=BLOCKS)
    first, one, *_, two, three = cut_at(150)
    rest = laid([(50, 150), (50, 250)], band=2)
    schedule = FREE.model_copy(update={"cuts": "none"})
    assert check((first, one, rest, two, three), drawing, schedule=schedule) == ()


ONCE = CostSettings(roles={Role.DITCH: RoleChange(most_times=1)})


def test_what_is_taken_up_again_does_not_count():
    assert check(cut_at(150), cost=ONCE) == ()
    assert check(cut_at(150, turned=True), cost=ONCE) == ()
    assert check(cut_at(150, back=25.4 / 4), cost=ONCE) == ()


def spoilt_resumes():
    first, one, second, two, three = cut_at(150)
    longer = cut_at(150, back=6.4)[2]
    twice = laid([(50, 150), (50, 147), (50, 150), (50, 300)], [RESUME, RESUME, SEW], stage="seams", band=2)
    more = laid([(50, 146), (50, 150)], RESUME, stage="seams", band=2)
    inside = laid([(50, 300), (50, 150), (50, 147), (50, 150)], [SEW, RESUME, RESUME], stage="seams", band=2)
    ahead = replace(first, band=2)
    return [
        ("too long", (first, one, longer, two, three)),
        ("there and back", (first, one, twice, two, three)),
        ("there and back at the end", (first, one, inside, two, three)),
        ("with no sewing beside it", (first, one, cut_at(150, back=0)[2], more, two, three)),
        ("in the same band", (replace(one, band=1), ahead, second, two, three)),
        ("called travel", cut_at(150, move=TRAVEL)),
    ]


@pytest.mark.parametrize(("name", "paths"), spoilt_resumes())
def test_other_travel_counts(name, paths):
    assert "times" in kinds(check(paths, cost=ONCE, machine=MachineSettings(reach=400))), name
    assert "times" not in kinds(check(paths, machine=MachineSettings(reach=400))), name


def test_a_resume_on_another_line_counts():
    side = Line([(44, 150), (50, 150)], Role.DITCH)
    drawing = Drawing(lines=(SEAM, side, FILLS[0], FILLS[2]), blocks=BLOCKS)
    first = laid([(50, 0), (50, 150), (44, 150)], stage="seams", band=1)
    second = laid([(44, 150), (50, 150), (50, 300)], [RESUME, SEW], stage="seams", band=2)
    paths = (first, along(FILLS[0], band=1), second, along(FILLS[2], band=2))
    assert check(paths, drawing) == ()
    assert kinds(check(paths, drawing, cost=ONCE)) == {"times"}


@settings(deadline=None, derandomize=True, max_examples=150)
@given(
    lists_of_whole(1, 3, fewest=6, up_to=6),
    whole(50, 700),
    picked("anywhere", "in seams", "none"),
    yes_or_no(),
)
def test_a_ladder_finds_the_same(bands, reach, cuts, seam):
    """A line with rungs every 100 mm: its six halves of stretches are sewn each in a band of its own."""
    assume(reach != 100)
    bands = sorted(bands)
    rail = Line([(0, 0), (0, 300)], Role.DITCH if seam else Role.STRIP)
    rungs = tuple(Line([(0, y), (30, y)], Role.HIDDEN) for y in (100, 200))
    stage = "seams" if seam else "detail"
    paths = [laid([(0, 50 * i), (0, 50 * i + 50)], stage=stage, band=band) for i, band in enumerate(bands)]
    schedule = FREE.model_copy(update={"cuts": cuts})
    found = check(paths, Drawing((rail,), rungs), machine=MachineSettings(reach=reach), schedule=schedule)
    wanted = set()
    if any(50 * bands.count(band) > reach for band in bands):
        wanted.add("reach")
    if any(bands[i] != bands[i + 1] for i in (0, 2, 4)) and reach >= 100:
        wanted.add("band")
    if len(set(bands)) > 1 and (cuts == "none" or (cuts == "in seams" and not seam)):
        wanted.add("cut")
    assert kinds(found) == wanted
