"""Stages and groups in order, each told from the design alone."""

from dataclasses import replace

import pytest
from banded import SEW, TRAVEL, along, block, fill, kinds, laid, messages
from hypothesis import given, settings
from strategies import schedules, sequences

from stitchpath.check import check_paths
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.settings import BlockGroup, MachineSettings, ScheduleSettings

BLOCKS = tuple(block(row, column) for row in (1, 2) for column in (1, 2))
FILLS = tuple(fill(one) for one in BLOCKS)
SEAMS = tuple(fill(one, at=0.25, role=Role.DITCH) for one in BLOCKS)
DRAWING = Drawing(lines=FILLS, blocks=BLOCKS)
BOTH = Drawing(lines=(*SEAMS, *FILLS), blocks=BLOCKS)
GROUP_BY_GROUP = ScheduleSettings(groups="blocks", finish="group by group")


def check(paths, drawing=DRAWING, **schedule):
    return check_paths(paths, drawing, schedule=ScheduleSettings(**schedule))


def fills(*order, **about):
    return [along(FILLS[i], **about) for i in order]


def test_rows_are_finished_on_a_frame_and_blocks_by_hand():
    assert check(fills(0, 1, 3, 2)) == ()
    assert kinds(check(fills(0, 2, 1, 3))) == {"group"}
    assert messages(check(fills(0, 2, 1, 3))) == [
        "path 3 goes back to row 1 after row 2",
        "path 4 goes back to row 2 after row 1",
    ]
    assert check_paths(fills(0, 2, 1, 3), DRAWING, machine=MachineSettings(sewn_by="hand")) == ()


def test_groups_as_asked_for():
    assert check(fills(0, 2, 1, 3), groups="none") == ()
    assert check(fills(0, 2, 1, 3), groups="blocks") == ()
    columns = [
        BlockGroup(name="left", blocks=["row 1, column 1", "row 2, column 1"]),
        BlockGroup(name="right", blocks=["row 1, column 2"]),
    ]
    assert check(fills(0, 2, 3, 1), groups=columns) == ()
    assert check(fills(0, 3, 2, 1), groups=columns) == ()  # a block in no group has no order
    assert messages(check(fills(0, 1, 2, 3), groups=columns)) == ["path 3 goes back to left after right"]


def test_what_is_left_to_the_hand_has_no_stage():
    """A fill that runs along a seam left to the hand is sewn when fills are."""
    drawing = Drawing(lines=(Line(FILLS[0].points_mm, Role.DITCH, motif="ditch"), FILLS[0]))
    assert check(fills(0), drawing, by_hand=("ditch",)) == ()
    assert kinds(check(fills(0), drawing)) == {"stage"}
    assert kinds(check(fills(0, stage="seams"), drawing, by_hand=("ditch",))) == {"stage"}


def test_without_blocks_there_are_no_groups():
    assert check(fills(0, 2, 1, 3), replace(DRAWING, blocks=())) == ()


def test_what_lies_in_no_block_is_sewn_any_time():
    border = Line([(0, 220), (200, 220)], Role.FILL, motif="fill", block="border 1, bottom")
    drawing = replace(DRAWING, lines=(*FILLS, border))
    assert check([*fills(0), along(border), *fills(1, 2, 3)], drawing) == ()
    assert check([*fills(0, 1, 2), along(border), *fills(3)], drawing) == ()
    shared = replace(DRAWING, lines=(*FILLS, Line(FILLS[1].points_mm, Role.FILL)))
    assert check(fills(0, 2, 1, 3), shared) == ()


def test_a_block_begun_and_come_back_to_is_found_even_on_one_path():
    one, other = BLOCKS[0], BLOCKS[2]
    lines = (fill(one, at=0.5), fill(other, at=0.5))
    seam = Line([(100, 0), (100, 200)], Role.HIDDEN)
    drawing = Drawing(lines=lines, hidden=(seam,), blocks=BLOCKS)
    first = laid([(0, 50), (50, 50)])
    rest = laid([(0, 150), (100, 150), (100, 50), (50, 50)], [SEW, TRAVEL, SEW])
    found = check([first, rest], drawing)
    assert messages(found) == ["path 2 goes back to row 1 after row 2"]
    assert found[0].place_mm == (100, 50)
    travelled = laid([(0, 150), (100, 150), (100, 50), (50, 50)], [SEW, TRAVEL, TRAVEL])
    assert check([laid([(0, 50), (50, 50), (100, 50)]), travelled], drawing) == ()


