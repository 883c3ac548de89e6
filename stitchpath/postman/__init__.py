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

How it works, room by room from the top; a lower room never imports a higher one:

- `rural` takes a networkx graph and returns walks (`result`). `solve` is the recipe, on arrays.
- `search`: plans. A first one (`first_plan`), better ones (`rotation`, `dive`), an integer program over some
  edges or over all that matter (`core`), and how these make "standard" and "proof" (`connect`).
- `cuts`: cutting planes, which raise the bound. `cutting_planes` leads; `highs` calls the solver.
- `relaxed`: the problem without connection, which gives the first bound (`worlds`, `relax`, `outset`).
- `smaller`: the same problem on fewer vertices and edges (`bypass`, `condense`, `vicinity`).
- `model`: the problem in whole numbers (`problem`), and the network that plans are made on (`net`).
- `trails`: from copies of edges to walks (`walks`, `laps`, `trail_order`).
- `proof`: a result checked anew from the graph, by simpler means (`verify`).
- `joins`: minimum T-joins (`tjoin`, by the matching in `blossom`). `graphs` is a toolbox.
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
