"""Cuts found window by window: what holds in a window holds in the whole."""

from dataclasses import replace
from importlib import import_module

import numpy as np
import pytest
from cutting_cases import both, first_cost, islands, parts, problems
from postman_oracle import optimum, random_candidates, random_problem, run_on_optimum
from scipy.optimize import linprog

from stitchpath.postman.cuts import window_cuts as module
from stitchpath.postman.cuts.columns import Columns, known_cuts
from stitchpath.postman.cuts.cutting_planes import raise_bound
from stitchpath.postman.cuts.window_cuts import windowed
from stitchpath.postman.cuts.windows import Window, windows
from stitchpath.postman.errors import NoPlanError
from stitchpath.postman.model.net import NO_DOORS, make_net
from stitchpath.postman.search import connect
from stitchpath.postman.solve import solve

NEAR = 1e-6


@pytest.fixture
def small(monkeypatch):
    """Windows so small that small networks have many."""
    monkeypatch.setattr(module, "_SIZE", 8)
    monkeypatch.setattr(module, "_FROM", 0)


def test_cuts_and_rows_of_windows_hold_for_the_cheapest_plans(small):
    cuts = rows = 0
    for problem, _, copies in problems(160):
        net = make_net(problem)
        paid = windowed(net)
        plan = both(parts(net, copies))
        for known in (known_cuts(net, paid.cuts), paid.rows):
            assert (known.rows @ plan >= known.least).all()
        cuts += sum(len(one.chosen) for one in paid.cuts)
        rows += len(paid.rows.least)
    assert cuts > 200
    assert rows > 5


def test_the_whole_begins_where_the_best_window_ended(small):
    """Its first value is no less than any window's: it has that window's rows, and edges cost no less."""
    begun = 0
    for seed in range(20):
        net = make_net(islands(seed))
        paid = windowed(net)
        first = raise_bound(net, most=10**9, rounds=1, begun=paid).value
        ends = [
            raise_bound(window.net, most=10**9, rounds=120, halves=8).value
            for window in windows(net, np.ones(net.size, bool), size=8, overlap=2)
            if module._has_more(window)
        ]
        assert first >= max(ends) - NEAR
        begun += len(ends)
        assert first <= optimum(islands(seed)) - first_cost(islands(seed)) + NEAR
    assert begun > 60


def test_what_is_shrunk_need_not_be_reached_where_nothing_is_required_there():
    """A required edge, and beyond a way to it nothing: a cut there would ask for a walk beyond."""
    net = make_net(islands(0))
    lone = Window.of(net, np.flatnonzero(net.must))
    assert not module._has_more(lone)
    assert module._has_more(Window.of(net, np.flatnonzero(net.must)[1:]))


def test_a_value_rests_on_what_has_a_price_alone():
    """By duality a program of those rows alone comes to the same (by scipy); none is twice."""
    others = 0
    for seed in range(40):
        net = make_net(islands(seed, end_cost=None if seed % 2 else 20))
        raised = raise_bound(net, most=10**9, rounds=60, halves=8)
        columns, cuts = Columns.of(net, np.ones(len(net.tails), bool)), known_cuts(net, raised.paid.cuts)
        known = cuts.and_those(raised.paid.rows)
        rows = columns.of_rows(known.rows).toarray()
        alone = linprog(columns.costs, -rows, -known.least, bounds=(0, 1))
        assert alone.fun == pytest.approx(raised.value, rel=NEAR)
        assert len(np.unique(np.column_stack([rows, known.least]), axis=0)) == len(rows)
        others += len(raised.paid.rows.least)
    assert others > 50


def test_each_cut_comes_once(small):
    """Windows lie one over another, and so do their cuts; sets in one list lie apart."""
    net = make_net(islands(3, end_cost=20))
    seen = set()
    for cuts in windowed(net).cuts:
        for one in cuts.chosen.tolist():
            inside = tuple(np.flatnonzero(cuts.label == one).tolist())
            assert inside
            assert net.hub not in inside
            assert (inside, cuts.least) not in seen
            seen.add((inside, cuts.least))
    assert len(seen) > 20


def test_plans_and_bounds_from_windows_against_an_exact_program(small, monkeypatch):
    """Small networks go the way of large ones here; some run on from doors."""
    monkeypatch.setattr(connect, "FAR", replace(connect.FAR, walks=-1, trails=-1))
    whole = import_module("stitchpath.postman.solve")
    monkeypatch.setattr(whole, "_SMALL", 0)
    monkeypatch.setattr(whole, "_TRAILS_SMALL", 0)
    proven = ran = 0
    for seed in range(80):
        problem = random_problem(seed)
        doors = NO_DOORS if problem.end_cost is None else random_candidates(problem, seed)
        try:
            answer = solve(problem, candidates=doors, effort="standard")
        except NoPlanError:
            continue
        best = run_on_optimum(problem, doors) if len(doors) else optimum(problem)
        assert answer.bound <= best <= answer.cost
        proven += answer.optimal
        ran += answer.start >= 0
    assert proven > 50
    assert ran > 5


def test_stopped_it_gives_nothing(small):
    assert windowed(make_net(islands(0)), go_on=lambda: False) is None
