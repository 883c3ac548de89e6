"""How often lines are sewn over, counted along them whatever points a path has there."""

import numpy as np
import pytest

from stitchpath import Drawing, Line, Move, Role, Span, StitchPath
from stitchpath.check.measuring.times_over import times_range
from stitchpath.check.rules.evidence import Asked, look_at

LINE = Line([(0, 0), (9, 0)], Role.DITCH)
HAIR = Line([(0, 0.003), (9, 0.003)], Role.DITCH)


def counted(*walks, lines=(LINE,), left_out=()):
    """The times along each step of some walks, at least and at most; the first step sews."""
    paths = [StitchPath(walk, (Span(Move.TRAVEL, 0, len(walk) - 1),)) for walk in walks]
    seen = look_at(paths, Asked(Drawing(lines=lines)))
    passes = np.setdiff1d(np.arange(len(seen.segments.path)), left_out)
    low, high = times_range(seen.stretches, seen.matches, seen.cells, passes, passes)
    return low.tolist(), high.tolist()


def test_each_time_counts_on_whichever_path():
    there, back = [(0, 0), (9, 0)], [(9, 0), (0, 0)]
    assert counted([*there, (0, 0)], there, back) == ([1, 2, 3, 4],) * 2


def test_points_on_the_way_hide_no_time():
    cut = [(0, 0), (4, 0), (9, 0), (7.5, 0), (0, 0)]
    assert counted([(0, 0), (9, 0)], cut) == ([1, 2, 2, 3, 3],) * 2


def test_where_a_part_was_sewn_over_more_often_the_rest_counts_at_least_and_the_part_at_most():
    assert counted([(0, 0), (4, 0), (0, 0)], [(0, 0), (9, 0)]) == ([1, 2, 1], [1, 2, 3])


def test_what_does_not_count_is_left_out():
    assert counted([(0, 0), (9, 0), (0, 0)], [(0, 0), (9, 0)], left_out=[1]) == ([1, 2],) * 2


@pytest.mark.parametrize("lines", [(LINE, LINE), (LINE, HAIR)])
def test_beside_two_lines_it_is_the_same_strand_at_least_and_any_at_most(lines):
    there, beside = [(0, 0), (9, 0)], [(0, 0.002), (9, 0.002)]
    assert counted(there, there, lines=lines) == ([1, 2],) * 2
    assert counted(there, beside, there, lines=lines) == ([1, 1, 2], [1, 2, 3])


def test_lines_that_cross_or_touch_do_not_count():
    across = Line([(4, -5), (4, 5)], Role.DITCH)
    end_on = Line([(9, 0), (9, 5)], Role.DITCH)
    walks = [(0, 0), (9, 0)], [(4, -5), (4, 5)], [(9, 0), (9, 5)]
    assert counted(*walks, lines=(LINE, across, end_on)) == ([1, 1, 1],) * 2
