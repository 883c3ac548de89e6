"""Outlines before echoes before fill, worked out by hand and against a plain count."""

import numpy as np
import pytest
from figure_plans import SEW, TRAVEL, path, plan_of
from hypothesis import given
from plans import circle
from strategies import moves_of_paths

from stitchpath.drawing import Drawing
from stitchpath.figures import order_exceptions, plan_figures
from stitchpath.figures.outline_order import is_inside_outline, what_follows
from stitchpath.lines import Line, Role
from stitchpath.plan import OrderException

BLOCK = "row 1, column 1"


def ring(radius, role=Role.OUTLINE, *, x=0.0, motif="pear: outside outline", block=BLOCK):
    return Line(np.array(circle(x=x, radius=radius).coords), role, motif=motif, block=block)


def fill(*points, role=Role.FILL, block=BLOCK):
    return Line(points, role, motif="fill", block=block)


OUTSIDE, INSIDE, ECHO = ring(50), ring(40, motif="pear: inside outline"), ring(60, Role.ECHO, motif="echo")
AT_ECHO, TO_OUTSIDE, FAR = fill((60, 0), (90, 0)), fill((0, 50), (0, 55)), fill((90, 90), (95, 90))
LINES = (OUTSIDE, INSIDE, ECHO, AT_ECHO, TO_OUTSIDE, FAR)
PEAR = Drawing(LINES)


def follows(*lines):
    return {
        (one.line, one.what): (one.after.tolist(), one.most_early) for one in what_follows(Drawing(lines))
    }


def test_what_comes_after_what():
    """Fill stops at the outside outline and at the echo; the echo is nearer to the outside outline."""
    assert follows(*LINES) == {
        (0, "fill"): ([4], 0.1),
        (0, "echoes"): ([2], 0.1),
        (1, "fill"): ([3, 4, 5], 0.0),
        (2, "fill"): ([3], 0.1),
    }


@pytest.mark.parametrize("role", [Role.STRIP, Role.FILL, Role.DRAWN])
def test_strips_and_drawn_lines_stop_at_an_outline_too(role):
    assert follows(OUTSIDE, fill((50, 0), (90, 0), role=role)) == {(0, "fill"): ([1], 0.1)}


def test_what_passes_or_lies_within_stops_nowhere():
    assert follows(OUTSIDE, fill((-90, 0), (90, 0)), fill((-9, 0), (9, 0)), fill((50.1, 0), (90, 0))) == {}
    assert follows(OUTSIDE, fill((50, 0), (90, 0), role=Role.DITCH)) == {}
    assert follows(Line([(0, 0), (50, 0)], Role.OUTLINE), fill((50, 0), (90, 0))) == {}


def test_a_line_that_ends_twice_on_an_outline_counts_once():
    assert follows(OUTSIDE, fill((50, 0), (-50, 0))) == {(0, "fill"): ([1], 0.1)}


def test_an_echo_around_two_ovals_follows_both_and_none_of_another_block():
    left, right = ring(50), ring(50, x=100)
    around = Line([(50, 60), (50, -60)], Role.ECHO, block=BLOCK)
    beside = ring(5, x=50, block="row 1, column 2")
    assert follows(left, right, beside, around) == {(0, "echoes"): ([3], 0.1), (1, "echoes"): ([3], 0.1)}


def test_an_inside_outline_is_known_by_its_name():
    assert is_inside_outline(INSIDE)
    assert not is_inside_outline(OUTSIDE)
    assert not is_inside_outline(ring(60, Role.ECHO, motif="x: inside outline"))
    alone = ring(40, motif="pear: inside outline", block="")
    assert follows(alone, FAR) == {}
    assert follows(alone, fill((40, 0), (0, 0))) == {(0, "fill"): ([1], 0.1)}


