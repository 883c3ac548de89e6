"""Cutting planes and the integer program, each alone, against networkx and an exact program of the tests'."""

from dataclasses import replace

import networkx as nx
import numpy as np
import pytest
from cutting_cases import both, first_cost, islands, parts, problems
from postman_oracle import even_problem, optimum, random_candidates, random_problem, run_on_optimum
from scipy.sparse import csr_array

from stitchpath.postman.cuts import zero_half as halves
from stitchpath.postman.cuts.cocircuits import cocircuits
from stitchpath.postman.cuts.columns import Columns, known_cuts, no_cuts
from stitchpath.postman.cuts.cut_sets import (
    CONNECTED,
    Cuts,
    Taken,
    first_cuts,
    flow_graph,
    missed_cuts,
    parting_cuts,
    split,
)
from stitchpath.postman.cuts.cutting_planes import Task, raise_bound, relaxed_at
from stitchpath.postman.cuts.whole_rows import Rows, cut_rows, no_rows, spread_rows, with_rows
from stitchpath.postman.cuts.windows import windows
from stitchpath.postman.cuts.zero_half import half_rows
from stitchpath.postman.model.net import NO_DOORS, is_plan, make_net, price
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.search import dive
from stitchpath.postman.search.core import core_plan, regional_plan
from stitchpath.postman.solve import solve

NEAR = 1e-6


def test_least_cuts_against_networkx():
    for seed in range(60):
        rng = np.random.default_rng(seed)
        size, count = int(rng.integers(2, 9)), int(rng.integers(1, 20))
        tails, heads = rng.integers(0, size, (2, count))
        inner = tails != heads
        tails, heads, flow = tails[inner], heads[inner], rng.integers(1, 9, count)[inner] / 4
        graph = nx.Graph()
        graph.add_nodes_from(range(size))
        for u, v, most in zip(tails.tolist(), heads.tolist(), flow, strict=True):
            graph.add_edge(u, v, capacity=graph.get_edge_data(u, v, {"capacity": 0})["capacity"] + most)
        value, _ = split(flow_graph(size, tails, heads, flow), 0, size - 1)
        assert value == pytest.approx(nx.minimum_cut_value(graph, 0, size - 1))


def test_flows_go_through_indices_that_older_scipy_takes():
    """Before 1.15 `maximum_flow` takes indices of 32 bits only, and others made a traceback of a plan."""
    graph = flow_graph(3, np.array([0, 1, 1]), np.array([1, 2, 2]), np.array([1.0, 0.5, 0.5]))
    assert (graph.indices.dtype, graph.indptr.dtype) == (np.int32, np.int32)
    assert split(graph, 0, 2)[0] == 1.0


def test_cuts_part_answers_from_plans():
    """Every cut found is missed by the fractional answer, and crossed often enough by an optimal plan."""
    found = 0
    for problem, _, copies in problems(150):
        net = make_net(problem)
        first = known_cuts(net, first_cuts(net))
        assert (first.rows @ both(parts(net, copies)) >= first.least).all()
        taken = raise_bound(net, most=10**9, rounds=1).taken
        for cuts in missed_cuts(net, taken) + parting_cuts(net, taken):
            known = no_cuts(net).and_more(net, cuts)
            assert (known.rows @ both(taken) < known.least).all()
            assert (known.rows @ both(parts(net, copies)) >= known.least).all()
            found += len(known.least)
    assert found > 20


def test_cocircuits_part_answers_from_plans():
    found = 0
    for seed, (problem, _, copies) in enumerate(problems(150)):
        net = make_net(problem)
        taken = raise_bound(net, most=10**9, rounds=1).taken
        rng = np.random.default_rng(seed)
        some = Taken(np.clip(taken.single + rng.normal(0, 0.3, len(net.tails)), 0, 1), taken.pair)
        for answer in (taken, some):
            known = cocircuits(net, answer)
            assert (known.rows @ both(answer) < known.least).all()
            assert (known.rows @ both(parts(net, copies)) >= known.least).all()
            found += len(known.least)
    assert found > 20


