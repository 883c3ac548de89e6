"""`rural_postman`, the public function: a networkx graph in, walks out, checked before they are returned."""

import math
import sys
from collections.abc import Callable, Hashable, Mapping
from itertools import islice
from numbers import Integral, Real
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts.certificate import Certificate
from stitchpath.postman.errors import NoPlanError, PostmanError, brief
from stitchpath.postman.model.problem import Problem, to_whole, whole_unit
from stitchpath.postman.proof.check import verify
from stitchpath.postman.result import Past, Result, Step
from stitchpath.postman.smaller.bypass import Bypassed
from stitchpath.postman.solve import Effort, Solution, solve

__all__ = ["rural_postman"]

_MOST = 1e100
"""The largest number that is accepted; sums of larger ones could overflow."""


def rural_postman(
    graph: Any,
    *,
    trail_cost: float | Mapping[Any, float] | None = None,
    start: Hashable | None = None,
    effort: Effort = "standard",
    seed: int = 0,
    progress: Callable[[float, float], bool] | None = None,
) -> Result:
    """Traverse every required edge at least cost.

    Parameters
    ----------
    graph
        An undirected networkx Graph or MultiGraph. Edge attributes: `cost`, a finite number >= 0; `required`,
        a bool, or 0 or 1; `extra`, the most copies beyond the required traversal: 0, 1 or 2 (by default 1 on
        a required edge, 2 on another).
    trail_cost
        None: one closed walk. A number, or {node: number}: as many trails as pay, where each end costs half
        its node's value, and no trail ends at a node left out.
    start
        A node: the first trail begins there free, or the closed walk begins there.
    effort
        ``"quick"`` buys connection and improves it for a moment; ``"standard"`` also raises the bound and
        searches the most promising edges; ``"proof"`` searches all that matter, within limits that are
        counted: for a thousand edges that may take a minute.
    seed
        Of all that is random. The same input gives the same result.
    progress
        Called with (cost, bound) now and then; if it returns False, the best so far is the result.

    Returns
    -------
    Result
        Frozen, and checked by `verify` against the graph: the walks step by step, and the bound.

    Raises
    ------
    PostmanError
        If the graph is wrong, or has no solution; the message names the place, and so do its attributes.
    PromiseError
        If the result does not pass its check: ours to mend.

    Examples
    --------
    A postman's round through all 15 streets of the Petersen graph takes 20 (Kwan 1962: twice a pairing of the
    odd corners; all ten are odd, and Petersen 1891 proves that five streets pair them):

    >>> import networkx as nx
    >>> town = nx.petersen_graph()
    >>> nx.set_edge_attributes(town, {edge: {"cost": 1, "required": True} for edge in town.edges})
    >>> result = rural_postman(town)
    >>> result.cost, result.optimal, len(result.walks[0])
    (20.0, True, 20)
    >>> rural_postman(nx.Graph())
    Traceback (most recent call last):
    stitchpath.postman.errors.PostmanError: no edge is required, so there is nothing to traverse
    """
    if isinstance(seed, bool) or not isinstance(seed, Integral) or seed < 0:
        remedy = "write a whole number from 0 up"
        raise PostmanError(f"{brief(seed)} is no seed", remedy, place="seed", value=seed)
    if progress is not None and not callable(progress):
        remedy = "give a function of cost and bound, or None"
        raise PostmanError(f"{brief(progress)} is no function", remedy, place="progress", value=progress)
    steps = _steps(graph)
    nodes = {node: place for place, node in enumerate(graph.nodes)}
    problem = _problem(graph, nodes, steps, trail_cost)
    place = None if start is None else _place(nodes, start, "start")
    unit = problem.unit
    told = None if progress is None else lambda cost, bound: progress(cost * unit, bound * unit)
    try:
        found = solve(problem, start=place, effort=effort, seed=int(seed), progress=told)
    except NoPlanError as error:
        raise _in_words(error, list(nodes)) from error
    result = _result(problem, found, list(nodes), steps)
    verify(graph, result, trail_cost=trail_cost, start=start)
    return result


