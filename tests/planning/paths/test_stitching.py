"""Trails become paths: coordinates without a jump, spans without a gap, each line sewn the first time."""

from itertools import pairwise

import numpy as np
import pytest
from plans import ALL_IN_ONE, circle, edge_at, junction_at, line, sew_counts, weighed

from stitchpath.drawing import Drawing
from stitchpath.plan import Move, RoutedJob, Span
from stitchpath.planner import make_plan
from stitchpath.planning.paths.stitching import stitch
from stitchpath.planning.router import Route
from stitchpath.planning.schedule import Job
from stitchpath.postman.trails.walks import Trail
from stitchpath.settings import MachineSettings, ScheduleSettings

ROLES = ["ditch", "fill", "strip", "outline", "echo"]


def scattered(seed):
    """Straight lines, a bent one and a circle at random, some of them hidden seams."""
    rng = np.random.default_rng(seed)
    shapes = [line(*rng.integers(0, 200, (count, 2)).tolist()) for count in (2, 2, 2, 2, 2, 3, 4)]
    shapes.append(circle(*rng.integers(50, 150, 2), float(rng.integers(20, 50)), count=24))
    hidden = [line(*rng.integers(0, 200, (2, 2)).tolist()) for _ in range(2)]
    return Drawing.from_lines(shapes, roles=[*rng.choice(ROLES, 7).tolist(), "outline"], hidden=hidden)


CASES = [(seed, schedule) for seed in range(8) for schedule in (ScheduleSettings(), ALL_IN_ONE)]


@pytest.mark.parametrize(("seed", "schedule"), CASES)
def test_every_path_of_a_plan(seed, schedule):
    drawing = scattered(seed)
    plan = make_plan(drawing, schedule=schedule)
    network, weights = weighed(drawing, schedule=schedule)
    asked = weights.line >= 0
    for path in plan:
        steps = np.hypot(*np.diff(path.coordinates_mm, axis=0).T)
        assert (steps > 0).all()
        assert (path.spans[0].first, path.spans[-1].last) == (0, len(path.coordinates_mm) - 1)
        assert all(a.last == b.first and a != b for a, b in pairwise(path.spans))
        assert all(span.first < span.last for span in path.spans)
        assert all(span.line is not None for span in path.spans if span.move is Move.SEW)

    counts = sew_counts(plan, network, weights)
    assert (counts[asked] >= 1).all()
    assert (counts <= weights.most).all()
    sewn = sum(path.length_mm - path.travel_mm for path in plan)
    assert sewn == pytest.approx(network.length_mm[asked].sum(), rel=1e-12)
    needle_down = sum(path.length_mm for path in plan)
    assert needle_down == pytest.approx((counts * network.length_mm).sum(), rel=1e-12)


@pytest.mark.parametrize("seed", range(8))
def test_a_line_is_sewn_the_first_time_and_travelled_ever_after(seed):
    plan = make_plan(scattered(seed), machine=MachineSettings(sewn_by="hand"))
    seen = set()
    for path in plan:
        points = [tuple(p) for p in path.coordinates_mm.tolist()]
        for span in path.spans:
            for pair in map(frozenset, pairwise(points[span.first : span.last + 1])):
                assert (span.move is Move.SEW) == (pair not in seen and span.line is not None)
                if span.move is Move.SEW:
                    seen.add(pair)
                assert pair in seen or span.line is None


def test_the_cost_is_that_of_the_ends_of_travel_and_of_crossings():
    """Counted again from the paths alone, to the rounding of each of their parts."""
    for seed in range(8):
        drawing = scattered(seed)
        plan = make_plan(drawing)
        network, weights = weighed(drawing)
        asked = weights.line >= 0
        copies = sew_counts(plan, network, weights) - asked
        ends = [
            junction_at(network, *point) for path in plan for point in path.coordinates_mm[[0, -1]].tolist()
        ]
        crossings = sum(job.crossings for job in plan.jobs)
        whole = int((copies * weights.travel).sum() + weights.end[ends].sum() + crossings * weights.leaving)
        assert plan.cost == whole * weights.unit_s