def test_groups_begin_anew_in_each_band_stage_and_thread():
    seams = [along(line, stage="seams") for line in SEAMS]
    assert check([*seams, *fills(0, 1, 2, 3)], BOTH) == ()
    assert kinds(check([*seams, *fills(0, 2, 1, 3)], BOTH)) == {"group"}
    banded = [*fills(0, 2), *fills(1, 3, band=2)]
    machine = MachineSettings(reach=150)
    schedule = ScheduleSettings(groups="rows")
    assert check_paths(banded, DRAWING, machine=machine, schedule=schedule) == ()
    green = tuple(fill(one, at=0.75, thread="green") for one in BLOCKS)
    drawing = replace(DRAWING, lines=(*FILLS, *green))
    paths = [*fills(0, 1, 2, 3), *(along(line) for line in green)]
    assert check(paths, drawing) == ()
    assert kinds(check([*paths[:4], paths[4], paths[6], paths[5], paths[7]], drawing)) == {"group"}


def test_each_group_may_go_through_all_stages():
    def paths(*order):
        return [p for i in order for p in (along(SEAMS[i], stage="seams"), along(FILLS[i]))]

    def found(paths, **schedule):
        return check_paths(paths, BOTH, schedule=GROUP_BY_GROUP.model_copy(update=schedule))

    assert found(paths(0, 1, 2, 3)) == ()
    assert kinds(found(paths(0, 1, 2, 3), finish="stage by stage")) == {"stage"}
    assert kinds(found(paths(0, 1, 2, 3), groups="none")) == {"stage"}
    assert messages(found(paths(0, 1, 2, 3)[::-1])) == [
        f'path {8 - 2 * i} goes back to stage "seams" after "detail" in {one.name}'
        for i, one in enumerate(BLOCKS)
    ]
    late = [*paths(0, 1, 2), along(FILLS[3]), along(SEAMS[3], stage="seams")]
    assert kinds(found(late)) == {"stage"}
    begun = [along(SEAMS[0], stage="seams"), *paths(1, 2, 3), along(FILLS[0])]
    assert messages(found(begun)) == ["path 8 goes back to row 1, column 1 after row 2, column 2"]


def ring(one, at=0.2):
    """A small square in a block, which nothing else meets."""
    x0, y0, x1, y1 = one.box_mm
    x, y = x0 + at * (x1 - x0), y0 + at * (y1 - y0)
    return Line([(x, y), (x + 9, y), (x + 9, y + 9), (x, y)], Role.OUTLINE, motif="oval", block=one.name)


STACK = tuple(block(row, 1) for row in (1, 2, 3))
BARS = tuple(fill(one) for one in STACK)
TICKS = tuple(Line([(50, y), (50, y + 20)], Role.FILL, block=one.name)
              for one in STACK for y in [one.box_mm[1] + 50])  # fmt: skip
RINGS = tuple(ring(one) for one in STACK)
SIDE = Line([(0, 0), (0, 300)], Role.HIDDEN)
RUNNING = Drawing((*BARS, *TICKS, *RINGS), (SIDE,), blocks=STACK)
"""Three rows of one block: in each two lines that meet, and a ring that nothing meets."""


def bars(*numbers):
    """One path that sews the bars of these rows and runs on from row to row along the side."""
    points, moves = [], []
    for n in numbers:
        points += [(x, 100 * n - 50) for x in (0, 100, 0)]
        moves += [*([TRAVEL] if moves else []), SEW, TRAVEL]
    return [laid(points[:-1], moves[:-1])]


def ticks(*numbers):
    return [along(TICKS[n - 1]) for n in numbers]


def rings(*numbers):
    return [along(RINGS[n - 1]) for n in numbers]


TICK_TO_BAR = [laid([(50, 170), (50, 150), (0, 150), (0, 250), (100, 250)], [SEW, TRAVEL, TRAVEL, SEW])]
"""From row 2 on into row 3."""


def told_of_groups(paths, drawing=RUNNING):
    return [found.message for found in check(paths, drawing) if found.kind == "group"]


def test_what_no_line_meets_may_come_before_groups_from_which_a_path_runs_on_into_its_own():
    one = [*rings(1, 2), *ticks(1), *bars(1, 2), *ticks(2), *rings(3), *bars(3), *ticks(3)]
    assert check(one, RUNNING) == ()
    within = [*rings(1), *ticks(1), *rings(2), *bars(1, 2), *ticks(2), *rings(3), *bars(3), *ticks(3)]
    assert check(within, RUNNING) == ()
    two = [*rings(1, 2, 3), *ticks(1), *bars(1, 2), *TICK_TO_BAR, *ticks(3)]
    assert check(two, RUNNING, groups="blocks") == ()
    assert kinds(check(two, RUNNING)) == {"row"}  # two rows up, which no frame likes


