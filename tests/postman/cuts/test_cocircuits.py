"""Cocircuit inequalities, against optimal plans and every plan there is."""

import numpy as np
from cutting_cases import both, parts, problems

from stitchpath.postman.cuts.cocircuits import cocircuits
from stitchpath.postman.cuts.cut_sets import Taken
from stitchpath.postman.cuts.cutting_planes import raise_bound
from stitchpath.postman.graphs import parity
from stitchpath.postman.model.net import make_net


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


def test_they_hold_for_every_plan_there_is(every_plan):
    found = 0
    for seed, (*_, net, plans) in enumerate(every_plan):
        single = np.random.default_rng(seed).choice([0, 0.2, 0.5, 0.9, 1], (4, len(net.tails)))
        for row in np.where(net.extra > 0, single, 0):
            taken = Taken(row, np.zeros(len(row)))
            known = cocircuits(net, taken)
            assert (known.rows @ both(taken) < known.least).all()
            for plan in plans[:: max(1, len(plans) // 40)]:
                assert (known.rows @ both(parts(net, plan)) >= known.least).all()
            found += len(known.least)
    assert found > 200


def test_a_plan_misses_none_and_odd_vertices_are_told(every_plan):
    """A vertex that is odd in whole singles misses its own, whatever else holds."""
    told = 0
    for seed, (*_, net, plans) in enumerate(every_plan):
        for plan in plans[:5]:
            assert len(cocircuits(net, parts(net, plan)).least) == 0
        copies = (np.random.default_rng(seed).random(len(net.tails)) < 0.5) & (net.extra > 0)
        odd = parity(net.size, net.tails, net.heads, net.required.astype(int) + copies)
        odd[[] if net.hub < 0 else net.hub] = False
        near = np.zeros(net.size, bool)
        near[net.tails[net.links]] = near[net.heads[net.links]] = True
        known = cocircuits(net, Taken(copies.astype(float), np.zeros(len(copies))))
        assert len(known.least) >= np.count_nonzero(odd & near)
        told += np.count_nonzero(odd & near)
    assert told > 50
