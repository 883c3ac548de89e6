"""Plans as data."""

from dataclasses import FrozenInstanceError, replace

import numpy as np
import pytest

from stitchpath.drawing import Drawing
from stitchpath.lines import Line
from stitchpath.plan import Move, Plan, RoutedJob, Span, StitchPath

SEAMS = StitchPath(
    [(0, 0), (3, 4), (3, 9)], (Span(Move.SEW, 0, 1, 1, "seams"), Span(Move.TRAVEL, 1, 2, None, "seams"))
)
ON = StitchPath(
    [(0, 0), (6, 0), (6, 8)], (Span(Move.SEW, 0, 1, 1, "seams"), Span(Move.SEW, 1, 2, 2, "detail"))
)
DETAIL = StitchPath(
    [(0, 0), (1, 0), (0, 0)], (Span(Move.SEW, 0, 1, 2, "detail"), Span(Move.TRAVEL, 1, 2, 2, "detail"))
)


def job(cost, bound, **about):
    return RoutedJob(
        **{"band": 1, "stage": "all", "forced": 0.0, "paths": 1, "run_on": False, "unit_s": 1.0} | about,
        cost=cost,
        bound=bound,
    )


def plan(*paths, jobs=(), bound=0.0):
    return Plan(Drawing((Line([(0, 0), (1, 0)]),)), paths, jobs, bound)


def test_lengths_of_a_path():
    assert (SEAMS.length_mm, SEAMS.travel_mm, SEAMS.span_mm(SEAMS.spans[0])) == (10, 5, 5)
    assert (ON.length_mm, ON.travel_mm) == (14, 0)
    again = StitchPath([(0, 0), (3, 4), (3, 9)], (Span(Move.RESUME, 0, 1, 1), Span(Move.SEW, 1, 2, 1)))
    assert (again.length_mm, again.sewn_mm, again.resume_mm, again.travel_mm) == (10, 5, 5, 0)
    assert (SEAMS.sewn_mm, SEAMS.resume_mm) == (5, 0)
    assert (SEAMS.closed, DETAIL.closed) == (False, True)


def test_a_path_begins_in_the_stage_of_its_first_span():
    assert [path.stage for path in (SEAMS, ON, DETAIL)] == ["seams", "seams", "detail"]


def test_paths_alike_are_equal():
    again = StitchPath(np.array(SEAMS.coordinates_mm), SEAMS.spans)
    assert again == SEAMS
    assert replace(again, thread="grey") != SEAMS
    assert replace(again, coordinates_mm=SEAMS.coordinates_mm + 1) != SEAMS
    assert again != "path"


def test_bands_and_stages_hold_the_paths_in_sewing_order():
    below = replace(SEAMS, band=2)
    made = plan(SEAMS, ON, DETAIL, below)
    assert [(band.number, [(s.stage, list(s)) for s in band]) for band in made.bands] == [
        (1, [("seams", [SEAMS, ON]), ("detail", [DETAIL])]),
        (2, [("seams", [below])]),
    ]
    assert list(made) == [SEAMS, ON, DETAIL, below]
    assert len(made) == 4
    assert plan().bands == ()


@pytest.mark.parametrize(
    ("jobs", "bound", "cost", "gap", "optimal"),
    [
        ((), 0.0, 0, 0, True),
        ([job(60.0, 60.0), job(40.0, 30.0)], 80.0, 100, 0.25, False),
        ([job(60.0, 60.0), job(40.0, 40.0)], 100.0, 100, 0, True),
        ([job(1.0, 0.0)], 0.0, 1, float("inf"), False),
    ],
)
def test_cost_bound_and_gap_of_a_plan(jobs, bound, cost, gap, optimal):
    made = plan(jobs=tuple(jobs), bound=bound)
    assert (made.cost, made.gap, made.optimal) == (cost, gap, optimal)


@pytest.mark.parametrize(
    ("cost", "bound", "gap", "optimal"),
    [(60.0, 60.0, 0, True), (66.0, 60.0, 0.1, False), (0.0, 0.0, 0, True)],
)
def test_gap_of_a_job(cost, bound, gap, optimal):
    made = job(cost, bound)
    assert made.gap == pytest.approx(gap)
    assert made.optimal is optimal
    assert job(3.0, 0.0).gap == float("inf")


def test_nobody_can_change_a_plan():
    made = plan(SEAMS)
    for frozen, name in (
        (made, "bound"),
        (SEAMS, "thread"),
        (SEAMS.spans[0], "first"),
        (job(1.0, 1.0), "cost"),
    ):
        with pytest.raises((FrozenInstanceError, AttributeError, TypeError)):
            setattr(frozen, name, 1)
    with pytest.raises(ValueError, match="read-only"):
        SEAMS.coordinates_mm[0] = 1
