"""What a plan made by hand states, and what spoils it."""

from dataclasses import replace

import pytest
from counted_plan import (
    DETAIL_COST,
    DRAWING,
    FILL,
    FILLS,
    LEAF,
    LOOSE,
    PLAN,
    SEAM,
    SEAMS,
    SEAMS_COST,
    job,
    kinds,
)

from stitchpath.check import check_plan
from stitchpath.drawing import Drawing
from stitchpath.plan import Move
from stitchpath.settings import CostSettings


def test_a_true_plan_holds_whatever_its_own_drawing_says():
    assert check_plan(PLAN, DRAWING) == ()


def test_a_plan_that_costs_nothing_may_be_bounded_by_nothing():
    plan = replace(
        PLAN,
        cost_settings=CostSettings(path_cost_s=1e-9),
        paths=(SEAMS,),
        jobs=(job("seams", 0.0, 1, bound=0.0),),
        bound=0.0,
    )
    assert check_plan(plan, Drawing(lines=(SEAM,))) == ()


@pytest.mark.parametrize(
    ("jobs", "bound", "found"),
    [
        ((job("seams", SEAMS_COST, 2), job("detail", DETAIL_COST, 1)), 200.0, {"totals"}),
        ((job("seams", SEAMS_COST, 1), job("detail", DETAIL_COST, 3)), 200.0, {"totals"}),
        (PLAN.jobs, 1000.0, {"bound"}),
        (PLAN.jobs, float("nan"), {"bound"}),
        ((job("seams", SEAMS_COST, 1, bound=SEAMS_COST + 0.001), PLAN.jobs[1]), 200.0, {"bound"}),
        ((job("seams", float("nan"), 1), PLAN.jobs[1]), 200.0, {"bound", "cost", "forced"}),
    ],
)
def test_statements_that_contradict_the_paths_are_found(jobs, bound, found):
    assert kinds(replace(PLAN, jobs=jobs, bound=bound)) == found


def test_a_path_keeps_to_its_thread():
    green = replace(DRAWING, lines=(SEAM, replace(FILL, thread="green"), LOOSE))
    (finding,) = check_plan(PLAN, green)
    assert finding.kind == "thread"
    assert finding.message == 'path 2 has thread "" and sews a line that asks for "green"'


def test_several_jobs_of_a_stage_state_their_paths_together():
    apart = (job("detail", DETAIL_COST - 120, 1), job("detail", 120.0, 1))
    assert check_plan(replace(PLAN, jobs=(PLAN.jobs[0], *apart)), DRAWING) == ()
    assert kinds(replace(PLAN, jobs=(PLAN.jobs[0], apart[0], replace(apart[1], paths=2)))) == {"totals"}


@pytest.mark.parametrize("missing", range(3))
def test_a_span_left_out_is_missed(missing):
    paths = tuple(path for i, path in enumerate(PLAN.paths) if i != missing)
    assert {"covered", "totals", "cost"} <= kinds(replace(PLAN, paths=paths))


def test_moves_exchanged_are_found():
    exchanged = tuple(
        replace(span, move=Move.TRAVEL if span.move is Move.SEW else Move.SEW) for span in FILLS.spans
    )
    assert {"travel", "covered"} <= kinds(replace(PLAN, paths=(SEAMS, replace(FILLS, spans=exchanged), LEAF)))


def test_paths_in_reverse_order_are_found():
    assert kinds(replace(PLAN, paths=PLAN.paths[::-1])) == {"stage"}


def test_a_broken_path_is_told_before_anything_else():
    assert kinds(replace(PLAN, paths=(replace(SEAMS, spans=()), FILLS, LEAF))) == {"path"}
