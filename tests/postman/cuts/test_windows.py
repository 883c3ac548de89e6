"""Windows: what is said of a part with all else shrunk holds in the whole."""

import numpy as np
from cutting_cases import both, parts, problems
from postman_oracle import even_problem, random_problem
from scipy.sparse import csr_array

from stitchpath.postman.cuts.cut_sets import first_cuts
from stitchpath.postman.cuts.whole_rows import Rows, cut_rows, spread_rows, with_rows
from stitchpath.postman.cuts.windows import Window, windows
from stitchpath.postman.model.net import make_net
from stitchpath.postman.model.problem import Problem


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


def test_a_window_is_the_net_with_all_else_shrunk():
    """Of a path of four edges its third and fourth vertices: two edges lead out, one lies within."""
    path = Problem(5, np.arange(4), np.arange(1, 5), np.arange(1, 5), np.arange(4) == 0, [1, 2, 2, 2], None)
    window = Window.of(make_net(path), np.array([2, 3]))
    assert window.edges.tolist() == [1, 2, 3]
    assert (window.net.tails.tolist(), window.net.heads.tolist()) == ([2, 0, 1], [0, 1, 2])
    assert (window.net.hub, window.net.size, window.net.cost.tolist()) == (2, 3, [2, 3, 4])


def test_nothing_wanted_gives_no_window(every_plan):
    *_, net, _ = every_plan[1]
    assert list(windows(net, np.zeros(net.size, bool), size=3)) == []
    assert list(windows(net, np.arange(net.size) == net.hub, size=3)) == []
