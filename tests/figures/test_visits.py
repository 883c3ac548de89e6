"""Visits of blocks, worked out by hand and against a plain count."""

from itertools import groupby

import numpy as np
import pytest
import shapely
from figure_plans import RESUME, SECURE, SEW, TRAVEL, path, plan_of
from hypothesis import given
from strategies import moves_of_paths

from stitchpath.drawing import Drawing
from stitchpath.figures import BlockVisits, Visits, plan_figures, visits_of
from stitchpath.figures.visits import met_by_none
from stitchpath.lines import Block, Line, Role

A, B, SASHING, SEAM, BASTE, RING, TOUCHED = range(1, 8)
CIRCLE = [(0, 0), (9, 0), (9, 9), (0, 0)]
LINES = (
    Line([(0, 0), (1e4, 0)], Role.FILL, block="a"),
    Line([(0, 20), (1e4, 20)], Role.FILL, block="b"),
    Line([(0, 30), (1e4, 30)], Role.FILL, block="sashing"),
    Line([(0, 40), (1e4, 40)], Role.DITCH, block="a"),
    Line([(0, 50), (1e4, 50)], Role.BASTE),
    Line(np.add(CIRCLE, (0, 60)), Role.OUTLINE, block="a"),
    Line(np.add(CIRCLE, (0, 20)), Role.OUTLINE, block="b"),
)
TOP = Drawing(LINES, blocks=tuple(Block(name, (0, 0, 1, 1), 1, at) for at, name in enumerate("abc", 1)))


def run(*moves):
    """A path straight on from (move, length, line) tuples."""
    points, spans = [(0.0, 0.0)], []
    for at, (move, mm, line) in enumerate(moves):
        points.append((points[-1][0] + mm, 0.0))
        spans.append((move, at, at + 1, line))
    return path(points, *spans)


def test_worked_by_hand():
    """Seams, basting, travel, a path's end and a ring that nothing meets end no visit."""
    first = run((SEW, 5, A), (SEW, 9, SEAM), (TRAVEL, 9, B), (SEW, 5, A), (SEW, 5, BASTE), (SEW, 2, RING))
    second = run((SEW, 5, A), (SEW, 5, TOUCHED), (SECURE, 1, B), (SEW, 5, SASHING), (RESUME, 3, A))
    plan = plan_of(TOP, first, second, run((SEW, 5, B), (SEW, 5, A)))
    visits = visits_of(plan)
    assert {block.block: block.visits for block in visits.blocks} == {"a": 2, "b": 2, "sashing": 1}
    assert visits.blocks[-1] == BlockVisits("sashing", 1)
    assert (visits.median, visits.mean, visits.most) == (2, pytest.approx(5 / 3), 2)
    assert visits.most_in == ("a", "b")


def test_they_are_among_the_figures():
    plan = plan_of(TOP, run((SEW, 5, A), (SEW, 5, B)))
    assert plan_figures(plan).visits == visits_of(plan)


def test_nothing_that_counts():
    visits = visits_of(plan_of(TOP, run((SEW, 5, SEAM), (SEW, 5, RING), (TRAVEL, 5, A))))
    assert visits == Visits(())
    assert (visits.median, visits.mean, visits.most, visits.most_in) == (None, None, 0, ())


BLOCK_OF = {A: "a", B: "b", SASHING: "sashing", TOUCHED: "b"}


@given(moves_of_paths((SEW, TRAVEL, SECURE), (*range(1, 8), None)))
def test_against_a_plain_count(paths):
    plan = plan_of(TOP, *(run(*moves) for moves in paths))
    sewn = [BLOCK_OF[line] for moves in paths for move, _, line in moves if move is SEW and line in BLOCK_OF]
    runs = [block for block, _ in groupby(sewn)]
    assert {one.block: one.visits for one in visits_of(plan).blocks} == {b: runs.count(b) for b in set(runs)}


def test_which_lines_nothing_meets():
    assert met_by_none(TOP).tolist() == [False] * 5 + [True, False]
    hidden = Line([(9, 60), (30, 60)], Role.HIDDEN)
    assert not met_by_none(Drawing(LINES, (hidden,))).any()
    two = Drawing(tuple(Line(CIRCLE) for _ in range(2)))
    assert not met_by_none(two).any()


def square(x, y, size=100):
    return [(x, y), (x + size, y), (x + size, y + size), (x, y + size), (x, y)]


ACROSS = Line([(0, 50), (300, 50)], Role.FILL)
"""A line through three squares, which no block has asked for."""

SEAMS = tuple(Line(square(x, 0), Role.DITCH) for x in (0, 100, 200))


def through(*xs, line):
    points = [(x, 50) for x in xs]
    return path(points, (SEW, 0, len(points) - 1, line))


def test_what_names_no_block_is_placed_by_the_faces_of_the_seams():
    drawing = Drawing((*SEAMS, ACROSS))
    plan = plan_of(drawing, through(0, 100, 200, line=4), through(300, 200, line=4))
    assert {one.block: one.visits for one in visits_of(plan).blocks} == {
        "piece 1": 1, "piece 2": 1, "piece 3": 1
    }  # fmt: skip
    to_and_fro = plan_of(drawing, *(through(*xs, line=4) for xs in ((0, 50), (100, 200), (50, 100))))
    assert [(one.block, one.visits) for one in visits_of(to_and_fro).blocks] == [
        ("piece 1", 2), ("piece 2", 1)
    ]  # fmt: skip


def test_a_face_is_called_after_what_else_is_sewn_in_it():
    """The first square is a block, the second has a line of a border in it; the third has nothing."""
    border = Line([(110, 10), (150, 10)], Role.FILL, block="left border")
    block = Block("row 1, column 1", (3, 3, 100, 100), 1, 1)
    plan = plan_of(Drawing((*SEAMS, ACROSS, border), blocks=(block,)), through(0, 100, 200, 300, line=4))
    assert [one.block for one in visits_of(plan).blocks] == ["row 1, column 1", "left border", "piece 3"]


def test_hidden_seams_and_the_outline_make_faces_too():
    hidden = Line([(100, 0), (100, 100)], Role.HIDDEN)
    drawing = Drawing((ACROSS,), (hidden,), outline=shapely.box(0, 0, 200, 100))
    plan = plan_of(drawing, through(0, 100, 200, 300, line=1))
    assert [one.block for one in visits_of(plan).blocks] == ["piece 1", "piece 2", "outside the seams"]


def test_a_line_that_runs_along_a_seam_is_a_seam():
    """A fill line of no block, on the hidden seam between two squares: it ends no visit."""
    hidden = Line([(100, 0), (100, 100)], Role.HIDDEN)
    along = Line(hidden.points_mm, Role.FILL)
    drawing = Drawing((ACROSS, along), (hidden,), outline=shapely.box(0, 0, 200, 100))
    upright = path(along.points_mm, (SEW, 0, 1, 2))
    plan = plan_of(drawing, through(0, 50, line=1), upright, through(50, 100, line=1))
    assert visits_of(plan).blocks == (BlockVisits("piece 1", 1),)


def test_without_any_seam_all_is_one_place():
    plan = plan_of(Drawing((ACROSS, Line([(0, 0), (9, 0)]))), through(0, 300, line=1), through(0, 9, line=2))
    assert visits_of(plan).blocks == (BlockVisits("outside the seams", 1),)
