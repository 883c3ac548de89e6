"""What a linear program begins with, its branches, and the search that follows it."""

from dataclasses import replace

import numpy as np
from cutting_cases import both, first_cost, islands, parts, problems
from postman_oracle import run_on_optimum

from stitchpath.postman.cuts.columns import known_cuts, no_cuts
from stitchpath.postman.cuts.cut_sets import (
    first_cuts,
)
from stitchpath.postman.cuts.cutting_planes import Task, raise_bound
from stitchpath.postman.cuts.cutting_program import Book
from stitchpath.postman.cuts.dead_ends import onward_rows
from stitchpath.postman.cuts.growing import grown_cuts
from stitchpath.postman.cuts.whole_rows import no_rows
from stitchpath.postman.model.net import NO_DOORS, make_net, stripped
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.relaxed.outset import make_outset
from stitchpath.postman.search import connect
from stitchpath.postman.search.connect import Held, _searched_in
from stitchpath.postman.search.first_plan import first_plan
from stitchpath.postman.search.limits import Budget
from stitchpath.postman.solve import solve

NEAR = 1e-6


def test_grown_cuts_hold_for_every_plan_and_raise_what_first_cuts_come_to():
    higher = 0
    for problem, best, copies in problems(150):
        net = make_net(problem)
        grown = known_cuts(net, grown_cuts(net))
        assert (grown.rows @ both(parts(net, copies)) >= grown.least).all()
        values = []
        for cuts in (first_cuts(net), first_cuts(net) + grown_cuts(net)):
            book = Book(net, no_rows(net))
            book.enter_all(cuts)
            values.append(book.solve()[0])
        assert values[0] - NEAR <= values[1] <= best + NEAR
        higher += values[1] > values[0] + NEAR
    assert higher > 40


def test_what_leads_onward_holds_for_every_cheapest_plan():
    """With dead ends stripped; answers of few rounds miss some, and none is left out that is missed."""
    found = 0
    for problem, _, copies in problems(150):
        net = make_net(problem)
        book = Book(net, no_rows(net))
        book.enter_all(first_cuts(net))
        taken = book.solve()[1]
        known = onward_rows(net, taken)
        assert (known.rows @ both(parts(net, stripped(net, copies))) >= known.least).all()
        assert (known.rows @ both(taken) < known.least).all()
        for vertex in np.flatnonzero(~net.must):
            here = net.links[(net.tails[net.links] == vertex) | (net.heads[net.links] == vertex)]
            total = taken.copies[here].sum()
            found += (2 * taken.copies[here] > total + 1e-2).sum()
            assert len(known.least) or (2 * taken.copies[here] <= total + 1e-2).all()
    assert found > 10


def test_half_of_each_of_two_gates_is_no_way_to_run_on():
    """Gates that led to the hub, whose degree is free, would be taken by halves, for 49 less."""
    ends = np.array([0, 1, 2]), np.array([1, 2, 3])
    kind = np.array([True, False, False]), np.array([1, 2, 2])
    problem = Problem(4, *ends, np.array([10, 200, 1]), *kind, np.full(4, 50))
    doors = np.array([2, 3])
    best = run_on_optimum(problem, doors) - first_cost(problem)
    net = Task(problem, None, doors).net
    assert raise_bound(net, most=best + 10, rounds=20).value == best
    assert solve(problem, candidates=doors).cost == best + first_cost(problem)


def run_on_problems(count):
    """Problems on grids with several gates, and what each way of running on costs at least."""
    for seed in range(count):
        problem = islands(seed, end_cost=15)
        side = round(problem.size**0.5)
        doors = int(np.random.default_rng(seed).integers(0, problem.size - side - 1)) + np.array([0, 1, side])
        plans = [solve(problem, start=int(door), effort="proof") for door in doors]
        assert all(plan.optimal for plan in plans)
        yield problem, doors, plans


def test_what_a_program_comes_to_and_leaves_out_holds_for_every_gate():
    """No plan through any gate costs less than the value, nor less than what any edge it takes costs more."""
    apart = reduced = 0
    for problem, doors, plans in run_on_problems(24):
        net = Task(problem, None, doors).net
        raised = raise_bound(net, most=10**9, rounds=8, halves=1)
        costs = [plan.cost - first_cost(problem) - 15 for plan in plans]
        assert raised.value <= min(costs) + NEAR
        for gate, (plan, cost) in enumerate(zip(plans, costs, strict=True)):
            gates = np.arange(len(doors)) == gate
            taken = np.concatenate([plan.copies, plan.ends[problem.end_cost >= 0], [0, 0], gates]) > 0
            assert (raised.value + raised.reduced[taken] <= cost + NEAR).all()
            reduced += (raised.reduced[taken] > NEAR).any()
        apart += max(costs) > min(costs)
    assert reduced > 5
    assert apart > 3


def test_a_search_of_some_edges_proves_nothing():
    """The bound is that of before, whatever it finds; the search of all edges proves the cheapest plan."""
    ended = 0
    for seed in range(12):
        problem = islands(seed, end_cost=15)
        best = solve(problem, effort="proof").cost - first_cost(problem)
        task, outset = Task(problem, None, NO_DOORS), make_outset(problem)
        raised = raise_bound(task.net, most=10**9, rounds=1)
        plan = first_plan(outset.net, outset.relaxed, goal=outset.goal)
        held = Held(outset, plan, outset.goal, raised.known)
        some, _ = _searched_in(task, held, raised, lambda _cost, _bound: True, nodes=20, work=1_500)
        assert some.bound == held.bound
        assert best <= some.cost <= held.cost
        every, found = _searched_in(
            task, some, raised, lambda _cost, _bound: True, nodes=1_000, work=20_000, whole=True
        )
        assert every.bound <= best <= every.cost
        assert every.cost == best or not found.ended
        ended += found.ended and every.bound > held.bound
    assert ended > 5


def test_a_part_that_took_long_is_no_proof_of_the_whole(monkeypatch):
    """The whole is left out then; none but a plan that meets its bound is called the cheapest."""
    monkeypatch.setattr(connect, "SMALL", replace(connect.SMALL, rounds=1, halves=1, work=Budget(1, 1)))
    left = 0
    for seed in range(12):
        problem = islands(seed, end_cost=15)
        task, outset = Task(problem, None, NO_DOORS), make_outset(problem)
        plan = first_plan(outset.net, outset.relaxed, goal=outset.goal)
        held, ended = connect.searched(
            task, Held(outset, plan, outset.goal, no_cuts(outset.net)), lambda _cost, _bound: True
        )
        assert ended == (held.cost == held.bound)
        left += not ended
    assert left > 3
