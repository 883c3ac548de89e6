import numpy as np
import pytest
import shapely
from export_plans import orchard

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.formats.stitch_points import stitch_points
from stitchpath.formats.stitch_table import stitch_table
from stitchpath.lines import Line, Role
from stitchpath.plan import Move, Plan, Span, StitchPath
from stitchpath.planning.paths.securing import secure
from stitchpath.settings import MachineSettings

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
    with pytest.raises(DesignError, match=r"basting_length_mm: .* is no stitch length"):
        stitch_points(CORNERED, 2.5, basting_length_mm=length)


ASKED = (Line([(0, 0), (30, 0)], Role.BASTE), Line([(30, 0), (60, 0)], Role.DITCH))
BASTED = StitchPath(
    [(0, 0), (12, 0), (30, 0), (60, 0), (30, 0), (20, 0), (20, 9)],
    (
        Span(Move.SEW, 0, 2, 1, "baste"),
        Span(Move.SEW, 2, 3, 2, "seams"),
        Span(Move.TRAVEL, 3, 4, 2, "seams"),
        Span(Move.TRAVEL, 4, 5, 1, "seams"),
        Span(Move.TRAVEL, 5, 6, None, "seams"),
    ),
)


@pytest.mark.parametrize(
    ("basting", "wanted"),
    [({}, [6, 10, 10, 2, 3]), ({"basting_length_mm": 25.4 / 4}, [5, 10, 10, 2, 3])],
)
def test_basting_has_a_stitch_length_of_its_own(basting, wanted):
    """30 mm are 6 stitches of 5 mm or 5 of 6 mm, and 10 of 3 mm; a hidden seam is no basting."""
    laid = stitch_points(BASTED, 3.0, lines=ASKED, **basting)
    assert [span.last - span.first for span in laid.spans] == wanted
    borders = [laid.coordinates_mm[span.last].tolist() for span in laid.spans]
    assert borders == [[30, 0], [60, 0], [30, 0], [20, 0], [20, 9]]


def test_without_lines_nothing_is_basting():
    laid = stitch_points(BASTED, 3.0, basting_length_mm=9.0)
    assert [span.last - span.first for span in laid.spans] == [10, 10, 10, 4, 3]


def test_small_stitches_at_ends_stay_small_on_any_line():
    """On a curve of 0.1 mm pieces too: two there and two back."""
    around = np.linspace(0, np.pi, 1000)
    curve = np.column_stack([np.cos(around), np.sin(around)]) * 32
    plain = StitchPath(curve, (Span(Move.SEW, 0, 999, 1),))
    (path,) = secure([plain], MachineSettings(secured="small stitches"))
    for stitch, count in ((0.5, 12), (2.5, 4), (9.0, 4)):
        laid = stitch_points(path, stitch, lines=[Line(curve, Role.BASTE)])
        spans = (laid.spans[0], laid.spans[-1])
        assert [span.move for span in spans] == [Move.SECURE] * 2
        assert [span.last - span.first for span in spans] == [count] * 2
        assert laid.coordinates_mm[spans[0].last].tolist() == curve[0].tolist()


def test_basting_in_the_table():
    plan = Plan(Drawing(ASKED), (BASTED,), (), 0.0)
    text = stitch_table(plan, stitch_length_mm=3.0)
    assert "1,baste,1,sew,5.000,0.000\r\n1,baste,1,sew,10.000,0.000" in text
    assert "1,seams,1,sew,33.000,0.000\r\n1,seams,1,sew,36.000,0.000" in text
    assert "1,baste,1,sew,6.000,0.000" in stitch_table(plan, stitch_length_mm=3.0, basting_length_mm=6.0)
    assert stitch_table(plan, basting_length_mm=6.0) == stitch_table(plan)


def test_in_the_table():
    text = stitch_table(orchard(rows=1, columns=1), stitch_length_mm=2.5)
    assert text.count("\n") > stitch_table(orchard(rows=1, columns=1)).count("\n")
