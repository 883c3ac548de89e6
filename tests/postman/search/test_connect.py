"""Bounds and plans bettered in turn: what is called proven is proven."""

from cutting_cases import first_cost, islands

from stitchpath.postman.cuts.columns import no_cuts
from stitchpath.postman.cuts.cutting_planes import Task, raise_bound
from stitchpath.postman.model.net import NO_DOORS
from stitchpath.postman.relaxed.outset import make_outset
from stitchpath.postman.search import connect
from stitchpath.postman.search.connect import Held, _searched_in
from stitchpath.postman.search.first_plan import first_plan
from stitchpath.postman.solve import solve


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
    monkeypatch.setattr(connect, "_SMALL_WORK", 1)
    for name in ("_SMALL_ROUNDS", "_SMALL_HALVES"):
        monkeypatch.setattr(connect, name, 1)
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
