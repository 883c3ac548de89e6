"""The wander ratio, worked out by hand and against a plain count."""

import pytest
from figure_plans import RESUME, SECURE, SEW, TRAVEL, path, plan_of
from hypothesis import given, settings
from strategies import moves_of_paths

from stitchpath.drawing import Drawing
from stitchpath.figures import Wander, plan_figures, wander_of
from stitchpath.lines import Block, Line

A, B, SEAM, SASHING = 1, 2, 3, 4
LINES = tuple(Line([(0, at), (1e4, at)], block=name) for at, name in enumerate(("a", "b", "", "sashing")))
BLOCKS = tuple(Block(name, (0, 0, 1, 1), 1, column) for column, name in enumerate("abc", 1))
TOP = Drawing(LINES, blocks=BLOCKS)


def run(*moves):
    """A path straight on from (move, length, line) tuples."""
    points, spans = [(0.0, 0.0)], []
    for at, (move, mm, line) in enumerate(moves):
        points.append((points[-1][0] + mm, 0.0))
        spans.append((move, at, at + 1, line))
    return path(points, *spans)


def test_worked_by_hand():
    """Block a: entered at 5, left at 5 + 100 + 10 + 50 + 15 + 20 = 200, so 195 over its own 120.

    Block b: entered at 115, left at 200 + 30 (path 2, from the start) = 230, so 115 over 80.
    """
    first = run(
        (SEW, 5, SEAM), (SEW, 100, A), (SEW, 10, SEAM), (SEW, 50, B), (TRAVEL, 15, None), (TRAVEL, 20, A)
    )
    plan = plan_of(TOP, first, run((SEW, 30, B), (SEW, 70, SASHING)))
    assert wander_of(plan) == (Wander("a", 120, 195), Wander("b", 80, 115))
    assert [round(wander.ratio, 4) for wander in wander_of(plan)] == [1.625, 1.4375]
    figures = plan_figures(plan)
    assert figures.wander_greatest == pytest.approx(195 / 120)
    assert figures.wander_median == pytest.approx((195 / 120 + 115 / 80) / 2)


def test_a_block_finished_in_one_go_has_the_ideal_ratio_over_several_paths():
    plan = plan_of(
        TOP, run((SEW, 7, SEAM), (SEW, 100, A)), run((SEW, 40, A), (TRAVEL, 40, A)), run((SEW, 9, B))
    )
    assert [(wander.block, wander.ratio) for wander in wander_of(plan)] == [("a", 1), ("b", 1)]


def test_the_greatest_comes_first_and_equal_ones_as_drawn():
    plan = plan_of(TOP, run((SEW, 10, A), (SEW, 10, B), (SEW, 30, SEAM), (SEW, 10, B), (SEW, 10, A)))
    assert [wander.block for wander in wander_of(plan)] == ["a", "b"]
    plan = plan_of(TOP, run((SEW, 10, B), (SEW, 10, A), (SEW, 30, SEAM), (SEW, 10, A), (SEW, 10, B)))
    assert [wander.block for wander in wander_of(plan)] == ["b", "a"]
    assert [wander.block for wander in wander_of(plan_of(TOP, run((SEW, 10, B), (SEW, 10, A))))] == ["a", "b"]


def test_only_blocks_of_the_drawing_count():
    assert wander_of(plan_of(Drawing(LINES), run((SEW, 10, A), (SEW, 10, SASHING)))) == ()


@given(moves_of_paths([SEW, TRAVEL, SECURE, RESUME], [A, B, SEAM, None]))
@settings(derandomize=True, deadline=None)
def test_as_counted_millimetre_by_millimetre(paths):
    """Each whole millimetre of needle-down length by its block; what secures or resumes has none."""
    stitched = [
        {A: "a", B: "b"}.get(line)
        for moves in paths
        for move, mm, line in moves
        if move in (SEW, TRAVEL)
        for _ in range(mm)
    ]
    told = {wander.block: wander for wander in wander_of(plan_of(TOP, *(run(*moves) for moves in paths)))}
    assert set(told) == set(stitched) - {None}
    for block, wander in told.items():
        at = [place for place, here in enumerate(stitched) if here == block]
        assert (wander.own_mm, wander.between_mm) == (len(at), at[-1] - at[0] + 1)
        assert wander.ratio >= 1