def test_bounds_are_none_above_an_optimum():
    higher = 0
    for problem, best, _ in problems(150):
        task = Task(problem, None, NO_DOORS)
        plain = raise_bound(task.net, most=best + 5, rounds=60)
        higher_value = raise_bound(task.net, most=best + 5, rounds=60, halves=10)
        assert plain.value <= higher_value.value + NEAR <= best + 2 * NEAR
        for raised in (plain, higher_value):
            assert relaxed_at(task, raised.certificate).bound <= best
        higher += (
            relaxed_at(task, plain.certificate).bound
            > relaxed_at(task, replace(plain.certificate, pay=0 * plain.certificate.pay)).bound
        )
    assert higher > 5


@pytest.mark.parametrize("seed", range(40))
def test_bounds_with_a_start_and_with_doors(seed):
    problem = random_problem(seed, hub=True)
    start = seed % problem.size
    tasks = [(Task(problem, start, NO_DOORS), optimum(problem, start=start))]
    if (problem.end_cost >= 0).any():
        doors = np.unique(random_candidates(problem, seed))
        tasks.append((Task(problem, None, doors), run_on_optimum(problem, doors)))
    for task, best in tasks:
        if best is not None:
            spare = best - first_cost(problem)
            raised = raise_bound(task.net, most=spare + 5, rounds=60, halves=10)
            assert raised.value <= spare + NEAR
            assert relaxed_at(task, raised.certificate).bound <= spare


def test_a_core_of_all_edges_is_exact_and_a_small_one_never_worse():
    better = 0
    for seed, (problem, best, copies) in enumerate(problems(120)):
        net = make_net(problem)
        limits = {"known": no_cuts(net), "nodes": 10_000, "work": 100_000}
        everything = np.ones(len(net.tails), bool)
        whole = core_plan(net, None, free=everything, **limits)
        assert whole.ended
        assert price(net, whole.plan) == best
        worse = worsened(net, copies)
        free = np.random.default_rng(seed).random(len(net.tails)) < 0.5
        for search in (core_plan, lambda *a, **k: regional_plan(*a, **k, goal=-1)):
            some = search(net, worse, free=free, **limits)
            assert is_plan(net, some.plan)
            assert best <= price(net, some.plan) <= price(net, worse)
            assert (some.plan == worse)[~free].all() or price(net, some.plan) < price(net, worse)
        better += price(net, some.plan) < price(net, worse)
    assert better > 10


@pytest.mark.parametrize("sizes", [(1_800,), (6, 9)])
def test_a_dive_is_never_worse_and_mostly_finds_the_best(sizes, monkeypatch):
    """Whole, or window by window beside what the plan takes elsewhere."""
    monkeypatch.setattr(dive, "_SIZES", sizes)
    monkeypatch.setattr(dive, "_FROM", int(sizes[0] == 1_800))
    better = exact = bad = 0
    for problem, best, copies in problems(150):
        net = make_net(problem)
        worse = worsened(net, copies)
        raised = raise_bound(net, most=best + 5, rounds=3)
        plan = dive.dived_plan(net, worse, known=raised.known, taken=raised.taken)
        assert is_plan(net, plan)
        assert best <= price(net, plan) <= price(net, worse)
        if price(net, worse) > best:
            bad += 1
            better += price(net, plan) < price(net, worse)
            exact += price(net, plan) == best
    assert bad > 60
    assert better > 0.9 * bad
    assert exact > 0.8 * bad
    stopped = dive.dived_plan(net, worse, known=raised.known, taken=raised.taken, go_on=lambda: False)
    assert (stopped == worse).all()


def test_a_dive_that_ends_in_a_dearer_plan_is_left(monkeypatch):
    left = 0
    for problem, best, copies in problems(60):
        net = make_net(problem)
        worse = worsened(net, copies)
        monkeypatch.setattr(dive, "_dived_in", lambda *_, worse=worse, **__: worse)
        kept = dive.dived_plan(net, copies, known=no_cuts(net), taken=parts(net, copies))
        assert price(net, kept) == best
        left += price(net, worse) > best
    assert left > 20


