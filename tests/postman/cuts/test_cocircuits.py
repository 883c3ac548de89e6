"""Cocircuit inequalities, against optimal plans and every plan there is."""

import numpy as np
from cutting_cases import both, parts, problems

from stitchpath.postman.cuts.cocircuits import cocircuits
from stitchpath.postman.cuts.cut_sets import Taken
from stitchpath.postman.cuts.cutting_planes import raise_bound
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
