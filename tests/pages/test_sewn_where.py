"""What is sewn where: all that the paths sew for the first time, and nothing else."""

from banded_plans import banded

from stitchpath.drawing import Drawing
from stitchpath.lines import Line
from stitchpath.pages.plan_parts import parts_of
from stitchpath.pages.sewn_where import sewn_there, sewn_words
from stitchpath.plan import Move, Plan, Span, StitchPath

A, B, C = (f"row {row}, column {column}" for row, column in ((1, 1), (1, 2), (2, 1)))
POINTS = [(0, 0), (9, 0)]


def plan_of(*sewn, moves=Move.SEW):
    """A plan with a path for each group of (role, block) that it sews."""
    lines, paths = [], []
    for group in sewn:
        spans = []
        for role, block in group:
            lines.append(Line(POINTS, role, block=block))
            spans.append(Span(moves, len(spans), len(spans) + 1, len(lines)))
        paths.append(StitchPath([(9 * n, 0) for n in range(len(spans) + 1)], tuple(spans)))
    return Plan(Drawing(tuple(lines)), tuple(paths), (), 0.0)


def test_places_that_have_the_same_are_told_together():
    plan = plan_of([("fill", A), ("outline", A), ("fill", C), ("outline", C), ("fill", "left border")])
    assert sewn_words(plan, [0]) == "rows 1 and 2: outlines, fill; left border: fill"


def test_one_block_of_a_row_has_its_name_and_several_are_their_row():
    assert sewn_words(plan_of([("echo", A), ("drawn", A)]), [0]) == f"{A}: echoes, drawn lines"
    assert sewn_words(plan_of([("strip", A), ("fill", B)]), [0]) == "row 1: strips, fill"


def test_basting_and_seams_come_first_wherever_they_are():
    assert (
        sewn_words(plan_of([("fill", A), ("ditch", ""), ("baste", "")]), [0]) == f"basting; seams; {A}: fill"
    )


def test_travel_is_not_told():
    assert sewn_words(plan_of([("fill", A)], moves=Move.TRAVEL), [0]) == ""


def test_paths_after_each_other_that_sew_the_same_are_one_row_and_no_path_is_left_out():
    plan = plan_of(*[[("fill", A)]] * 3, [("fill", B)], [("fill", A)])
    assert [one.paths for one in sewn_there(plan, range(5))] == [(0, 1, 2), (3,), (4,)]
    many = plan_of(*[[("fill", f"row {n}, column {1 + n % 2}")] for n in range(1, 60)])
    rows = sewn_there(many, range(59))
    assert len(rows) == 14
    assert [path for row in rows for path in row.paths] == list(range(59))
    assert rows[-1].what == "rows 14 to 59: fill"


def test_bands_laid_by_hand():
    plan = banded()
    assert [sewn_words(plan, part.paths) for part in parts_of(plan)] == [
        f"seams; row {row}: drawn lines" for row in (1, 2, 3)
    ]
