"""Small rural postman problems, and their exact answers from an integer program (HiGHS through scipy.milp).

It shares nothing with the package but the `Problem` it is asked about. The program itself is held against
plain enumeration of all copies, which shares nothing with it.
"""

import itertools

import networkx as nx
import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from stitchpath.postman.model.problem import Problem


def optimum(problem, *, start=None, pairs=None):
    """Return the least cost, or None where there is no solution.

    pairs: what two copies of each optional edge cost at once, where that is not twice what one does.
    """
    hub, edges = _edges(problem, start)
    if pairs is not None:
        edges = [(u, v, cost, least, min(most, 1), 1) for u, v, cost, least, most, _ in edges]
        ends = zip(problem.tails.tolist(), problem.heads.tolist(), pairs.tolist(), strict=True)
        twice = (problem.extra > 1) & ~problem.required
        edges += [(u, v, cost, 0, 1, 2) for (u, v, cost), able in zip(ends, twice, strict=True) if able]
    cuts = _loose_pieces(problem, hub, edges, np.zeros(len(edges), int), start)
    while True:
        answer = _solve(problem, hub, edges, cuts)
        if answer is None:
            return None
        pieces = _loose_pieces(problem, hub, edges, answer, start)
        if not pieces:
            return int(
                sum(
                    cost * (least + more) for (_, _, cost, least, *_), more in zip(edges, answer, strict=True)
                )
            )
        cuts += pieces


def enumerated_optimum(problem, *, start=None):
    """Return the least cost by trying every number of copies of every edge, or None."""
    hub, edges = _edges(problem, start)
    anchor = start if hub is None else hub
    best = None
    for copies in itertools.product(*(range(most + 1) for *_, most, _ in edges)):
        walked = nx.MultiGraph()
        walked.add_nodes_from([anchor] if anchor is not None else [])
        for (u, v, _, least, *_), more in zip(edges, copies, strict=True):
            walked.add_edges_from([(u, v)] * (least + more))
        if nx.is_connected(walked) and all(d % 2 == 0 for v, d in walked.degree if v != hub):
            cost = sum(
                cost * (least + more) for (_, _, cost, least, *_), more in zip(edges, copies, strict=True)
            )
            best = cost if best is None else min(best, cost)
    return best


def run_on_optimum(problem, candidates):
    """Return the least cost where one candidate, its end already paid, may be run on from."""
    costs = [optimum(problem)]
    for vertex in candidates:
        own = optimum(problem, start=vertex)
        costs.append(None if own is None else own - int(problem.end_cost[vertex]))
    return min((cost for cost in costs if cost is not None), default=None)


def _edges(problem, start):
    """Return each edge's ends, cost, least and most copies, and how often a copy goes along it."""
    edges = [
        (int(u), int(v), int(c), int(r), int(x), 1)
        for u, v, c, r, x in zip(
            problem.tails, problem.heads, problem.cost, problem.required, problem.extra, strict=True
        )
    ]
    if problem.end_cost is None:
        return None, edges
    hub = problem.size
    edges += [(v, hub, int(c), 0, 2, 1) for v, c in enumerate(problem.end_cost) if c >= 0]
    if start is not None:
        edges.append((start, hub, 0, 1, 0, 1))
    return hub, edges


def _solve(problem, hub, edges, cuts):
    size = problem.size + (hub is not None)
    rows = np.zeros((size, len(edges) + size))
    right = np.zeros(size)
    for index, (u, v, _, least, _, times) in enumerate(edges):
        if u != v and times == 1:
            rows[[u, v], index] += 1
            right[[u, v]] -= least
    rows[np.arange(size), len(edges) + np.arange(size)] = -2
    constraints = [LinearConstraint(rows, right, right)]
    for cut in cuts:
        row = np.zeros(len(edges) + size)
        row[cut] = [edges[index][-1] for index in cut]
        constraints.append(LinearConstraint(row, 2, np.inf))
    most = [more for *_, more, _ in edges] + [100] * size
    price = np.array([cost for _, _, cost, *_ in edges] + [0] * size, float)
    found = milp(
        price,
        integrality=np.ones(len(price)),
        bounds=Bounds(0, most),
        constraints=constraints,
        options={"mip_rel_gap": 0, "presolve": False},  # with it, that of SciPy 1.12 misses answers there are
    )
    return None if found.x is None else np.rint(found.x[: len(edges)]).astype(int)


def _loose_pieces(problem, hub, edges, answer, start):
    """Return the cuts around components that hold something required but not all of it."""
    graph = nx.Graph()
    must = {hub} if hub is not None else {start} - {None}
    graph.add_nodes_from(must)
    for (u, v, _, least, *_), more in zip(edges, answer, strict=True):
        if least + more:
            graph.add_edge(u, v)
        if least:
            must |= {u, v}
    pieces = [piece for piece in nx.connected_components(graph) if piece & must]
    if len(pieces) == 1:
        return []
    return [[i for i, (u, v, *_) in enumerate(edges) if (u in piece) != (v in piece)] for piece in pieces]


