"""Jobs that share out how often lines may be sewn: within limits, never dearer than in turn, sound bounds."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from plans import sew_counts, weighed
from sided_tops import sided_top

from stitchpath.planner import make_plan
from stitchpath.planning.crossings import charge_crossings
from stitchpath.planning.division import divide
from stitchpath.planning.negotiation import route_in_turn
from stitchpath.planning.plan_bound import plan_bound
from stitchpath.planning.router import Router
from stitchpath.planning.schedule import list_jobs
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings

SEEDS = range(12)


def contested(seed):
    """A top in two or three threads, or block by block, whose seams bear two or three times."""
    rng = np.random.default_rng(seed)
    drawing = sided_top(seed, columns=2 + seed % 2, lines=(2, 4), ditch=0.3)
    threads = rng.choice(["grey", "white", "blue"][: 2 + seed % 2], len(drawing.lines))
    if seed % 4 < 3:
        lines = tuple(replace(one, thread=str(t)) for one, t in zip(drawing.lines, threads, strict=True))
        drawing = replace(drawing, lines=lines)
    schedule = ScheduleSettings(groups="blocks" if seed % 4 > 1 else "none", order="left to right")
    roles = {role: {"most_times": 2 + (seed % 3 == 2)} for role in ("ditch", "hidden")}
    return drawing, CostSettings(roles=roles), schedule


@cache
def shared_by(seed):
    drawing, cost, schedule = contested(seed)
    network, weights = weighed(drawing, cost=cost, schedule=schedule)
    division = divide(network, weights, machine=MachineSettings(), schedule=schedule)
    router = Router(network, weights, effort="quick")
    jobs = list_jobs(weights, schedule, division)
    return router, jobs, route_in_turn(router, jobs)


def cost_of(router, routes):
    charged = charge_crossings(routes, router.network, router.weights, router.solver.faces)
    return sum(route.routed.cost for route in charged)


def test_sharing_out_is_never_dearer_than_taking_turns_and_mostly_cheaper_where_it_is_tried():
    priced = cheaper = 0
    for seed in SEEDS:
        router, jobs, shared = shared_by(seed)
        in_turn = replace(router, turns=4).route(jobs)  # as many as while they negotiate at "quick"
        turns, negotiated = cost_of(router, in_turn), cost_of(router, shared.routes)
        assert negotiated <= turns, seed
        priced += bool(shared.price.any())
        cheaper += negotiated < 0.999 * turns
    assert priced >= 4
    assert cheaper >= 3


@pytest.mark.parametrize("seed", SEEDS)
def test_no_line_is_sewn_more_often_than_it_may_and_each_asked_one_by_its_job(seed):
    router, jobs, shared = shared_by(seed)
    sewn = np.zeros(len(router.network.tails), dtype=int)
    for route in shared.routes:
        for trail in route.trails:
            np.add.at(sewn, trail.edges, 1)
        assert (sewn[route.job.edges] >= 1).all()
    assert {id(route.job) for route in shared.routes} == {id(job) for job in jobs}
    assert (sewn <= router.weights.most).all()


@pytest.mark.parametrize("seed", SEEDS)
def test_no_bound_with_any_prices_is_above_the_cheapest_plan_found(seed):
    """Whatever the prices are, and whichever plan of the same jobs it is held against."""
    router, jobs, shared = shared_by(seed)
    plans = [shared.routes, router.route(jobs)]
    cheapest = min(cost_of(router, routes) for routes in plans)
    rng = np.random.default_rng(seed)
    assert plan_bound(router, shared) <= cheapest + 1e-9
    for most in (1, 5, 30):
        price = (rng.uniform(0, most, len(shared.price)) * router.weights.travel).astype(np.int64)
        assert plan_bound(router, replace(shared, price=price)) <= cheapest + 1e-9


def test_one_job_has_nobody_to_share_with():
    drawing = sided_top(3, ditch=0)
    network, weights = weighed(drawing)
    jobs = list_jobs(weights, ScheduleSettings())
    assert len(jobs) == 1
    shared = route_in_turn(Router(network, weights, effort="quick"), jobs)
    assert not shared.price.any()
    assert len(shared.routes) == 1


@pytest.mark.parametrize("seed", [0, 2, 3])
def test_the_files_lines_keep_the_limits_too(seed):
    """Counted from the paths' points."""
    drawing, cost, schedule = contested(seed)
    plan = make_plan(drawing, cost=cost, schedule=schedule, effort="quick")
    network, weights = weighed(drawing, cost=cost, schedule=schedule)
    counts = sew_counts(plan, network, weights)
    assert (counts <= weights.most).all()
    assert (counts[weights.line >= 0] >= 1).all()


@pytest.mark.parametrize("effort", ["quick", "standard"])
def test_which_share_of_the_work_is_done_only_grows_and_rounds_are_named(effort):
    drawing, cost, schedule = contested(0)
    told = []
    make_plan(drawing, cost=cost, schedule=schedule, effort=effort, working=lambda *one: told.append(one))
    shares = [share for _, share in told]
    assert shares[0] == 0
    assert shares == sorted(shares)
    assert max(shares) < 1
    assert told[0][0] == "sharing out the lines, round 1"
    assert told[-1][0] == ""


def test_the_frame_and_the_hand_share_one_bar():
    drawing, cost, _ = contested(1)
    told = []
    schedule = ScheduleSettings(by_hand=["fill"])
    plan = make_plan(
        drawing, cost=cost, schedule=schedule, effort="quick", working=lambda *one: told.append(one)
    )
    assert plan.by_hand is not None
    shares = [share for _, share in told]
    assert shares == sorted(shares)
    assert shares[0] == 0
    assert max(shares) < 1
