"""Drawings made from any shapely lines."""

import math

import numpy as np
import pytest
from shapely import (
    GeometryCollection,
    LinearRing,
    LineString,
    MultiLineString,
    MultiPolygon,
    Point,
    Polygon,
    box,
)

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.lines import Role

ACROSS = LineString([(0, 0), (10, 0)])
DOWN = LineString([(0, 0), (0, 10)])


def unsound(kind, *points):
    """Make a geometry of points that are not finite; shapely warns of some of them."""
    with np.errstate(invalid="ignore"):
        return kind(points)


def points_of(drawing):
    return [line.points_mm.tolist() for line in drawing.lines]


def test_no_roles_means_all_drawn_of_one_thread():
    drawing = Drawing.from_lines([ACROSS, DOWN])
    assert [(line.role, line.thread, line.motif) for line in drawing.lines] == [(Role.DRAWN, "", "line")] * 2
    assert (drawing.hidden, drawing.keep_outs, drawing.outline, drawing.design_sha256) == ((), (), None, "")


def test_one_role_or_thread_for_all_or_one_for_each():
    drawing = Drawing.from_lines([ACROSS, DOWN], roles=["ditch", Role.FILL], threads="grey")
    assert [(line.role, line.thread) for line in drawing.lines] == [(Role.DITCH, "grey"), (Role.FILL, "grey")]
    drawing = Drawing.from_lines([ACROSS, DOWN], roles="echo", threads=["grey", "white"])
    assert [(line.role, line.thread) for line in drawing.lines] == [(Role.ECHO, "grey"), (Role.ECHO, "white")]


def test_every_part_becomes_a_line_with_the_role_of_its_whole():
    several = MultiLineString([ACROSS, DOWN])
    nested = GeometryCollection([GeometryCollection([DOWN]), several, LineString()])
    drawing = Drawing.from_lines([several, ACROSS, nested], roles=["fill", "strip", "echo"])
    assert [line.role.value for line in drawing.lines] == ["fill"] * 2 + ["strip"] + ["echo"] * 3
    assert points_of(drawing)[:2] == [[[0, 0], [10, 0]], [[0, 0], [0, 10]]]


def test_a_ring_is_a_closed_line():
    (line,) = Drawing.from_lines([LinearRing([(0, 0), (10, 0), (0, 10)])]).lines
    assert line.closed
    assert len(line.points_mm) == 4


def test_a_third_coordinate_is_dropped_even_if_it_is_no_number():
    drawing = Drawing.from_lines(
        [LineString([(0, 0, 5), (10, 0, 7)]), unsound(LineString, (0, 0, math.nan), (1, 0, 1))]
    )
    assert points_of(drawing) == [[[0, 0], [10, 0]], [[0, 0], [1, 0]]]


def test_hidden_seams_keep_outs_and_outline_are_kept():
    island = MultiPolygon([box(1, 1, 2, 2), box(3, 3, 4, 4)])
    about = {"hidden": iter([DOWN]), "keep_outs": [island], "outline": box(0, 0, 9, 9)}
    drawing = Drawing.from_lines(iter([ACROSS]), **about)
    assert [(line.role, line.motif) for line in drawing.hidden] == [(Role.HIDDEN, "hidden seam")]
    assert drawing.keep_outs[0].polygon.equals(island)
    assert drawing.outline.bounds == (0, 0, 9, 9)


