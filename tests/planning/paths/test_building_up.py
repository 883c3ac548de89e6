"""Whole plans in which thread builds up: jobs are charged for what the paths come to."""

from dataclasses import replace

import numpy as np
import pytest
from plans import line, weighed

from stitchpath.check import check_plan
from stitchpath.drawing import Drawing
from stitchpath.figures import plan_figures
from stitchpath.lines import ROLES
from stitchpath.planner import make_plan
from stitchpath.planning.paths.building_up import charge_building_up
from stitchpath.planning.router import Router
from stitchpath.planning.schedule import list_jobs
from stitchpath.settings import CostSettings, ScheduleSettings, Stage

DEAR = CostSettings(leaving_block_s=0, roles={role: {"builds_up": 2} for role in ("ditch", "hidden")})
THREE = ScheduleSettings(stages=[Stage(name=role, roles=[role]) for role in ("ditch", "fill", "strip")])


def ladder(threads=None):
    """A seam with fill and strips that hang on it: each stage of them travels along the seam."""
    seam = line(*((x, 0) for x in range(0, 90, 20)))
    fills = [line((x, 0), (x, 3)) for x in range(20, 80, 20)]
    strips = [line((x, 0), (x, -3)) for x in range(20, 80, 20)]
    roles = ["ditch"] + ["fill"] * 3 + ["strip"] * 3
    return Drawing.from_lines([seam, *fills, *strips], roles=roles, threads=threads)


@pytest.mark.parametrize("threads", [None, ["grey"] * 4 + ["white"] * 3])
def test_figures_and_check_count_what_the_jobs_were_charged(threads):
    drawing = ladder(threads)
    plan = make_plan(drawing, cost=DEAR, schedule=THREE, effort="quick")
    figures = plan_figures(plan)
    assert figures.ends_cost_s + figures.travel_cost_s == pytest.approx(plan.cost, abs=0.01)
    flat = replace(plan, cost_settings=CostSettings(leaving_block_s=0))
    assert plan_figures(flat).travel_cost_s < figures.travel_cost_s - 0.1
    assert check_plan(plan, drawing) == ()
    assert {finding.kind for finding in check_plan(flat, drawing)} == {"cost"}


def test_nothing_is_charged_where_each_time_costs_the_same():
    none = CostSettings(roles={role: {"builds_up": 0} for role in ROLES})
    network, weights = weighed(ladder(), cost=none)
    assert not weights.builds_up.any()
    routes = Router(network, weights, effort="quick").route(list_jobs(weights, THREE))
    assert charge_building_up(routes, weights) == routes


def test_a_job_pays_for_the_times_before_it_too():
    network, weights = weighed(ladder(), cost=DEAR, schedule=THREE)
    routes = Router(network, weights, effort="quick").route(list_jobs(weights, THREE))
    paid = charge_building_up(routes, weights)
    before = np.zeros(len(network.tails), dtype=int)
    for route, after in zip(routes, paid, strict=True):
        price = 0
        for edge in np.concatenate([trail.edges for trail in route.trails]).tolist():
            before[edge] += 1
            price += int(weights.builds_up[edge]) * max(before[edge] - 2, 0)
        assert after.routed.cost - route.routed.cost == pytest.approx(price * weights.unit_s)
        assert after.routed.bound <= after.routed.cost
    assert sum(after.routed.cost for after in paid) > sum(route.routed.cost for route in routes)
