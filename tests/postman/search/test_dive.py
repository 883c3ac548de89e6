"""Plans by diving, against an exact program of the tests'."""

import numpy as np
import pytest
from cutting_cases import islands, parts, problems, worsened

from stitchpath.postman.cuts.columns import no_cuts
from stitchpath.postman.cuts.cutting_planes import raise_bound
from stitchpath.postman.model.net import is_plan, make_net, price
from stitchpath.postman.search import dive


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
