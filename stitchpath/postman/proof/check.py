"""A result is checked anew from the graph and the result alone, by a simpler program than made it.

Walks are followed step by step, and their cost is added up; `stitchpath.postman.proof.cut_bound` computes
again what the cuts prove. Of the postman's other code, both use only the T-join.
"""

import math
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.errors import PostmanError, PromiseError
from stitchpath.postman.proof.cut_bound import AskedGraph, proven_range
from stitchpath.postman.proof.smaller_graph import gone_past
from stitchpath.postman.result import Past, Result, Step

__all__ = ["Verified", "verify"]

_MOST_TOTAL = 2**53
"""Whole numbers up to this are exact as floats."""

_LEAST_GREATEST = 2**22
"""Where a unit rounds costs, the greatest has 23 bits in it; what is less shows a unit too coarse."""

_Trails = float | Mapping[Any, float] | None


@dataclass(frozen=True)
class Verified:
    """What a check came to, in the caller's unit.

    Attributes
    ----------
    cost
        What the walks cost, added up again.
    bound
        The bound that was stated.
    proven
        What the cuts and a T-join prove, computed again.
    program
        Whether the bound is above that and rests on a linear or an integer program, which is
        not run again.
    decided
        False where the bound is above that without a program: a matching ran out of time or of range, and
        what it left does not contradict the bound.
    """

    cost: float
    bound: float
    proven: float
    program: bool
    decided: bool


@dataclass(frozen=True)
class _Named:
    """A problem, and the places of its nodes and edges."""

    nodes: dict[Hashable, int]
    steps: dict[Step, int]
    asked: AskedGraph


def verify(
    graph: Any, result: Result, *, trail_cost: _Trails = None, start: Hashable | None = None
) -> Verified:
    """Check a result against the graph that was asked about.

    Parameters
    ----------
    graph, trail_cost, start
        As they were given to `rural_postman`; nothing is taken from the result about them.
    result
        Its result.

    Returns
    -------
    Verified
        What was computed again, and what that leaves open.

    Raises
    ------
    PromiseError
        If the walks are broken or leave something out, if a number is not what it is said to be, or if a
        cut is not valid.
    PostmanError
        If the graph lacks what a problem must have.

    Examples
    --------
    >>> from stitchpath.postman import rural_postman
    >>> import networkx as nx
    >>> round_trip = nx.cycle_graph(3)
    >>> nx.set_edge_attributes(round_trip, {edge: {"cost": 2, "required": True} for edge in round_trip.edges})
    >>> result = rural_postman(round_trip)
    >>> verify(round_trip, result)
    Verified(cost=6.0, bound=6.0, proven=6.0, program=False, decided=True)
    >>> verify(nx.Graph(), result)
    Traceback (most recent call last):
    stitchpath.postman.errors.PromiseError: walk 0 takes (0, 1, None), which is no edge of the graph
    """
    named = _read(graph, result.unit, trail_cost, start)
    unit, cost, bound = result.unit, _whole(result, "cost"), _whole(result, "bound")
    spent = _traversed(named, result) + _ends_paid(named, result.walks)
    if spent != cost:
        raise PromiseError(f"the walks cost {spent * unit}, not {result.cost}")
    if bound > cost or result.optimal != (bound == cost):
        raise PromiseError(
            f"a bound of {result.bound} on a cost of {result.cost}: optimal is {result.optimal}"
        )
    cuts = [
        (np.array([_place(named.nodes, node) for node in inside], np.intp), pay)
        for inside, pay in result.cuts
    ]
    asked = named.asked if result.past is None else _past(named, result.past)
    proven = proven_range(asked, cuts, fine=result.fine, matched=result.matched, wanted=bound)
    if proven.lower > cost:
        raise PromiseError(f"the cuts prove {proven.lower * unit}, above the cost of {result.cost}")
    if bound > proven.upper and not result.program:
        raise PromiseError(f"the bound is {result.bound}; what it rests on proves {proven.lower * unit} only")
    rest = bound > proven.lower
    program = rest and result.program
    return Verified(cost * unit, bound * unit, proven.lower * unit, program, program or not rest)


def _read(graph: Any, unit: float, trail_cost: _Trails, start: Hashable | None) -> _Named:
    nodes = {node: place for place, node in enumerate(graph.nodes)}
    if graph.is_multigraph():
        edges = [((u, v, key), data) for u, v, key, data in graph.edges(keys=True, data=True)]
    else:
        edges = [((u, v, None), data) for u, v, data in graph.edges(data=True)]
    costs = np.array([_attribute(step, data, "cost") for step, data in edges], float)
    required = np.array([_attribute(step, data, "required") for step, data in edges], bool)
    ends = None if trail_cost is None else _end_costs(nodes, trail_cost)
    _check_unit(unit, costs if ends is None else np.append(costs, ends[ends >= 0]))
    asked = AskedGraph(
        size=len(nodes),
        tails=np.array([nodes[u] for (u, _, _), _ in edges], np.intp),
        heads=np.array([nodes[v] for (_, v, _), _ in edges], np.intp),
        cost=np.rint(costs / unit).astype(np.int64),
        required=required,
        extra=np.array([data.get("extra", 2 - bool(data["required"])) for _, data in edges], np.int64),
        ends=None if ends is None else np.where(ends < 0, -1, np.rint(ends / unit)).astype(np.int64),
        start=-1 if start is None else _place(nodes, start),
    )
    return _Named(nodes, {step: place for place, (step, _) in enumerate(edges)}, asked)


