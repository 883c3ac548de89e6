"""What cuts prove, against exact answers: never above them, and equal where the plain bound is exact."""

import networkx as nx
import numpy as np
import pytest
from postman_oracle import optimum, random_problem

from stitchpath.postman import Problem, PromiseError
from stitchpath.postman.proof.cut_bound import AskedGraph, proven_range

MUCH = 10**9


def asked(problem, start=None):
    return AskedGraph(
        problem.size,
        problem.tails,
        problem.heads,
        problem.cost,
        problem.required,
        problem.extra.astype(np.int64),
        problem.end_cost,
        -1 if start is None else start,
    )


def proven(task, cuts=(), *, fine=0, wanted=MUCH, matched=True):
    return proven_range(task, cuts, fine=fine, matched=matched, wanted=wanted)


def invented(task, rng, fine):
    """Invent cuts, at random and around required parts, and multipliers."""
    graph = nx.Graph(list(zip(task.tails[task.required], task.heads[task.required], strict=True)))
    must, parts, cuts = set(graph), [sorted(part) for part in nx.connected_components(graph)], []
    for _ in range(rng.integers(1, 6)):
        inside = set(np.flatnonzero(rng.random(task.size) < rng.choice([0.2, 0.5, 0.8])).tolist())
        if rng.random() < 0.7:
            inside = {node for part in parts if rng.random() < 0.5 for node in part}
        if inside & must and (task.ends is not None or must - inside):
            cuts.append(
                (np.array(sorted(inside)), int(rng.integers(1, 1 + (rng.choice([2, 6, 40]) << fine))))
            )
    return cuts


def cut_problems(count):
    """Yield random problems, and rings apart, some of them with trails, ends dear."""
    for seed in range(count):
        yield random_problem(seed), seed
        rings, rng = parts_apart(seed), np.random.default_rng(seed)
        ends = rng.integers(10, 60, rings.size) if seed % 2 else None
        columns = rings.tails, rings.heads, rings.cost, rings.required, rings.extra
        yield Problem(rings.size, *columns, ends), seed


def test_whatever_the_cuts_no_bound_is_above_the_optimum():
    """Against the integer program of the oracle (HiGHS); often cuts prove more than none do."""
    more = 0
    for problem, seed in cut_problems(150):
        rng = np.random.default_rng(seed)
        start = int(rng.integers(problem.size)) if rng.random() < 0.4 else None
        best = optimum(problem, start=start)
        if best is None:
            continue
        task = asked(problem, start)
        for fine in (0, 1, 3):
            found = proven(task, invented(task, rng, fine), fine=fine).lower
            assert found <= best
            more += found > proven(task).lower
    assert more > 100


def parts_apart(seed):
    """Make rings of required edges, neighbours joined by one or two optional edges: a cut each."""
    rng = np.random.default_rng(seed)
    count, tails, heads, required = int(rng.integers(2, 5)), [], [], []
    for part in range(count):
        own = 3 * part + np.arange(3)
        tails += own.tolist()
        heads += np.roll(own, -1).tolist()
        required += [True] * 3
    for part in range(count - 1):
        for _ in range(rng.integers(1, 3)):
            tails.append(3 * part + int(rng.integers(3)))
            heads.append(3 * part + 3 + int(rng.integers(3)))
            required.append(False)
    cost = rng.integers(1, 20, len(tails))
    required = np.array(required)
    extra = np.where(required, 1, 2)
    return AskedGraph(3 * count, np.array(tails), np.array(heads), cost, required, extra, None, -1)


@pytest.mark.parametrize("seed", range(40))
def test_cuts_prove_a_chain_of_rings_exactly(seed):
    """Each gap must be crossed twice, at the least by its cheapest edge; worked out by hand."""
    task = parts_apart(seed)
    cuts, needed = [], int(task.cost[task.required].sum())
    for first in range(3, task.size, 3):
        gap = (np.minimum(task.tails, task.heads) < first) & (np.maximum(task.tails, task.heads) >= first)
        cheapest = int(task.cost[gap].min())
        cuts.append((np.arange(first), cheapest << 4))
        needed += 2 * cheapest
    assert proven(task).lower == int(task.cost[task.required].sum())
    assert proven(task, cuts, fine=4).lower == needed
    halved = [(inside, pay >> 1) for inside, pay in cuts]
    assert proven(task, halved, fine=4).lower == (needed + int(task.cost[task.required].sum())) / 2


