"""Steps over open cloth: a true plan passes, and is found broken in each way that it can be."""

from dataclasses import replace

import pytest
import shapely
from banded import SEW, TRAVEL, kinds, laid, messages

from stitchpath import CostSettings, Drawing, KeepOut, Line, Move, Role, make_plan, read_csv, write_csv
from stitchpath.check import check_paths, check_plan
from stitchpath.settings import MachineSettings

STEP = Move.STEP
LOW, HIGH = (Line([(0, y), (100, y)], Role.ECHO, motif=f"echo {y}") for y in (0, 10))
DRAWING = Drawing((LOW, HIGH))
WAY = [(0, 0), (100, 0), (60, 0), (60, 10), (0, 10), (60, 10), (100, 10)]
MOVES = [SEW, TRAVEL, STEP, SEW, TRAVEL, SEW]
PATH = laid(WAY, MOVES)


def check(path=PATH, drawing=DRAWING, **about):
    return check_paths([path], drawing, **about)


def broken(path=PATH, drawing=DRAWING, **about):
    """Return what is said of steps, where nothing else is wrong."""
    found = check(path, drawing, **about)
    assert kinds(found) == {"step"}
    return messages(found)


def stepping(x0, x1, *, via=(), line=None):
    """The path, with another step."""
    points = [*WAY[:2], (x0, 0), *via, (x1, 10), (0, 10), (x1, 10), (100, 10)]
    path = laid(points, [SEW, TRAVEL, *[STEP] * (1 + len(via)), SEW, TRAVEL, SEW])
    return replace(path, spans=tuple(replace(s, line=line) if s.move is STEP else s for s in path.spans))


def test_a_true_step_passes():
    assert check() == check(PATH, replace(DRAWING, lines=(LOW, replace(HIGH, role=Role.OUTLINE)))) == ()
    assert check(stepping(60, 60, via=[(60, 2.5), (60, 5)])) == ()


def test_no_open_travel_is_wanted():
    said = "path 1 steps over 10.000 mm of open cloth; the design wants no open travel"
    assert broken(cost=CostSettings(open_travel=0)) == [said]


def test_longer_than_the_limit():
    said = "path 1 steps over 10.000 mm of open cloth; 9.900 mm is the most"
    assert broken(cost=CostSettings(open_travel=9.9)) == [said]


def test_longer_than_the_rings_are_apart():
    said = "path 1 steps over 10.198 mm of open cloth between rings that are 10.000 mm apart"
    assert broken(stepping(60, 62)) == [said]


def test_not_straight():
    assert broken(stepping(60, 60, via=[(60.1, 5)])) == ["path 1 does not step straight over open cloth"]


def test_not_from_ring_to_ring():
    short = laid([(0, 0), (100, 0), (60, 0), (60, 9)], [SEW, TRAVEL, STEP])
    (found,) = messages(check_paths([short, laid([(0, 10), (100, 10)])], DRAWING))
    assert found == "path 1 steps over open cloth and does not end on an outline or an echo"
    filled = replace(DRAWING, lines=(replace(LOW, role=Role.FILL), HIGH))
    assert broken(PATH, filled) == [
        "path 1 steps over open cloth and does not begin on an outline or an echo"
    ]


@pytest.mark.parametrize(
    "lines",
    [
        (replace(LOW, block="row 1, column 1"), HIGH),
        (replace(LOW, role=Role.OUTLINE), replace(HIGH, role=Role.OUTLINE)),
    ],
)
def test_rings_that_do_not_belong_together(lines):
    (said,) = broken(PATH, Drawing(lines))
    assert said.endswith("which are no rings of one echo or of nested ovals")


def oval(x, radius):
    return Line(shapely.get_coordinates(shapely.Point(x, 0).buffer(radius, 32).exterior), Role.OUTLINE)


def sewn_round(one, other):
    """A path round an oval, over open cloth at its right side, and round another that begins there."""
    points = [*one.points_mm.tolist(), *other.points_mm.tolist()]
    count = len(one.points_mm)
    return laid(points, [*[SEW] * (count - 1), STEP, *[SEW] * (len(other.points_mm) - 1)])


def test_an_oval_in_an_oval_but_not_one_beside_it():
    outer, inner = oval(0, 50), oval(0, 40)
    assert check(sewn_round(outer, inner), Drawing((outer, inner))) == ()
    beside = replace(oval(0, 40), points_mm=[(100 - x, y) for x, y in oval(0, 40).points_mm])
    (said,) = broken(sewn_round(outer, beside), Drawing((outer, beside)))
    assert said.endswith("which are no rings of one echo or of nested ovals")


