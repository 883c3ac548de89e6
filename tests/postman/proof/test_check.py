"""True results pass the check, and no result that was tampered with does."""

from dataclasses import replace
from itertools import pairwise
from types import MappingProxyType

import networkx as nx
import numpy as np
import pytest
from postman_oracle import optimum, random_problem

from stitchpath.postman import NoPlanError, PostmanError, PromiseError, rural_postman, verify
from stitchpath.postman.proof.cut_bound import Range


def graph_of(problem):
    graph = nx.MultiGraph()
    graph.add_nodes_from(range(problem.size))
    columns = zip(problem.tails, problem.heads, problem.cost, problem.required, problem.extra, strict=True)
    for u, v, cost, required, extra in columns:
        graph.add_edge(int(u), int(v), cost=int(cost), required=bool(required), extra=int(extra))
    ends = problem.end_cost
    return graph, None if ends is None else {v: 2 * int(c) for v, c in enumerate(ends) if c >= 0}


def solved(seed):
    """Return a random problem's graph, options, result and optimum; None where there is no solution."""
    problem = random_problem(seed)
    graph, trail_cost = graph_of(problem)
    options = {"trail_cost": trail_cost, "start": seed % problem.size if seed % 3 == 0 else None}
    try:
        result = rural_postman(graph, **options, effort="quick")
    except NoPlanError:
        return None
    return graph, options, result, optimum(problem, start=options["start"])


@pytest.fixture(scope="module")
def results():
    return tuple(found for found in map(solved, range(300)) if found)


def two_pears():
    """Make two rings of required edges of cost 1, five apart: the way between them is taken twice."""
    graph = nx.Graph()
    for names in ("abc", "xyz"):
        nx.add_cycle(graph, names, cost=1, required=True)
    graph.add_edge("c", "x", cost=5, required=False)
    return graph


def certified(**changes):
    """Return their solution, cost 6 + 2 x 5, with the one cut that proves it: it pays 5 for each crossing."""
    found = rural_postman(two_pears(), effort="quick")
    whole = {"bound": 16.0, "optimal": True, "cuts": ((("a", "b", "c"), 5),), "fine": 0, "program": False}
    return replace(found, **(whole | changes))


def koenigsberg():
    """Euler 1736: seven bridges, four odd vertices."""
    graph = nx.MultiGraph()
    bridges = ["AB", "AB", "AC", "AC", "AD", "BD", "CD"]
    graph.add_edges_from((*bridge, {"cost": 10, "required": True}) for bridge in bridges)
    return graph


def test_true_results_pass(results):
    assert len(results) >= 200
    for graph, options, result, best in results:
        checked = verify(graph, result, **options)
        assert (checked.cost, checked.bound) == (result.cost, result.bound)
        assert checked.bound <= checked.proven <= best <= checked.cost
        assert checked.decided
        assert not checked.program


def test_the_cut_proves_what_the_join_cannot():
    assert verify(two_pears(), certified()).proven == 16
    assert verify(two_pears(), certified(cuts=((("x", "y", "z"), 5),))).proven == 16
    assert verify(two_pears(), certified(cuts=((("a", "b", "c"), 10),), fine=1)).proven == 16
    low = certified(cuts=(), bound=6.0, optimal=False)
    assert verify(two_pears(), low).proven == 6


def test_what_rests_on_a_program_says_so():
    checked = verify(two_pears(), certified(cuts=((("a", "b", "c"), 4),), program=True))
    assert (checked.bound, checked.proven, checked.program, checked.decided) == (16, 14, True, True)
    assert not verify(two_pears(), certified(program=True)).program


def with_detour(graph, result, *, extra):
    """Return the result with an edge of so many extra copies walked there and back once more, or None."""
    for number, walk in enumerate(result.walks):
        for at, (_, node, _) in enumerate(walk, 1):
            for u, v, key, data in graph.edges(node, keys=True, data=True):
                step = (u, v, key) if (u, v, key) in result.copies else (v, u, key)
                if data["extra"] == extra and not result.copies[step] and data["cost"]:
                    changed = (*walk[:at], (u, v, key), (v, u, key), *walk[at:])
                    walks = (*result.walks[:number], changed, *result.walks[number + 1 :])
                    copies = MappingProxyType({**result.copies, step: 2})
                    cost = result.cost + 2 * data["cost"]
                    return replace(result, cost=cost, optimal=False, walks=walks, copies=copies)
    return None


