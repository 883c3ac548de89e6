"""The smaller matching problem has the same answers, and large worlds' rebates the same as terminals."""

import numpy as np
import pytest

from stitchpath.postman.graphs import components
from stitchpath.postman.joins import tjoin
from stitchpath.postman.joins.chains import dominated, reduced
from stitchpath.postman.joins.tjoin import min_join, prepare
from stitchpath.postman.model.net import make_net
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.relaxed import end_rebates as rebate
from stitchpath.postman.relaxed.relax import relax
from stitchpath.postman.relaxed.worlds import find_worlds


def chainy(seed):
    """A ring or path with a few chords and some ways out: mostly vertices with two neighbours."""
    rng = np.random.default_rng(seed)
    size = int(rng.integers(2, 40))
    pairs = {(i, (i + 1) % size) for i in range(size - int(rng.integers(2)))}
    pairs |= {tuple(rng.integers(0, size, 2).tolist()) for _ in range(int(rng.integers(8)))}
    pairs = sorted({(min(p), max(p)) for p in pairs if p[0] != p[1]})
    out = np.flatnonzero(rng.random(size) < rng.choice([0.0, 0.15, 0.7]))
    one = np.array([a for a, _ in pairs] + out.tolist(), np.intp)
    other = np.array([b for _, b in pairs] + [-1] * len(out), np.intp)
    weight = rng.integers(1, 60, len(one))
    odd = rng.random(size) < 0.6
    label = components(size, one, other, np.flatnonzero(other >= 0))[1]
    for part in np.unique(label):
        inside = label == part
        if odd[inside].sum() % 2 and not np.isin(out, np.flatnonzero(inside)).any():
            odd[np.flatnonzero(inside)[0]] ^= True
    return one, other, weight, odd


@pytest.mark.parametrize("block", range(10))
def test_a_reduced_problem_has_the_same_answer(block, monkeypatch):
    for seed in range(60 * block, 60 * block + 60):
        one, other, weight, odd = chainy(seed)
        size = len(odd)
        heads = np.where(other < 0, size, other)
        web = prepare(size + 1, one, heads, weight, index=np.arange(len(one)), free=size)
        plain = min_join(web, np.append(odd, False))
        monkeypatch.setattr(tjoin, "_REDUCE_FROM", 0)
        small = min_join(web, np.append(odd, False))
        monkeypatch.undo()
        assert weight[small.edges].sum() == weight[plain.edges].sum(), seed
        assert small.lower.sum() == plain.lower.sum(), seed
        degree = np.bincount(one[small.edges], minlength=size)
        degree += np.bincount(heads[small.edges], minlength=size + 1)[:size]
        assert ((degree & 1).astype(bool) == odd).all(), seed


def test_a_long_chain_becomes_one_edge():
    size = 500
    one, other = np.arange(size - 1), np.arange(1, size)
    odd = np.zeros(size, bool)
    odd[[0, -1]] = True
    small = reduced(one, other, np.full(size - 1, 3), odd)
    assert len(small.one) == 1
    assert small.restored(np.array([True])).all()


@pytest.mark.parametrize("seed", range(20))
def test_dominated_edges_have_a_cheaper_way_round(seed):
    import networkx as nx

    rng = np.random.default_rng(seed)
    graph = nx.gnm_random_graph(30, 80, seed=seed)
    one, other = np.array(graph.edges).T
    weight = rng.integers(1, 50, len(one))
    gone = dominated(30, one, other, weight)
    kept = nx.Graph()
    kept.add_weighted_edges_from(zip(one[~gone], other[~gone], weight[~gone], strict=True))
    assert gone.any()
    for a, b, cost in zip(one[gone], other[gone], weight[gone], strict=True):
        assert nx.dijkstra_path_length(kept, a, b) < cost


def lattice(seed):
    """A world of a lattice whose ends cost alike, with required and optional edges."""
    rng = np.random.default_rng(seed)
    side = 6
    at = np.arange(side * side).reshape(side, side)
    tails = np.concatenate([at[:, :-1].ravel(), at[:-1].ravel()])
    heads = np.concatenate([at[:, 1:].ravel(), at[1:].ravel()])
    required = rng.random(len(tails)) < 0.7
    cost = rng.integers(1, 40, len(tails))
    end = rng.choice([30, 60, 120], side * side)
    extra = np.where(required, 1, 2).astype(np.int8)
    return Problem(side * side, tails, heads, cost, required, extra, end)


@pytest.mark.parametrize("entered", [False, True])
def test_a_rebate_bounds_as_terminals_do(entered, monkeypatch):
    met = 0
    for seed in range(60):
        worlds = find_worlds(make_net(lattice(seed)))
        doors = np.flatnonzero(worlds.touching)[:5] if entered else np.zeros(0, np.intp)
        toll = np.arange(len(doors)) + 7
        true = relax(worlds, doors=doors, toll=toll)
        monkeypatch.setattr(rebate, "_LARGE", 1)
        priced = relax(worlds, doors=doors, toll=toll)
        monkeypatch.undo()
        assert (priced.lower <= true.lower).all(), seed
        met += bool((priced.lower == true.lower).all())
    assert met >= 30


def test_where_no_try_has_ends_enough_terminals_answer(monkeypatch):
    worlds = find_worlds(make_net(lattice(3)))
    true = relax(worlds)
    monkeypatch.setattr(rebate, "_LARGE", 1)
    monkeypatch.setattr(rebate, "_TRIES", 0)
    assert (relax(worlds).lower == true.lower).all()