@pytest.mark.parametrize(
    ("paths", "told"),
    [
        ([*rings(1, 2), *ticks(1), *bars(1), *bars(2), *ticks(2), *rings(3), *bars(3), *ticks(3)],
         ["path 5 goes back to row 2 after row 1"]),
        ([*rings(1, 2, 3), *ticks(1), *bars(1, 2), *ticks(2), *bars(3), *ticks(3)],
         ["path 7 goes back to row 3 after row 2"]),
        ([*rings(1, 3), *ticks(1), *bars(1), *rings(2), *ticks(2), *bars(2, 3), *ticks(3)],
         ["path 7 goes back to row 3 after row 2"]),
        ([*rings(1, 2), *ticks(2, 1), *bars(1, 2), *rings(3), *bars(3), *ticks(3)],
         ["path 4 goes back to row 1 after row 2", "path 5 goes back to row 2 after row 1"]),
        ([*ticks(1), *bars(1, 2), *ticks(2), *rings(1, 2, 3), *bars(3), *ticks(3)],
         ["path 4 goes back to row 1 after row 2", "path 5 goes back to row 2 after row 1"]),
    ],
    ids=["no path runs on", "none into the last", "none from the first", "a line that is met", "late"],
)  # fmt: skip
def test_otherwise_it_may_not(paths, told):
    assert told_of_groups(paths) == told


def test_a_path_that_sews_what_may_be_of_any_group_may_run_on_into_any():
    """Lines of borders are of no block: a plan's path ran on along them, and was accused (2026-12-01)."""
    border = Line([(50, 320), (90, 320)], Role.FILL)
    drawing = replace(RUNNING, lines=(*RUNNING.lines, border))
    late = [*ticks(2), *rings(3), *bars(3), *ticks(3)]
    doubt = [*rings(1, 2), *bars(1), *ticks(1), along(border), *bars(2), *late]
    assert told_of_groups(doubt, drawing) == []
    apart = [*rings(1, 2), *bars(1), *ticks(1), *bars(2), *late, along(border)]
    assert told_of_groups(apart, drawing) == ["path 5 goes back to row 2 after row 1"]


def test_a_ring_that_another_line_meets_may_not_come_early():
    tail = Line([RINGS[1].points_mm[0], RINGS[1].points_mm[0] - (9, 0)], Role.FILL, block=STACK[1].name)
    paths = [*rings(1, 2), *ticks(1), *bars(1, 2), along(tail), *ticks(2), *rings(3), *bars(3), *ticks(3)]
    assert told_of_groups(paths, replace(RUNNING, lines=(*RUNNING.lines, tail))) == [
        "path 3 goes back to row 1 after row 2", "path 4 goes back to row 2 after row 1"
    ]  # fmt: skip


def test_groups_of_nothing_but_such_lines_have_their_order():
    twice = tuple(ring(one, at) for at in (0.2, 0.7) for one in STACK)
    drawing = Drawing(twice, blocks=STACK)
    assert check([along(twice[i]) for i in (0, 3, 1, 4, 2, 5)], drawing) == ()
    assert told_of_groups([along(twice[i]) for i in (0, 1, 3, 4, 2, 5)], drawing) == [
        "path 3 goes back to row 1 after row 2", "path 4 goes back to row 2 after row 1"
    ]  # fmt: skip


COLOURS = ("white", "grey", "red")
THREADED = {
    (i, thread): fill(one, at=0.2 * n, thread=thread)
    for i, one in enumerate(BLOCKS)
    for n, thread in enumerate(COLOURS, 1)
}
DYED = Drawing(lines=tuple(THREADED.values()), blocks=BLOCKS)


def dyed(*order, blocks=range(4), band=1):
    """The fills of some blocks, thread after thread."""
    return [along(THREADED[i, thread], band=band) for thread in order for i in blocks]


@pytest.mark.parametrize(
    ("given", "order", "told"),
    [
        ((), "red grey white", []),
        (("grey", "white", "red"), "grey white red", []),
        (("grey",), "grey white red", []),
        (("grey",), "grey red white", []),
        (("grey", "white", "red"), "grey red white", ['path 9 goes back to thread "white" after "red"']),
        (("grey",), "white grey red", ['path 5 goes back to thread "grey" after "white"']),
        (("red", "grey"), "white grey red", ['path 5 goes back to thread "grey" after "white"',
                                             'path 9 goes back to thread "red" after "grey"']),
    ],
)  # fmt: skip
def test_threads_come_as_listed_and_before_all_others(given, order, told):
    found = check(dyed(*order.split()), DYED, groups="none", threads=given)
    assert messages(found) == [f'{said} in stage "detail"' for said in told]
    assert kinds(found) <= {"thread"}