@pytest.mark.parametrize("first", range(0, 200, 50))
def test_without_cuts_it_is_exact_where_parts_are_connected(first):
    """Against the integer program of the oracle; nothing is above, and nothing below."""
    for seed in range(first, first + 50):
        problem = random_problem(seed, hub=True, tame=True)
        start = None if seed % 2 else seed % problem.size
        found = proven(asked(problem, start))
        assert found.lower == optimum(problem, start=start) <= found.upper


def test_a_way_out_over_an_edge_begun_with_is_not_paid_twice():
    """From the only end, at 7, over a way of 3 to an edge of 1, and all the way back: 22, worked out by hand.

    The cut pays 5 for each crossing, so that the way costs -2, and is begun with twice.
    """
    ends = np.array([7, -1, -1])
    columns = np.array([0, 1]), np.array([1, 2]), np.array([3, 1]), np.array([False, True]), np.array([2, 1])
    task = AskedGraph(3, *columns, ends, -1)
    assert proven(task).lower == 22
    assert proven(task, [(np.array([1, 2]), 5)], wanted=0).lower <= 22
    assert max(proven(task, [(np.array([1, 2]), pay)]).lower for pay in range(1, 20)) == 22


def test_a_start_out_of_reach_leaves_by_its_cheapest_way():
    """From the start over a way of 1 to an end of 4, elsewhere an edge of 2 with ends of 3: 5 + 8 by hand."""
    columns = np.array([0, 2]), np.array([1, 3]), np.array([1, 2]), np.array([False, True]), np.array([2, 1])
    task = AskedGraph(4, *columns, np.array([-1, 4, 3, 3]), 0)
    assert proven(task).lower == 13
    for pay in range(1, 12):
        for inside in ([0], [0, 2, 3], [0, 1], [1, 2, 3]):
            assert proven(task, [(np.array(inside), pay)]).lower == 13


def test_no_more_is_computed_than_is_wanted():
    task = parts_apart(3)
    firsts = int(task.cost[task.required].sum())
    cuts = [(np.arange(3), 1)]
    assert proven(task, cuts, wanted=firsts).lower == firsts + 2
    assert proven(task, cuts, wanted=firsts + 2) == proven(task, cuts, wanted=firsts)


@pytest.mark.parametrize("matched", [True, False])
def test_a_large_one_out_of_time_is_bounded_all_the_same(matched, monkeypatch):
    monkeypatch.setattr("stitchpath.postman.proof.cut_bound._MANY", 1)
    for seed in range(60):
        problem = random_problem(seed)
        best = optimum(problem)
        if best is not None:
            found = proven(asked(problem), matched=matched)
            firsts = int(problem.cost[problem.required].sum())
            assert firsts <= found.lower <= best
            assert matched or problem.required.sum() == 0 or found.upper >= best


@pytest.mark.parametrize(
    ("cuts", "fine", "words"),
    [
        ([(np.arange(3), -4)], 0, "cut 0 has the multiplier -4, which is no whole number above 0"),
        ([(np.arange(3), 0)], 0, "multiplier 0"),
        ([(np.arange(3), 1.5)], 0, "multiplier 1.5"),
        ([(np.arange(3), 1), (np.arange(6), 1)], 0, "cut 1 parts nothing"),
        ([(np.arange(0), 1)], 0, "cut 0 parts nothing"),
        ([(np.arange(3), 1)], -1, r"2\*\*-1 fine units"),
        ([(np.arange(3), 1)], 52, "too many to be exact"),
        ([(np.arange(3), 2**53)], 0, "too many to be exact"),
    ],
)
def test_what_is_no_cut_proves_nothing(cuts, fine, words):
    ring = np.arange(6), np.array([1, 2, 0, 4, 5, 3])
    tails, heads = np.append(ring[0], 0), np.append(ring[1], 3)
    required = np.arange(7) < 6
    task = AskedGraph(6, tails, heads, np.full(7, 3), required, np.where(required, 1, 2), None, -1)
    with pytest.raises(PromiseError, match=words):
        proven(task, cuts, fine=fine)
