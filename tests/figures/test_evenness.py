"""How evenly blocks are quilted, by hand."""

from dataclasses import replace

import pytest
from figure_plans import SECURE, SEW, TRAVEL, path, plan_of

from stitchpath.drawing import Drawing
from stitchpath.figures import evenness_of, plan_figures
from stitchpath.lines import Block, Line

NAMES = ("a", "b", "c", "d")
BLOCKS = tuple(
    Block(
        name, (100 * (i % 2), 50 * (i // 2), 100 * (i % 2) + 100, 50 * (i // 2) + 50), i // 2 + 1, i % 2 + 1
    )
    for i, name in enumerate(NAMES)
)
LINES = tuple(Line([(0, at), (1e3, at)], block=name) for at, name in enumerate((*NAMES, "", "sashing")))


def sewn(*lengths):
    """One path that sews so much of each block's line, and of two that are in no block."""
    paths = [
        path([(0, row), (mm, row)], (SEW, 0, 1, row + 1)) for row, mm in enumerate((*lengths, 70, 90)) if mm
    ]
    return plan_of(Drawing(LINES, blocks=BLOCKS), *paths)


def test_length_for_area_and_neighbours_that_differ_by_more_than_two():
    """a b / c d with 400, 190, 200, 401: beside each other a:b, c:d, a:c, b:d; a:c is just 2."""
    even = evenness_of(sewn(400, 190, 200, 401))
    assert [density.mm_for_cm2 for density in even.blocks] == pytest.approx([8, 3.8, 4, 8.02])
    told = [(pair.denser.block, pair.other.block, round(pair.ratio, 3)) for pair in even.uneven]
    assert told == [("d", "b", 2.111), ("a", "b", 2.105), ("d", "c", 2.005)]


def test_two_to_one_is_even_and_a_plain_block_beside_a_quilted_one_is_not():
    assert evenness_of(sewn(400, 200, 400, 200)).uneven == ()
    assert [pair.ratio for pair in evenness_of(sewn(400, 0, 400, 300)).uneven] == [float("inf")] * 2
    assert evenness_of(sewn(0, 0, 0, 0)).uneven == ()


def test_travel_and_what_secures_do_not_count():
    again = path(
        [(0, 0), (3, 0), (0, 0), (100, 0), (0, 0)], (SECURE, 0, 2, 1), (SEW, 2, 3, 1), (TRAVEL, 3, 4, 1)
    )
    plan = plan_of(Drawing(LINES, blocks=BLOCKS), again)
    assert evenness_of(plan).blocks[0].sewn_mm == 100
    assert plan_figures(plan).evenness == evenness_of(plan)


def test_what_is_sewn_by_hand_counts_and_is_told_with_the_rest_only():
    frame, hand = sewn(400, 0, 0, 0), sewn(0, 400, 0, 0)
    whole = replace(frame, by_hand=replace(hand, of_hand=True))
    assert [density.sewn_mm for density in evenness_of(whole).blocks] == [400, 400, 0, 0]
    assert evenness_of(whole.by_hand).blocks == ()
    figures = plan_figures(whole)
    assert figures.by_hand.paths == len(hand.paths)
    assert figures.by_hand.gap_unquilted is None
    assert plan_figures(frame).by_hand is None
