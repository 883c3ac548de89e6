"""Whole small plans of two jobs against an exact integer program over both at once."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array, csr_array
from scipy.sparse.csgraph import connected_components
from shapely import LineString, MultiLineString

from stitchpath.check import check_plan
from stitchpath.drawing import Drawing
from stitchpath.figures import plan_figures
from stitchpath.lines import Block
from stitchpath.planner import make_plan
from stitchpath.planning.division import divide, tallest_edge
from stitchpath.planning.negotiation import Shared
from stitchpath.planning.network import build_network
from stitchpath.planning.plan_bound import plan_bound
from stitchpath.planning.router import Router
from stitchpath.planning.schedule import list_jobs
from stitchpath.planning.weights import weigh
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings

COST = CostSettings(path_cost_s=8.0, leaving_block_s=0)
SEAMS = "ditch", "hidden"


def small_drawing(seed):
    """An uneven grid of 4 x 3 junctions with seams, detail and hidden seams; 12 asked edges or more."""
    rng = np.random.default_rng(seed)
    while True:
        x = np.cumsum(rng.integers(20, 160, 4)).astype(float)
        y = np.cumsum(rng.integers(20, 160, 3)).astype(float)
        pairs = [((x[i], y[j]), (x[i + 1], y[j])) for i in range(3) for j in range(3)]
        pairs += [((x[i], y[j]), (x[i], y[j + 1])) for i in range(4) for j in range(2)]
        pairs += [
            ((x[i], y[j]), (x[i + 1], y[j + 1])) for i in range(3) for j in range(2) if rng.random() < 0.3
        ]
        roles = rng.choice(
            ["ditch", "fill", "strip", "hidden", ""], len(pairs), p=[0.35, 0.25, 0.2, 0.12, 0.08]
        )
        asked = [(LineString(p), r) for p, r in zip(pairs, roles, strict=True) if r not in ("hidden", "")]
        if len(asked) >= 12 and {"ditch"} < {r for _, r in asked}:
            hidden = [LineString(p) for p, r in zip(pairs, roles, strict=True) if r == "hidden"]
            return Drawing.from_lines([g for g, _ in asked], roles=[r for _, r in asked], hidden=hidden)


class TwoJobs:
    """Copies and ends of both jobs, and the run-on, as one integer program; cuts are added as needed."""

    def __init__(self, network, weights, jobs):
        self.tails, self.heads = network.tails, network.heads
        self.w, self.m, self.n = weights, len(network.tails), len(network.junctions_mm)
        self.of_job = [weights.in_thread(job.thread) for job in jobs]
        self.required, self.reached = np.zeros((2, 2, self.m), bool)
        for job, required, reached in zip(jobs, self.required, self.reached, strict=True):
            required[job.edges] = True
            reached[slice(None) if job.reached is None else job.reached] = True
        self.run_on = jobs[1].may_run_on_from(jobs[0])
        # columns: copies 1, copies 2, ends 1, ends 2, run-on, halves 1, halves 2
        # and where thread builds up: a third time over an edge, and a fourth
        self.at = np.cumsum([0, self.m, self.m, self.n, self.n, self.n, self.n, self.n, self.m, self.m])
        self.rows = []
        for job in (0, 1):
            for v in range(self.n):
                row = self.degree(job, v)
                row[self.at[5 + job] + v] = -2
                fixed = self.fixed_degree(job, v)
                self.rows.append((row, -fixed, -fixed))
        for e in range(self.m):
            row = np.zeros(self.at[-1])
            row[[e, self.m + e]] = 1
            first = int(weights.stage[e] >= 0)
            self.rows.append((row, -np.inf, weights.most[e] - first))
            if weights.builds_up[e] and weights.most[e] > 2:
                row = row.copy()
                row[[self.at[7] + e, self.at[8] + e]] = -1
                self.rows.append((row, -np.inf, 2 - first))
        for v in range(self.n):
            row = np.zeros(self.at[-1])
            row[self.at[4] + v], row[self.at[2] + v] = 1, -1
            self.rows.append((row, -np.inf, 0))
        row = np.zeros(self.at[-1])
        row[self.at[4] : self.at[5]] = 1
        self.rows.append((row, -np.inf, int(self.run_on)))

    def degree(self, job, v):
        row = np.zeros(self.at[-1])
        for ends in (self.tails, self.heads):
            row[job * self.m + np.flatnonzero(ends == v)] += 1
        row[self.at[2 + job] + v] = 1
        if job == 1:
            row[self.at[4] + v] = 1
        return row

    def fixed_degree(self, job, v):
        need = self.required[job]
        return int((self.tails[need] == v).sum() + (self.heads[need] == v).sum())

    def solve(self):
        w, (first, second) = self.w, self.of_job
        end = w.end.astype(float)
        nothing = np.zeros(self.n)
        travel = (first.travel, second.travel)
        more = (w.builds_up, 2 * w.builds_up)
        cost = np.concatenate((*travel, end, end, -end, nothing, nothing, *more)).astype(float)
        most_1 = np.where(self.required[0], 1, np.where(w.stage < 0, 2, 0)) * self.reached[0]
        most_2 = np.where(self.required[1], 1, 2) * self.reached[1]
        most_1, most_2 = (np.minimum(a, of.most) for a, of in ((most_1, first), (most_2, second)))
        free = np.full(self.n, 6)
        ones = np.ones(self.n), 9 * np.ones(2 * self.n), np.ones(2 * self.m)
        high = np.concatenate((most_1, most_2, free, free, *ones))
        while True:
            matrix = csr_array(np.array([row for row, _, _ in self.rows]))
            limits = LinearConstraint(matrix, [a for _, a, _ in self.rows], [b for _, _, b in self.rows])
            found = milp(
                cost,
                constraints=limits,
                bounds=Bounds(0, high),
                integrality=np.ones(len(cost)),
                options={"mip_rel_gap": 0},
            )
            assert found.success
            if not self.add_cuts(np.rint(found.x).astype(int)):
                return int(np.rint(cost @ np.rint(found.x)))

    def add_cuts(self, x):
        added = False
        for job in (0, 1):
            times = x[job * self.m : (job + 1) * self.m] + self.required[job]
            used = np.flatnonzero(times)
            links = coo_array(
                (np.ones(len(used)), (self.tails[used], self.heads[used])), shape=(self.n, self.n)
            )
            label = connected_components(links, directed=False)[1]
            ends = x[self.at[2 + job] : self.at[3 + job]] + (x[self.at[4] : self.at[5]] if job else 0)
            for part in np.unique(label[self.tails[self.required[job]]]):
                inside = label == part
                if ends[inside].sum() == 0:
                    row = np.zeros(self.at[-1])
                    row[job * self.m + np.flatnonzero(inside[self.tails] != inside[self.heads])] = 1
                    row[self.at[2 + job] + np.flatnonzero(inside)] = 1
                    if job:
                        row[self.at[4] + np.flatnonzero(inside)] = 1
                    self.rows.append((row, 2, np.inf))
                    added = True
        return added


ONE_STAGE = {"stages": "all in one"}
ALL_IN_ONE = {**ONE_STAGE, "groups": "blocks", "order": "left to right"}


def divided(seed):
    """A drawing whose work is divided in two jobs: by stages, by blocks, by threads, or by bands."""
    drawing, rng = small_drawing(seed), np.random.default_rng(seed)
    if seed % 4 == 0:
        return drawing, MachineSettings(), ScheduleSettings()
    x0, y0, x1, y1 = MultiLineString([line.points_mm for line in drawing.lines]).bounds
    middle = rng.uniform(x0, x1)
    boxes = ((x0, y0, middle, y1), (middle, y0, x1, y1))
    blocks = tuple(Block(f"row 1, column {c}", box, 1, c) for c, box in enumerate(boxes, 1))
    if seed % 4 == 1:
        return replace(drawing, blocks=blocks), MachineSettings(), ScheduleSettings(**ALL_IN_ONE)
    if seed % 4 == 2:
        threads = rng.choice(["grey", "white"], len(drawing.lines))
        lines = tuple(replace(line, thread=name) for line, name in zip(drawing.lines, threads, strict=True))
        clear = "all" if seed % 8 == 6 else "none"
        return (
            replace(drawing, lines=lines),
            MachineSettings(),
            ScheduleSettings(**ONE_STAGE, kept_clear=clear),
        )
    machine = MachineSettings(reach=float(rng.uniform(0.6, 0.95) * (y1 - y0)), advance_s=0.01)
    return drawing, machine, ScheduleSettings(**ONE_STAGE)


def test_the_plans_bound_is_proven_and_no_plan_costs_less_than_the_best():
    """200 whole plans: by stages, by blocks, by threads (which no path runs on over) and by bands.

    Travel over the other thread's lines is charged, and in every other plan of two threads forbidden.
    """
    tight = dict.fromkeys(range(4), 0)
    counted = dict.fromkeys(range(4), 0)
    for seed in range(230):
        drawing, machine, schedule = divided(seed)
        network = build_network(drawing, tallest=tallest_edge(drawing, machine, schedule))
        weights = weigh(network, cost=COST, machine=machine, schedule=schedule)
        division = divide(network, weights, machine=machine, schedule=schedule)
        jobs = list_jobs(weights, schedule, division)
        if len(jobs) != 2:
            continue
        plan = make_plan(drawing, cost=COST, machine=machine, schedule=schedule)
        best = TwoJobs(network, weights, jobs).solve() * weights.unit_s
        assert len(plan.jobs) == 2
        assert plan.bound <= best <= plan.cost, seed
        assert not plan.optimal or plan.cost == best
        counted[seed % 4] += 1
        tight[seed % 4] += plan.bound == best
    assert sum(counted.values()) >= 200
    assert min(counted.values()) >= 30
    assert min(tight.values()) >= 5, tight


def test_no_prices_raise_the_bound_above_the_best_plan():
    """Prices for times sewn over steer and bound; wrong ones bound badly, but never too high."""
    counted = 0
    for seed in range(24):
        drawing, machine, schedule = divided(seed)
        network = build_network(drawing, tallest=tallest_edge(drawing, machine, schedule))
        weights = weigh(network, cost=COST, machine=machine, schedule=schedule)
        jobs = list_jobs(weights, schedule, divide(network, weights, machine=machine, schedule=schedule))
        if len(jobs) != 2:
            continue
        router, rng = Router(network, weights, effort="quick"), np.random.default_rng(seed)
        best = TwoJobs(network, weights, jobs).solve() * weights.unit_s
        routes, free = router.route(jobs), np.zeros(len(weights.most), dtype=np.int64)
        plain = plan_bound(router, Shared(routes, free))
        for most in (0.2, 1, 9):
            price = (rng.uniform(0, most, len(free)) * weights.travel).astype(np.int64)
            price *= rng.random(len(free)) < 0.3
            bound = plan_bound(router, Shared(routes, price))
            assert plain <= bound <= best, seed
        counted += 1
    assert counted >= 16


def test_the_bound_holds_where_thread_builds_up():
    """From the third time on that a seam is sewn over it costs more, and no plan costs less than the best."""
    cost, flat = (
        CostSettings(path_cost_s=30, leaving_block_s=0, roles={role: {"builds_up": more} for role in SEAMS})
        for more in (0.5, 0)
    )
    counted = dearer = 0
    for seed in (seed for seed in range(32) if seed % 4 < 2):
        drawing, machine, schedule = divided(seed)
        network = build_network(drawing, tallest=tallest_edge(drawing, machine, schedule))
        weights = weigh(network, cost=cost, machine=machine, schedule=schedule)
        jobs = list_jobs(weights, schedule, divide(network, weights, machine=machine, schedule=schedule))
        if len(jobs) != 2:
            continue
        plan = make_plan(drawing, cost=cost, machine=machine, schedule=schedule, effort="quick")
        best = TwoJobs(network, weights, jobs).solve() * weights.unit_s
        assert plan.bound <= best <= plan.cost, seed
        for job in plan.jobs:
            assert job.bound <= job.cost
        figures = plan_figures(plan)
        assert figures.ends_cost_s + figures.travel_cost_s == pytest.approx(plan.cost, abs=0.01)
        assert check_plan(plan, drawing) == ()
        dearer += plan_figures(replace(plan, cost_settings=flat)).travel_cost_s < figures.travel_cost_s - 0.01
        counted += 1
    assert counted >= 12
    assert dearer >= 3
