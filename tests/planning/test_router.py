"""Routing: the fewest paths, the least cost, and stages that run on into one another."""

from dataclasses import replace
from itertools import pairwise, product

import networkx as nx
import numpy as np
import pytest
from plans import ALL_IN_ONE, TRAVEL_DEAR, circle, line, sew_counts, weighed
from shapely import LineString

from stitchpath.check import check_plan
from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.plan import Move
from stitchpath.planner import make_plan
from stitchpath.planning.network import build_network
from stitchpath.planning.router import Router
from stitchpath.planning.schedule import list_jobs
from stitchpath.postman.errors import NoPlanError, PostmanError
from stitchpath.settings import CostSettings, RoleChange, ScheduleSettings, Stage


class TestFewestPaths:
    """A connected graph with 2k odd vertices, k >= 1, is covered by k trails and no fewer (Euler 1736;
    Listing 1847). All lines are alike and travel is dear, so paths are trails."""

    def plan(self, *shapes):
        return make_plan(Drawing.from_lines(shapes), cost=TRAVEL_DEAR)

    def test_koenigsberg_takes_two(self):
        """Two banks, two islands, seven bridges (Euler 1736), drawn in the plane: four odd junctions."""
        north, south, island, east = (100, 0), (100, 200), (100, 100), (300, 100)
        bridges = [
            line(north, (60, 50), island), line(north, (140, 50), island), line(south, (60, 150), island),
            line(south, (140, 150), island), line(north, (250, 20), east), line(south, (250, 180), east),
            line(island, east),
        ]  # fmt: skip
        plan = self.plan(*bridges)
        assert (len(plan), plan.optimal) == (2, True)
        assert sum(path.travel_mm for path in plan) == 0

    @pytest.mark.parametrize("spokes", range(1, 9))
    def test_a_star(self, spokes):
        """`spokes` ends of one edge, and a middle that is odd if they are oddly many."""
        turns = np.linspace(0, 2 * np.pi, spokes, endpoint=False)
        plan = self.plan(*(line((0, 0), (90 * np.cos(t), 90 * np.sin(t))) for t in turns))
        assert len(plan) == (spokes + 1) // 2

    @pytest.mark.parametrize("k", range(1, 6))
    def test_a_ladder_with_2k_odd_junctions(self, k):
        rungs = [line((20 * i, 0), (20 * i, 30)) for i in range(k + 1)]
        plan = self.plan(line((0, 0), (20 * k, 0)), line((0, 30), (20 * k, 30)), *rungs)
        assert len(plan) == max(1, k - 1)

    @pytest.mark.parametrize("seed", range(15))
    def test_lines_at_random(self, seed):
        rng = np.random.default_rng(seed)
        drawing = Drawing.from_lines(
            [*(line(*rng.integers(0, 300, (2, 2)).tolist()) for _ in range(9)), circle(150, 150, 100)]
        )
        graph = build_network(drawing).graph()
        odd = [
            sum(graph.degree(v) % 2 for v in component) // 2 for component in nx.connected_components(graph)
        ]
        assert len(make_plan(drawing, cost=TRAVEL_DEAR)) == sum(max(1, k) for k in odd)


def few_edges(seed):
    """At most seven edges between six uneven places; some asked for, some hidden, not all connected."""
    rng = np.random.default_rng(seed)
    places = np.column_stack([(0, 60, 110, 10, 70, 130), (0, 8, 0, 70, 60, 80)]) + rng.integers(0, 9, (6, 2))
    pairs = [(0, 1), (1, 2), (0, 3), (1, 4), (2, 5), (3, 4), (4, 5), (0, 4), (1, 5)]
    chosen = [pairs[i] for i in sorted(rng.choice(9, rng.integers(3, 8), replace=False))]
    shapes = [LineString(places[list(pair)]) for pair in chosen]
    hide = rng.random(len(shapes)) < 0.3
    hide[0] = False
    roles = rng.choice(["ditch", "outline", "fill"], int((~hide).sum())).tolist()
    asked, hidden = ([s for s, h in zip(shapes, hide, strict=True) if h == which] for which in (False, True))
    return Drawing.from_lines(asked, roles=roles, hidden=hidden), float(rng.choice([0.5, 4, 20, 60]))