def random_problem(seed, *, hub=None, tame=False):
    """Make a small problem: islands, parallel edges, self-loops, zero costs, limits.

    hub: whether trails may end; None: as it falls. tame: the required edges of each world are connected, and
    copies are allowed twice on optional edges and once on required ones.
    """
    rng = np.random.default_rng(seed)
    parts = [_part(rng, tame) for _ in range(rng.integers(1, 4) if hub is not False else 1)]
    tails, heads, required, size = [], [], [], 0
    for width, one, other, needed in parts:
        tails += [size + v for v in one]
        heads += [size + v for v in other]
        required += needed
        size += width
    required = np.array(required)
    if not required.any():
        required[0] = True
    cost = rng.integers(0, rng.choice([2, 4, 12]), len(tails))
    extra = np.where(required, rng.integers(1 if tame else 0, 3, len(tails)), 2)
    if not tame and rng.random() < 0.6:
        extra = rng.integers(0, 3, len(tails))
    with_ends = rng.random() < 0.75 if hub is None else hub
    return Problem(size, tails, heads, cost, required, extra, _ends(rng, size, tame) if with_ends else None)


def even_problem(seed):
    """Make islands that are all even, and optional edges between them, with and without trail ends.

    A join needs nothing then: all there is to buy is connection.
    """
    rng = np.random.default_rng(seed)
    tails, heads, firsts, size = [], [], [], 0
    for _ in range(rng.integers(2, 6)):
        width = int(rng.integers(1, 5))
        ring = size + rng.permutation(width)
        tails += ring.tolist()
        heads += np.roll(ring, 1).tolist()
        firsts.append(size)
        size += width
    rings = len(tails)
    size += int(rng.integers(0, 3))
    spare = int(rng.integers(len(firsts), 3 * len(firsts) + 2))
    tails += [*firsts[1:], *rng.integers(0, size, spare).tolist()]
    heads += [*firsts[:-1], *rng.integers(0, size, spare).tolist()]
    required = np.arange(len(tails)) < rings
    cost = rng.integers(0, rng.choice([2, 5, 20]), len(tails))
    extra = np.where(required, 1, 2) if rng.random() < 0.6 else rng.integers(0, 3, len(tails))
    return Problem(size, tails, heads, cost, required, extra, _ends(rng, size, False) if seed % 2 else None)


def one_edge_problem(seed):
    """Make one required edge, perhaps a self-loop, with up to three optional ones beside it."""
    rng = np.random.default_rng(seed)
    size, count = int(rng.integers(1, 4)), int(rng.integers(1, 5))
    required = np.arange(count) == 0
    ends = rng.integers(0, size, (2, count))
    extra = rng.integers(0, 3, count)
    cost = rng.integers(0, 6, count)
    return Problem(size, *ends, cost, required, extra, _ends(rng, size, False) if seed % 2 else None)


def _part(rng, tame):
    size = int(rng.integers(2, 8))
    count = int(rng.integers(1, 2 * size))
    one, other = rng.integers(0, size, count), rng.integers(0, size, count)
    required = rng.random(count) < rng.choice([0.3, 0.6, 1.0])
    if tame:
        graph = nx.MultiGraph()
        graph.add_edges_from((int(u), int(v), i) for i, (u, v) in enumerate(zip(one, other, strict=True)))
        keep = set()
        for piece in nx.connected_components(graph):
            inner = graph.subgraph(piece).edge_subgraph(
                [(u, v, i) for u, v, i in graph.subgraph(piece).edges(keys=True) if required[i]]
            )
            largest = max(
                nx.connected_components(inner), key=lambda part: (len(part), min(part)), default=set()
            )
            keep |= {i for u, v, i in inner.edges(keys=True) if u in largest}
        required = np.array([i in keep for i in range(count)])
    return size, one.tolist(), other.tolist(), required.tolist()


def _ends(rng, size, tame):
    kind = rng.integers(0, 3)
    if kind == 0:
        return np.full(size, rng.integers(0, 12))
    ends = rng.integers(0, 12, size)
    return ends if kind == 1 or tame else np.where(rng.random(size) < 0.3, -1, ends)


def random_candidates(problem, seed):
    """Choose some vertices at which trails may end."""
    rng = np.random.default_rng(seed)
    able = np.flatnonzero(problem.end_cost >= 0)
    return np.sort(rng.choice(able, min(len(able), int(rng.integers(1, 4))), replace=False))


def brute_force_join(size, tails, heads, cost, odd):
    """Return the least cost of a T-join over all subsets of at most 14 edges, or None."""
    best = None
    for taken in itertools.product([0, 1], repeat=len(tails)):
        degree = np.bincount(tails, taken, size) + np.bincount(heads, taken, size)
        if (degree % 2 == odd).all():
            value = int(np.dot(taken, cost))
            best = value if best is None else min(best, value)
    return best
