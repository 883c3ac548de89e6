"""Closed outlines as rounds, and which were sewn in one lap, on drawings small enough to count by hand."""

import numpy as np
import pytest
from plans import circle, edge_at, edges_at, line

from stitchpath.drawing import Drawing
from stitchpath.planner import make_plan
from stitchpath.planning.network import build_network
from stitchpath.planning.outlines import closed_outlines, count_laps, lap_ids, reachable
from stitchpath.settings import ScheduleSettings

SQUARE = line((0, 40), (0, 0), (80, 0), (80, 80), (0, 80), (0, 40))
THROUGH = line((-40, 40), (120, 40))
ALWAYS, FREE = ScheduleSettings(laps="always"), ScheduleSettings(laps="free")


def network_of(shapes, roles):
    return build_network(Drawing.from_lines(shapes, roles=roles))


def chained(network, ring):
    """Whether a ring's edges, in their order, form one closed round."""
    ends = [{int(network.tails[e]), int(network.heads[e])} for e in ring]
    return all(a & b for a, b in zip(ends, ends[1:] + ends[:1], strict=True))


def test_only_closed_outlines_are_rings():
    half = line((200, 0), (280, 0), (280, 80))
    network = network_of([SQUARE, circle(400), half], ["outline", "fill", "outline"])
    (ring,) = closed_outlines(network)
    assert ring.tolist() == edges_at(network, 80, 40)


def test_a_ring_cut_by_lines_is_one_round_in_order():
    cuts = [line((x, -40), (x, 120)) for x in (16, 32, 64)]
    network = network_of([SQUARE, THROUGH, *cuts], ["outline"] + ["fill"] * 4)
    (ring,) = closed_outlines(network)
    assert len(ring) == 8
    assert network.length_mm[ring].sum() == 320
    assert chained(network, ring)


@pytest.mark.parametrize(
    "sewn_before", [line((80, 0), (80, 80)), line((80, 60), (80, 20)), line((40, 80), (0, 80))]
)
def test_a_ring_is_in_order_though_another_line_lies_on_a_part_of_it(sewn_before):
    network = network_of([sewn_before, THROUGH, SQUARE], ["ditch", "fill", "outline"])
    (ring,) = closed_outlines(network)
    assert network.length_mm[ring].sum() == 320
    assert chained(network, ring)


def test_an_edge_is_on_one_ring_only_so_of_two_that_share_an_arc_the_first_is_one():
    beside = line((80, 0), (160, 0), (160, 80), (80, 80), (80, 0))
    network = network_of([SQUARE, beside], "outline")
    (ring,) = closed_outlines(network)
    assert network.length_mm[ring].sum() == 320
    assert edge_at(network, 80, 40) in ring
    other = np.setdiff1d(np.arange(len(network.tails)), ring)
    assert network.length_mm[other].sum() == 240
    assert set(lap_ids([ring], len(network.tails))[other].tolist()) == {-1}


def test_rings_that_share_a_point_are_two():
    network = network_of([circle(0), circle(100, start=180)], "outline")
    rings = closed_outlines(network)
    assert [ring.tolist() for ring in rings] == [[0], [1]]
    assert lap_ids(rings, 2).tolist() == [0, 1]


def test_no_rings_and_no_walks():
    network = build_network(Drawing.from_lines([]))
    assert closed_outlines(network) == ()
    assert lap_ids((), 3).tolist() == [-1, -1, -1]
    laps = count_laps(network, (), [])
    assert (laps.touched, laps.in_one_lap) == (0, 0)


def test_a_ring_is_reachable_where_another_required_line_ends_at_it():
    network = network_of([SQUARE, THROUGH, circle(400)], ["outline", "fill", "outline"])
    rings = closed_outlines(network)
    required = np.ones(len(network.tails), dtype=bool)
    assert reachable(network, rings, required).tolist() == [True, False]
    required[[edge_at(network, x, 40) for x in (-20, 40, 100)]] = False
    assert reachable(network, rings, required).tolist() == [False, False]


@pytest.mark.parametrize(
    "ends", [((-40, 40), (0, 40)), ((0, 40), (-40, 40)), ((80, 40), (160, 0)), ((160, 0), (80, 40))]
)
def test_a_ring_is_reached_by_either_end_of_a_line(ends):
    network = network_of([SQUARE, line(*ends)], ["outline", "fill"])
    rings = closed_outlines(network)
    assert reachable(network, rings, np.ones(len(network.tails), dtype=bool)).tolist() == [True]