class TestByHand:
    """A seam of two stretches with a fill line up from its middle; the trails are laid by hand."""

    drawing = Drawing.from_lines(
        [line((0, 0), (80, 0)), line((40, 0), (40, 60))], roles=["ditch", "fill"], threads="grey",
        hidden=[line((80, 0), (80, 60))],
    )  # fmt: skip
    network, weights = weighed(drawing)

    def trail(self, *places):
        """Return a trail through places, by the points it visits in turn: junctions and middles of edges."""
        stops, middles = places[::2], places[1::2]
        ends = [junction_at(self.network, *stop) for stop in stops]
        edges = [edge_at(self.network, *middle) for middle in middles]
        forward = [self.network.tails[e] == v for e, v in zip(edges, ends, strict=False)]
        return Trail(np.array(edges, dtype=np.intp), np.array(forward, dtype=bool), ends[0], ends[-1])

    def route(self, stage, *trails, run_on=False):
        routed = RoutedJob(1, stage, 0.0, 0.0, 0.0, len(trails) - run_on, run_on, 1.0)
        return Route(Job(1, stage, np.empty(0, dtype=np.intp), "grey"), routed, trails)

    def test_one_trail_of_two_lines(self):
        seams = self.trail((0, 0), (20, 0), (40, 0), (60, 0), (80, 0), (60, 0), (40, 0))
        (path,), (walk,) = stitch([self.route("seams", seams)], self.network, self.weights)
        assert path.coordinates_mm.tolist() == [[0, 0], [40, 0], [80, 0], [40, 0]]
        assert path.spans == (Span(Move.SEW, 0, 2, 1, "seams"), Span(Move.TRAVEL, 2, 3, 1, "seams"))
        assert (path.thread, path.band) == ("grey", 1)
        assert walk.tolist() == seams.edges.tolist()

    def test_a_path_that_runs_on_has_spans_of_both_stages(self):
        seams = self.trail((0, 0), (20, 0), (40, 0), (60, 0), (80, 0))
        detail = self.trail((80, 0), (60, 0), (40, 0), (40, 30), (40, 60))
        routes = [self.route("seams", seams), self.route("detail", detail, run_on=True)]
        (path,), _ = stitch(routes, self.network, self.weights)
        assert path.coordinates_mm.tolist() == [[0, 0], [40, 0], [80, 0], [40, 0], [40, 60]]
        assert path.spans == (
            Span(Move.SEW, 0, 2, 1, "seams"),
            Span(Move.TRAVEL, 2, 3, 1, "detail"),
            Span(Move.SEW, 3, 4, 2, "detail"),
        )
        assert path.stage == "seams"

    def test_travel_that_goes_on_into_the_next_stage_is_a_span_of_each(self):
        seams = self.trail((0, 0), (20, 0), (40, 0), (60, 0), (80, 0), (60, 0), (40, 0))
        detail = self.trail((40, 0), (20, 0), (0, 0), (20, 0), (40, 0), (40, 30), (40, 60))
        routes = [self.route("seams", seams), self.route("detail", detail, run_on=True)]
        (path,), _ = stitch(routes, self.network, self.weights)
        assert [(span.move, span.first, span.last, span.stage) for span in path.spans] == [
            (Move.SEW, 0, 2, "seams"),
            (Move.TRAVEL, 2, 3, "seams"),
            (Move.TRAVEL, 3, 5, "detail"),
            (Move.SEW, 5, 6, "detail"),
        ]

    def test_without_a_run_on_there_are_two_and_what_was_sewn_before_is_travel(self):
        seams = self.trail((0, 0), (20, 0), (40, 0), (60, 0), (80, 0))
        detail = self.trail((80, 0), (60, 0), (40, 0), (40, 30), (40, 60))
        paths, walks = stitch(
            [self.route("seams", seams), self.route("detail", detail)], self.network, self.weights
        )
        assert [path.stage for path in paths] == ["seams", "detail"]
        assert paths[1].spans == (Span(Move.TRAVEL, 0, 1, 1, "detail"), Span(Move.SEW, 1, 2, 2, "detail"))
        assert [walk.tolist() for walk in walks] == [seams.edges.tolist(), detail.edges.tolist()]

    def test_a_hidden_seam_is_travel_the_first_time_too_and_names_no_line(self):
        there = self.trail((80, 60), (80, 30), (80, 0), (60, 0), (40, 0))
        (path,), _ = stitch([self.route("seams", there)], self.network, self.weights)
        assert path.spans == (Span(Move.TRAVEL, 0, 1, None, "seams"), Span(Move.SEW, 1, 2, 1, "seams"))
        assert path.travel_mm == 60

    def test_nothing_makes_no_path(self):
        assert stitch([], self.network, self.weights) == ((), ())


def test_two_steps_on_end_are_two_spans():
    """Ovals in one another, steps at one place: the needle goes straight on from ring to ring."""
    rings = [circle(radius=radius) for radius in (30, 40, 50)]
    plan = make_plan(Drawing.from_lines(rings, roles="outline"))
    steps = [span for path in plan for span in path.spans if span.move is Move.STEP]
    assert all((span.last - span.first, span.line) == (1, None) for span in steps)
    assert len(steps) == 2
