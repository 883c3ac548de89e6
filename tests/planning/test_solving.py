"""Jobs solved within all limits, though a seam has two sides; their bounds; what the first sewing costs."""

from pathlib import Path

import numpy as np
import pytest
from plans import line, weighed
from sided_tops import sided, sided_top

from stitchpath.drawing import Drawing, draw
from stitchpath.planner import make_plan
from stitchpath.planning import solving
from stitchpath.planning.part import usable_part
from stitchpath.planning.schedule import Job
from stitchpath.planning.sides import whole_sides
from stitchpath.planning.solving import JobSolver, first_sewing
from stitchpath.settings import CostSettings, ScheduleSettings

NONE = np.zeros(0, np.intp)
ONE_JOB = ScheduleSettings(stages="all in one", groups="none")
SCARCE = {role: {"most_times": 2} for role in ("ditch", "hidden")}


def solved(seed, effort="quick"):
    """Solve the fill of a top, or all of it, where each seam bears two times."""
    cost = CostSettings(roles=SCARCE)
    drawing = sided_top(seed, columns=3, lines=(2, 4), ditch=seed % 2 * 0.6)
    network, weights, *_ = sided(drawing, 2, cost=cost)
    asked = weights.line >= 0
    required = asked if seed % 2 else asked & ~weights.seam_edge
    sewn = (asked & ~required).astype(np.int64)
    job = Job(1, "detail", np.flatnonzero(required))
    return JobSolver(network, weights, effort).solved(job, required, sewn, NONE), weights, sewn


def times_of(found, sewn):
    """How often each edge of the network is sewn then, whatever the side."""
    sides, times = found.part.sides, found.part.times(found.times)
    real = ~sides.crossing
    return sewn + np.bincount(sides.edge[real], times[real], len(sewn)).astype(int)


@pytest.mark.parametrize("seed", range(24))
def test_both_sides_of_a_seam_share_its_most_times(seed):
    found, weights, sewn = solved(seed)
    assert (times_of(found, sewn) <= weights.most).all()
    assert (times_of(found, sewn)[weights.line >= 0] >= 1).all()
    assert found.bound <= found.cost + found.solution.copies @ found.part.crossings * weights.leaving


def test_at_quick_a_plan_is_mended_at_little_cost(monkeypatch):
    """A top of 5 x 5 blocks: what fell apart once began a path more."""
    mended = []

    def watched(problem, near):
        found = narrowed(problem, near)
        mended.append((found.cost / near.cost, int(found.ends.sum()) - int(near.ends.sum())))
        return found

    monkeypatch.syspath_prepend(Path(__file__).parents[2] / "benchmarks")
    from tops import square_top

    narrowed = solving.narrowed
    monkeypatch.setattr(solving, "narrowed", watched)
    make_plan(draw(square_top(5)), schedule=ScheduleSettings(groups="none"), effort="quick")
    assert len(mended) > 1
    assert max(mended) < (1.0005, 1)


def test_without_a_second_look_they_would_be_sewn_too_often(monkeypatch):
    """The limit of one side alone is not enough on such tops: or else the test above shows nothing."""
    monkeypatch.setattr(JobSolver, "_sewn_too_often", lambda *_: NONE)
    over = [(times_of(found, sewn) > w.most).any() for found, w, sewn in map(solved, range(24))]
    assert sum(over) >= 3


@pytest.mark.parametrize("groups", ["none", "rows", "blocks"])
@pytest.mark.parametrize("price", [0, 0.3, 2, 20])
def test_no_bound_is_above_its_cost(groups, price):
    for seed in range(4):
        drawing = sided_top(seed, lines=(1, 3), ovals=seed % 2 > 0)
        schedule = ScheduleSettings(groups=groups, stages="default" if seed % 3 else "all in one")
        cost = CostSettings(leaving_block_s=price, roles=SCARCE if seed % 2 else {})
        plan = make_plan(drawing, cost=cost, schedule=schedule, effort="quick")
        assert all(job.bound <= job.cost for job in plan.jobs), seed
        assert plan.bound <= plan.cost, seed


def test_a_plan_with_a_price_costs_no_more_than_one_without_and_the_price_of_its_crossings():
    """A plan without a price counts its crossings, too; the other one, if proven, cannot be dearer."""
    proven = 0
    for seed in range(8):
        drawing = sided_top(seed, columns=1, ditch=0)
        free, priced = (
            make_plan(drawing, cost=CostSettings(leaving_block_s=price), schedule=ONE_JOB, effort="proof")
            for price in (0, 2)
        )
        crossings = [sum(job.crossings for job in plan.jobs) for plan in (free, priced)]
        assert free.bound <= priced.cost - 2 * crossings[1] + 1e-6
        assert priced.bound <= free.cost + 2 * crossings[0] + 1e-6
        if priced.optimal:
            proven += 1
            assert priced.cost <= free.cost + 2 * crossings[0] + 1e-6
    assert proven >= 6


def test_first_sewing_stands_beside_the_cost():
    drawing = Drawing.from_lines(
        [line((0, 0), (100, 0)), line((100, 0), (100, 50))], hidden=[line((0, 0), (0, 9))]
    )
    network, weights = weighed(drawing)
    part = usable_part(whole_sides(network), weights, weights.line >= 0, np.zeros(3, dtype=np.int64))
    assert first_sewing(part.problem(weights)) * weights.unit_s == pytest.approx(150 / 50 * 20)
    assert make_plan(drawing).cost < 2 * 120 + 1
