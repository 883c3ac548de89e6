"""Which lines meet a place or run along a step: against shapely, one by one."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from strategies import lines, places_apart, segments

from stitchpath.drawing import Drawing
from stitchpath.figures.meeting import along, first_roles, near, role_of
from stitchpath.lines import Line, Role


@settings(deadline=None, max_examples=30)
@given(lines(points=4, up_to=4), places_apart((0, 4), (0, 4), up_to=6))
def test_places_near_lines_are_those_of_a_plain_search(drawn, places):
    places = np.array(places, dtype=float).reshape(-1, 2)
    found = set(map(tuple, near(drawn, places, within_mm=0.9).T.tolist()))
    ways = [shapely.LineString(line.points_mm) for line in drawn]
    assert found == {
        (at, line)
        for at, place in enumerate(shapely.points(places))
        for line, way in enumerate(ways)
        if way.distance(place) <= 0.9
    }


@pytest.mark.parametrize(("off", "found"), [(0.0039, [[0], [0]]), (0.0041, [[], []])])
def test_near_is_what_counts_as_covered(off, found):
    assert near([Line([(0, 0), (9, 0)])], np.array([(5, off)])).tolist() == found


@settings(deadline=None, max_examples=50)
@given(lines(points=4, up_to=4), segments((0, 4), (0, 4), up_to=6))
def test_a_step_runs_along_a_line_that_holds_its_quarters(drawn, ways):
    start, end = (np.array([way[i] for way in ways], dtype=float).reshape(-1, 2) for i in (0, 1))
    wanted = [
        step
        for step, way in enumerate(ways)
        if any(
            all(
                shapely.LineString(line.points_mm).distance(
                    shapely.LineString(way).interpolate(share, normalized=True)
                )
                <= 0.004
                for share in (0.25, 0.5, 0.75)
            )
            for line in drawn
        )
    ]
    assert sorted(set(along(drawn, start, end).tolist())) == wanted


def test_a_step_over_two_lines_runs_along_neither():
    halves = [Line([(0, 0), (5, 0)]), Line([(5, 0), (10, 0)])]
    corner, end = np.array([(0.0, 0.0)]), np.array([(10.0, 0.0)])
    assert along(halves, corner, end).tolist() == []
    assert along([*halves, Line([(0, 0), (10, 0)])], corner, end).tolist() == [0]


def test_nothing_meets_nothing():
    none = np.zeros((0, 2))
    assert near([Line([(0, 0), (9, 0)])], none).shape == (2, 0)
    assert along([], np.zeros((1, 2)), np.ones((1, 2))).tolist() == []
    assert along([Line([(0, 0), (9, 0)])], none, none).tolist() == []


def test_a_role_by_its_lines_id():
    drawing = Drawing((Line([(0, 0), (9, 0)], Role.DITCH), Line([(0, 0), (0, 9)], Role.FILL)))
    assert [role_of(drawing, line) for line in (1, 2, None)] == [Role.DITCH, Role.FILL, Role.HIDDEN]


def test_the_role_that_comes_first_of_those_that_meet():
    drawing = Drawing(
        (Line([(0, 0), (9, 0)], Role.FILL), Line([(0, 0), (0, 9)], Role.STRIP)),
        (Line([(9, 0), (9, 9)], Role.HIDDEN),),
    )
    places = np.array([(0.0, 0.0), (9.0, 0.0), (5.0, 0.0), (50.0, 0.0)])
    ranked = [Role.HIDDEN, Role.STRIP, Role.FILL]

    def meets(lines, rows):
        return near(lines, places[rows])[0]

    assert first_roles(drawing, [Role.FILL] * 4, ranked, meets) == [
        Role.STRIP, Role.HIDDEN, Role.FILL, Role.FILL,
    ]  # fmt: skip
    assert first_roles(drawing, [Role.HIDDEN] * 4, ranked, meets) == [Role.HIDDEN] * 4
    assert first_roles(drawing, [Role.FILL] * 4, ranked[::-1], meets) == [Role.FILL] * 4
