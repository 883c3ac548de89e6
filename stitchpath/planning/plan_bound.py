"""What can be proven of a whole plan, whatever its jobs do to each other.

A job's own bound takes what earlier jobs sewed, and where they ended, as given; the sum of those bounds is no
bound on the plan. So each job is bounded anew, with the most that earlier jobs could leave on every edge, and
as if it might run on from any junction of the job before.

What an end at such a junction costs is paid in the one job and given back in the other, so any value will do
as long as both use the same. It is the cost of the cheapest way from there to an end: the first job's bound
knows that value already.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from stitchpath.planning.outlines import closed_outlines
from stitchpath.planning.router import Route, Router, first_sewing
from stitchpath.planning.schedule import Part, part_of, usable_part
from stitchpath.planning.weights import Weights
from stitchpath.postman.smaller.vicinity import ways_out
from stitchpath.postman.solve import lower_bound

__all__ = ["plan_bound"]


def plan_bound(router: Router, routes: Sequence[Route]) -> float:
    """Return a proven lower bound in seconds on any plan with this division into jobs."""
    if len(routes) == 1:
        return routes[0].routed.bound
    rings = closed_outlines(router.network)
    sewn = np.zeros(len(router.network.tails), dtype=np.int64)
    last, doors, paid = routes[0].job, np.zeros(0, np.intp), np.zeros(0, np.int64)
    total = 0
    for route in routes:
        required, taken = router.split(route.job, rings)
        lapped = np.zeros_like(sewn)
        lapped[[edge for ring in taken for edge in ring.tolist()]] = 1
        if not route.job.may_run_on_from(last):
            doors, paid = doors[:0], paid[:0]
        weights = router.weights.in_thread(route.job.thread)
        usable = usable_part(router.network, weights, required, sewn + lapped, route.job.reached)
        part = part_of(router.network, weights, usable, doors)
        problem = part.problem(weights)
        inside = np.isin(doors, part.junctions)
        own = part.own(doors[inside])
        total += lower_bound(problem, candidates=own, paid=paid[inside]) - first_sewing(problem)
        sewn[route.job.edges] = 1
        last = route.job
        doors, paid = _ends_of(usable, weights)
    return total * router.weights.unit_s


def _ends_of(part: Part, weights: Weights) -> tuple[NDArray[np.intp], NDArray[np.int64]]:
    """Return where a job's lines meet, ascending, and what ending there costs at least."""
    out = ways_out(part.problem(weights))
    touched = np.zeros(len(out), dtype=bool)
    touched[part.tails[part.required]] = touched[part.heads[part.required]] = True
    ends = np.flatnonzero(touched & (out >= 0))
    return part.junctions[ends], out[ends]