def _result(problem: Problem, found: Solution, nodes: list[Hashable], steps: list[Step]) -> Result:
    certificate = found.certificate
    return Result(
        cost=found.cost * problem.unit,
        bound=found.bound * problem.unit,
        optimal=found.optimal,
        walks=_walks(problem, found, nodes, steps),
        unit=problem.unit,
        copies=MappingProxyType(dict(zip(steps, found.copies.tolist(), strict=True))),
        cuts=_cuts(certificate, nodes),
        past=None if certificate.smaller is None else _past(problem, certificate.smaller, nodes),
        fine=certificate.fine,
        program=certificate.program,
        matched=found.matched,
    )


def _cuts(certificate: Certificate, nodes: list[Hashable]) -> tuple[tuple[tuple[Hashable, ...], int], ...]:
    members = certificate.members
    if certificate.smaller is not None:
        members = certificate.smaller.vertices[members]
    order = np.lexsort((members, certificate.cut))
    parts = np.split(members[order], np.bincount(certificate.cut).cumsum()[:-1])
    return tuple(
        (tuple(nodes[vertex] for vertex in part.tolist()), pay)
        for part, pay in zip(parts, certificate.pay.tolist(), strict=False)
    )


def _past(problem: Problem, smaller: Bypassed, nodes: list[Hashable]) -> Past:
    """Return the nodes left out, by name, and the ways past them."""
    less, named = smaller.problem, [nodes[vertex] for vertex in smaller.vertices.tolist()]
    free = np.flatnonzero(~less.required & (less.extra > 1))
    ends = less.tails[free].tolist(), less.heads[free].tolist(), less.cost[free].tolist()
    changed: dict[Hashable, int] = {}
    if less.end_cost is not None and problem.end_cost is not None:
        cheaper = np.flatnonzero(less.end_cost != problem.end_cost[smaller.vertices]).tolist()
        changed = {named[vertex]: int(less.end_cost[vertex]) for vertex in cheaper}
    return Past(
        nodes=tuple(
            nodes[vertex] for vertex in np.setdiff1d(np.arange(problem.size), smaller.vertices).tolist()
        ),
        ways=tuple((named[u], named[v], cost) for u, v, cost in zip(*ends, strict=True)),
        ends=MappingProxyType(changed),
    )


def _steps(graph: Any) -> list[Step]:
    """List the edges, key None in a simple graph."""
    from networkx import Graph

    if not isinstance(graph, Graph):
        remedy = "give a networkx Graph or MultiGraph"
        raise PostmanError(f"{brief(graph)} is no graph", remedy, place="graph", value=graph)
    if graph.is_directed():
        raise PostmanError("the graph is directed", "give an undirected Graph or MultiGraph", place="graph")
    if graph.is_multigraph():
        return list(graph.edges(keys=True))
    return [(u, v, None) for u, v in graph.edges]


def _place(nodes: dict[Hashable, int], node: Hashable, name: str) -> int:
    if not isinstance(node, Hashable) or node not in nodes:
        few = ", ".join(map(repr, islice(nodes, 3)))
        problem = f"{name} names {brief(node)}, which is no node of the graph"
        raise PostmanError(problem, f"write one such as {few}", place=name, value=node)
    return nodes[node]


def _problem(
    graph: Any, nodes: dict[Hashable, int], steps: list[Step], trail_cost: float | Mapping[Any, float] | None
) -> Problem:
    data = [entry for *_, entry in graph.edges(data=True)]
    costs = np.array([_cost(step, entry) for step, entry in zip(steps, data, strict=True)], float)
    required = np.array([_required(step, entry) for step, entry in zip(steps, data, strict=True)], bool)
    most = np.where(required, 1, 2).tolist()
    extra = np.array([_extra(*each) for each in zip(steps, data, most, strict=True)], np.int8)
    ends = None if trail_cost is None else _end_costs(nodes, trail_cost)
    unit = whole_unit(costs if ends is None else np.concatenate([costs, ends[ends >= 0]]))
    whole = None if ends is None else np.where(ends >= 0, to_whole(np.maximum(ends, 0), unit), -1)
    tails = np.array([nodes[u] for u, _, _ in steps], np.intp)
    heads = np.array([nodes[v] for _, v, _ in steps], np.intp)
    return Problem(len(nodes), tails, heads, to_whole(costs, unit), required, extra, whole, unit)


