"""What thread that builds up costs: from the third time on that a line is sewn over, travel costs more.

A job is solved at the price of the first time more over each line, given how often earlier jobs sewed it.
Where it goes along a line twice, the second time may cost more than the problem knows; that is charged
afterwards, from the routes as they are sewn, and the bound stays one.

Knowing more gained little. The 5 x 5 top of `benchmarks/tops.py`, where seams, too, count half as much again
for each time from the third on ("quick", 2026-12-01):

| how the second time is priced | cost without groups | with rows | CPU |
| --- | --- | --- | --- |
| charged afterwards | 4,448 | 4,549 | 3.5 s |
| so, then solved again at the average of both | 4,448 | 4,531 | 4.8 s |
| as a parallel edge of the problem | 4,557 | 4,596 | 6.5 s |

The bounds are 4,214 and 4,104 with each; where each time costs the same the costs are 4,368 and 4,465. So by
default nothing more is charged in seams: 5.9 m are sewn a third time either way, and as the bound does not
know of it, a good plan would look worse (a gap of 5.5 % instead of 3.7 %).
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from stitchpath.figures.travel import times_so_far
from stitchpath.planning.router import Route
from stitchpath.planning.weights import Weights, times_built_up

__all__ = ["charge_building_up"]


def charge_building_up(routes: Sequence[Route], weights: Weights) -> tuple[Route, ...]:
    """Return routes that have paid for thread that builds up.

    Parameters
    ----------
    routes
        In sewing order, none of which has paid yet.
    weights
        What it costs.

    Examples
    --------
    >>> from stitchpath import CostSettings, Drawing, MachineSettings, ScheduleSettings
    >>> from stitchpath.planning.network import build_network
    >>> from stitchpath.planning.weights import weigh
    >>> network = build_network(Drawing(()))
    >>> weights = weigh(network, cost=CostSettings(), machine=MachineSettings(), schedule=ScheduleSettings())
    >>> charge_building_up((), weights)
    ()
    """
    if not routes or not weights.builds_up.any():
        return tuple(routes)
    none = np.zeros(0, dtype=np.intp)
    walks = [np.concatenate([none, *(trail.edges for trail in route.trails)]) for route in routes]
    ends = np.cumsum([len(walk) for walk in walks])[:-1]
    more = np.split(times_built_up(times_so_far(np.concatenate(walks))), ends)
    return tuple(
        _charged(route, int((weights.in_thread(route.job.thread).builds_up[walk] * times).sum()), weights)
        for route, walk, times in zip(routes, walks, more, strict=True)
    )


def _charged(route: Route, price: int, weights: Weights) -> Route:
    """Return a route that has paid.

    What no line touches is routed later than it is sewn, so it may pay less than its bound knew.
    """
    cost = route.routed.cost + price * weights.unit_s
    return replace(route, routed=replace(route.routed, cost=cost, bound=min(route.routed.bound, cost)))
