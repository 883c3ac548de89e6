"""What can be proven of a whole plan, whatever its jobs do to each other.

The jobs' own bounds take what earlier jobs sewed, and where they ended, as given; their sum is no bound on
the plan. So each job is bounded anew with the most that earlier jobs could leave on every edge, as if it
might run on from any junction that the job before could end at, whichever that were.
"""

from collections.abc import Sequence

import numpy as np

from stitchpath.outlines import closed_outlines
from stitchpath.postman.solve import lower_bound
from stitchpath.router import Route, Router, first_sewing
from stitchpath.schedule import Part, part_of

__all__ = ["plan_bound"]


def plan_bound(router: Router, routes: Sequence[Route]) -> float:
    """Return a proven lower bound in seconds on any plan with this division into jobs."""
    if len(routes) == 1:
        return routes[0].routed.bound
    rings = closed_outlines(router.network)
    sewn = np.zeros(len(router.network.tails), dtype=np.int64)
    before: Part | None = None
    last = routes[0].job
    total = 0
    for route in routes:
        required, taken = router.split(route.job, rings)
        lapped = np.zeros_like(sewn)
        lapped[[edge for ring in taken for edge in ring.tolist()]] = 1
        near = before is not None and route.job.may_run_on_from(last)
        doors = before.junctions if before is not None and near else np.zeros(0, np.intp)
        part = part_of(router.network, router.weights, required, sewn + lapped, route.job.reached, doors)
        problem = part.problem(router.weights)
        total += lower_bound(problem, candidates=part.own(doors)) - first_sewing(problem)
        sewn[route.job.edges] = 1
        before, last = part, route.job
    return total * router.weights.unit_s
