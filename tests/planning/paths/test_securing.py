"""Small stitches at a path's ends: where they are, and what they leave as it was."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from plans import circle, line
from shapely.ops import substring
from strategies import polylines

from stitchpath.check import check_plan
from stitchpath.drawing import Drawing
from stitchpath.figures import plan_figures
from stitchpath.lines import SECURE_MM
from stitchpath.plan import Move, Span, StitchPath
from stitchpath.planner import make_plan
from stitchpath.planning.paths.securing import secure
from stitchpath.settings import MachineSettings

SMALL = MachineSettings(secured="small stitches")


def sewn(points, **more):
    return StitchPath(points, (Span(Move.SEW, 0, len(points) - 1, 1, "detail"),), **more)


def small_of(path):
    """Return the points of the stitches at the start, and those at the end from the end point on."""
    first, last = path.spans[0], path.spans[-1]
    assert first.move is last.move is Move.SECURE
    points = path.coordinates_mm
    return points[: first.last + 1], points[last.first :]


@pytest.mark.parametrize(
    "machine",
    [
        MachineSettings(),
        MachineSettings(secured="buried tails"),
        MachineSettings(sewn_by="hand", secured="small stitches"),
    ],
)
def test_files_hold_none_where_the_machine_or_the_hand_secures(machine):
    path = sewn([(0, 0), (9, 0)])
    assert secure([path], machine) == (path,)


def test_they_follow_corners_and_take_whole_corners_with_them():
    (path,) = secure([sewn([(0, 0), (1, 0), (1, 1), (9, 1)], thread="grey", band=2)], SMALL)
    start, end = small_of(path)
    assert start.tolist() == [
        [0, 0], [1, 0], [1, 0.5], [1, 1], [2, 1], [1, 1], [1, 0.5], [1, 0], [0, 0],
    ]  # fmt: skip
    assert end.tolist() == [[9, 1], [7.5, 1], [6, 1], [7.5, 1], [9, 1]]
    assert (path.thread, path.band) == ("grey", 2)


def test_they_are_shorter_where_the_path_is():
    (path,) = secure([sewn([(0, 0), (2, 0)])], SMALL)
    assert [points[:, 0].tolist() for points in small_of(path)] == [[0, 1, 2, 1, 0], [2, 1, 0, 1, 2]]


def test_a_stitch_that_would_end_beside_a_corner_ends_on_it():
    (path,) = secure([sewn([(0, 0), (1.4999, 0), (2.996, 0), (9, 0)])], SMALL)
    assert small_of(path)[0][:, 0].tolist() == [0, 1.4999, 2.996, 1.4999, 0]


def test_their_spans_have_the_line_and_stage_beside_them():
    spans = (
        Span(Move.TRAVEL, 0, 1, None, "seams"),
        Span(Move.SEW, 1, 2, 1, "seams"),
        Span(Move.SEW, 2, 3, 2, "detail"),
    )
    (path,) = secure([StitchPath([(0, 0), (9, 0), (9, 9), (0, 9)], spans)], SMALL)
    assert path.spans == (
        Span(Move.SECURE, 0, 4, None, "seams"),
        *(replace(span, first=span.first + 4, last=span.last + 4) for span in spans),
        Span(Move.SECURE, 7, 11, 2, "detail"),
    )


def test_they_are_neither_sewing_nor_travel():
    plain = StitchPath([(0, 0), (9, 0), (5, 0)], (Span(Move.SEW, 0, 1, 1), Span(Move.TRAVEL, 1, 2, 1)))
    (path,) = secure([plain], SMALL)
    assert (path.length_mm, path.travel_mm, path.secure_mm) == pytest.approx((13, 4, 12))
    assert (plain.length_mm, plain.travel_mm, plain.secure_mm) == (13, 4, 0)


@settings(deadline=None, derandomize=True)
@given(polylines((-40, 40), (-40, 40), step_mm=1 / 8, up_to=9))
def test_they_lie_on_the_first_millimetres_of_any_path(points):
    plain = sewn(points)
    (path,) = secure([plain], SMALL)
    start, end = small_of(path)
    own = path.coordinates_mm[len(start) - 1 : len(path.coordinates_mm) - len(end) + 1]
    assert own.tolist() == plain.coordinates_mm.tolist()
    reach = min(SECURE_MM, plain.length_mm)
    for small, way in ((start, points), (end, points[::-1])):
        assert small[0].tolist() == small[-1].tolist() == list(way[0])
        assert np.hypot(*np.diff(small, axis=0).T).sum() == pytest.approx(2 * reach, abs=0.03)
        assert np.hypot(*np.diff(small, axis=0).T).min() > 0
        first = substring(shapely.LineString(way), 0, reach + 0.011)
        assert shapely.difference(shapely.LineString(small), first.buffer(1e-7)).is_empty


@pytest.mark.parametrize("seed", range(3))
def test_a_plan_with_them_costs_and_measures_what_it_does_without(seed):
    rng = np.random.default_rng(seed)
    shapes = [line(*rng.integers(0, 200, (count, 2)).tolist()) for count in (2, 2, 3, 4)]
    roles = [*rng.choice(["ditch", "fill", "strip"], 4).tolist(), "outline"]
    drawing = Drawing.from_lines([*shapes, circle(100, 100, 40)], roles=roles)
    plain, plan = (make_plan(drawing, machine=machine) for machine in (MachineSettings(), SMALL))
    assert check_plan(plan, drawing) == ()
    assert all(path.secure_mm == pytest.approx(4 * SECURE_MM, abs=0.05) for path in plan)
    assert secure(plain.paths, SMALL) == plan.paths
    assert (plan.cost, plan.laps) == (plain.cost, plain.laps)
    one, two = plan_figures(plain), plan_figures(plan)
    for name in ("sewn_mm", "travel_mm", "longest_visible_retrace_mm", "lifts_mm", "ends_cost_s"):
        assert getattr(two, name) == pytest.approx(getattr(one, name), abs=1e-6)


def test_a_line_taken_up_again_in_a_later_band_is_secured_where_the_needle_begins():
    drawing = Drawing.from_lines(
        [line((0, 0), (0, 900)), line((0, 400), (80, 400)), line((0, 600), (80, 600))]
    )
    plan = make_plan(drawing, machine=SMALL.model_copy(update={"reach": 500.0}))
    again = [path for path in plan if Move.RESUME in {path.spans[1].move, path.spans[-2].move}]
    assert again
    assert all(path.spans[0].move is path.spans[-1].move is Move.SECURE for path in plan)
    assert all(path.secure_mm == pytest.approx(4 * SECURE_MM) for path in plan)
    assert [finding for finding in check_plan(plan, drawing) if finding.kind == "secure"] == []