def cheapest_by_enumeration(network, weights):
    """Try every number of copies; each connected part then needs its odd junctions as ends, or one twice."""
    asked = weights.line >= 0
    edges = list(zip(network.tails.tolist(), network.heads.tolist(), strict=True))
    most = [int(min(2, m - a)) for m, a in zip(weights.most, asked, strict=True)]
    best = None
    for copies in product(*(range(m + 1) for m in most)):
        used = nx.MultiGraph()
        for (u, v), first, more in zip(edges, asked.tolist(), copies, strict=True):
            used.add_edges_from([(u, v)] * (first + more))
        cost = int(np.dot(copies, weights.travel))
        for part in nx.connected_components(used):
            odd = [v for v in part if used.degree(v) % 2]
            least = min(int(weights.end[v]) for v in part)
            cost += sum(int(weights.end[v]) for v in odd) if odd else 2 * least
        best = cost if best is None else min(best, cost)
    return best


@pytest.mark.parametrize("block", range(8))
def test_small_plans_against_plain_enumeration(block):
    """Every way to sew up to seven edges, in Python; no integer program and no matching."""
    proven = 0
    for seed in range(25 * block, 25 * block + 25):
        drawing, path_cost = few_edges(seed)
        cost = CostSettings(path_cost_s=path_cost, leaving_block_s=0)
        network, weights = weighed(drawing, cost=cost, schedule=ALL_IN_ONE)
        best = cheapest_by_enumeration(network, weights) * weights.unit_s
        plan = make_plan(drawing, cost=cost, schedule=ALL_IN_ONE)
        assert plan.bound <= best <= plan.cost
        assert not plan.optimal or plan.cost == best
        proven += plan.optimal
    assert proven >= 20


def quilt(seed):
    """A seam grid with fill that ends at it, roles by lot."""
    rng = np.random.default_rng(seed)
    seams = [line((0, y), (240, y)) for y in (0, 120, 240)] + [line((x, 0), (x, 240)) for x in (0, 120, 240)]
    starts = np.sort(rng.integers(5, 235, 6)).tolist()
    fills = [line((x, 0), (x + int(rng.integers(-5, 5)), 120)) for x in starts]
    fills += [line((0, y), (120, y)) for y in np.sort(rng.integers(125, 235, 3)).tolist()]
    return Drawing.from_lines([*seams, *fills], roles=["ditch"] * 6 + ["fill"] * 9)


def routed_alone(drawing):
    """Route each stage with what earlier ones sewed, and no path running on."""
    schedule = ScheduleSettings()
    network, weights = weighed(drawing, schedule=schedule)
    total, sewn = 0.0, np.zeros(len(network.tails), dtype=np.int64)
    for job in list_jobs(weights, schedule):
        router = Router(network, weights)
        opened = router._open(job, (), sewn, None)
        total += opened.routed.cost
        sewn += np.bincount(np.concatenate([t.edges for t in opened.trails]), minlength=len(sewn))
    return total