def test_dives_of_windows_may_end_trails_anywhere(monkeypatch):
    """Each edge to the hub is free in some window, and no edge that leads out of one."""
    monkeypatch.setattr(dive, "_SIZES", (9,))
    monkeypatch.setattr(dive, "_FROM", 0)
    for seed in range(10):
        net = make_net(islands(seed, end_cost=20))
        free = np.array(list(dive._regions(net)))
        ends = (net.tails == net.hub) | (net.heads == net.hub)
        assert len(free) > 3
        assert free[:, ends].any(axis=0).all()
        for region in free:
            inside = np.unique(np.append(net.tails[region], net.heads[region]))
            assert len(inside) <= 9 + 1


def test_a_dive_runs_on_where_it_pays():
    """From a plan that takes no gate, or a poor one, to the best there is, most times."""
    met = 0
    for seed in range(20):
        problem = islands(seed, end_cost=15)
        side = round(problem.size**0.5)
        doors = np.random.default_rng(seed).permutation(problem.size - 1)[: 2 * side]
        task, doors = Task(problem, None, np.sort(doors)), np.sort(doors)
        best = solve(problem, candidates=doors, effort="proof")
        assert best.optimal
        raised = raise_bound(task.net, most=best.cost - first_cost(problem) + 5, rounds=20)
        for start in (-1, int(doors[0])):
            first = solve(problem, start=None if start < 0 else start, effort="quick")
            plan = np.zeros(len(task.net.tails), np.int8)
            plan[: task.net.asked] = first.copies
            plan[task.net.asked : task.net.choices.start - 1] = first.ends[problem.end_cost >= 0]
            plan[task.net.choices.start + (start >= 0)] = 1
            assert is_plan(task.net, plan)
            assert is_plan(task.net, dive._without_gate(task.net, plan))
            found = dive.dived_plan(task.net, plan, known=raised.known, taken=raised.taken)
            assert is_plan(task.net, found)
            assert best.cost - first_cost(problem) <= price(task.net, found) <= price(task.net, plan)
            met += best.cost - first_cost(problem) == price(task.net, found)
    assert met > 30


def worsened(net, copies):
    """Add pairs to a plan where it stays one."""
    worse = np.minimum(copies + 2 * (np.arange(len(copies)) % 3 == 0), net.extra)
    worse = np.where((copies - worse) % 2 == 0, worse, copies).astype(np.int8)
    return worse if is_plan(net, worse) else copies


def halves_of(problem, rounds, seed=0):
    """What zero-half cuts a linear program's answer misses, as rows of copies, and that answer."""
    net = make_net(problem)
    most = solve(problem, effort="quick").cost - first_cost(problem)
    raised = raise_bound(net, most=most, rounds=rounds)
    rows, least = spread_rows(net, half_rows(net, raised.taken, raised.base, seed=seed))
    return rows.toarray(), least, [both(raised.taken)] * len(least)


def test_rows_in_whole_numbers_say_what_their_cuts_say():
    """Spread over copies they are the rows of crossings, whichever side of a cut they were made of."""
    for problem, _, _ in problems(60):
        net = make_net(problem)
        for cuts in first_cuts(net):
            rows, least = spread_rows(net, cut_rows(net, cuts))
            known = no_cuts(net).and_more(net, cuts)
            able = Columns.of(net, np.ones(len(net.tails), bool))
            assert (able.of_rows(rows).toarray() == able.of_rows(known.rows).toarray()).all()
            assert (least == known.least).all()


@pytest.fixture(params=["whole", "windows"])
def windowed(request, monkeypatch):
    """Whether zero-half cuts are sought in windows also where the whole network would do."""
    if request.param == "windows":
        monkeypatch.setattr(halves, "_MOST_VERTICES", 1)
        monkeypatch.setattr(halves, "_WINDOW", 30)
    return request.param == "windows"


def test_zero_half_cuts_hold_for_every_walk(windowed):
    """The least that copies can come to, by an exact program of its own, is what a cut says, or more."""
    found = tight = 0
    for seed in range(120):
        problem = islands(seed)
        for row, least, taken in zip(*halves_of(problem, rounds=10), strict=True):
            assert row @ taken < least
            if row.min() < 0:
                continue
            single, pair = np.split(row, 2)
            exact = optimum(replace(problem, cost=single), pairs=pair) - int(single[problem.required].sum())
            assert exact >= least
            found += 1
            tight += exact == least
    assert found > (10 if windowed else 15)
    assert tight > 0.9 * found


