"""The rural postman problem on any undirected graph: traverse the required edges at least cost.

Give a networkx ``Graph`` or ``MultiGraph`` whose edges have a `cost` and say whether they are `required`.
The answer is one closed walk or, with a `trail_cost`, as many open trails as pay; with it comes a proven
bound from below, and `optimal` says whether the two meet.

Euler (Solutio problematis ad geometriam situs pertinentis, 1736) showed that no single walk crosses each of
Koenigsberg's seven bridges once: all four of its banks and islands have odd degree, so two trails are
needed (and are enough, for a connected graph with four odd vertices: Listing 1847). With a small price for
a trail:

>>> import networkx as nx
>>> bridges = ["AB", "AB", "AC", "AC", "AD", "BD", "CD"]
>>> town = nx.MultiGraph()
>>> _ = town.add_edges_from(((*bridge, {"cost": 10, "required": True}) for bridge in bridges))
>>> result = rural_postman(town, trail_cost=2)
>>> len(result.walks), result.cost, result.optimal
(2, 74.0, True)

Trails that cost much are joined by crossing bridges twice, and one closed walk must cross two of them
again:

>>> rural_postman(town, trail_cost=50).cost, rural_postman(town).cost
(130.0, 90.0)

Only some bridges need crossing; the others help if they are cheap:

>>> _ = town.add_edge("A", "C", cost=1, required=False)
>>> rural_postman(town).cost
81.0

How it works, in the modules' own words: `problem` (whole numbers), `graphs` (a toolbox), `blossom`,
`pendant` and `tjoin` (minimum T-joins), `net` (plans), `worlds` and `case` (a first bound), `start` and
`rotation` (buying what connection costs), `columns`, `cuts`, `cocircuits`, `wholes`, `halves`, `program` and
`bound`
(a better bound, by cutting planes), `bypass` and `fewer` (the same on fewer vertices), `windows` and
`windowed` (the same for large networks, in parts), `dive` (a plan from where those came to), `core` (an
integer program over few edges, or over all that matter), `connect` (how these make "standard" and "proof"),
`solve` (the recipe), `walks`, `laps` and `order` (from copies to trails), `rural`, `result` and
`certificate` (graphs in, walks out), `proofcheck`, `proofbound` and `proofpast` (all results checked anew
from the graph: `verify`).
"""

from stitchpath.postman.errors import NoPlanError, PostmanError, PromiseError
from stitchpath.postman.model.problem import Problem, to_whole, whole_unit
from stitchpath.postman.proof.check import Verified, verify
from stitchpath.postman.result import Result
from stitchpath.postman.rural import rural_postman
from stitchpath.postman.solve import Solution, solve

__all__ = [
    "NoPlanError",
    "PostmanError",
    "Problem",
    "PromiseError",
    "Result",
    "Solution",
    "Verified",
    "rural_postman",
    "solve",
    "to_whole",
    "verify",
    "whole_unit",
]
