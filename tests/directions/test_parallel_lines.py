"""Lines sewn to and fro, put together only where they are told as truly as one by one."""

import numpy as np
import pytest
import shapely
from directions.laid import laid
from plans import circle

from stitchpath.directions.parallel_lines import ParallelLines, folded, turn_of
from stitchpath.lines import Line, Role
from stitchpath.plan import Move


def to_and_fro(levels, *, role=Role.FILL, block="row 1, column 1"):
    """Return lines of 100 mm, travel down the sides between them, and what each lies on."""
    moves, names = [], []
    for at, level in enumerate(levels):
        x, far = (0, 100) if at % 2 == 0 else (100, 0)
        if at:
            moves.append(laid((x, levels[at - 1]), (x, level), move=Move.TRAVEL))
            names.append("the seam")
        ends = (x, level), (far, level)
        moves.append(laid(*ends, line=Line(ends, role, "", "rain", block)))
        names.append('a line of "rain"')
    return moves, names


def test_lines_evenly_apart_are_one():
    moves, names = to_and_fro([0, 12, 24, 36])
    (parallel,) = folded(moves, names)
    assert isinstance(parallel, ParallelLines)
    assert parallel.lines == tuple(moves[::2])
    assert parallel.spacing_mm == pytest.approx(12)
    assert parallel.apart_mm == pytest.approx([0, 12])
    assert [(one.length_mm, one.kind) for one in parallel.connectors] == [
        (12, (Move.TRAVEL, "the seam", 0))
    ] * 3
    assert parallel.by_turns
    assert parallel.uneven == ()


def test_a_line_farther_on_and_another_way_to_it_are_in_the_same_step():
    """The fifth line lies twice as far on, and the way there leads along two things."""
    moves, names = to_and_fro([0, 12, 24, 36, 60, 72])
    names[7] = "the edge line"
    corner = laid((100, 36), (100, 50), move=Move.TRAVEL), laid((100, 50), (100, 60), move=Move.TRAVEL)
    moves[7:8], names[7:8] = corner, ["the edge line", "the seam"]
    (parallel,) = folded(moves, names)
    assert (len(parallel.lines), parallel.uneven, parallel.spacing_mm) == (6, (3,), pytest.approx(12))
    assert parallel.gaps_mm == pytest.approx((12, 12, 12, 24, 12))
    assert [one.kind is None for one in parallel.connectors] == [False, False, False, True, False]
    assert not parallel.by_turns


@pytest.mark.parametrize(
    ("levels", "changed"),
    [
        ([0, 12], {}),  # two lines
        ([0, 12, 25], {}),  # unevenly apart
        ([0, 77, 154], {}),  # more than three inches of travel between them
        ([0, 12, 24], {"role": Role.ECHO}),
    ],
)
def test_what_is_not_told_as_one_stays_as_it_is(levels, changed):
    moves, names = to_and_fro(levels, **changed)
    assert folded(moves, names) == moves


def test_lines_go_on_in_their_own_block_alone():
    """Six lines in one go, evenly apart; the last three lie in another block."""
    moves, names = to_and_fro([0, 12, 24, 36, 48, 60])
    other, _ = to_and_fro([0, 12, 24, 36, 48, 60], block="row 2, column 1")
    first, between, second = folded(moves[:6] + other[6:], names)
    assert first.lines == tuple(moves[:5:2])
    assert between is moves[5]
    assert second.lines == tuple(other[6::2])
    assert folded([], []) == []


def test_which_way_round_a_curve_goes():
    """With y down the angle grows clockwise."""
    ring = shapely.get_coordinates(circle())
    half = ring[:37]
    for line in (None, Line(half), Line(ring), Line(ring[::-1])):
        assert turn_of(laid(*half, line=line, straight=False)) == 1
        assert turn_of(laid(*np.flip(half, axis=0), line=line, straight=False)) == -1
