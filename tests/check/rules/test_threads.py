"""A path keeps to one thread: its own as named, or what its lines have in common."""

from dataclasses import replace
from itertools import pairwise

import pytest
from banded import SEW, TRAVEL, along, kinds, laid, messages
from hypothesis import given, settings
from strategies import lists_of_whole, picked, rows_of_sets

from stitchpath.check import check_paths, check_plan
from stitchpath.check.rules.evidence import Asked, look_at
from stitchpath.check.rules.threads import told_threads
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.plan import Plan

CREAM = Line([(0, 0), (100, 0)], Role.FILL, "cream")
GREEN = Line([(100, 0), (100, 100)], Role.FILL, "green")
DRAWING = Drawing(lines=(CREAM, GREEN))
APART = [along(CREAM), along(GREEN)]
CORNER = [(0, 0), (100, 0), (100, 100)]


def plan_kinds(*paths, drawing=DRAWING):
    return {f.kind for f in check_plan(Plan(drawing, paths, (), 0.0), drawing)} & {"thread"}


def test_paths_of_one_thread_each_hold_named_or_not():
    assert check_paths(APART, DRAWING) == ()
    named = [along(CREAM, thread="cream"), along(GREEN, thread="green")]
    assert check_paths(named, DRAWING) == ()
    assert plan_kinds(*named) == set()


def test_a_path_over_two_threads_is_found():
    (finding,) = check_paths([laid(CORNER)], DRAWING)
    assert finding.message == 'path 1 sews lines of different threads; from here on it takes "green"'
    assert finding.kind == "thread"
    assert finding.place_mm == pytest.approx((100, 50), abs=0.01)
    (finding,) = check_paths([laid(CORNER, thread="cream")], DRAWING)
    assert finding.message == 'path 1 has thread "cream" and sews a line that asks for "green"'


def test_a_path_of_another_thread_than_named_is_found():
    assert messages(check_paths([along(CREAM, thread="green"), APART[1]], DRAWING)) == [
        'path 1 has thread "green" and sews a line that asks for "cream"'
    ]
    assert kinds(check_paths([along(CREAM, thread="red"), APART[1]], DRAWING)) == {"thread"}
    assert plan_kinds(*APART) == {"thread"}  # a plan's paths have the threads that they name


def test_travel_may_go_over_any_thread():
    there = laid([(100, 0), (0, 0), (100, 0)], [SEW, TRAVEL])
    back = laid([(0, 0), (100, 0), (100, 100)], [TRAVEL, SEW])
    assert check_paths([APART[0], back], DRAWING) == ()
    assert check_paths([there, APART[1]], DRAWING) == ()
    assert plan_kinds(replace(APART[0], thread="cream"), replace(back, thread="green")) == set()


def test_where_threads_coincide_either_will_do():
    both = replace(DRAWING, lines=(*DRAWING.lines, Line([(100, 0), (100, 60)], Role.FILL, "cream")))
    upper = laid([(0, 0), (100, 0), (100, 60)])
    assert check_paths([upper, laid([(100, 60), (100, 100)])], both) == ()
    assert check_paths(APART, both) == ()
    assert kinds(check_paths([laid(CORNER)], both)) == {"thread"}
    named = replace(upper, thread="cream"), laid([(100, 60), (100, 100)], thread="green")
    assert plan_kinds(*named, drawing=both) == set()


def test_a_path_tells_its_thread():
    both = replace(DRAWING, lines=(*DRAWING.lines, replace(GREEN, thread="red")))

    def told(paths, drawing):
        return told_threads(look_at(paths, Asked(drawing)))

    assert told(APART, DRAWING) == ["cream", "green"]
    assert told(APART, both) == ["cream", None]
    assert told([laid(CORNER)], DRAWING) == [None]
    assert told([along(CREAM)], Drawing(lines=(CREAM,))) == ["cream"]
    assert told([along(CREAM, thread="blue")], DRAWING) == ["blue"]


@settings(deadline=None, derandomize=True, max_examples=200)
@given(
    rows_of_sets("abc", up_to=6),
    lists_of_whole(0, 5, up_to=3),
    picked("", "a", "b", "d"),
)
def test_a_row_of_lines_finds_the_same(asked, ends, name):
    """Lines one behind the other, each in some threads, sewn by paths that end at some of their ends."""
    lines = [
        Line([(9 * i, 0), (9 * i + 9, 0)], Role.FILL, t) for i, ts in enumerate(asked) for t in sorted(ts)
    ]
    cuts = sorted({0, len(asked), *(end for end in ends if end < len(asked))})
    wrong, paths = False, []
    for i, j in pairwise(cuts):
        paths.append(laid([(9 * k, 0) for k in range(i, j + 1)], thread=name))
        common = set.intersection(*asked[i:j])
        wrong |= name not in common if name else not common
    assert kinds(check_paths(paths, Drawing(tuple(lines)))) == ({"thread"} if wrong else set())