def _past(named: _Named, past: Past) -> AskedGraph:
    nodes, place = named.nodes, _place
    left_out = np.array([place(nodes, node) for node in past.nodes], np.intp)
    ways = [(place(nodes, u), place(nodes, v), cost) for u, v, cost in past.ways]
    return gone_past(
        named.asked, left_out, ways, {place(nodes, node): cost for node, cost in past.ends.items()}
    )


def _attribute(step: Step, data: Mapping[str, Any], name: str) -> Any:
    if name not in data:
        remedy = "set the attribute as rural_postman asks for it"
        raise PostmanError(f"edge {step!r} has no {name}", remedy, place=step)
    return data[name]


def _place(nodes: dict[Hashable, int], node: Hashable) -> int:
    if node not in nodes:
        raise PromiseError(f"{node!r} is no node of the graph")
    return nodes[node]


def _end_costs(nodes: dict[Hashable, int], trail_cost: float | Mapping[Any, float]) -> NDArray[np.float64]:
    if not isinstance(trail_cost, Mapping):
        return np.full(len(nodes), trail_cost / 2)
    ends = np.full(len(nodes), -1.0)
    for node, value in trail_cost.items():
        ends[_place(nodes, node)] = value / 2
    return ends


def _check_unit(unit: float, costs: NDArray[np.float64]) -> None:
    """Refuse all but a power of two in which costs are exact, or the greatest has 22 bits at least."""
    if not (math.isfinite(unit) and math.frexp(unit)[0] == 0.5):
        raise PromiseError(f"the unit is {unit}, which is no power of two")
    whole = np.rint(costs / unit)
    if (whole * unit != costs).any() and whole.max() < _LEAST_GREATEST:
        raise PromiseError(f"the unit {unit} is too coarse for these costs")
    if whole.sum() > _MOST_TOTAL:
        raise PromiseError(f"the unit {unit} is too fine to add these costs up exactly")


def _whole(result: Result, name: str) -> int:
    """Return a number of the result in whole units."""
    value = getattr(result, name) / result.unit
    if not (math.isfinite(value) and value == round(value)):
        raise PromiseError(
            f"the {name} is {getattr(result, name)}, which is no multiple of the unit {result.unit}"
        )
    return int(value)


def _edge(named: _Named, step: Step, name: str) -> int:
    u, v, key = step
    place = named.steps.get((u, v, key), named.steps.get((v, u, key)))
    if place is None:
        raise PromiseError(f"{name} {step!r}, which is no edge of the graph")
    return place


def _traversed(named: _Named, result: Result) -> int:
    """Return what the steps of unbroken walks cost, each edge traversed as often as is said."""
    for number, walk in enumerate(result.walks):
        if any(one[1] != other[0] for one, other in pairwise(walk)):
            raise PromiseError(f"walk {number} is broken")
    asked = named.asked
    steps = [
        _edge(named, step, f"walk {number} takes")
        for number, walk in enumerate(result.walks)
        for step in walk
    ]
    times = np.bincount(np.array(steps, np.intp), minlength=len(asked.cost))
    copies = np.zeros(len(asked.cost))
    for step, count in result.copies.items():
        copies[_edge(named, step, "the copies name")] = count
    wrong = (copies < 0) | (copies > asked.extra) | (times != asked.required + copies)
    if wrong.any():
        place = int(wrong.argmax())
        raise PromiseError(f"edge {list(named.steps)[place]!r} is traversed {times[place]} times")
    return int(times @ asked.cost)


def _ends_paid(named: _Named, walks: Sequence[Sequence[Step]]) -> int:
    """Return what the ends cost; the first one at the start is free, and alone may belong to no step."""
    asked, nodes = named.asked, named.nodes
    ends = [(nodes[walk[0][0]], nodes[walk[-1][1]]) if walk else (asked.start,) * 2 for walk in walks]
    if asked.ends is None:
        if len(ends) != 1 or ends[0][0] != ends[0][1] or asked.start not in (-1, ends[0][0]):
            raise PromiseError("the walk is not one closed walk from where it was to begin")
        return 0
    paid = [vertex for pair in ends for vertex in pair]
    if asked.start >= 0 and paid[:1] != [asked.start]:
        raise PromiseError("the first trail does not begin at the start")
    if not all(walks[asked.start >= 0 :]):
        raise PromiseError("a trail is empty")
    costs = asked.ends[paid[asked.start >= 0 :]]
    if (costs < 0).any():
        raise PromiseError("a trail ends where none may end")
    return int(costs.sum())