def sewn(*moves):
    """A path of (move, length, line) straight on."""
    points, spans = [(0.0, 0.0)], []
    for at, (move, mm, line) in enumerate(moves):
        points.append((points[-1][0] + mm, 0.0))
        spans.append((move, at, at + 1, line))
    return path(points, *spans)


def all_of(*lines):
    return sewn(*((SEW, 10, line) for line in lines))


def test_the_trade_s_order_has_no_exception():
    plan = plan_of(PEAR, all_of(2), all_of(1, 3, 4, 5, 6))
    assert order_exceptions(plan) == ()
    assert plan_figures(plan).order_exceptions == ()


def test_each_exception_says_what_came_too_early_and_how_much():
    plan = plan_of(PEAR, all_of(3, 5), all_of(1, 4, 6), all_of(2))
    echoes = OrderException(1, BLOCK, "pear: outside outline", "echoes", 1.0, 2)
    early = OrderException(1, BLOCK, "pear: outside outline", "fill", 1.0, 2)
    inside = OrderException(2, BLOCK, "pear: inside outline", "fill", 1.0, 3)
    assert order_exceptions(plan) == (echoes, early, inside)
    assert plan_figures(plan).order_exceptions == (echoes, early, inside)


@pytest.mark.parametrize(("early", "told"), [(1, False), (1.01, True)])
def test_a_path_may_arrive_by_a_tenth_of_the_fill(early, told):
    plan = plan_of(Drawing((OUTSIDE, AT_ECHO, TO_OUTSIDE)), sewn((SEW, early, 3), (SEW, 9, 1), (SEW, 9, 3)))
    assert bool(order_exceptions(plan)) is told


def test_an_inside_outline_waits_for_nothing():
    plan = plan_of(PEAR, all_of(1, 3), sewn((SEW, 0.5, 6)), all_of(2), sewn((SEW, 999, 5), (SEW, 9, 4)))
    (one,) = order_exceptions(plan)
    assert (one.line, one.share, one.path) == (2, pytest.approx(0.5 / 1008.5), 3)


def test_an_outline_is_finished_with_its_last_stretch_and_travel_finishes_nothing():
    """Half of the outline, its fill, the other half; travel afterwards is no matter."""
    drawing = Drawing((OUTSIDE, TO_OUTSIDE))
    halves = plan_of(drawing, sewn((SEW, 5, 1), (SEW, 5, 2), (SEW, 5, 1)), sewn((TRAVEL, 5, 1)))
    assert [(one.share, one.path) for one in order_exceptions(halves)] == [(1.0, 1)]
    whole = plan_of(drawing, sewn((SEW, 5, 1), (SEW, 5, 2)), sewn((TRAVEL, 5, 1)))
    assert order_exceptions(whole) == ()


def test_what_is_not_sewn_is_no_exception():
    drawing = Drawing((OUTSIDE, TO_OUTSIDE))
    assert order_exceptions(plan_of(drawing, all_of(2))) == ()
    assert order_exceptions(plan_of(drawing, all_of(1))) == ()
    assert order_exceptions(plan_of(drawing)) == ()


@given(moves_of_paths((SEW, TRAVEL), (*range(1, 7), None)))
def test_against_a_plain_count(paths):
    sews = [(line, mm, at) for at, moves in enumerate(paths, 1) for move, mm, line in moves if move is SEW]
    told = {(one.line, one.early): (one.share, one.path) for one in
            order_exceptions(plan_of(PEAR, *(sewn(*moves) for moves in paths)))}  # fmt: skip
    for (first, what), (after, most) in follows(*LINES).items():
        rows = [row for row, (line, *_) in enumerate(sews) if line == first + 1]
        lines = {line + 1 for line in after}
        whole = sum(mm for line, mm, _ in sews if line in lines)
        early = sum(mm for line, mm, _ in sews[: rows[-1]] if line in lines) if rows else 0
        if early and early > most * whole:
            assert told.pop((first + 1, what)) == (pytest.approx(early / whole), sews[rows[-1]][2])
    assert told == {}
