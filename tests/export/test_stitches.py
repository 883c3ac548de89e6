import numpy as np
import pytest
import shapely
from export_plans import orchard

from stitchpath.errors import DesignError
from stitchpath.export.stitches import stitch_points
from stitchpath.export.table import stitch_table
from stitchpath.plan import Move, Span, StitchPath

CORNERED = StitchPath(
    [(0, 0), (10, 0), (10, 7), (3, 7)],
    (Span(Move.SEW, 0, 2, 1, "a"), Span(Move.TRAVEL, 2, 3, 1, "b")),
)


def test_corners_and_ends_of_spans_stay():
    laid = stitch_points(CORNERED, 2.5)
    points = laid.coordinates_mm.tolist()
    assert all(corner in points for corner in CORNERED.coordinates_mm.tolist())
    assert [(s.first, s.last, s.move, s.stage) for s in laid.spans] == [
        (0, 7, Move.SEW, "a"),
        (7, 10, Move.TRAVEL, "b"),
    ]
    assert points[7] == [10, 7]


@pytest.mark.parametrize("stitch", [0.7, 2.5, 3.175, 40.0])
def test_stitches_are_equal_between_corners_and_never_longer_than_asked(stitch):
    for path in orchard():
        laid = stitch_points(path, stitch)
        steps = np.hypot(*np.diff(laid.coordinates_mm, axis=0).T)
        assert steps.max() <= stitch + 1e-9
        cloth = shapely.LineString(path.coordinates_mm)
        assert shapely.distance(shapely.points(laid.coordinates_mm), cloth).max() < 1e-9
        assert laid.spans[-1].last == len(laid.coordinates_mm) - 1


def test_no_more_stitches_than_needed():
    straight = StitchPath([(0, 0), (4, 0), (10, 0)], (Span(Move.SEW, 0, 2),))
    assert len(stitch_points(straight, 2.5).coordinates_mm) == 1 + 4
    assert len(stitch_points(straight, 2.0).coordinates_mm) == 1 + 5
    assert len(stitch_points(straight, 99).coordinates_mm) == 2


def test_a_curve_becomes_even_stitches():
    around = np.linspace(0, np.pi, 200)
    curve = StitchPath(np.column_stack([np.cos(around), np.sin(around)]) * 50, (Span(Move.SEW, 0, 199),))
    steps = np.hypot(*np.diff(stitch_points(curve, 2.5).coordinates_mm, axis=0).T)
    assert len(steps) == np.ceil(curve.length_mm / 2.5)
    assert np.ptp(steps) < 0.01


@pytest.mark.parametrize("length", [0.0, -1.0, 0.05, float("nan"), float("inf")])
def test_no_such_stitch(length):
    with pytest.raises(DesignError, match=r"stitch_length_mm: .* is no stitch length"):
        stitch_points(CORNERED, length)


def test_in_the_table():
    text = stitch_table(orchard(rows=1, columns=1), stitch_length_mm=2.5)
    assert text.count("\n") > stitch_table(orchard(rows=1, columns=1)).count("\n")
