import numpy as np
import pytest
from export_plans import orchard
from hypothesis import given, settings
from strategies import plans

from stitchpath.directions.walk_steps import HOP_MM, steps_of, way_of
from stitchpath.drawing import Drawing
from stitchpath.figures.rows_and_columns import Places
from stitchpath.lines import Block, Line, Role
from stitchpath.plan import Move, Plan, RoutedJob, Span, StitchPath

BLOCK = "row 2, column 3"
SQUARE = [(0, 0), (9, 0), (9, 9), (0, 9), (0, 0)]


def plan_of(lines, *paths, jobs=(), blocks=()):
    return Plan(Drawing(tuple(lines), blocks=tuple(blocks)), paths, jobs, 0.0)


def path_of(points, *spans, stage="detail"):
    firsts = [0, *(last for _, last, _ in spans)]
    return StitchPath(
        points,
        tuple(
            Span(move, first, last, line, stage)
            for first, (move, last, line) in zip(firsts, spans, strict=False)
        ),
    )


def said(plan):
    return [step.words for step in steps_of(plan)]


def outline(points=SQUARE):
    return Line(points, Role.OUTLINE, motif="pear: outside outline", block=BLOCK)


def fill_lines(count, apart=10.0):
    return [
        Line([(0, y), (99, y)], Role.FILL, motif="background", block=BLOCK) for y in np.arange(count) * apart
    ]


def to_and_fro(count, apart=10.0, *, fro=True):
    points, spans = [], []
    for row in range(count):
        ends = [(0, row * apart), (99, row * apart)]
        points += ends[::-1] if row % 2 and fro else ends
        spans += [(Move.TRAVEL, 2 * row, None)] if row else []
        spans.append((Move.SEW, 2 * row + 1, row + 1))
    return path_of(points, *spans)


@pytest.mark.parametrize(("points", "way"), [(SQUARE, "clockwise"), (SQUARE[::-1], "anticlockwise")])
def test_a_closed_outline_is_told_by_the_way_round(points, way):
    path = path_of(points, (Move.SEW, 4, 1))
    assert said(plan_of([outline()], path)) == [f"pear, row 2 column 3: outside outline, {way}"]


def test_a_piece_of_an_outline_is_told_as_a_part_and_by_the_way_round():
    for points, way in (SQUARE[1:4], "clockwise"), (SQUARE[3:0:-1], "anticlockwise"):
        path = path_of(points, (Move.SEW, 2, 1))
        assert said(plan_of([outline()], path)) == [
            f"pear, row 2 column 3: part of the outside outline, {way}"
        ]


def test_lines_of_a_fill_with_short_hops_between_are_one_step():
    (step,) = steps_of(plan_of(fill_lines(12), to_and_fro(12)))
    assert step.words == "background, row 2 column 3: 12 lines to and fro, working down"
    assert (step.first, step.last, step.length_mm) == (0, 23, 12 * 99 + 11 * 10)


def test_lines_sewn_the_same_way_are_not_to_and_fro():
    plan = plan_of(fill_lines(2, 40), to_and_fro(2, 40, fro=False))
    assert "to and fro" not in "".join(said(plan))


@pytest.mark.parametrize(("hop", "steps"), [(HOP_MM - 0.1, 1), (HOP_MM + 0.1, 3)])
def test_travel_longer_than_a_hop_is_a_step(hop, steps):
    assert len(said(plan_of(fill_lines(2, hop), to_and_fro(2, hop)))) == steps


def test_travel_says_where_it_goes_and_along_what():
    lines = [outline(), Line([(0, 0), (0, 200)], Role.DITCH, motif="ditch"), *fill_lines(1)]
    path = path_of(
        [*SQUARE, (0, 60), (9, 60), (99, 60)],
        (Move.SEW, 4, 1), (Move.TRAVEL, 5, 2), (Move.TRAVEL, 6, 3), (Move.SEW, 7, 3),
    )  # fmt: skip
    assert said(plan_of(lines, path))[1] == (
        "travel in row 2 column 3: along the seam, then over the background, down"
    )
    last = path_of([(0, 0), (99, 0), (99, 50)], (Move.SEW, 1, 2), (Move.TRAVEL, 2, None))
    assert said(plan_of(fill_lines(2), last))[1] == "travel to the path's end: along the seam, down"


