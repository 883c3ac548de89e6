"""Faces between lines, against areas worked out by hand."""

import numpy as np
import pytest
from hypothesis import given
from strategies import places_apart

from stitchpath.geometry.faces import BETWEEN, OUTSIDE, face_at, faces_of


def grid(columns, rows, *, step=10.0, beyond=0.0):
    """Lines that make a grid, each drawn whole, and running out by some millimetres."""
    upright = [[(x * step, -beyond), (x * step, rows * step + beyond)] for x in range(columns + 1)]
    level = [[(-beyond, y * step), (columns * step + beyond, y * step)] for y in range(rows + 1)]
    return [np.array(line) for line in (*upright, *level)]


@pytest.mark.parametrize("beyond", [0.0, 3.0])
def test_faces_come_row_by_row_and_dangling_ends_make_none(beyond):
    faces = faces_of(grid(3, 2, beyond=beyond))
    corners = [face.bounds[:2] for face in faces]
    assert corners == [(0, 0), (10, 0), (20, 0), (0, 10), (10, 10), (20, 10)]
    assert [face.area for face in faces] == [100] * 6


def test_a_row_a_hair_lower_is_the_same_row():
    left, right = (
        np.array([(x, y), (x + 9, y), (x + 9, 9), (x, 9), (x, y)]) for x, y in ((0, 0.01), (20, 0))
    )
    assert [face.bounds[0] for face in faces_of([right, left])] == [0, 20]


@given(places_apart((1, 29), (1, 19), up_to=12))
def test_each_place_lies_in_the_face_of_its_column_and_row(places):
    faces = faces_of(grid(3, 2))
    at = face_at(faces, np.array(places, dtype=float).reshape(-1, 2), within_mm=0.1)
    for (x, y), face in zip(places, at.tolist(), strict=True):
        assert face == ((y // 10) * 3 + x // 10 if x % 10 and y % 10 else BETWEEN)


def test_what_lies_in_no_face_is_told():
    places = np.array([(50.0, 50.0), (5.0, 5.0)])
    assert face_at(faces_of(grid(1, 1)), places, within_mm=0.1).tolist() == [OUTSIDE, 0]
    assert face_at((), places, within_mm=0.1).tolist() == [OUTSIDE] * 2


@pytest.mark.parametrize(("x", "face"), [(9.8, 0), (9.95, BETWEEN), (10.05, BETWEEN), (10.2, 1)])
def test_what_is_a_hair_off_a_seam_lies_on_it(x, face):
    assert face_at(faces_of(grid(2, 1)), np.array([(x, 5.0)]), within_mm=0.1).tolist() == [face]
    assert faces_of([np.array([(0, 0), (9, 0)])]) == ()
