"""Published instances at the default effort: the bound below the optimum, the plan hardly above it."""

import csv
from pathlib import Path

import networkx as nx
import pytest

from stitchpath.postman import rural_postman

URPP = Path(__file__).resolve().parents[3] / "shared" / "urpp"
MOST_OVER = 0.0035
"""How far a plan may lie over the optimum."""

pytestmark = pytest.mark.skipif(
    not (URPP / "optimal.csv").is_file(), reason=f"the published instances are not at {URPP}"
)


def rows(stem):
    with (URPP / f"{stem}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def graph_of(name):
    graph = nx.Graph()
    for row in rows(name):
        graph.add_edge(row["u"], row["v"], cost=int(row["cost"]), required=row["required"] == "1")
    return graph


@pytest.mark.parametrize("name", ["UR532", "UR535", "UR542", "UR732"])
def test_published_optima_are_met(name):
    """Corberan, Plana, Sanchis, collection URPP: optima proven by the method of Networks 49(4), 2007."""
    optimum = {row["instance"]: int(row["optimal_cost"]) for row in rows("optimal")}[name]
    graph = graph_of(name)
    result = rural_postman(graph, effort="standard")
    assert result.bound <= optimum <= result.cost <= optimum * (1 + MOST_OVER)
    assert result.optimal == (result.bound == result.cost)
    walk = result.walks[0]
    assert all(one[1] == other[0] for one, other in zip(walk, walk[1:] + walk[:1], strict=True))
    walked = {frozenset(step[:2]) for step in walk}
    assert all(frozenset(edge[:2]) in walked for edge in graph.edges.data("required") if edge[2])
    assert sum(graph.edges[step[:2]]["cost"] for step in walk) == result.cost