def test_threads_begin_anew_in_each_band_and_stage():
    schedule = ScheduleSettings(groups="none", threads=["grey", "white", "red"])
    machine = MachineSettings(reach=150)
    banded = [
        path
        for n, two in enumerate(((0, 1), (2, 3)), 1)
        for path in dyed("grey", "white", "red", blocks=two, band=n)
    ]
    assert check_paths(banded, DYED, machine=machine, schedule=schedule) == ()
    banded[:4] = [*banded[2:4], *banded[:2]]
    found = check_paths(banded, DYED, machine=machine, schedule=schedule)
    assert messages(found) == ['path 3 goes back to thread "grey" after "white" in stage "detail"']
    assert found[0].place_mm == tuple(banded[2].coordinates_mm[0])
    seam = fill(BLOCKS[0], at=0.05, thread="red", role=Role.DITCH)
    both = replace(DYED, lines=(seam, *DYED.lines))
    assert (
        check_paths([along(seam, stage="seams"), *dyed("grey", "white", "red")], both, schedule=schedule)
        == ()
    )


def test_threads_begin_anew_in_each_group_that_goes_through_all_stages():
    each = [path for i in range(4) for path in dyed("grey", "white", "red", blocks=[i])]
    how = {"threads": ["grey", "white"], "groups": "blocks"}
    assert check(each, DYED, **how, finish="group by group") == ()
    assert "thread" in kinds(check(each, DYED, **how))
    each[3], each[4] = each[4], each[3]
    said = 'path 5 goes back to thread "grey" after "white" in stage "detail" of row 1, column 2'
    assert messages(check(each, DYED, **how, finish="group by group")) == [said]


def test_where_a_paths_thread_is_in_doubt_its_order_is_not_told():
    again = tuple(replace(line, thread="grey") for line in DYED.lines if line.thread == "red")
    doubtful = replace(DYED, lines=(*DYED.lines, *again))
    paths = dyed("white", "red")
    how = {"threads": ["grey", "white"], "groups": "none"}
    assert "thread" not in kinds(check(paths, doubtful, **how))
    named = [
        replace(path, thread=thread) for path, thread in zip(paths, ["white"] * 4 + ["grey"] * 4, strict=True)
    ]
    assert "thread" in kinds(check(named, doubtful, **how))


def told_of_turns(order, drawing=DRAWING, **schedule):
    found = check(order if isinstance(order, list) else fills(*order), drawing, **schedule)
    return [one.message for one in found if one.kind == "turn"]


KINDS = replace(
    DRAWING, blocks=tuple(replace(one, kind="pear" if i == 3 else "") for i, one in enumerate(BLOCKS))
)


@pytest.mark.parametrize("groups", ["none", "rows", "blocks"])
def test_blocks_asked_for_first_or_last_are_sewn_so(groups):
    asked = {"first_blocks": ["pear"], "last_blocks": ["row 1, column 1"], "groups": groups}
    assert check(fills(3, 1, 2, 0), KINDS, **asked) == ()
    assert told_of_turns((1, 3, 2, 0), KINDS, **asked) == [
        "path 2 goes back to blocks that come first after other blocks"
    ]
    assert told_of_turns((3, 0, 1, 2), KINDS, **asked) == [
        "path 3 goes back to other blocks after blocks that come last"
    ]
    assert told_of_turns((1, 2, 0, 3), KINDS, **asked) == [
        "path 4 goes back to blocks that come first after blocks that come last"
    ]
    assert told_of_turns((1, 2, 0, 3), KINDS, groups=groups) == []


def test_groups_are_finished_by_parts_where_some_of_their_blocks_come_first():
    asked = {"first_blocks": ["row 1, column 1", "row 2, column 1"]}
    assert check(fills(0, 2, 1, 3), **asked) == ()
    found = check(fills(0, 2, 3, 1), **asked)
    assert messages(found) == []  # one row up is allowed, and each row has one block left
    again = tuple(fill(one, at=0.75) for one in BLOCKS)
    twice = replace(DRAWING, lines=(*FILLS, *again))
    paths = [*fills(0), along(again[2]), along(again[0]), *fills(2, 1, 3), along(again[1]), along(again[3])]
    assert messages(check(paths, twice, **asked)) == [
        "path 3 goes back to row 1, first blocks after row 2, first blocks",
        "path 4 goes back to row 2, first blocks after row 1, first blocks",
        "path 7 goes back to row 1 after row 2",
        "path 8 goes back to row 2 after row 1",
    ]


