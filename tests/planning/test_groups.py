"""Groups of blocks: which edge belongs to which, in which order, and lists that will not do."""

import numpy as np
import pytest
from plans import edge_at, line

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.lines import Block
from stitchpath.planning.groups import Group, group_blocks, group_edges
from stitchpath.planning.network import build_network
from stitchpath.planning.weights import weigh
from stitchpath.settings import BlockGroup, CostSettings, MachineSettings, ScheduleSettings
from stitchpath.sewing_order import Turn


def blocks(rows, columns):
    return [
        Block(f"row {r}, column {c}", (10.0 * (c - 1), 10.0 * (r - 1), 10.0 * c, 10.0 * r), r, c)
        for r in range(1, rows + 1)
        for c in range(1, columns + 1)
    ]


@pytest.mark.parametrize(
    ("order", "expected"),
    [
        ("left to right", [0, 1, 2, 3, 4, 5, 6, 7, 8]),
        ("snake", [0, 1, 2, 5, 4, 3, 6, 7, 8]),
        ("from the middle", [4, 1, 3, 5, 7, 0, 2, 6, 8]),
        (None, [0, 1, 2, 3, 4, 5, 6, 7, 8]),
    ],
)
def test_orders_of_nine_blocks(order, expected):
    groups = group_blocks(blocks(3, 3), "blocks", order=order)
    assert [group.blocks for group in groups] == [(i,) for i in expected]


def test_a_free_order_goes_from_neighbour_to_neighbour():
    top = blocks(4, 3)
    way = [group.blocks[0] for group in group_blocks(top, "blocks", order="free")]
    assert sorted(way) == list(range(12))
    assert way[0] == 0
    middles = np.array([np.add(block.box_mm[:2], block.box_mm[2:]) / 2 for block in top])[way]
    assert np.hypot(*np.diff(middles, axis=0).T).max() == pytest.approx(10)


def test_rows_and_lists():
    assert group_blocks(blocks(2, 2), "rows", order="snake") == (
        Group("row 1", (0, 1)),
        Group("row 2", (2, 3)),
    )
    left, right = (
        BlockGroup(name=name, blocks=(f"row 1, column {c}", f"row 2, column {c}"))
        for name, c in (("left", 1), ("right", 2))
    )
    assert group_blocks(blocks(2, 2), (right, left), order=None) == (
        Group("right", (1, 3)),
        Group("left", (0, 2)),
    )
    assert [g.name for g in group_blocks(blocks(2, 2), (right, left), order="snake")] == ["left", "right"]
    assert group_blocks(blocks(2, 2), "none", order="snake") == ()


FIRST, LAST = Turn.FIRST, Turn.LAST


@pytest.mark.parametrize(
    ("how", "expected"),
    [
        ("none", [("first blocks", (2, 6)), ("other blocks", (0, 1, 3, 5, 7, 8)), ("last blocks", (4,))]),
        ("rows", [("row 1, first blocks", (2,)), ("row 3, first blocks", (6,)), ("row 1", (0, 1)),
                  ("row 2", (3, 5)), ("row 3", (7, 8)), ("row 2, last blocks", (4,))]),
        ("blocks", [(f"row {1 + i // 3}, column {1 + i % 3}", (i,)) for i in (2, 6, 0, 1, 5, 3, 7, 8, 4)]),
    ],
)  # fmt: skip
def test_blocks_come_first_or_last_and_the_others_in_their_order(how, expected):
    turns = [{2: FIRST, 6: FIRST, 4: LAST}.get(i, Turn.OTHER) for i in range(9)]
    groups = group_blocks(blocks(3, 3), how, order="snake", turns=turns, down="row")
    assert [(group.name, group.blocks) for group in groups] == expected
    assert [group.turn for group in groups] == sorted(group.turn for group in groups)
    every = group_blocks(blocks(3, 3), how, order="snake", turns=[Turn.OTHER] * 9)
    assert every == group_blocks(blocks(3, 3), how, order="snake")


def test_borders_come_after_the_blocks_but_before_the_last_ones():
    turns = [LAST, *[Turn.OTHER] * 8]
    names = [g.name for g in group_blocks(blocks(3, 3), "rows", order=None, turns=turns, borders=True)]
    assert names == ["row 1", "row 2", "row 3", "borders", "row 1, last blocks"]
    assert group_blocks([], "rows", order=None, borders=True) == ()


def test_what_lies_outside_the_outer_blocks_is_in_the_borders():
    """A line in a block, one along its outer edge, one that goes on from there into the border."""
    lines = [line((2, 2), (8, 2)), line((0, 0), (0, 10)), line((0, 5), (-5, 5)), line((25, -3), (25, -1))]
    drawing = Drawing(Drawing.from_lines(lines).lines, blocks=tuple(blocks(1, 2)))
    network = build_network(drawing)
    weights = weigh(network, cost=CostSettings(), machine=MachineSettings(), schedule=ScheduleSettings())
    groups = group_blocks(drawing.blocks, "blocks", order=None, borders=True)
    found = group_edges(network, groups, weights.line)
    places = ((5, 2), (0, 2.5), (0, 7.5), (-2.5, 5), (25, -2))
    assert found[[edge_at(network, *place) for place in places]].tolist() == [0, 0, 0, 2, 2]


@pytest.mark.parametrize(
    ("names", "said"),
    [
        (["row 1, column 1"], r"schedule.groups: row 1, column 2 is in no group; add it to one"),
        (
            ["row 1, column 1", "row 1, column 1"],
            r"groups\[0\].blocks\[1\]: .* stands in two groups",
        ),
        (["row 9, column 1"], r'blocks\[0\]: there is no block "row 9, column 1"; write one such as "row 1'),
    ],
)
def test_lists_that_leave_out_or_name_twice_are_refused(names, said):
    with pytest.raises(DesignError, match=said):
        group_blocks(blocks(1, 2), (BlockGroup(name="a", blocks=tuple(names)),), order=None)


def test_a_seam_goes_to_the_first_group_that_touches_it():
    """Two blocks side by side with a strip of cloth between them, and a border line below the second."""
    top = blocks(1, 2)
    top[1] = Block(top[1].name, (14.0, 0.0, 24.0, 10.0), 1, 2)
    lines = [
        line((10, 0), (10, 10)),
        line((14, 0), (14, 10)),
        line((12, 0), (12, 10)),
        line((20, 12), (22, 12)),
    ]
    drawing = Drawing.from_lines(lines, roles="ditch")
    drawing = Drawing(drawing.lines, blocks=tuple(top))
    network = build_network(drawing)
    weights = weigh(network, cost=CostSettings(), machine=MachineSettings(), schedule=ScheduleSettings())
    for names, wanted in ((["first", "second"], [0, 1, 0, 1]), (["second", "first"], [1, 0, 0, 0])):
        groups = tuple(Group(name, ({"first": 0, "second": 1}[name],)) for name in names)
        found = group_edges(network, groups, weights.line)
        at = [edge_at(network, *place) for place in ((10, 5), (14, 5), (12, 5), (21, 12))]
        assert found[at].tolist() == wanted
    assert group_edges(network, (), weights.line).tolist() == [0] * 4
