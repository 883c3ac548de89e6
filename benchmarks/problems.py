"""Postman problems for the benchmarks: published ones, where they are at hand, and grids."""

import networkx as nx
import numpy as np
from numpy.typing import NDArray
from published import rows_of

from stitchpath.postman import Problem

Ints = NDArray[np.intp]

GREATEST_COST = 100
END_COST = 1_000
"""What an end of a trail costs on a grid: about twenty of its edges."""


def published(name: str) -> Problem:
    """Return a published instance: one closed walk."""
    rows = rows_of(name)
    table = {key: np.array([int(row[key]) for row in rows]) for key in ("u", "v", "cost", "required")}
    tails, heads = table["u"] - 1, table["v"] - 1
    required = table["required"] == 1
    size = int(max(tails.max(), heads.max())) + 1
    return Problem(size, tails, heads, table["cost"], required, np.where(required, 1, 2), None)


def grid(side: int, *, block: int = 0, hub: bool = False, seed: int = 0) -> Problem:
    """Return side x side vertices, neighbours joined at costs of 1 to 100, half of the edges required.

    Scattered, each edge is required by the toss of a coin. With a `block`, the edges inside squares of that
    many vertices across are required, as many squares drawn by lot as make up half; no two of them touch, so
    that each is a part of its own. With a `hub` trails end anywhere at `END_COST`.
    """
    rng = np.random.default_rng(seed)
    at = np.arange(side * side).reshape(side, side)
    tails = np.concatenate([at[:, :-1].ravel(), at[:-1].ravel()])
    heads = np.concatenate([at[:, 1:].ravel(), at[1:].ravel()])
    cost = rng.integers(1, GREATEST_COST + 1, len(tails))
    required = _in_blocks(side, block, tails, heads, rng) if block else rng.random(len(tails)) < 0.5
    ends = np.full(side * side, END_COST) if hub else None
    return Problem(side * side, tails, heads, cost, required, np.where(required, 1, 2), ends)


def _in_blocks(
    side: int, block: int, tails: Ints, heads: Ints, rng: np.random.Generator
) -> NDArray[np.bool_]:
    across = -(-side // block)
    square, other = (ends // side // block * across + ends % side // block for ends in (tails, heads))
    inside = np.where(square == other, square, -1)
    lot = rng.permutation(across * across)
    edges = np.cumsum(np.bincount(square[inside >= 0], minlength=across * across)[lot])
    return np.isin(inside, lot[: 1 + int(np.searchsorted(edges, len(tails) / 2))])


def graph_of(problem: Problem) -> nx.Graph:
    """Return a problem without parallel edges as `rural_postman` takes it."""
    graph = nx.Graph()
    graph.add_nodes_from(range(problem.size))
    ends, costs = (problem.tails.tolist(), problem.heads.tolist()), problem.cost.tolist()
    for u, v, cost, required in zip(*ends, costs, problem.required.tolist(), strict=True):
        graph.add_edge(u, v, cost=cost, required=required)
    return graph
