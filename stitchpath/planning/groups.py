"""Blocks that are finished together: which group each edge belongs to, and in which order groups come.

What lies in no block, seams above all, goes to the first group that it touches; if it touches none, to the
first of the nearest groups. It must not come later, since a fill that ends on a seam would dangle until the
seam is sewn.

Blocks that are asked for first or last are groups of their own, each kind of group parted for them: what
comes first is finished row by row, too. By hand, where nothing else is asked, blocks come from the middle
outwards and what lies outside them, in borders, after them: fullness is worked out to the edge (common
practice, no source).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.design.listed import refuse_groups
from stitchpath.lines import Block
from stitchpath.planning.network import Network
from stitchpath.postman.trails.trail_order import order_trails
from stitchpath.settings import BlockGroup
from stitchpath.sewing_order import BORDERS, Turn, group_name

__all__ = ["Group", "group_blocks", "group_edges"]

_AS_NEAR_MM = 1e-6
"""Blocks are equally near if their distances differ by no more: rounding decides nothing."""


@dataclass(frozen=True)
class Group:
    """Blocks that are finished together.

    Attributes
    ----------
    name
        Of the group.
    blocks
        Places in the drawing's list of blocks.
        None: what lies outside the outer blocks.
    row
        On a frame the uppermost row that it is in; 0 where that does not matter.
    turn
        Groups of a lower turn are finished before any of a higher one.
    """

    name: str
    blocks: tuple[int, ...]
    row: int = 0
    turn: Turn = Turn.OTHER


def group_blocks(
    blocks: Sequence[Block],
    how: str | Sequence[BlockGroup],
    *,
    order: str | None,
    down: Literal["row", "column"] | None = None,
    turns: Sequence[Turn] = (),
    borders: bool = False,
) -> tuple[Group, ...]:
    """Return groups in the order in which they are finished.

    Parameters
    ----------
    blocks
        The drawing's blocks.
    how
        ``"none"``, ``"rows"``, ``"blocks"``, or a list of groups.
    order
        ``"left to right"`` reads the top like a page, ``"snake"`` turns back at the end of each row, ``"from
        the middle"`` works outwards, ``"free"`` goes the shortest way; None leaves a list as it stands.
    down
        What counts down a frame; None where there is none.
    turns
        When each block is sewn; none: at any time.
    borders
        Whether what lies outside the outer blocks is a group of its own, after them.

    Raises
    ------
    DesignError
        If a list names a block that does not exist, leaves one out or names one twice.

    Examples
    --------
    >>> four = [Block(f"row {r}, column {c}", (c, r, c + 1, r + 1), r, c) for r in (1, 2) for c in (1, 2)]
    >>> [group.name for group in group_blocks(four, "blocks", order="snake")]
    ['row 1, column 1', 'row 1, column 2', 'row 2, column 2', 'row 2, column 1']
    >>> group_blocks([], "rows", order="snake")
    ()
    """
    groups = _parted(_groups(blocks, how, parted=any(turn is not Turn.OTHER for turn in turns)), how, turns)
    if down is not None:
        groups = tuple(replace(one, row=min(getattr(blocks[i], down) for i in one.blocks)) for one in groups)
    if borders and groups:
        groups = (*groups, Group(BORDERS, (), turn=Turn.BORDERS))
    inner = [[one for one in groups if one.turn is turn and one.blocks] for turn in Turn]
    inner[Turn.BORDERS] = [one for one in groups if not one.blocks]
    ordered = (one if n == Turn.BORDERS else _in_order(blocks, one, order) for n, one in enumerate(inner))
    return tuple(chain.from_iterable(ordered))


def _in_order(blocks: Sequence[Block], groups: Sequence[Group], order: str | None) -> Sequence[Group]:
    """Return groups of one turn in order."""
    if order is None or len(groups) < 2:
        return groups
    middle = np.array([_middle(blocks, group) for group in groups])
    place = np.array([min((blocks[i].row, blocks[i].column) for i in group.blocks) for group in groups])
    if order == "free":
        ends = np.repeat(middle[:, None], 2, axis=1)
        way, _ = order_trails(ends, closed=np.ones(len(groups), bool), start_xy=_corner(blocks))
    elif order == "from the middle":
        away = np.hypot(*(middle - (_corner(blocks) + _far_corner(blocks)) / 2).T)
        way = np.lexsort((place[:, 1], place[:, 0], np.round(away, 3)))
    else:
        back = (order == "snake") & (_turns(place[:, 0]) % 2 > 0)
        way = np.lexsort((np.where(back, -place[:, 1], place[:, 1]), place[:, 0]))
    return [groups[i] for i in way.tolist()]


def _parted(
    groups: Sequence[Group], how: str | Sequence[BlockGroup], turns: Sequence[Turn]
) -> tuple[Group, ...]:
    """Part groups into blocks of the same turn; of a single block each keeps its name."""
    if not turns:
        return tuple(groups)
    parts = (
        (group, turn, tuple(i for i in group.blocks if turns[i] is turn)) for group in groups for turn in Turn
    )
    return tuple(
        Group(group.name if how == "blocks" else group_name(group.name, turn), own, turn=turn)
        for group, turn, own in parts
        if own
    )


def _groups(
    blocks: Sequence[Block], how: str | Sequence[BlockGroup], *, parted: bool = False
) -> tuple[Group, ...]:
    if not blocks or (how == "none" and not parted):
        return ()
    if how == "none":
        return (Group("", tuple(range(len(blocks)))),)
    if how == "blocks":
        return tuple(Group(block.name, (i,)) for i, block in enumerate(blocks))
    if how == "rows":
        rows = sorted({block.row for block in blocks})
        return tuple(
            Group(f"row {row}", tuple(i for i, block in enumerate(blocks) if block.row == row))
            for row in rows
        )
    return _listed(blocks, tuple(one for one in how if isinstance(one, BlockGroup)))


def _listed(blocks: Sequence[Block], how: Sequence[BlockGroup]) -> tuple[Group, ...]:
    place = {block.name: i for i, block in enumerate(blocks)}
    refuse_groups(how, list(place))
    return tuple(Group(group.name, tuple(place[name] for name in group.blocks)) for group in how)


def _middle(blocks: Sequence[Block], group: Group) -> NDArray[np.float64]:
    boxes = np.array([blocks[i].box_mm for i in group.blocks])
    middle: NDArray[np.float64] = (boxes[:, :2] + boxes[:, 2:]).mean(axis=0) / 2
    return middle


def _corner(blocks: Sequence[Block]) -> NDArray[np.float64]:
    corner: NDArray[np.float64] = np.array([block.box_mm[:2] for block in blocks]).min(axis=0)
    return corner


def _far_corner(blocks: Sequence[Block]) -> NDArray[np.float64]:
    corner: NDArray[np.float64] = np.array([block.box_mm[2:] for block in blocks]).max(axis=0)
    return corner


def _turns(rows: NDArray[np.int64]) -> NDArray[np.intp]:
    """Return how many other rows of groups lie above each."""
    return np.searchsorted(np.unique(rows), rows)


def group_edges(network: Network, groups: Sequence[Group], line: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return (m,) the place in order of the group that each edge belongs to; 0 where there are no groups.

    Parameters
    ----------
    network
        The network.
    groups
        In order.
    line
        (m,) an asked line that each edge stems from, -1 for none.

    Examples
    --------
    >>> from stitchpath import Drawing, Line
    >>> from stitchpath.planning.network import build_network
    >>> network = build_network(Drawing((Line([(0, 0), (9, 0)]),)))
    >>> group_edges(network, (), np.array([0])).tolist()
    [0]
    """
    blocks, count = network.drawing.blocks, len(network.tails)
    if not groups or not count:
        return np.zeros(count, dtype=np.intp)
    rank = np.zeros(len(blocks), dtype=np.intp)
    for place, group in enumerate(groups):
        rank[list(group.blocks)] = place
    of_name = {block.name: int(rank[i]) for i, block in enumerate(blocks)}
    of_line = np.array([*(of_name.get(one.block, -1) for one in network.lines), -1], dtype=np.intp)
    own = of_line[line]
    others = np.flatnonzero(own < 0)
    middles = network.middles_mm(others)
    boxes = shapely.STRtree([shapely.box(*block.box_mm) for block in blocks])
    points = shapely.points(middles)
    (one, _), away = boxes.query_nearest(points, all_matches=False, return_distance=True)
    near = np.zeros(len(others))
    near[one] = away
    point, box = boxes.query(points, predicate="dwithin", distance=near + _AS_NEAR_MM)
    first = np.full(len(others), len(groups), dtype=np.intp)
    np.minimum.at(first, point, rank[box])
    outside = next((place for place, group in enumerate(groups) if not group.blocks), None)
    if outside is not None:
        away = np.maximum(_corner(blocks) - middles, middles - _far_corner(blocks)).max(axis=1, initial=0.0)
        first[away > _AS_NEAR_MM] = outside
    own[others] = first
    return own
