"""Faces between seams and crossings of paths, by hand and against a walk on a chessboard."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from strategies import seeds

from stitchpath.check.measuring.seam_faces import OUTSIDE, crossings_of, lay_seam_faces
from stitchpath.check.rules.evidence import Asked, look_at
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role


def laid(*lines):
    return lay_seam_faces(look_at([], Asked(Drawing(tuple(lines)))).rails)


def grid(columns, rows, step=10.0):
    """Blocks side by side; each seam is drawn whole."""
    across, down = columns * step, rows * step
    upright = [[(x * step, 0), (x * step, down)] for x in range(columns + 1)]
    level = [[(0, y * step), (across, y * step)] for y in range(rows + 1)]
    return [Line(points, Role.DITCH) for points in (*upright, *level)]


TWO_BY_TWO = laid(*grid(2, 2))


def crossed(*points, faces=TWO_BY_TWO):
    return crossings_of(faces, np.array(points, dtype=float))


@pytest.mark.parametrize(
    ("points", "count"),
    [
        ([(2, 2), (8, 8)], 0),
        ([(2, 2), (10, 5), (18, 2)], 1),
        ([(2, 2), (10, 5), (10, 8), (2, 8)], 0),
        ([(2, 2), (10, 5), (10, 8), (18, 8), (10, 2), (2, 2)], 2),
        ([(2, 2), (10, 10), (18, 18)], 2),
        ([(2, 2), (10, 5), (10, 10), (10, 15), (2, 18)], 1),
        ([(10, 2), (10, 10), (10, 18)], 1),
        ([(2, 2), (0, 2), (0, 10), (0, 18), (2, 18)], 1),
        ([(2, 2), (2, 2), (10, 5), (10, 5), (18, 2)], 1),
        ([(2, 2), (0, 5), (-5, 5), (0, 5), (2, 2)], 2),
        ([(-5, 5), (-5, 15)], 0),
    ],
    ids=["in a block", "over a seam", "along it and back", "over and back", "over a corner",
         "past a corner", "along seams only", "along the edge to the next block", "points that repeat",
         "out of the top and back", "outside"],
)  # fmt: skip
def test_by_hand(points, count):
    assert crossed(*points) == count


def test_a_seam_passed_without_a_point_on_it_is_no_way():
    assert crossed((2, 2), (8, 2), (12, 2), (18, 2)) is None


def test_faces_and_what_is_beside_each_seam():
    assert len(TWO_BY_TWO.faces.geometries) == 4
    inner = [pair for pair in TWO_BY_TWO.beside if OUTSIDE not in pair]
    assert len(inner) == len(set(inner)) == 4
    assert all(one != other for one, other in TWO_BY_TWO.beside)


def test_a_dangling_seam_parts_nothing():
    """The seam between two blocks stops short of the edge, as at a keep-out: there is a way round it."""
    edge = Line([(0, 0), (20, 0), (20, 10), (0, 10), (0, 0)], Role.BASTE)
    faces = laid(edge, Line([(10, 0), (10, 6)], Role.HIDDEN))
    assert sorted(faces.beside) == [(-1, 0), (-1, 0), (0, 0)] or sorted(faces.beside) == [(-1, 0), (0, 0)]
    assert crossed((5, 3), (10, 3), (15, 3), faces=faces) == 0
    assert crossed((5, 3), (10, 9), (15, 3), faces=faces) == 0


@pytest.mark.parametrize(("x", "sewn"), [(20, False), (20.003, False), (23, True)])
def test_the_outside_is_a_face_only_where_a_line_lies_there(x, sewn):
    """Along the edge a path goes past seams on the outside, if anything is sewn there."""
    faces = laid(*grid(2, 2), Line([(2, 5), (x, 5)], Role.FILL))
    assert faces.sewn_outside is sewn
    assert crossed((0, 5), (0, 10), (0, 18), faces=faces) == (0 if sewn else 1)
    assert crossed((2, 5), (0, 5), (0, 10), (0, 18), (2, 18), faces=faces) == 1


def test_a_seam_that_encloses_nothing_makes_the_outside_a_face():
    faces = laid(*grid(2, 2), Line([(20, 10), (30, 10)], Role.HIDDEN))
    assert faces.sewn_outside
    assert crossed((0, 5), (0, 10), (0, 18), faces=faces) == 0


def test_no_seam_at_all():
    faces = laid(Line([(0, 0), (9, 0)], Role.FILL))
    assert faces.beside == ()
    assert crossed((0, 0), (5, 0), (9, 0), faces=faces) == 0
    assert crossings_of(faces, np.array([(0.0, 0.0)])) == 0


@settings(deadline=None)
@given(seeds(1000))
def test_a_walk_from_block_to_block(seed):
    """From middle to middle of neighbouring blocks, over the middle of the seam: one crossing a step."""
    rng = np.random.default_rng(seed)
    cells = [(1, 1)]
    for _ in range(rng.integers(1, 12)):
        x, y = cells[-1]
        ways = [(x + 1, y), (x - 1, y), (x, y + 1), (x, y - 1)]
        inside = [way for way in ways if 0 <= way[0] < 3 and 0 <= way[1] < 3]
        cells.append(inside[rng.integers(len(inside))])
    middles = [(10 * x + 5, 10 * y + 5) for x, y in cells]
    points = [middles[0]]
    for (x0, y0), (x1, y1) in pairwise(middles):
        points += [((x0 + x1) / 2, (y0 + y1) / 2), (x1, y1)]
    assert crossed(*points, faces=laid(*grid(3, 3))) == len(cells) - 1