def test_zero_half_cuts_hold_for_the_cheapest_trails():
    """With ends of trails and limits, none cuts off a plan of least cost, nor lifts a bound above that."""
    found = 0
    for problem, best, copies in problems(160):
        rows, least, _ = halves_of(problem, rounds=10)
        assert (rows @ both(parts(make_net(problem), copies)) >= least).all()
        found += len(least)
        raised = raise_bound(make_net(problem), most=best + 5, rounds=60, halves=10)
        assert raised.value <= best + NEAR
    assert found > 10


def test_rows_of_a_window_are_rows_of_the_whole():
    """With or without the equation of what was shrunk, they say of every plan what they say there."""
    shrunk = 0
    for seed, (problem, _, copies) in enumerate(problems(120)):
        net, rng = make_net(problem), np.random.default_rng(seed)
        plan = parts(net, copies)
        first = with_rows(*(cut_rows(net, cuts) for cuts in first_cuts(net)))
        for window in windows(net, np.ones(net.size, bool), size=4):
            own, here = window.net, window.taken(plan)
            width = 2 * len(own.tails) + own.size
            rows = Rows(csr_array(rng.integers(-3, 4, (3, width))), rng.integers(-9, 10, 3))
            inner, back = (spread_rows(*pair) for pair in ((own, rows), (net, window.back(rows))))
            assert (inner[0] @ both(here) - inner[1] == back[0] @ both(plan) - back[1]).all()
            shrunk += rows.entries[:, [-1]].nnz > 0
            known = window.rows(first)
            assert known.entries[:, [-1]].nnz == 0
            there = spread_rows(net, window.back(known))
            assert (there[0] @ both(plan) >= there[1]).all()
    assert shrunk > 100


def test_windows_hold_every_vertex_that_is_wanted():
    for seed in range(20):
        problem = (random_problem, even_problem)[seed % 2](seed)
        net = make_net(problem)
        wanted = np.random.default_rng(seed).random(net.size) < 0.5
        found = list(windows(net, wanted, size=3))
        wanted[net.hub if net.hub >= 0 else []] = False
        assert set(np.flatnonzero(wanted)) <= {v for window in found for v in window.vertices.tolist()}
        assert all(len(window.vertices) <= 3 for window in found)


def test_zero_half_cuts_hold_for_good_trails(windowed):
    """None cuts off a plan that costs little more than the least, where trails may end everywhere."""
    found = 0
    for seed in range(20):
        problem = islands(seed, end_cost=20)
        rows, least, _ = halves_of(problem, rounds=30)
        answer = solve(problem)
        plan = parts(make_net(problem), np.append(answer.copies, answer.ends))
        assert (rows @ both(plan) >= least).all()
        found += len(least)
    assert found > (1 if windowed else 5)


def test_a_walk_that_would_have_to_come_back_costs_what_it_does():
    """Two required edges u-v and two islands on a way from v to u: passing once leaves u and v odd."""
    tails, heads = np.array([0, 0, 1, 2, 1, 2, 3]), np.array([3, 3, 1, 2, 0, 1, 2])
    required = np.array([True] * 4 + [False] * 3)
    problem = Problem(4, tails, heads, np.ones(7, int), required, np.where(required, 1, 2), None)
    net = make_net(problem)
    assert raise_bound(net, most=9, rounds=50).value == pytest.approx(3)
    islands_both = cut_rows(net, Cuts(np.array([0, 1, 1, 0]), np.array([1]), CONNECTED))
    assert raise_bound(net, most=9, rounds=50, halves=5, base=islands_both).value == pytest.approx(4)
    assert optimum(problem) - 4 == 4


def test_no_answer_misses_one_where_there_is_nothing_to_reach():
    problem = Problem(2, np.array([0]), np.array([1]), np.array([3]), np.array([True]), np.array([1]), None)
    net = make_net(problem)
    assert len(half_rows(net, Taken(np.zeros(1), np.zeros(1)), no_rows(net)).least) == 0