class TestCountedByHand:
    """A square crossed by a line at its middle: two halves, a and b, and three pieces of the line."""

    network = network_of([SQUARE, THROUGH], ["outline", "fill"])
    rings = closed_outlines(network)
    into, inside, out = edge_at(network, -20, 40), edge_at(network, 40, 40), edge_at(network, 100, 40)
    upper, lower = edge_at(network, 40, 0), edge_at(network, 40, 80)

    @pytest.mark.parametrize(
        ("walks", "whole"),
        [
            ([["into", "upper", "lower", "inside", "out"]], 1),
            ([["into", "inside", "lower", "upper", "out"]], 1),
            ([["into", "upper", "inside", "lower", "out"]], 0),
            ([["into", "upper"], ["lower", "inside"], ["out"]], 0),
            ([["into", "upper", "lower"], ["inside", "out"]], 1),
            ([["upper", "upper", "lower", "inside"], ["into", "out"]], 0),
            ([["upper", "lower", "upper", "inside"], ["into", "out"]], 1),
            ([["upper", "inside"], ["upper", "lower"]], 0),
        ],
        ids=["at once", "later", "broken", "two paths", "then cut", "retraced", "and travel", "half before"],
    )
    def test_walks(self, walks, whole):
        named = [np.array([getattr(self, name) for name in walk]) for walk in walks]
        laps = count_laps(self.network, self.rings, named)
        assert (laps.touched, laps.in_one_lap) == (1, whole)

    def test_one_that_nothing_touches_is_not_counted(self):
        network = network_of([SQUARE], "outline")
        laps = count_laps(network, closed_outlines(network), [np.array([0])])
        assert (laps.touched, laps.in_one_lap) == (0, 0)


@pytest.mark.parametrize(
    ("shapes", "roles", "touched", "in_one_lap"),
    [
        ([circle(), line((-90, 0), (90, 0)), line((0, -90), (0, 90))], ["outline", "ditch", "ditch"], 1, 1),
        ([circle(), circle(100, start=180)], "outline", 2, 2),
        ([SQUARE, line((80, 0), (160, 0), (160, 80), (80, 80), (80, 0))], "outline", 1, 1),
        ([circle(), circle(300)], "outline", 0, 0),
    ],
    ids=["crossed by seams", "tangent", "sharing an arc", "alone"],
)
def test_plans_sew_outlines_in_one_lap_where_it_is_free(shapes, roles, touched, in_one_lap):
    free = ScheduleSettings(stages="all in one", laps="free")
    plan = make_plan(Drawing.from_lines(shapes, roles=roles), schedule=free)
    assert (plan.laps.touched, plan.laps.in_one_lap) == (touched, in_one_lap)


def orchard(seed):
    """Ovals on a grid of strips that cross them, at random."""
    rng = np.random.default_rng(seed)
    ovals = [
        circle(100 * i, 100 * j, rng.integers(20, 45), start=float(rng.integers(360)))
        for i in range(3)
        for j in range(2)
    ]
    lines = [line((-60, y), (260, y)) for y in np.sort(rng.integers(-40, 140, 4)).tolist()]
    lines += [line((x, -60), (x, 160)) for x in np.sort(rng.integers(-40, 240, 4)).tolist()]
    roles = ["outline"] * len(ovals) + rng.choice(["fill", "strip"], len(lines)).tolist()
    return Drawing.from_lines([*ovals, *lines], roles=roles)


@pytest.mark.parametrize("seed", range(12))
def test_free_laps_cost_nothing(seed, monkeypatch):
    """The same drawing planned with no outline taken out at all: not a unit cheaper."""
    drawing = orchard(seed)
    free = make_plan(drawing, schedule=FREE)
    monkeypatch.setattr(
        "stitchpath.planning.router.loose_laps", lambda *, laps, **_: np.zeros(laps.max() + 1, dtype=bool)
    )
    plain = make_plan(drawing, schedule=FREE)
    assert free.cost == plain.cost
    assert free.bound == plain.bound
    assert len(free) == len(plain)
    assert free.laps.in_one_lap >= plain.laps.in_one_lap


@pytest.mark.parametrize("seed", range(12))
def test_always_means_every_outline_that_another_line_reaches(seed):
    drawing = orchard(seed)
    plan = make_plan(drawing, schedule=ALWAYS)
    network = build_network(drawing)
    rings = closed_outlines(network)
    near = reachable(network, rings, np.ones(len(network.tails), dtype=bool))
    assert plan.laps.touched == near.sum() >= 4
    assert plan.laps.in_one_lap == plan.laps.touched


def test_always_costs_more_where_the_outline_alone_holds_a_fill_together():
    """Two loops of fill at either side of a square. Without its first copies, leading from one to the other
    is travel, half round: 160 mm at 50 mm/s, an outline showing 5. Both ends are on the outline either way.
    """
    left = line((0, 40), (-40, 20), (-40, 60), (0, 40))
    right = line((80, 40), (120, 20), (120, 60), (80, 40))
    drawing = Drawing.from_lines([SQUARE, left, right], roles=["outline", "fill", "fill"])
    free, always = (make_plan(drawing, schedule=schedule) for schedule in (FREE, ALWAYS))
    assert (free.cost, free.laps.in_one_lap, len(free)) == (2 * 30 * 2, 0, 1)
    assert (always.cost, always.laps.in_one_lap, len(always)) == (2 * 30 * 2 + 160 / 50 * 5, 1, 1)
    assert free.optimal
