"""The part of the network that each job needs."""

import numpy as np
import pytest
from plans import edge_at, line, weighed

from stitchpath.drawing import Drawing
from stitchpath.planning.part import part_of, usable_part
from stitchpath.planning.sides import whole_sides
from stitchpath.postman.trails.walks import Trail
from stitchpath.settings import CostSettings

SEAM, FILL, FAR, HIDDEN = (
    line((0, 0), (80, 0)),
    line((40, 0), (40, 60)),
    line((200, 0), (200, 50)),
    line((80, 0), (80, 60)),
)
DRAWING = Drawing.from_lines([FILL, SEAM, FAR], roles=["fill", "ditch", "fill"], hidden=[HIDDEN])
LEFT, RIGHT, UP, AWAY, UNSEEN = (20, 0), (60, 0), (40, 30), (200, 25), (80, 30)


@pytest.fixture
def case():
    return weighed(DRAWING)


def numbers(network, *places):
    return sorted(edge_at(network, *place) for place in places)


def part(case, required, sewn=()):
    network, weights = case
    asked, before = np.zeros(len(network.tails), dtype=bool), np.zeros(len(network.tails), dtype=np.int64)
    asked[numbers(network, *required)] = True
    for place, times in sewn:
        before[edge_at(network, *place)] = times
    return usable_part(whole_sides(network), weights, asked, before)


def test_what_was_not_sewn_yet_cannot_be_travelled(case):
    got = part(case, [LEFT])
    assert got.edges.tolist() == numbers(case[0], LEFT)
    assert got.required.tolist() == [True]


def test_hidden_seams_can_be_travelled_from_the_start(case):
    got = part(case, [RIGHT])
    assert got.edges.tolist() == numbers(case[0], RIGHT, UNSEEN)
    assert sorted(zip(got.required.tolist(), got.extra.tolist(), strict=True)) == [(False, 2), (True, 2)]


def test_what_was_sewn_can_be_travelled_where_it_hangs_together_with_what_is_asked(case):
    got = part(case, [UP], sewn=[(LEFT, 1), (RIGHT, 1), (AWAY, 1)])
    assert got.edges.tolist() == numbers(case[0], LEFT, RIGHT, UP, UNSEEN)
    assert got.edges[got.required].tolist() == numbers(case[0], UP)


@pytest.mark.parametrize(("times", "left"), [(1, 2), (2, 2), (3, 1), (4, None), (5, None)])
def test_travel_stays_within_what_is_left_of_the_most_times(case, times, left):
    """A seam may be sewn 4 times; a job adds 2 at most, and an edge that bears no more is absent."""
    network, _ = case
    got = part(case, [UP], sewn=[(LEFT, times), (RIGHT, 1)])
    extra = dict(zip(got.edges.tolist(), got.extra.tolist(), strict=True))
    assert extra.get(edge_at(network, *LEFT)) == left
    assert extra[edge_at(network, *UP)] == 1


def test_a_line_that_may_be_sewn_once_is_required_but_never_travelled():
    cost = CostSettings(roles={"fill": {"most_times": 1}})
    got = part(weighed(DRAWING, cost=cost), [UP])
    assert (got.required.tolist(), got.extra.tolist()) == ([True], [0])


def test_a_part_is_numbered_anew_and_knows_its_numbers_in_the_network(case):
    network, weights = case
    got = part(case, [UP], sewn=[(LEFT, 1), (RIGHT, 1)])
    assert network.tails[got.edges].tolist() == got.junctions[got.tails].tolist()
    assert network.heads[got.edges].tolist() == got.junctions[got.heads].tolist()
    problem = got.problem(weights)
    assert problem.size == len(got.junctions) == 5
    assert problem.cost.tolist() == weights.travel[got.edges].tolist()
    assert problem.end_cost.tolist() == weights.end[got.junctions].tolist()
    assert problem.unit == weights.unit_s
    assert got.own(got.junctions[[1, 3]]).tolist() == [1, 3]
    elsewhere = np.setdiff1d(np.arange(len(network.junctions_mm)), got.junctions)
    assert got.own(elsewhere).size == 0


def test_a_trail_of_a_part_becomes_one_of_the_network(case):
    got = part(case, [AWAY])
    trail = Trail(np.array([0]), np.array([True]), 0, 1)
    whole = got.whole(trail)
    assert whole.edges.tolist() == numbers(case[0], AWAY)
    assert [whole.first, whole.last] == got.junctions.tolist()


@pytest.mark.parametrize("worn", [30, 60, 90])
def test_a_chain_may_be_travelled_as_often_as_that_edge_of_it_which_may_be_least_often(worn):
    """Two lines to sew, and between them a seam in three edges, one of which bears one time more only."""
    seam, *fills = line((0, 0), (90, 0)), *(line((x, 0), (x, 40)) for x in (0, 30, 60, 90))
    network, weights = weighed(Drawing.from_lines([seam, *fills], roles=["ditch", *["fill"] * 4]))
    asked, sewn = np.zeros(len(network.tails), dtype=bool), np.zeros(len(network.tails), dtype=np.int64)
    asked[numbers(network, (0, 20), (90, 20))] = True
    edges = numbers(network, (15, 0), (45, 0), (75, 0))
    sewn[edges] = weights.most[edges] - 2
    sewn[edge_at(network, worn - 15, 0)] += 1
    job = part_of(weights, usable_part(whole_sides(network), weights, asked, sewn), np.zeros(0, np.intp))
    assert job.required.tolist() == [True, True, False]
    assert sorted(job.chain[job.first[2] :].tolist()) == edges
    assert job.extra[2] == 1