class TestStages:
    @pytest.mark.parametrize("seed", range(10))
    def test_running_on_saves_an_end_and_is_never_dearer(self, seed):
        drawing = quilt(seed)
        plan = make_plan(drawing)
        assert plan.cost < routed_alone(drawing)
        assert [job.run_on for job in plan.jobs] == [False, True]

    @pytest.mark.parametrize("seed", range(10))
    def test_a_path_that_runs_on_has_spans_of_both_stages_and_is_the_last_of_its_first_one(self, seed):
        plan = make_plan(quilt(seed))
        across = [i for i, path in enumerate(plan) if len({span.stage for span in path.spans}) > 1]
        (seams, *_) = plan.bands[0].stages
        assert across == [len(seams.paths) - 1]
        stages = [span.stage for span in plan.paths[across[0]].spans]
        assert stages == sorted(stages, key=["seams", "detail"].index)
        assert sum(job.paths for job in plan.jobs) == len(plan)

    @pytest.mark.parametrize("seed", range(10))
    def test_stages_keep_their_order_and_no_line_is_sewn_more_often_than_it_may(self, seed):
        drawing = quilt(seed)
        plan = make_plan(drawing)
        stages = [span.stage for path in plan for span in path.spans]
        assert stages == sorted(stages, key=["seams", "detail"].index)
        network, weights = weighed(drawing)
        assert (sew_counts(plan, network, weights) <= weights.most).all()

    @pytest.mark.parametrize("most", [1, 2, 3, 4])
    def test_the_most_times_hold_over_both_stages(self, most):
        drawing = quilt(3)
        cost = CostSettings(roles={"ditch": {"most_times": most}})
        plan = make_plan(drawing, cost=cost)
        network, weights = weighed(drawing, cost=cost)
        counts = sew_counts(plan, network, weights)
        assert counts[weights.stage == 1].max() <= most
        assert plan.bound <= plan.cost

    def test_fewer_times_are_never_cheaper(self):
        costs = [
            make_plan(quilt(3), cost=CostSettings(roles={"ditch": {"most_times": most}})).bound
            for most in (1, 2, 4)
        ]
        assert costs == sorted(costs, reverse=True)

    def test_the_order_of_stages_is_the_one_asked_for(self):
        schedule = ScheduleSettings(
            stages=[Stage(name="b", roles=["fill"]), Stage(name="a", roles=["ditch"])]
        )
        plan = make_plan(quilt(1), schedule=schedule)
        assert [job.stage for job in plan.jobs] == ["b", "a"]
        first = [span.stage for path in plan for span in path.spans]
        assert first == sorted(first, reverse=True)

    def test_by_hand(self):
        """A seam, then a fill line from its end, too long to come back along (160 s). The seam pays 30 s at
        both ends; running on gives one of them back, and the path ends on the fill at 120 s."""
        drawing = Drawing.from_lines(
            [line((0, 0), (80, 0)), line((80, 0), (80, 400))], roles=["ditch", "fill"]
        )
        plan = make_plan(drawing)
        assert len(plan) == 1
        assert [(job.cost, job.bound, job.paths, job.run_on) for job in plan.jobs] == [
            (60, 60, 1, False),
            (90, 90, 0, True),
        ]
        assert [(s.move, s.stage, s.line) for s in plan.paths[0].spans] == [
            (Move.SEW, "seams", 1),
            (Move.SEW, "detail", 2),
        ]

    def test_a_closed_path_is_turned_to_end_where_the_next_stage_runs_on(self):
        """Two seam loops and a long fill line from the far side of the second one, which ends there although
        the lift from the first would be shorter to its near side."""
        loops = [line((x, 0), (x + 80, 0), (x + 80, 80), (x, 80), (x, 0)) for x in (0, 200)]
        drawing = Drawing.from_lines([*loops, line((280, 40), (900, 40))], roles=["ditch", "ditch", "fill"])
        plan = make_plan(drawing)
        first, second = plan
        assert first.closed
        assert second.coordinates_mm[0].tolist() == [280, 40]
        assert [span.stage for span in second.spans] == ["seams", "detail"]
        steps = np.hypot(*np.diff(second.coordinates_mm, axis=0).T)
        assert steps.sum() == 320 + 620

    def test_nothing_runs_on_where_lines_lie_apart(self):
        drawing = Drawing.from_lines([line((0, 0), (80, 0)), line((0, 9), (80, 9))], roles=["ditch", "fill"])
        plan = make_plan(drawing)
        assert [job.run_on for job in plan.jobs] == [False, False]
        assert (plan.cost, len(plan), plan.optimal) == (60 + 240, 2, True)


class TestHiddenSeams:
    def test_travel_is_led_along_them(self):
        """Two fill lines, and a hidden seam of 50 mm (1 s) between them: one path, not two."""
        fills = [line((0, 0), (0, 800)), line((50, 0), (50, 800))]
        apart = make_plan(Drawing.from_lines(fills))
        joined = make_plan(Drawing.from_lines(fills, hidden=[line((0, 0), (50, 0))]))
        assert (len(apart), apart.cost, apart.optimal) == (2, 480, True)
        assert (len(joined), joined.cost, joined.optimal) == (1, 241, True)
        assert joined.paths[0].travel_mm == 50

    def test_coming_back_along_a_short_fill_is_cheaper_than_ending_on_it(self):
        """80 mm of fill are 32 s, an end on it 120 s, one in a seam 30 s."""
        drawing = Drawing.from_lines([line((0, 0), (0, 80))], hidden=[line((0, 0), (50, 0))])
        plan = make_plan(drawing)
        assert (plan.cost, plan.optimal, len(plan)) == (30 + 30 + 32, True, 1)

    def test_an_end_is_led_to_where_it_shows_less(self):
        """Fill (120 s an end), a hidden seam of 100 mm (2 s), and basting at the other end of it (15 s)."""
        lines = [line((0, 0), (-800, 0)), line((0, 100), (50, 100))]
        drawing = Drawing.from_lines(lines, roles=["fill", "baste"], hidden=[line((0, 0), (0, 100))])
        plan = make_plan(drawing, schedule=ALL_IN_ONE)
        assert (plan.cost, plan.optimal, len(plan)) == (120 + 2 + 15, True, 1)


