"""A check of walks by a simpler program than the one that made them: dictionaries and counting."""

from collections import Counter
from collections.abc import Hashable, Sequence
from itertools import pairwise
from typing import Any

from stitchpath.postman.errors import PromiseError
from stitchpath.postman.problem import Problem
from stitchpath.postman.solve import Solution

__all__ = ["verify"]

_Walk = Sequence[tuple[Any, Any, Any]]


def verify(
    problem: Problem,
    found: Solution,
    walks: Sequence[_Walk],
    nodes: dict[Hashable, int],
    steps: Sequence[tuple[Any, Any, Any]],
) -> None:
    """Check that walks are unbroken, traverse what they must within limits, and cost what is said.

    Raises
    ------
    PromiseError
        If they do not.
    """
    if found.bound > found.cost:
        raise PromiseError(f"the bound {found.bound} is above the cost {found.cost}")
    for number, walk in enumerate(walks):
        if any(one[1] != other[0] for one, other in pairwise(walk)):
            raise PromiseError(f"walk {number} is broken")
    spent = _traversals(problem, walks, steps) + _ends(problem, found, walks, nodes)
    if spent != found.cost:
        raise PromiseError(f"the walks cost {spent}, not {found.cost}")


def _traversals(problem: Problem, walks: Sequence[_Walk], steps: Sequence[tuple[Any, Any, Any]]) -> int:
    """Return what the steps cost, each edge within its limits."""
    times = Counter((frozenset((u, v)), key) for walk in walks for u, v, key in walk)
    total, known = 0, 0
    for (u, v, key), cost, required, extra in zip(
        steps, problem.cost.tolist(), problem.required.tolist(), problem.extra.tolist(), strict=True
    ):
        count = times[frozenset((u, v)), key]
        if not required <= count <= required + extra:
            raise PromiseError(f"edge ({u!r}, {v!r}, {key!r}) is traversed {count} times")
        total, known = total + count * cost, known + count
    if known != times.total():
        raise PromiseError("a walk takes an edge that is not in the graph")
    return total


def _ends(problem: Problem, found: Solution, walks: Sequence[_Walk], nodes: dict[Hashable, int]) -> int:
    """Return what the ends cost; the first one at `start` is free."""
    ends = [(nodes[walk[0][0]], nodes[walk[-1][1]]) if walk else (found.start,) * 2 for walk in walks]
    if problem.end_cost is None:
        if len(ends) != 1 or ends[0][0] != ends[0][1] or found.start not in (-1, ends[0][0]):
            raise PromiseError("the walk is not one closed walk from where it was to begin")
        return 0
    paid = [vertex for pair in ends for vertex in pair]
    if found.start >= 0 and paid.pop(0) != found.start:
        raise PromiseError("the first trail does not begin at the start")
    costs = [int(problem.end_cost[vertex]) for vertex in paid]
    if min(costs, default=0) < 0:
        raise PromiseError("a trail ends where none may end")
    return sum(costs)