def test_turns_begin_anew_in_each_band_stage_and_thread_unless_groups_go_through_all_stages():
    first = {"first_blocks": ["row 2, column 2"], "groups": "blocks"}
    seams = [along(line, stage="seams") for line in SEAMS]
    assert check([*seams, *fills(3, 0, 1, 2)], BOTH, **first) == ()
    each = [path for i in (0, 1, 2, 3) for path in (seams[i], *fills(i))]
    assert told_of_turns(each, BOTH, **first, finish="group by group") == [
        "path 7 goes back to blocks that come first after other blocks"
    ]
    banded = [*fills(0, 1), *fills(3, 2, band=2)]
    assert told_of_turns(banded, **first) == []
    green = tuple(fill(one, at=0.75, thread="green") for one in BLOCKS)
    dyed = replace(DRAWING, lines=(*FILLS, *green))
    paths = [*fills(3, 0, 1, 2), *(along(green[i]) for i in (3, 0, 1, 2))]
    assert check(paths, dyed, **first) == ()
    assert len(told_of_turns([*paths[:5], paths[6], paths[5], paths[7]], dyed, **first)) == 0
    assert len(told_of_turns([*paths[:4], paths[5], paths[4], *paths[6:]], dyed, **first)) == 1


BORDER = Line([(0, 220), (200, 220)], Role.FILL, motif="fill", block="bottom border")
FRAMED = replace(DRAWING, lines=(*FILLS, BORDER))


@pytest.mark.parametrize(
    ("schedule", "count"),
    [
        ({}, 1),
        ({"order": "from the middle"}, 0),
        ({"groups": "none"}, 0),
        ({"last_blocks": ["row 2, column 2"]}, 0),
    ],
)
def test_borders_come_last_by_hand_where_nothing_else_is_asked(schedule, count):
    hand = MachineSettings(sewn_by="hand")
    settings = ScheduleSettings(**schedule)
    last = [*fills(0, 1, 2, 3), along(BORDER)]
    early = [*fills(0, 1, 2), along(BORDER), *fills(3)]
    if not schedule:
        assert check_paths(last, FRAMED, machine=hand) == ()
    found = check_paths(early, FRAMED, machine=hand, schedule=settings)
    assert messages(found) == ["path 5 goes back to other blocks after borders"] * count
    assert check_paths(early, FRAMED) == ()  # on a frame


@settings(deadline=None, derandomize=True, max_examples=200)
@given(
    sequences(8),
    schedules(),
)
def test_any_order_finds_the_same(order, schedule):
    groups, finish = schedule.groups, schedule.finish

    def group(i):
        return {"none": 0, "rows": i % 4 // 2, "blocks": i % 4}[groups]

    paths = [along(SEAMS[i], stage="seams") if i < 4 else along(FILLS[i - 4]) for i in order]
    keys = [(i >= 4, group(i)) if finish == "stage by stage" else (group(i), i >= 4) for i in order]
    wanted = set()
    stages = [i >= 4 for i in order]
    apart = finish == "group by group" and groups != "none"
    for g in {group(i) for i in order} if apart else {None}:
        mine = [i >= 4 for i in order if g is None or group(i) == g]
        wanted |= {"stage"} if mine != sorted(mine) else set()
    for stage in {True} if finish == "stage by stage" else {None}:
        mine = [group(i) for i, s in zip(order, stages, strict=True) if stage is None or s == stage]
        runs = [g for n, g in enumerate(mine) if n == 0 or mine[n - 1] != g]
        wanted |= {"group"} if len(runs) > len(set(runs)) else set()
    found = check_paths(paths, BOTH, schedule=schedule)
    assert kinds(found) == wanted, keys


@pytest.mark.parametrize("bands", [(2, 1), (1, 2, 1)])
def test_bands_do_not_go_back(bands):
    paths = [along(FILLS[i], band=band) for i, band in enumerate(bands)]
    drawing = replace(DRAWING, lines=FILLS[: len(bands)])
    found = check_paths(paths, drawing, machine=MachineSettings(reach=500))
    assert "band" in kinds(found)
    assert f"path {len(bands)} goes back to band 1 after band 2" in messages(found)
