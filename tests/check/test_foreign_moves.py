"""Stitching of unknown make told apart: sewn, travelled and lost, with lengths added up by hand."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from railed import ends, rails
from strategies import lists_of_whole

from stitchpath.check.foreign_moves import LOST, SEWN, TRAVELLED, stitched, with_paths
from stitchpath.check.measuring.follow import follow
from stitchpath.drawing import Drawing
from stitchpath.lines import ROLES, Line, Role
from stitchpath.plan import Move, Plan, RoutedJob

ASKED = Line([(0, 0), (100, 0)], Role.FILL, "cream")
HIDDEN = Line([(0, 0), (0, 100)], Role.HIDDEN)
DRAWING = Drawing((ASKED,), (HIDDEN,))
RAILS = rails(ASKED, hidden=(HIDDEN,))


def told(*paths, over_mm=1.0):
    """What paths come to, and of which path each segment is."""
    segments = [(i, a, b) for i, way in enumerate(paths) for a, b in itertools.pairwise(way)]
    start, end = ends(*((a, b) for _, a, b in segments))
    path = np.array([i for i, _, _ in segments], dtype=np.int64)
    bits = follow(RAILS, start, end, within_mm=0.5)
    return stitched(RAILS, ~RAILS.hidden, bits, path, over_mm=over_mm), path


def lengths(found):
    return [float(found.length[found.kind == kind].sum()) for kind in (SEWN, TRAVELLED, LOST)]


@pytest.mark.parametrize(
    ("way", "wanted"),
    [
        ([(0, 0), (100, 0)], (100, 0, 0)),
        ([(100, 0.2), (30, 0.2)], (70, 0, 0)),
        ([(0, 0), (100, 0), (60, 0)], (100, 40, 0)),
        ([(40, 0), (60, 0), (0, 0), (100, 0)], (100, 20 + 60, 0)),
        ([(0, 0), (0, 30)], (0, 30, 0)),
        ([(20, 9), (50, 9)], (0, 0, 30)),
        ([(50, 0), (130, 0)], (50, 0, 30)),
    ],
)
def test_lengths_of_one_path(way, wanted):
    found, _ = told(way)
    assert lengths(found) == pytest.approx(wanted)


@settings(deadline=None, max_examples=40)
@given(lists_of_whole(0, 10, fewest=2, up_to=7))
def test_only_the_first_time_is_sewing(stops):
    """A way to and fro over the line, in cells of 10 mm: each cell is sewn once, the rest is travel."""
    way = [(10 * stop, 0) for i, stop in enumerate(stops) if i == 0 or stop != stops[i - 1]]
    found, _ = told(way, over_mm=0.1)
    passed = [cell for a, b in itertools.pairwise(stops) for cell in range(min(a, b), max(a, b))]
    assert lengths(found) == pytest.approx((10 * len(set(passed)), 10 * (len(passed) - len(set(passed))), 0))
    assert set(found.line.tolist()) <= {0}


def test_what_is_sewn_by_one_path_is_travel_of_the_next():
    found, path = told([(0, 0), (100, 0)], [(80, 0), (20, 0)])
    assert path[found.segment].tolist() == sorted(path[found.segment].tolist())
    assert set(found.kind[found.segment == 0].tolist()) == {SEWN}
    assert set(found.kind[found.segment == 1].tolist()) == {TRAVELLED}


def test_what_is_new_is_told_where_it_lies_whichever_way_it_is_sewn():
    found, _ = told([(0, 0), (60, 0)], [(100, 0), (0, 0)])
    second = found.segment == 1
    assert found.start[second & (found.kind == SEWN)][:, 0].max() == 100
    assert found.end[second & (found.kind == SEWN)][:, 0].min() == pytest.approx(60)
    assert found.start[second & (found.kind == TRAVELLED)][:, 0].max() == pytest.approx(60)


def test_a_stretch_too_short_to_be_told_goes_with_what_comes_before():
    way = [(0, 0), (100, 0), (99.2, 0)]
    assert lengths(told(way, over_mm=1.0)[0]) == pytest.approx((100.8, 0, 0))
    assert lengths(told(way, over_mm=0.5)[0]) == pytest.approx((100, 0.8, 0))


def test_nothing_is_nothing():
    found, path = told()
    assert lengths(found) == [0, 0, 0]
    assert with_paths(Plan(DRAWING, (), (), 0.0), RAILS, found, path).paths == ()


def test_the_paths_have_spans_as_our_own_have():
    plan = Plan(DRAWING, (), (RoutedJob(1, "all", 9.0, 9.0, 0.0, 1, False, 0.1),), 9.0, windows=((0, 9),))
    found, path = told([(0, 0), (60, 0), (60, 40)], [(0, 50), (0, 0), (20, 0)])
    made = with_paths(plan, RAILS, found, path)
    assert (made.jobs, made.bound, made.windows) == ((), 0.0, ())
    one, two = made.paths
    assert [(span.move, span.line) for span in one.spans] == [(Move.SEW, 1), (Move.TRAVEL, 2)]
    assert [(span.move, span.line) for span in two.spans] == [(Move.TRAVEL, None), (Move.TRAVEL, 1)]
    assert (one.sewn_mm, one.travel_mm, two.travel_mm) == pytest.approx((60, 40, 70), abs=1.0)
    assert (one.thread, two.thread) == ("cream", "cream")
    # What lies on no line is a line now, of a role that shows most.
    (strayed,) = made.drawing.lines[1:]
    assert strayed.points_mm[-1].tolist() == [60, 40]
    assert strayed.thread == one.thread
    assert ROLES[strayed.role].shows == max(rule.shows for rule in ROLES.values())
    assert plan.drawing.lines == (ASKED,)
