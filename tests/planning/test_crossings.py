"""Crossings counted against every choice of sides, and paid for by the job that makes them."""

from itertools import pairwise, product

import networkx as nx
import numpy as np
import pytest
from plans import ALL_IN_ONE, line
from sided_tops import sided, sided_top

from stitchpath.drawing import Drawing
from stitchpath.planner import make_plan
from stitchpath.planning.crossings import CrossingCounter
from stitchpath.settings import CostSettings


def around(network, faces, junction):
    """The faces at a junction, and steps across one seam from one to the next."""
    graph = nx.Graph()
    for edge in np.flatnonzero((network.tails == junction) | (network.heads == junction)):
        one, other = int(faces.one[edge]), int(faces.other[edge])
        graph.add_node(one)
        if other >= 0:
            graph.add_edge(one, other)
    return dict(nx.all_pairs_shortest_path_length(graph))


def fewest(network, faces, edges, at, free):
    """Try every side of every edge that belongs to a block."""
    best = 0
    for run in np.split(np.arange(len(edges)), np.flatnonzero(free)):
        own = [i for i in run if not free[i]]
        sides = [[int(f) for f in (faces.one[edges[i]], faces.other[edges[i]]) if f >= 0] for i in own]
        steps = [around(network, faces, at[i]) for i in own]
        best += min(
            sum(steps[i + 1][a][b] for i, (a, b) in enumerate(pairwise(choice))) for choice in product(*sides)
        )
    return best


def walk(network, rng, length):
    """A walk anywhere, from edge to edge."""
    here, edges, at = int(rng.integers(len(network.junctions_mm))), [], []
    for _ in range(length):
        leaving = np.flatnonzero((network.tails == here) | (network.heads == here))
        edge = int(rng.choice(leaving))
        edges.append(edge)
        at.append(here)
        here = int(network.tails[edge] + network.heads[edge] - here)
    return np.array(edges), np.array(at)


@pytest.mark.parametrize("seed", range(30))
def test_as_few_crossings_as_any_choice_of_sides_makes(seed):
    network, _, faces, *_ = sided(sided_top(seed, rows=2, columns=3), 2)
    counter, rng, most = CrossingCounter(network, faces), np.random.default_rng(seed), 0
    for _ in range(10):
        edges, at = walk(network, rng, 10)
        free = rng.random(10) < 0.15
        made = counter.along(edges, at, free)
        assert made.tolist() == [fewest(network, faces, edges[:k], at[:k], free[:k]) for k in range(1, 11)]
        most = max(most, int(made[-1]))
    assert most >= 1


def test_from_block_to_block_through_a_point():
    """A line goes on through the corner in which two blocks meet, in the next job."""
    boxes = [line((x, x), (x + 80, x), (x + 80, x + 80), (x, x + 80), (x, x)) for x in (0, 80)]
    lines = [line((9, 9), (80, 80)), line((80, 80), (151, 151))]
    drawing = Drawing.from_lines(lines, roles=["outline", "fill"], hidden=boxes)
    for schedule in (None, ALL_IN_ONE):
        plan = make_plan(drawing, schedule=schedule)
        assert sum(job.crossings for job in plan.jobs) in (1, 2)
        assert plan.bound <= plan.cost


@pytest.mark.parametrize("seed", range(6))
def test_a_plan_pays_for_each_of_its_crossings(seed):
    """The same price in a plan's cost, in its jobs' and in the number they tell."""
    drawing = sided_top(seed)
    plan = make_plan(drawing, cost=CostSettings(leaving_block_s=3.0), effort="quick")
    free = make_plan(drawing, cost=CostSettings(leaving_block_s=0.0), effort="quick")
    assert all(job.crossings >= 0 for job in plan.jobs)
    assert (plan.jobs[0].stage, plan.jobs[0].crossings) == ("seams", 0)
    assert sum(job.cost for job in plan.jobs) == pytest.approx(plan.cost)
    assert free.bound <= plan.cost - 3.0 * sum(job.crossings for job in plan.jobs) + 1e-9