def test_more_copies_than_may_be_never_pass(results):
    tried = 0
    for graph, options, result, _ in results:
        worse = with_detour(graph, result, extra=1)
        if worse is not None:
            tried += 1
            with pytest.raises(PromiseError, match=r"is traversed [23] times"):
                verify(graph, worse, **options)
    assert tried > 30


def test_a_bound_above_the_optimum_never_passes(results):
    """The plan is made worse by a detour, which is allowed; the bound, by one too high, is not."""
    tried = 0
    for graph, options, result, best in results:
        worse = with_detour(graph, result, extra=2)
        if worse is None:
            continue
        tried += 1
        assert verify(graph, worse, **options).bound == result.bound
        for bound in (best + 1, worse.cost):
            with pytest.raises(PromiseError, match=r"what it rests on proves \d+\.0 only"):
                verify(graph, replace(worse, bound=float(bound), optimal=bound == worse.cost), **options)
    assert tried > 60


def test_a_bound_above_the_cost_never_passes(results):
    for graph, options, result, _ in results:
        for optimal in (True, False):
            with pytest.raises(PromiseError, match="optimal is"):
                verify(graph, replace(result, bound=result.cost + 1, optimal=optimal), **options)


def wrong_walks(result, rng):
    """Yield the walks with a step left out, one turned round, two steps swapped, one more walked."""
    number = int(rng.choice([n for n, walk in enumerate(result.walks) if walk]))
    walk = result.walks[number]
    at = int(rng.integers(len(walk)))
    u, v, key = walk[at]
    changes = [walk[:at] + walk[at + 1 :], (*walk[:at], (u, v, key), (v, u, key), *walk[at:])]
    if u != v:
        changes.append((*walk[:at], (v, u, key), *walk[at + 1 :]))
    if at and walk[at][:2] != walk[at - 1][:2]:
        changes.append((*walk[: at - 1], walk[at], walk[at - 1], *walk[at + 1 :]))
    for changed in changes:
        yield (*result.walks[:number], changed, *result.walks[number + 1 :])
    yield (*result.walks, walk)
    yield result.walks[:number] + result.walks[number + 1 :]


def test_tampered_walks_never_pass(results):
    """Save for one way: two loops, or there and back, may be walked in either order."""
    tried, passed = 0, 0
    for number, (graph, options, result, _) in enumerate(results):
        for walks in wrong_walks(result, np.random.default_rng(number)):
            tried += 1
            try:
                verify(graph, replace(result, walks=walks), **options)
            except PromiseError:
                continue
            passed += 1
            assert sorted(map(len, walks)) == sorted(map(len, result.walks))
            assert all(one[1] == two[0] for walk in walks for one, two in pairwise(walk))
    assert tried > 700
    assert passed < tried / 20


