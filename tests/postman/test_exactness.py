"""A thousand small problems against an integer program, at every effort; the program against enumeration.

Never is a bound above the optimum, nor a cost below it, nor `optimal` said of what is not. How often the
optimum is met, and proven, is asserted too, so that a weaker method shows.
"""

import collections
import functools

import networkx as nx
import numpy as np
import pytest
from postman_oracle import (
    enumerated_optimum,
    even_problem,
    one_edge_problem,
    optimum,
    random_candidates,
    random_problem,
    run_on_optimum,
)

from stitchpath.postman.errors import NoPlanError
from stitchpath.postman.solve import solve


def begun(problem, seed):
    return {"start": seed % problem.size}


def run_on(problem, seed):
    return {"candidates": random_candidates(problem, seed)} if (problem.end_cost >= 0).any() else {}


def nothing(problem, seed):
    return {}


FAMILIES = {
    # name: how a problem is made, which options it is solved with, how many
    "any": (random_problem, nothing, 440),
    "connected worlds": (lambda seed: random_problem(seed, hub=True, tame=True), nothing, 100),
    "even islands": (even_problem, nothing, 60),
    "one edge": (one_edge_problem, nothing, 50),
    "closed from a start": (lambda seed: random_problem(seed, hub=False), begun, 50),
    "free start": (lambda seed: random_problem(seed, hub=True), begun, 100),
    "free start, connected worlds": (lambda seed: random_problem(seed, hub=True, tame=True), begun, 50),
    "run on": (lambda seed: random_problem(seed, hub=True), run_on, 100),
    "run on, connected worlds": (lambda seed: random_problem(seed, hub=True, tame=True), run_on, 50),
}
EFFORTS = ("quick", "standard", "proof")
LEAST_MET = {"quick": 0.9, "standard": 1.0, "proof": 1.0}
LEAST_PROVEN = {"quick": 0.25, "standard": 0.8, "proof": 0.9}
PROOF_EACH = 5
"""One in so many is solved at "proof" too, which takes the longest."""


def best_of(problem, options):
    if "candidates" in options:
        return run_on_optimum(problem, options["candidates"])
    return optimum(problem, **options)


def outcome(problem, best, options, effort):
    """Solve, compare with the optimum, and say how it came out."""
    try:
        found = solve(problem, **options, effort=effort)
    except NoPlanError:
        assert best is None
        return "none"
    assert best is not None
    assert found.bound <= best <= found.cost
    assert found.cost == spent(problem, found, options)
    assert found.optimal == (found.cost == found.bound)
    return "proven" if found.optimal else "met" if found.cost == best else "missed"


def spent(problem, found, options):
    """Add up the cost anew."""
    times = problem.required.astype(int) + found.copies
    assert (found.copies >= 0).all()
    assert (found.copies <= problem.extra).all()
    total = int(times @ problem.cost)
    if problem.end_cost is None:
        return total
    assert (problem.end_cost[found.ends > 0] >= 0).all()
    refund = int(problem.end_cost[found.start]) if "candidates" in options and found.start >= 0 else 0
    return total + int(found.ends @ problem.end_cost) - refund


@pytest.mark.parametrize("name", FAMILIES)
def test_against_an_integer_program(name):
    make, choose, count = FAMILIES[name]
    came = {effort: collections.Counter() for effort in EFFORTS}
    for seed in range(count):
        problem = make(seed)
        options = choose(problem, seed)
        best = best_of(problem, options)
        for effort in EFFORTS if seed % PROOF_EACH == 0 else EFFORTS[:2]:
            came[effort][outcome(problem, best, options, effort)] += 1
    print({effort: dict(kinds) for effort, kinds in came.items()})
    for effort, kinds in came.items():
        solved = kinds.total() - kinds["none"]
        assert solved > 0
        assert kinds["proven"] + kinds["met"] >= LEAST_MET[effort] * solved
        assert kinds["proven"] >= (1 if "connected worlds" in name else LEAST_PROVEN[effort]) * solved


def test_there_are_a_thousand():
    assert len(thousand()) == 1000


KINDS = {
    "trail ends": lambda p: p.end_cost is not None,
    "closed": lambda p: p.end_cost is None,
    "ends that differ": lambda p: p.end_cost is not None and len(set(p.end_cost.tolist())) > 1,
    "ends not everywhere": lambda p: p.end_cost is not None and (p.end_cost < 0).any(),
    "ends for nothing": lambda p: p.end_cost is not None and (p.end_cost == 0).any(),
    "no copy allowed": lambda p: (p.extra == 0).any(),
    "one copy of an optional edge": lambda p: (p.extra[~p.required] == 1).any(),
    "two copies of a required edge": lambda p: (p.extra[p.required] == 2).any(),
    "optional vertices": lambda p: p.size > len(set(p.tails[p.required]) | set(p.heads[p.required])),
    "parallel edges": lambda p: len(set(map(frozenset, zip(p.tails, p.heads, strict=True)))) < len(p.tails),
    "self-loops": lambda p: (p.tails == p.heads).any(),
    "zero costs": lambda p: (p.cost == 0).any(),
    "islands all even": lambda p: not odd(p).any() and parts(p) > 1,
    "no odd vertex": lambda p: not odd(p).any(),
    "one edge": lambda p: len(p.tails) == 1,
}  # fmt: skip


def odd(problem):
    ends = np.concatenate([problem.tails[problem.required], problem.heads[problem.required]])
    return np.bincount(ends, minlength=problem.size) % 2 == 1


def parts(problem):
    """Count the required components."""
    graph = nx.Graph()
    graph.add_edges_from(zip(problem.tails[problem.required], problem.heads[problem.required], strict=True))
    return nx.number_connected_components(graph)


@pytest.mark.parametrize("effort", EFFORTS)
def test_running_on_is_never_dearer(effort):
    for seed in range(20):
        problem = random_problem(seed, hub=True)
        if optimum(problem) is not None:
            options = run_on(problem, seed)
            assert solve(problem, **options, effort=effort).cost <= solve(problem, effort=effort).cost


@functools.cache
def thousand():
    return [make(seed) for make, _, count in FAMILIES.values() for seed in range(count)]


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_among_them(kind):
    """Twenty of a kind at least, or nothing was tested."""
    assert sum(bool(KINDS[kind](problem)) for problem in thousand()) >= 20


def combinations(problem):
    return np.prod(problem.extra.astype(float) + 1) * (1 if problem.end_cost is None else 3.0**problem.size)


@pytest.mark.parametrize("first", range(0, 200, 50))
def test_the_integer_program_against_enumeration(first):
    """Where all copies of all edges can be tried one by one, in Python, with and without a start."""
    tried = 0
    for make in (random_problem, even_problem, one_edge_problem):
        for seed in range(first, first + 50):
            problem = make(seed)
            if combinations(problem) <= 400:
                start = seed % problem.size if seed % 3 == 0 else None
                assert optimum(problem, start=start) == enumerated_optimum(problem, start=start)
                tried += 1
    assert tried > 50
