"""An integer program with cuts found as they are needed: slow, and sure.

It stands in where limits on copies keep every quick method from a plan, which is then rare or impossible
(finding one is as hard as a spanning Eulerian subgraph, which is NP-complete).
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.errors import PostmanError
from stitchpath.postman.graphs import components, parity
from stitchpath.postman.net import Copies, Net, is_plan, stripped

__all__ = ["exact_plan"]

_MOST_EDGES = 20_000
_ROUNDS = 200
_NODES = 20_000
_INFEASIBLE = 2


def exact_plan(net: Net) -> Copies | None:
    """Return a cheapest plan, or None where there is none.

    Raises
    ------
    PostmanError
        If the search is too large to finish.
    """
    cuts: list[NDArray[np.bool_]] = []
    for _ in range(_ROUNDS if len(net.open) <= _MOST_EDGES else 0):
        copies = _answer(net, cuts)
        if copies is None:
            return None
        if is_plan(net, tidy := stripped(net, copies)):
            return tidy
        cuts += _broken_cuts(net, copies)
    raise PostmanError("no plan was found within the limits on copies; allow more of them (extra)")


def _answer(net: Net, cuts: list[NDArray[np.bool_]]) -> Copies | None:
    """Solve for copies x with x(v) = 2 z(v) + odd(v) at each vertex but the hub, and x >= 2 over each cut."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    edges, matrix, odd = net.open, _degrees(net), parity(net.size, net.tails, net.heads, net.required * 1)
    constraints = [LinearConstraint(matrix, *([np.delete(odd, net.hub) if net.hub >= 0 else odd] * 2))]
    if cuts:
        rows = csr_array(
            np.stack([np.concatenate([cut[edges], np.zeros(net.size, bool)]) for cut in cuts]) * 1.0
        )
        constraints.append(LinearConstraint(rows, 2, np.inf))
    most = np.concatenate([np.where(net.required, 1, net.extra)[edges], np.full(net.size, len(edges) + 1)])
    price = np.concatenate([net.cost[edges] / max(1, net.cost.max()), np.zeros(net.size)])
    found = milp(
        price,
        integrality=np.ones(len(price)),
        bounds=Bounds(0, most),
        constraints=constraints,
        options={"mip_rel_gap": 0, "node_limit": _NODES},
    )
    if found.status == _INFEASIBLE:
        return None
    if found.x is None:
        raise PostmanError("no plan was found within the limits on copies; allow more of them (extra)")
    copies = np.zeros(len(net.tails), np.int8)
    copies[edges] = np.rint(found.x[: len(edges)]).astype(np.int8)
    return copies


def _degrees(net: Net) -> Any:
    """Rows x(v) - 2 z(v), mod signs so that they equal minus or plus odd(v); the hub's row is left out."""
    from scipy.sparse import coo_array

    edges, column = net.open, np.arange(len(net.open))
    proper = net.tails[edges] != net.heads[edges]
    vertex = np.arange(net.size)
    rows = np.concatenate([net.tails[edges[proper]], net.heads[edges[proper]], vertex])
    columns = np.concatenate([column[proper], column[proper], len(edges) + vertex])
    data = np.concatenate([np.ones(2 * int(proper.sum())), np.full(net.size, -2.0)])
    matrix = coo_array((data, (rows, columns)), shape=(net.size, len(edges) + net.size)).tocsr()
    return matrix[np.flatnonzero(vertex != net.hub)]


def _broken_cuts(net: Net, copies: Copies) -> list[NDArray[np.bool_]]:
    """Return, for each component that ought not to stand alone, which edges lead out of it."""
    taken = np.flatnonzero(net.required | (copies > 0))
    label = components(net.size, net.tails, net.heads, taken)[1]
    return [(label[net.tails] == one) != (label[net.heads] == one) for one in np.unique(label[net.must])]
