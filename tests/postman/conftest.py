"""What tests of the postman share: small networks, and every plan that there is on them."""

import networkx as nx
import numpy as np
import pytest

from stitchpath.postman.model.net import NO_DOORS, make_net
from stitchpath.postman.model.problem import Problem


@pytest.fixture(scope="session")
def every_plan():
    """Return small problems, doors, their networks, and all plans there, (k, m) copies.

    Found by trying all copies, with nothing of the package but what a network is. A third are closed walks,
    a third are trails, a third have doors.
    """
    found = []
    for seed in range(90):
        problem = small_problem(seed, ends=seed % 3 > 0)
        doors = np.flatnonzero(problem.end_cost >= 0) if seed % 3 == 2 else NO_DOORS
        net = make_net(problem, doors=doors)
        plans = plans_of(net)
        found += [(problem, doors, net, plans)] * bool(len(plans))
    assert len(found) > 50
    return found


def small_problem(seed, *, ends):
    """Make three to seven edges on a few vertices: islands, loops, parallels; trails end at two vertices."""
    rng = np.random.default_rng(seed)
    size, count = (int(rng.integers(2, 5)), int(rng.integers(3, 5))) if ends else (5, int(rng.integers(4, 8)))
    tails, heads = rng.integers(0, size, (2, count))
    required = rng.random(count) < 0.4
    required[0] = True
    extra = np.where(rng.random(count) < 0.7, np.where(required, 1, 2), rng.integers(0, 3, count))
    cost = rng.integers(1, 9, count)
    end = np.where(np.arange(size) < 2, rng.integers(1, 9, size), -1) if ends else None
    return Problem(size, tails, heads, cost, required, extra, end)


def plans_of(net):
    """Return all plans; networkx tells whether copies hang together."""
    choices = np.indices(net.most + 1).reshape(len(net.tails), -1).T
    degree = np.zeros((len(choices), net.size), int)
    for edge, (tail, head) in enumerate(zip(net.tails, net.heads, strict=True)):
        degree[:, tail] += choices[:, edge] + net.required[edge]
        degree[:, head] += choices[:, edge] + net.required[edge]
    degree[:, [] if net.hub < 0 else net.hub] = 0
    able = (degree % 2 == 0).all(axis=1) & (choices[:, net.choices].sum(axis=1) <= 1)
    kept = [copies for copies in choices[able] if _hangs_together(net, copies)]
    return np.array(kept, np.int8).reshape(-1, len(net.tails))


def _hangs_together(net, copies):
    graph = nx.Graph()
    graph.add_nodes_from([net.anchor] if net.anchor >= 0 else [])
    taken = net.required | (copies > 0)
    graph.add_edges_from(zip(net.tails[taken].tolist(), net.heads[taken].tolist(), strict=True))
    return nx.is_connected(graph)