@pytest.mark.parametrize(
    ("about", "key", "said"),
    [
        ({"lines": [Point(0, 0)]}, "lines[0]", "a Point is no line; give LineStrings"),
        ({"lines": [ACROSS, box(0, 0, 1, 1)]}, "lines[1]", "a Polygon is no line"),
        ({"lines": [GeometryCollection([ACROSS, Point(0, 0)])]}, "lines[0]", "a Point is no line"),
        ({"lines": [[(0, 0), (1, 0)]]}, "lines[0]", "list is no shapely line"),
        ({"lines": [None]}, "lines[0]", "NoneType is no shapely line"),
        ({"lines": [LineString()]}, "lines[0]", "an empty geometry draws nothing"),
        ({"lines": [LineString([(0, 0), (0, 0)])]}, "lines[0]", "a line has no length"),
        ({"lines": [unsound(LineString, (0, math.nan), (1, 0))]}, "lines[0]", "(0.0, nan) is not finite"),
        ({"lines": [unsound(LineString, (0, 0), (math.inf, 0))]}, "lines[0]", "(inf, 0.0) is not finite"),
        ({"hidden": [Point(0, 0)]}, "hidden[0]", "a Point is no line"),
        ({"roles": "bobbin"}, "roles[0]", "'bobbin' is no role of an asked line; write one of baste, ditch"),
        ({"roles": "hidden"}, "roles[0]", "'hidden' is no role of an asked line"),
        ({"roles": Role.ALLOWANCE}, "roles[0]", "is no role of an asked line"),
        ({"roles": ["fill", "fill"]}, "roles", "2 given for 1 lines; give one for all or one for each line"),
        ({"threads": []}, "threads", "0 given for 1 lines"),
        ({"keep_outs": [ACROSS]}, "keep_outs[0]", "a LineString is no polygon"),
        ({"keep_outs": ["pear"]}, "keep_outs[0]", "a str is no polygon"),
        ({"keep_outs": [Polygon()]}, "keep_outs[0]", "the polygon is empty or crosses itself"),
        ({"outline": Polygon([(0, 0), (9, 9), (9, 0), (0, 9)])}, "outline", "crosses itself"),
        ({"lines": [LineString([(0, 0), (2e6, 0)])]}, "lines[0]", "(2000000.0, 0.0) is over 1 km off"),
        (
            {"lines": [unsound(LineString, (0, 0), (1e300, 0))]},
            "lines[0]",
            "is over 1 km off; move it nearer",
        ),
        (
            {"lines": [DOWN, ACROSS], "keep_outs": [box(90, 90, 91, 91), box(4, -1, 6, 1)]},
            "lines[1]",
            "keep_outs[1]",
        ),
        ({"outline": unsound(Polygon, (0, 0), (9, 9), (9, math.inf))}, "outline", "is not finite"),
    ],
)
def test_what_is_no_drawing_is_refused_naming_the_place_and_the_remedy(about, key, said):
    with pytest.raises(DesignError) as caught:
        Drawing.from_lines(**({"lines": [ACROSS]} | about))
    assert caught.value.key == key
    assert said in str(caught.value)
    assert caught.value.remedy
    assert "\n" not in str(caught.value)


def test_a_line_may_run_along_a_keep_out_but_not_into_it():
    below = box(0, 0, 10, 5)
    assert Drawing.from_lines([ACROSS], keep_outs=[below]).keep_outs[0].polygon.equals(below)
    inside = LineString([(0, 0.1), (10, 0.1)])
    with pytest.raises(DesignError, match=r"lines\[0\]: the line runs into keep_outs\[0\]; cut it off there"):
        Drawing.from_lines([inside], keep_outs=[below])
    ring = below.buffer(3).difference(below)
    assert Drawing.from_lines([inside], keep_outs=[ring.buffer(-1)]).lines, "a hole is open"


def test_what_was_given_is_neither_changed_nor_shared():
    points = np.array([[0.0, 0.0], [10.0, 0.0]])
    drawing = Drawing.from_lines([LineString(points)])
    points[1] = 99
    assert points_of(drawing) == [[[0, 0], [10, 0]]]
    with pytest.raises(ValueError, match="read-only"):
        drawing.lines[0].points_mm[0] = 1


@pytest.mark.parametrize("key", ["lines", "hidden", "keep_outs"])
@pytest.mark.parametrize(
    ("given", "kind"), [(ACROSS, "LineString"), (box(0, 0, 1, 1), "Polygon"), (None, "NoneType")]
)
def test_a_single_geometry_is_told_to_be_put_in_a_list(key, given, kind):
    with pytest.raises(DesignError) as caught:
        Drawing.from_lines(**{"lines": [], key: given})
    assert str(caught.value) == f"{key}: a single {kind} is no list; give a list of shapely geometries"


@pytest.mark.parametrize("name", ["=SUM(A1)", "+1", "-a", "@a", "a\nb", " grey", "a" * 61, 3, None])
def test_a_threads_name_keeps_to_the_rule_of_names_in_a_design(name):
    with pytest.raises(DesignError, match=r"^threads\[1\]: .+; (write|begin) "):
        Drawing.from_lines([ACROSS, DOWN], threads=["grey", name])


def test_a_threads_name_is_kept_composed():
    assert {line.thread for line in Drawing.from_lines([ACROSS, DOWN], threads="e\u0301cru").lines} == {
        "\xe9cru"
    }


@pytest.mark.parametrize("key", ["roles", "threads"])
def test_what_is_neither_a_name_nor_a_list_is_refused(key):
    with pytest.raises(DesignError, match=f"^{key}: 3 is no name; give one for all or a list$"):
        Drawing.from_lines([ACROSS], **{key: 3})
