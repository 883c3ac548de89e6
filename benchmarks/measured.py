"""One case of the postman's benchmark, measured in a process of its own: `postman.py` calls it.

    python benchmarks/measured.py '{"kind": "published", "name": "UR532", "effort": "quick", "seed": 0}'

Prints its rows as JSON. The imports are done before the clock starts. Memory is the peak of this process, and
of its greatest child, as the system counts it: Linux counts to a child what its parent held when it began.
"""

import json
import resource
import sys
import time
from collections.abc import Callable
from importlib import import_module
from importlib.util import find_spec
from typing import Any
from unittest.mock import patch

import numpy as np
from problems import graph_of, grid, published
from published import optima
from tops import square_top

from stitchpath.drawing import draw
from stitchpath.planning.network import build_network
from stitchpath.planning.router import Router
from stitchpath.planning.schedule import list_jobs
from stitchpath.planning.weights import weigh
from stitchpath.postman import Problem, Solution, rural_postman, solve
from stitchpath.postman.graphs import components
from stitchpath.postman.model.net import complete, make_net, price
from stitchpath.postman.search.first_plan import joining, tree_in
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings, Stage

Row = dict[str, Any]

FILL_LAST = (
    Stage(name="baste", roles=("baste",)),
    Stage(name="seams", roles=("ditch",)),
    Stage(name="shapes", roles=("strip", "outline", "echo", "drawn")),
    Stage(name="fill", roles=("fill",)),
)


def frederickson(problem: Problem) -> int | None:
    """Return what the start alone costs: parts joined by a tree over cheapest ways, then a join."""
    net = make_net(problem)
    tree = joining(net, np.zeros(len(net.tails), bool))
    copies = complete(net, tree_in(net, tree, net.cost[tree]))
    return None if copies is None else int(problem.cost[problem.required].sum()) + price(net, copies)


def count_parts(problem: Problem) -> int:
    """Return how many components the required edges make."""
    required = np.flatnonzero(problem.required)
    label = components(problem.size, problem.tails, problem.heads, required)[1]
    return len(np.unique(label[problem.tails[required]]))


def peaks_mb() -> tuple[float, float]:
    """Return the greatest memory of this process so far, and of any child."""
    own, children = (
        resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    )
    return own / 1024, children / 1024


def timed(run: Callable[[], Any]) -> tuple[Any, Row]:
    """Return what a call returns, and its seconds: on the wall's clock, and of any processor."""
    wall, cpu = time.perf_counter(), cpu_s()
    result = run()
    return result, {"seconds": time.perf_counter() - wall, "cpu_s": cpu_s() - cpu}


def cpu_s() -> float:
    """Return the processor's seconds of this process and of its children so far."""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)


def walked(problem: Problem, *, effort: str, seed: int) -> Row:
    """Measure `rural_postman` on a graph: all costs hold what the first traversals cost."""
    base_mb = peaks_mb()[0]
    graph = graph_of(problem)
    trail_cost = None if problem.end_cost is None else 2 * int(problem.end_cost[0])
    result, clocks = timed(lambda: rural_postman(graph, trail_cost=trail_cost, effort=effort, seed=seed))
    own_mb, child_mb = peaks_mb()
    return {
        "edges": len(problem.tails),
        "parts": count_parts(problem),
        "plan": result.cost,
        "bound": result.bound,
        "proven": result.optimal,
        **clocks,
        "base_mb": base_mb,
        "own_mb": own_mb,
        "child_mb": child_mb,
        "start": frederickson(problem),
    }


def published_rows(name: str, **how: Any) -> list[Row]:
    """Measure a published instance."""
    return [{"instance": name, **walked(published(name), **how), "optimum": optima()[name]}]


def grid_rows(name: str, side: int, block: int, hub: bool, **how: Any) -> list[Row]:  # noqa: FBT001 - from JSON
    """Measure a grid."""
    return [{"instance": name, **walked(grid(side, block=block, hub=hub), **how)}]


def quilt_rows(name: str, top: Row, stages: str, laps: str, *, effort: str, seed: int) -> list[Row]:
    """Measure a quilt, a row for each job: in seconds of cost, the first sewing left out.

    Leaving a block costs nothing here, so that each job is solved once.
    """
    network = build_network(draw(square_top(**top)))
    schedule = ScheduleSettings(stages=FILL_LAST if stages == "fill last" else stages, laps=laps)
    cost = CostSettings(leaving_block_s=0)
    weights = weigh(network, cost=cost, machine=MachineSettings(), schedule=schedule)
    solved: list[tuple[Problem, Solution, Row]] = []

    def watched(problem: Problem, **how: Any) -> Solution:
        found: Solution
        found, clocks = timed(lambda: solve(problem, **how))
        solved.append((problem, found, clocks))
        return found

    base_mb = peaks_mb()[0]
    with patch("stitchpath.planning.solving.solve", watched):
        routes = Router(network, weights, laps, effort, seed).route(list_jobs(weights, schedule))
    own_mb, child_mb = peaks_mb()
    memory = {"base_mb": base_mb, "own_mb": own_mb, "child_mb": child_mb}
    return [
        {"instance": f"{name}: {route.job.stage}", **job_row(*one, route.routed.forced), **memory}
        for route, one in zip(routes, solved, strict=True)
    ]


def job_row(problem: Problem, found: Solution, clocks: Row, forced_s: float) -> Row:
    """Return a job's row; its start does not run on from the job before."""
    sewn, unit, start = int(problem.cost[problem.required].sum()), problem.unit, frederickson(problem)
    return {
        "edges": len(problem.tails),
        "parts": count_parts(problem),
        "start": None if start is None else (start - sewn) * unit,
        "plan": (found.cost - sewn) * unit,
        "bound": (found.bound - sewn) * unit,
        "forced": forced_s,
        "proven": found.optimal,
        **clocks,
    }


KINDS = {"published": published_rows, "quilt": quilt_rows, "grid": grid_rows}

LATE = ("pymatching", "scipy.sparse.csgraph", "highspy")
"""What solving imports when it needs it, as far as it is installed."""

if __name__ == "__main__":
    for module in filter(find_spec, LATE):
        import_module(module)
    case = json.loads(sys.argv[1])
    shared = {key: case[key] for key in ("kind", "effort", "seed")}
    print(json.dumps([shared | row for row in KINDS[case.pop("kind")](**case)]))
