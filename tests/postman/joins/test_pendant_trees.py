"""Folded trees against joins of the whole: the same price, parities as asked, and sums that bound."""

import numpy as np
import pytest

from stitchpath.postman import Problem, solve
from stitchpath.postman.graphs import parity
from stitchpath.postman.joins import pendant_trees as pendant
from stitchpath.postman.joins.tjoin import Web, min_join, prepare

NONE = np.zeros(0, np.intp)


def hanging(seed: int) -> tuple[Web, np.ndarray]:
    """Make a random tree or two, now and then edges more, ways out, and up to two vertices beside."""
    rng = np.random.default_rng(seed)
    size = int(rng.integers(2, 14))
    tails = np.arange(1, size)
    heads = (rng.random(size - 1) * tails).astype(int)
    if rng.random() < 0.3:
        tails, heads = np.delete(tails, 0), np.delete(heads, 0)
    more = rng.integers(0, size, (2, int(rng.integers(0, 4)) if rng.random() < 0.5 else 0))
    beside = int(rng.integers(0, 3))
    ways = [np.flatnonzero(rng.random(size) < 0.6) for _ in range(beside)]
    out = np.flatnonzero(rng.random(size) < rng.choice([0.0, 0.7]))
    links = [np.repeat(size + 1 + k, len(way)) for k, way in enumerate(ways)]
    tails = np.concatenate([tails, more[0], out, *ways])
    heads = np.concatenate([heads, more[1], np.full(len(out), size), *links])
    cost = rng.integers(0, 9, len(tails))
    apart = size + 1 + np.arange(beside)
    web = prepare(size + 1 + beside, tails, heads, cost, index=np.arange(len(tails)), free=size, apart=apart)
    odd = np.append(rng.random(size) < 0.6, np.ones(1 + beside, bool))
    odd[size] = False
    return web, odd


def test_folded_trees_cost_what_the_whole_costs(monkeypatch):
    """Trees of whole components, beside which others stand, and such as hang on a ring; ties abound."""
    folded = whole = 0
    for seed in range(200):
        web, odd = hanging(seed)
        try:
            best = min_join(web, odd)
        except ValueError:
            continue
        with monkeypatch.context() as few:
            few.setattr(pendant, "_MANY", 1)
            less = pendant.folded(web, odd)
            join = min_join(web, odd)
        folded += less is not None
        whole += less is not None and not less.odd.any()
        assert web.cost[join.edges].sum() == web.cost[best.edges].sum() == join.lower.sum()
        assert not np.delete(parity(web.size, web.tails, web.heads, join.edges) ^ odd, web.free).any()
        assert join.lower[web.free] == 0
    assert folded > 70
    assert 30 < whole < folded - 15


def test_a_vertex_beside_two_trees_keeps_both_unfolded(monkeypatch):
    """What one of them does there depends on the other."""
    monkeypatch.setattr(pendant, "_MANY", 1)
    tails, heads = np.array([0, 2, 0, 2]), np.array([1, 3, 4, 4])
    web = prepare(5, tails, heads, np.array([3, 3, 1, 1]), index=np.arange(4), apart=np.array([4]))
    odd = np.array([True, False, True, False, False])
    assert pendant.folded(web, odd) is None
    assert min_join(web, odd).edges.tolist() == [False, False, True, True]


@pytest.mark.parametrize("rays", [3_000, 6_000])
def test_a_great_star_is_joined_in_no_time(rays):
    """Matched, 800 rays took 10 s, and twice as many sixteen times as long."""
    star = prepare(
        rays + 1, np.arange(1, rays + 1), np.zeros(rays, int), np.full(rays, 7), index=np.arange(rays)
    )
    assert min_join(star, np.arange(rays + 1) > 0).edges.all()


def test_two_ends_in_a_great_tree_cost_what_all_ends_tried_cost():
    """Ends are dear, so that terminals force two: the two longest rays are walked once, all others twice."""
    rays = 300
    length = np.random.default_rng(5).integers(1, 1000, rays)
    ends = np.arange(1, rays + 1), np.zeros(rays, int)
    every, dear = np.ones(rays, int), np.append(10**6, np.full(rays, 10**4))
    star = Problem(rays + 1, *ends, length, every > 0, every, dear)
    found = solve(star, effort="quick")
    assert found.cost == found.bound == 2 * length.sum() - np.sort(length)[-2:].sum() + 2 * 10**4
