"""What can be proven of a whole plan, whatever its jobs do to each other.

A job's own bound takes what earlier jobs sewed, and where they ended, as given; the sum of those bounds is no
bound on the plan. So each job is bounded anew, with the most that earlier jobs could leave on every edge, and
as if it might run on from any junction of the job before. A job's own bound counts where it can run on from
none, and earlier jobs left it as much as they could; else less the most that running on gives back.

Where jobs negotiated (`stitchpath.planning.negotiation`), their prices give another bound: what all jobs cost
at least with them, less what all the times that each line may be travelled would fetch.

What an end at such a junction costs is paid in the one job and given back in the other, so any value will do
as long as both use the same. It is the cost of the cheapest way from there to an end: the first job's bound
knows that value already. Where a junction is cut by blocks, the dearest of its copies is given back.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stitchpath.planning.negotiation import Shared
from stitchpath.planning.part import Part
from stitchpath.planning.router import Route, Router
from stitchpath.planning.weights import Weights
from stitchpath.postman.smaller.vicinity import ways_out

__all__ = ["plan_bound"]


def plan_bound(router: Router, shared: Shared) -> float:
    """Return a proven lower bound in seconds on any plan with this division into jobs."""
    routes, price, weights = shared.routes, shared.price, router.weights
    if len(routes) == 1:
        return routes[0].routed.bound
    plain = _bound(router, routes, own=True)
    if not price.any():
        return plain * weights.unit_s
    priced = replace(router, weights=weights.raised(price))
    there_is = np.maximum(weights.most - (weights.stage >= 0), 0)
    return max(plain, _bound(priced, routes, own=False) - int(price @ there_is)) * weights.unit_s


def _bound(router: Router, routes: Sequence[Route], *, own: bool) -> int:
    """Return what all jobs cost at least in whole units, by their own bounds too if those count."""
    solver = router.solver
    sewn = np.zeros(len(router.network.tails), dtype=np.int64)
    truly = sewn.copy()
    last, doors, paid = None, np.zeros(0, np.intp), np.zeros(0, np.int64)
    total = 0
    for route in routes:
        job = route.job
        required, taken = router.split(job, router.rings)
        lapped = np.zeros_like(sewn)
        lapped[[edge for ring in taken for edge in ring.tolist()]] = 1
        runs_on = last is not None and not job.alone and job.may_run_on_from(last)
        open_from, back = (doors, paid) if runs_on else (doors[:0], paid[:0])
        least = solver.least(job, required, sewn + lapped, open_from, back)
        if own and solver.as_free(job, required, sewn + lapped, truly + lapped):
            proven = round(route.routed.bound / router.weights.unit_s)
            least = max(least, proven - int(back.max(initial=0)))
        total += least
        for trail in route.trails:
            np.add.at(truly, trail.edges, 1)
        if not job.alone:
            last = job
            part = solver.usable(job, required, sewn + lapped)
            weights = router.weights.in_thread(job.thread).after(sewn + lapped + required)
            doors, paid = _ends_of(part, weights)
        sewn[job.edges] = 1
    return total


def _ends_of(part: Part, weights: Weights) -> tuple[NDArray[np.intp], NDArray[np.int64]]:
    """Return where a job's lines meet, ascending, and the most that ending there must cost."""
    out = ways_out(part.problem(weights))
    touched = np.zeros(len(out), dtype=bool)
    touched[part.tails[part.required]] = touched[part.heads[part.required]] = True
    ends = np.flatnonzero(touched & (out >= 0))
    junctions, place = np.unique(part.junctions[ends], return_inverse=True)
    most = np.zeros(len(junctions), dtype=np.int64)
    np.maximum.at(most, place, out[ends])
    return junctions, most