def _named(step: Step) -> str:
    u, v, key = step
    return f"edge ({u!r}, {v!r})" if key is None else f"edge ({u!r}, {v!r}, {key!r})"


def _cost(step: Step, data: Mapping[str, Any]) -> float:
    if "cost" not in data:
        raise PostmanError(f"{_named(step)} has no cost", "set the attribute to a number >= 0", place=step)
    return _number(data["cost"], f"the cost of {_named(step)}", step)


def _number(value: Any, name: str, place: Hashable) -> float:
    if isinstance(value, bool | np.bool_) or not isinstance(value, Real):
        raise PostmanError(f"{name} is {brief(value)}", "it must be a number", place=place, value=value)
    try:
        number = float(value)
    except OverflowError:  # a whole number may have any length
        number = sys.float_info.max
    if not (math.isfinite(number) and number >= 0):
        raise PostmanError(f"{name} is {value}", "it must be finite and >= 0", place=place, value=value)
    if number > _MOST:
        remedy = "count in a greater unit"
        raise PostmanError(f"{name} is beyond {_MOST:g}", remedy, place=place, value=value)
    return number


def _required(step: Step, data: Mapping[str, Any]) -> bool:
    value = data.get("required")
    if not isinstance(value, np.bool_ | Integral) or value not in (0, 1):
        remedy = "set the attribute to True or False"
        raise PostmanError(f"{_named(step)} has required = {brief(value)}", remedy, place=step, value=value)
    return bool(value)


def _extra(step: Step, data: Mapping[str, Any], most: int) -> int:
    value = data.get("extra", most)
    if isinstance(value, bool) or not isinstance(value, Real) or value not in (0, 1, 2):
        remedy = "it must be 0, 1 or 2"
        raise PostmanError(f"{_named(step)} has extra = {brief(value)}", remedy, place=step, value=value)
    return int(float(value))


def _end_costs(nodes: dict[Hashable, int], trail_cost: float | Mapping[Any, float]) -> NDArray[np.float64]:
    if not isinstance(trail_cost, Mapping):
        return np.full(len(nodes), _number(trail_cost, "trail_cost", "trail_cost") / 2)
    ends = np.full(len(nodes), -1.0)
    for node, value in trail_cost.items():
        ends[_place(nodes, node, "trail_cost")] = _number(value, f"the trail_cost of node {node!r}", node) / 2
    return ends


def _in_words(error: NoPlanError, nodes: list[Hashable]) -> NoPlanError:
    """Put the node's own name where the arrays have a number."""
    if error.vertex < 0:
        return error
    node = nodes[error.vertex]
    problem = error.problem.replace(f"vertex {error.vertex}", f"node {node!r}")
    return type(error)(problem, error.remedy, vertex=error.vertex, place=node)


def _walks(
    problem: Problem, found: Solution, nodes: list[Hashable], steps: list[Step]
) -> tuple[tuple[Step, ...], ...]:
    from stitchpath.postman.trails.walks import rotate_closed, trace

    closed = problem.end_cost is None
    trails = trace(
        size=problem.size,
        tails=problem.tails,
        heads=problem.heads,
        times=problem.required + found.copies,
        ends=found.ends,
        start=-1 if closed else found.start,
    )
    if closed and found.start >= 0:
        trails = tuple(
            rotate_closed(trail, found.start, tails=problem.tails, heads=problem.heads) for trail in trails
        )
    ends = problem.tails.tolist(), problem.heads.tolist()

    def step(edge: int, forward: bool) -> Step:  # noqa: FBT001 - a pair from the arrays, not an option
        one, other = ends if forward else ends[::-1]
        return nodes[one[edge]], nodes[other[edge]], steps[edge][2]

    return tuple(tuple(map(step, trail.edges.tolist(), trail.forward.tolist())) for trail in trails)