def test_what_is_taken_up_again_and_small_stitches_are_steps():
    path = path_of(
        [(0, 0), (3, 0), (0, 0), (6, 0), (99, 0)],
        (Move.SECURE, 2, 1), (Move.RESUME, 3, 1), (Move.SEW, 4, 1),
    )  # fmt: skip
    assert said(plan_of(fill_lines(1), path)) == [
        "small stitches, row 2 column 3: secure the start",
        "take up again, row 2 column 3: over the end sewn in an earlier band, left to right",
        "background, row 2 column 3: one line, left to right",
    ]


def test_another_stage_is_another_step():
    lines = fill_lines(1)
    path = StitchPath(
        [(0, 0), (50, 0), (99, 0)], (Span(Move.SEW, 0, 1, 1, "seams"), Span(Move.SEW, 1, 2, 1, "detail"))
    )
    assert [step.stage for step in steps_of(plan_of(lines, path))] == ["seams", "detail"]


def test_a_seam_is_told_by_rows_and_columns():
    blocks = [
        Block(f"row {r}, column {c}", (c * 10.0, r * 10.0, c * 10.0 + 10, r * 10.0 + 10), r, c)
        for r in (1, 2) for c in (1, 2)
    ]  # fmt: skip
    lines = [Line([(20, 10), (20, 30)], Role.DITCH, motif="ditch")]
    path = path_of([(20, 30), (20, 10)], (Move.SEW, 1, 1))
    assert said(plan_of(lines, path, blocks=blocks)) == [
        "ditch, between columns 1 and 2, rows 1 to 2: seam, up"
    ]


@pytest.mark.parametrize(
    ("ends", "place"),
    [
        ([(10, 10), (10, 20)], "left of column 1, row 1"),
        ([(20, 10), (20, 20)], "right of column 1, row 1"),
        ([(10, 40), (36, 40)], "below row 2, columns 1 to 2"),
        ([(21, 12), (21, 19)], "between columns 1 and 2, row 1"),
        ([(12, 12), (14, 18)], "row 1, column 1"),
        ([(10, 10), (36, 40)], "whole top"),
        ([(5, 0), (5, 9)], "left of column 1"),
        ([(50, 12), (50, 18)], "right of column 2, row 1"),
        ([(15, 12), (15, 18)], "column 1, row 1"),
    ],
)
def test_places_with_sashing_between_columns(ends, place):
    blocks = [
        Block("", (x, y, x + 10.0, y + 10.0), row, column)
        for row, y in ((1, 10.0), (2, 30.0)) for column, x in ((1, 10.0), (2, 26.0))
    ]  # fmt: skip
    assert Places(Drawing((), blocks=tuple(blocks))).place_of(np.array(ends, float)) == place


def test_the_group_is_that_of_the_job_in_which_a_path_begins():
    lines = fill_lines(3)
    paths = [path_of([(0, 10 * n), (99, 10 * n)], (Move.SEW, 1, n + 1)) for n in range(3)]
    jobs = [
        RoutedJob(1, "detail", 0, 0, 0, count, run_on=False, unit_s=1, group=group)
        for count, group in ((1, "row 1"), (0, "row 2"), (2, "row 3"))
    ]
    plan = plan_of(lines, *paths, jobs=tuple(jobs))
    assert [step.group for step in steps_of(plan)] == ["row 1", "row 3", "row 3"]


@pytest.mark.parametrize(
    ("to", "way"),
    [
        ((9, 1), "left to right"), ((9, 9), "down to the right"), ((1, 9), "down"),
        ((-9, 9), "down to the left"), ((-9, 1), "right to left"), ((-9, -9), "up to the left"),
        ((1, -9), "up"), ((9, -9), "up to the right"),
    ],
)  # fmt: skip
def test_ways(to, way):
    assert way_of(np.array([(0.0, 0.0), to])) == way


def covers(plan):
    """Whether the steps of each path run from its first point to its last without a gap."""
    steps = steps_of(plan)
    assert [step.path for step in steps] == sorted(step.path for step in steps)
    for number, path in enumerate(plan.paths, 1):
        mine = [step for step in steps if step.path == number]
        ends = [step.last for step in mine]
        assert [step.first for step in mine] == [0, *ends[:-1]]
        assert ends[-1] == len(path.coordinates_mm) - 1
        assert sum(step.length_mm for step in mine) == pytest.approx(path.length_mm + path.secure_mm)


def test_every_point_is_in_a_step():
    covers(orchard())


@settings(max_examples=60, deadline=None)
@given(plans())
def test_any_plan_has_steps(plan):
    covers(plan)