def test_tampered_numbers_never_pass(results):
    for graph, options, result, _ in results:
        step = next(iter(result.copies))
        more = MappingProxyType({**result.copies, step: result.copies[step] + 1})
        part = MappingProxyType({**result.copies, step: result.copies[step] + 0.5})
        lost = MappingProxyType({**result.copies, ("nowhere", step[1], step[2]): 0})
        for changes in (
            {"cost": result.cost + 1},
            {"cost": float("nan")},
            {"cost": result.cost + 0.25},
            {"bound": result.bound - 0.5},
            {"optimal": not result.optimal},
            {"copies": more},
            {"copies": part},
            {"copies": lost},
            {"unit": 3.0},
            {"unit": -1.0},
            {"unit": float("inf")},
        ):
            with pytest.raises(PromiseError):
                verify(graph, replace(result, **changes), **options)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"cuts": ()}, "the bound is 16.0; what it rests on proves 6.0 only"),
        ({"cuts": ((("a", "b", "c"), 4),)}, "proves 14.0 only"),
        ({"fine": 1}, "proves 11.0 only"),
        ({"cuts": ((("a", "b"), 5),)}, "only"),
        ({"cuts": ((tuple("abcxyz"), 5),)}, "cut 0 parts nothing that must hang together"),
        ({"cuts": (((), 5),)}, "cut 0 parts nothing"),
        ({"cuts": ((("a", "b", "c"), -5),)}, "cut 0 has the multiplier -5"),
        ({"cuts": ((("a", "b", "q"), 5),)}, "'q' is no node of the graph"),
        ({"unit": 8.0}, "the unit 8.0 is too coarse"),
        ({"unit": 2.0**-60}, "too fine to add"),
        ({"cost": 18.0, "bound": 16.0, "optimal": False}, "the walks cost 16.0, not 18.0"),
    ],
)
def test_a_tampered_certificate_is_told(changes, words):
    with pytest.raises(PromiseError, match=words):
        verify(two_pears(), certified(**changes))


def test_a_result_of_another_problem_never_passes():
    town, result = koenigsberg(), rural_postman(koenigsberg(), trail_cost=2, effort="quick")
    assert verify(town, result, trail_cost=2).cost == 74
    others = [
        ({"trail_cost": 4}, r"the walks cost 78\.0"),
        ({}, "not one closed walk"),
        ({"trail_cost": 2, "start": "Z"}, "'Z' is no node"),
        ({"trail_cost": {"A": 2, "B": 2}}, "a trail ends where none may end"),
    ]
    for options, words in others:
        with pytest.raises(PromiseError, match=words):
            verify(town, result, **options)
    town.edges["A", "B", 0]["cost"] = 9
    with pytest.raises(PromiseError, match=r"the walks cost 73\.0, not 74\.0"):
        verify(town, result, trail_cost=2)


def test_trails_begin_where_they_were_to_begin():
    """Ends that cost nothing, so that the sum alone would not tell."""
    town, result = koenigsberg(), rural_postman(koenigsberg(), trail_cost=0, effort="quick")
    begun = {walk[0][0] for walk in result.walks[:1]}
    for start in set("ABCD") - begun:
        with pytest.raises(PromiseError, match="does not begin at the start"):
            verify(town, result, trail_cost=0, start=start)
    with pytest.raises(PromiseError, match="a trail is empty"):
        verify(town, replace(result, walks=(*result.walks, ())), trail_cost=0)


def test_cuts_that_prove_too_much_are_told(monkeypatch):
    monkeypatch.setattr("stitchpath.postman.proof.check.proven_range", lambda *_a, **_k: Range(99, 99))
    with pytest.raises(PromiseError, match=r"the cuts prove 99\.0, above the cost of 16\.0"):
        verify(two_pears(), certified())


def test_costs_that_are_rounded_are_checked_as_rounded():
    rng = np.random.default_rng(4)
    graph = nx.random_regular_graph(3, 20, seed=1)
    for u, v in graph.edges:
        graph.edges[u, v].update(cost=float(10 ** rng.uniform(-6, 9)), required=bool(rng.random() < 0.7))
    result = rural_postman(graph, trail_cost=1e3, effort="quick")
    assert verify(graph, result, trail_cost=1e3).decided
    with pytest.raises(PromiseError, match="too coarse"):
        verify(graph, replace(result, unit=result.unit * 4), trail_cost=1e3)


def test_a_graph_without_costs_is_refused():
    with pytest.raises(PostmanError, match=r"edge \(0, 1, None\) has no cost"):
        verify(nx.Graph([(0, 1)]), certified())


def test_nothing_leaves_unchecked(monkeypatch):
    """A plan that says it is cheaper than it is does not get out."""
    from stitchpath.postman import rural

    solve = rural.solve
    monkeypatch.setattr(rural, "solve", lambda *a, **k: replace(solve(*a, **k), cost=5, bound=5))
    with pytest.raises(PromiseError, match=r"the walks cost 16\.0, not 5\.0"):
        rural_postman(two_pears())