def test_progress_is_told_in_seconds_and_can_stop():
    told = []
    plan = make_plan(quilt(2), progress=lambda cost, bound: told.append((cost, bound)) or True)
    assert all(bound <= cost for cost, bound in told)
    assert all(min(cost for cost, _ in told) <= job.cost or job.optimal for job in plan.jobs)
    stopped = make_plan(quilt(2), progress=lambda *_: False)
    assert stopped.bound <= plan.cost <= stopped.cost


def test_a_stopped_plan_is_whole():
    """Every job is asked again; each keeps what it has, and every line is sewn."""
    told = []
    stopped = make_plan(quilt(2), progress=lambda cost, bound: bool(told.append((cost, bound))))
    assert len(told) >= len(stopped.jobs)
    assert check_plan(stopped, quilt(2)) == ()


def test_jobs_are_told_as_they_begin_and_end():
    told = []
    plan = make_plan(
        quilt(2),
        progress=lambda cost, bound: told.append((cost, bound)) is None,
        job_begins=lambda job, number, count: told.append((job.band, job.stage, number, count)),
    )
    begun = [at for at, entry in enumerate(told) if len(entry) == 4]
    assert [told[at] for at in begun] == [(1, "seams", 1, 2), (1, "detail", 2, 2)]
    ends = [told[at - 1] for at in [*begun[1:], len(told)]]
    assert ends == [(job.cost, job.bound) for job in plan.jobs]


def two_far_lines(**changes):
    lines = [line((0, 0), (100, 0)), line((0, 50), (100, 50))]
    network, weights = weighed(Drawing.from_lines(lines, roles=["ditch", "fill"]))
    return Router(network, replace(weights, **{k: v(network) for k, v in changes.items()})), weights


def test_where_no_path_may_end_is_told_to_a_quilter():
    router, weights = two_far_lines(end=lambda n: np.where(n.junctions_mm[:, 1] > 25, -1, 9))
    with pytest.raises(DesignError) as caught:
        router.route(list_jobs(weights, ScheduleSettings()))
    told = caught.value
    assert told.key == "cost.roles.fill.most_times"
    assert told.problem.startswith(
        "line, a line of role fill, cannot be sewn in detail: at x 0.0 mm, y 50.0 mm"
    )
    assert told.remedy.startswith("let it be sewn more times, or ")
    assert isinstance(told.__cause__, NoPlanError)


def test_a_job_without_a_plan_or_a_place_is_told_too(monkeypatch):
    def fails(*_, **__):
        raise PostmanError("no plan was found within the limits on copies; allow more of them (extra)")

    monkeypatch.setattr("stitchpath.planning.solving.solve", fails)
    router, weights = two_far_lines()
    with pytest.raises(DesignError, match=r"^cost.roles: the lines of seams cannot be sewn .* more times$"):
        router.route(list_jobs(weights, ScheduleSettings()))


def test_limits_that_leave_no_plan_are_told_to_a_quilter():
    """Ends only at the middle of a cross of fill that may be sewn once: no path gets back from its tips."""
    drawing = Drawing.from_lines([line((0, 50), (100, 50)), line((50, 0), (50, 100))])
    network, weights = weighed(drawing, cost=CostSettings(roles={"drawn": RoleChange(most_times=1)}))
    middle = (network.junctions_mm == 50).all(axis=1)
    router = Router(network, replace(weights, end=np.where(middle, 9, -1)))
    with pytest.raises(DesignError, match=r"role drawn, cannot be sewn in detail: at x \d+\.0 mm"):
        router.route(list_jobs(weights, ScheduleSettings()))


def test_a_trail_cannot_end_where_it_does_not_pass():
    network, weights = weighed(Drawing.from_lines([line((0, 0), (100, 0)), line((0, 50), (100, 50))]))
    router = Router(network, weights)
    (route,) = router.route(list_jobs(weights, ScheduleSettings()))
    elsewhere = route.trails[1].first
    with pytest.raises(ValueError, match=f"no trail can end at junction {elsewhere}"):
        router._end_at([route.trails[0]], elsewhere, None)


def test_paths_are_ordered_and_turned_so_that_lifts_are_short():
    """Five rows 10 mm apart, typed out of order, all from left to right: to and fro, four short lifts."""
    drawing = Drawing.from_lines([line((0, y), (400, y)) for y in (20, 0, 40, 10, 30)])
    ends = [path.coordinates_mm[[0, -1]] for path in make_plan(drawing)]
    lifts = [float(np.hypot(*(b[0] - a[1]))) for a, b in pairwise(ends)]
    assert lifts == [10, 10, 10, 10]
