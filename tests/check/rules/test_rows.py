"""Down the quilt row by row: a true order, and each way to go back up."""

import pytest

from stitchpath.check import check_paths
from stitchpath.drawing import Drawing
from stitchpath.lines import Block, Line, Role
from stitchpath.plan import Move, Span, StitchPath
from stitchpath.settings import MachineSettings, ScheduleSettings

ROWS = range(1, 5)


def block(row):
    return f"row {row}, column 1"


def line(row, *, role=Role.FILL, thread="", x=0):
    return Line([(x, 10 * row), (x + 9, 10 * row)], role, thread, role.value, block(row))


BLOCKS = tuple(Block(block(row), (0, 10 * row - 5, 10, 10 * row + 5), row, 1) for row in ROWS)


def sewn(line, *, band=1, stage="detail"):
    return StitchPath(line.points_mm, (Span(Move.SEW, 0, 1, stage=stage),), line.thread, band)


def told(paths, lines, *, machine=None, **schedule):
    drawing = Drawing(tuple(lines), blocks=BLOCKS)
    found = check_paths(paths, drawing, machine=machine, schedule=ScheduleSettings(**schedule))
    return [one.message for one in found if one.kind == "row"]


def in_order(*rows, **schedule):
    """What is told of a line in each of some rows, the second of a row beside the first."""
    lines = [line(row, x=20 * rows[:at].count(row)) for at, row in enumerate(rows)]
    return told([sewn(one) for one in lines], lines, **schedule)


@pytest.mark.parametrize("rows", [(1, 2, 3, 4), (2, 1, 3, 2, 4, 3), (1, 3, 2, 4), (3, 4), ()])
def test_one_row_up_is_allowed(rows):
    assert in_order(*rows) == []


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ((1, 2, 3, 1), ["path 4 goes back up to row 1 after row 3"]),
        ((4, 1), ["path 2 goes back up to row 1 after row 4"]),
        (
            (3, 1, 1, 2, 4, 2),
            ["path 2 goes back up to row 1 after row 3", "path 6 goes back up to row 2 after row 4"],
        ),
    ],
)
def test_farther_up_is_told_once_for_each_way_back(rows, said):
    assert in_order(*rows) == said


def test_seams_are_not_counted():
    lines = [line(4), line(1, role=Role.DITCH), line(3, role=Role.DITCH)]
    assert (
        told([sewn(one, stage="seams" if one.role is Role.DITCH else "detail") for one in lines], lines) == []
    )


@pytest.mark.parametrize(("other", "count"), [({"band": 2}, 0), ({"stage": "seams"}, 0), ({}, 1)])
def test_each_band_and_stage_begins_at_its_top(other, count):
    lines = [line(3), line(1)]
    assert len(told([sewn(lines[0]), sewn(lines[1], **other)], lines)) == count


@pytest.mark.parametrize(("thread", "count"), [("green", 0), ("grey", 1)])
def test_another_thread_begins_at_the_top_again(thread, count):
    lines = [line(3, thread="grey"), line(1, thread=thread)]
    assert len(told([sewn(one) for one in lines], lines)) == count


@pytest.mark.parametrize(
    "schedule",
    [
        {"groups": "none"},
        {"groups": "blocks"},
        {"order": "from the middle"},
        {"order": "free"},
        {"machine": MachineSettings(sideways=True)},
        {"machine": MachineSettings(sewn_by="hand")},
    ],
)
def test_it_holds_for_rows_that_come_in_order(schedule):
    assert in_order(3, 1, **schedule) == []
    assert len(in_order(3, 1, order="left to right")) == 1