@pytest.mark.parametrize("role", [Role.FILL, Role.HIDDEN])
def test_over_another_line(role):
    other = Line([(0, 5), (100, 5)], role)
    if role is Role.HIDDEN:
        assert broken(PATH, replace(DRAWING, hidden=(other,))) == ["path 1 steps over a hidden line"]
    else:
        found = check_paths([PATH, laid(other.points_mm)], Drawing((LOW, HIGH, other)))
        assert messages(found) == ["path 1 steps over a fill line"]


def test_over_a_ring_of_its_own():
    """A ring that bulges between the two ends."""
    bent = Line(
        [(0, 0), (59, 0), (59, 5), (61, 5), (61, 1), (60, 1), (60, 0), (100, 0)], Role.ECHO, motif="echo"
    )
    points = [*bent.points_mm.tolist(), (60, 0), (60, 10), (0, 10), (60, 10), (100, 10)]
    path = laid(points, [*[SEW] * 7, TRAVEL, STEP, SEW, TRAVEL, SEW])
    assert "path 1 steps over echo" in broken(path, Drawing((bent, HIGH)))


def test_too_often():
    way = [*WAY[:4], (60, 0), (60, 10), *WAY[4:]]
    path = laid(way, [SEW, TRAVEL, STEP, STEP, STEP, SEW, TRAVEL, SEW])
    assert broken(path) == ["path 1 steps 3 times over the same open cloth; 2 is the most"]
    assert check(path, cost=CostSettings(roles={"step": {"most_times": 3}})) == ()


def test_over_another_step():
    third = Line([(0, 0), (0, 10)], Role.ECHO, motif="echo 3")
    slanted = [(0, 3), (5, 10)]
    lines = (LOW, HIGH, third)
    path = laid([(0, 10), (0, 3), *slanted[1:], (2, 10), (2, 0)], [SEW, STEP, TRAVEL, STEP])
    found = check_paths([path], Drawing(lines))
    assert "path 1 steps over another step, of path 1" in messages(found)


def test_it_names_no_line():
    assert broken(stepping(60, 60, line=1)) == ["path 1 names a line for a step over open cloth"]


def test_through_a_keep_out():
    shut = replace(DRAWING, keep_outs=(KeepOut(shapely.box(55, 4, 65, 6), "pear"),))
    assert kinds(check(PATH, shut)) == {"keep-out"}


def test_out_of_reach():
    far = MachineSettings(reach=25.4)
    tall = Drawing((LOW, replace(LOW, points_mm=[(0, 12), (100, 12)]), Line([(0, 24), (100, 24)], Role.ECHO)))
    way = [(0, 0), (100, 0), (100, 12), (0, 12), (0, 24), (100, 24)]
    assert check(laid(way, [SEW, STEP, SEW, STEP, SEW]), tall, machine=far) == ()
    lower = replace(tall, lines=tuple(replace(x, points_mm=x.points_mm * (1, 1.1)) for x in tall.lines))
    longer = laid([(x, y * 1.1) for x, y in way], [SEW, STEP, SEW, STEP, SEW])
    assert kinds(check(longer, lower, machine=far, cost=CostSettings(open_travel=15))) == {"reach"}


def test_the_same_way_as_travel_or_sewing_is_open_cloth():
    for move in (SEW, TRAVEL):
        said = laid(WAY, [*MOVES[:2], move, *MOVES[3:]])
        assert "open cloth" in kinds(check(said))


def test_a_line_sewn_and_called_a_step():
    said = laid([(0, 0), (100, 0), (100, 10), (0, 10)], [STEP, STEP, SEW])
    assert {"covered", "step"} <= kinds(check(said))


def test_from_the_written_files_and_with_what_the_plan_states(tmp_path):
    drawing = Drawing((oval(0, 50), oval(0, 40), replace(oval(0, 60), role=Role.ECHO)))
    plan = make_plan(drawing)
    assert sum(path.step_mm for path in plan) > 0
    assert check_plan(plan, drawing) == ()
    file = tmp_path / "rings.csv"
    write_csv(plan, file)
    assert check_paths(read_csv(file), drawing) == ()
    file.write_bytes(file.read_bytes().replace(b",step,", b",travel,"))
    assert kinds(check_paths(read_csv(file), drawing)) == {"open cloth"}
    dearer = replace(plan, cost_settings=CostSettings(roles={"step": {"shows": 40}}))
    assert kinds(check_plan(dearer, drawing)) == {"cost"}
    named = [replace(span, line=1) if span.move is STEP else span for span in plan.paths[0].spans]
    path = replace(plan.paths[0], spans=tuple(named))
    assert kinds(check_plan(replace(plan, paths=(path, *plan.paths[1:])), drawing)) == {"step"}
