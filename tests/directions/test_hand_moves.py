"""Where a path is cut into hand moves, and which way each goes, on figures that anybody can draw."""

import numpy as np
import pytest
import shapely
from directions.laid import laid
from plans import circle

from stitchpath.directions.hand_moves import ends_at_corner, hand_moves_of, ring_turn, turns_back
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.plan import Move, Plan, Span, StitchPath

SQUARE = [(0, 0), (40, 0), (40, 40), (0, 40), (0, 0)]


def moves_along(points, *spans, line=None):
    path = StitchPath(points, spans or (Span(Move.SEW, 0, len(points) - 1, 1),))
    return hand_moves_of(Plan(Drawing((Line(points if line is None else line),)), (path,), (), 0.0), path)


def turned(degrees):
    """Return two steps of 10 mm, the second so far to the right of the first."""
    far = np.radians(degrees)
    return [(0, 0), (10, 0), (10 + 10 * np.cos(far), 10 * np.sin(far))]


@pytest.mark.parametrize(("degrees", "count"), [(25, 1), (-25, 1), (35, 2), (-35, 2), (90, 2), (180, 2)])
def test_a_sharp_turn_ends_a_hand_move_and_a_slight_one_does_not(degrees, count):
    assert len(moves_along(turned(degrees))) == count


def test_hand_moves_share_border_points_and_make_up_the_path():
    points = [(0, 0), (10, 0), (30, 0), (30, 40), (30, 40), (0, 0)]
    told = moves_along(points, Span(Move.SEW, 0, 3, 1), Span(Move.TRAVEL, 3, 5, None))
    assert [(one.first, one.last) for one in told] == [(0, 2), (2, 3), (3, 5)]
    assert [one.length_mm for one in told] == [30, 40, 50]
    assert [(one.move, one.role) for one in told[1:]] == [("sew", Role.DRAWN), ("travel", Role.HIDDEN)]
    assert told[2].chord_mm.tolist() == [-30, -40]
    assert all(one.straight for one in told)
    assert hand_moves_of(Plan(Drawing(()), (), (), 0.0), StitchPath([(0, 0)], ())) == ()


def test_only_the_whole_of_a_closed_line_is_a_lap():
    (lap,) = moves_along(SQUARE)
    assert (lap.lap, lap.straight, lap.length_mm) == (True, False, 160)
    sides = moves_along(SQUARE[:4], line=SQUARE)
    assert [(one.lap, one.length_mm) for one in sides] == [(False, 40)] * 3
    (curve,) = moves_along(circle(radius=50, count=72).coords[:37], line=circle(radius=50, count=72).coords)
    assert (curve.lap, curve.straight) == (False, False)
    assert curve.length_mm == pytest.approx(36 * 100 * np.sin(np.radians(2.5)))  # 36 chords of 5 degrees


def test_small_stitches_there_and_back_are_one_hand_move():
    (secured,) = moves_along([(0, 0), (3, 0), (0, 0)], Span(Move.SECURE, 0, 2, 1))
    assert (secured.length_mm, secured.straight) == (6, False)


def test_a_corner_of_the_line_is_seen_where_a_hand_move_ends():
    hook, ring = Line(SQUARE[:3]), Line(SQUARE)
    assert ends_at_corner(laid((10, 0), (40, 0), line=hook))
    assert not ends_at_corner(laid((40, 0), (40, 40), line=hook))
    assert not ends_at_corner(laid((10, 0), (39, 0), line=hook))
    assert ends_at_corner(laid((0, 40), (0, 0), line=ring))
    assert not ends_at_corner(laid((10, 0), (40, 0)))


def test_going_back_is_turning_by_more_than_150_degrees():
    def back(degrees):
        first, middle, last = turned(degrees)
        return turns_back(laid(first, middle), laid(middle, last))

    assert [back(degrees) for degrees in (0, 90, 149, 152, 180)] == [False, False, False, True, True]
    there, again = laid((0, 0), (9, 0)), laid((9, 0), (0, 0))
    assert not turns_back(None, again)
    assert not turns_back(laid((0, 0), (9, 0), lap=True), again)
    assert not turns_back(there, laid((9, 0), (9, 0)))


@pytest.mark.parametrize("start", [0, 100, 355])
def test_clockwise_is_told_past_the_place_where_the_ring_begins(start):
    """With y down the angle grows clockwise; the ring itself may be drawn either way round."""
    ring = shapely.get_coordinates(circle(start=start))
    stretch = shapely.get_coordinates(circle(start=340))[:10]
    for drawn in (ring, ring[::-1]):
        assert ring_turn(stretch, drawn) == 1
        assert ring_turn(stretch[::-1], drawn) == -1
