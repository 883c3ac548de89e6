"""How often paths leave a block for the one beside it.

A path says which edges it takes, not on which side of a seam the needle travels. So the crossings of a path
are the fewest over all choices of side. What is sewn in a stage of nothing but seams belongs to no block: the
path may go on from it wherever it likes.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from stitchpath.plan import RoutedJob
from stitchpath.planning.faces import Faces
from stitchpath.planning.network import Network
from stitchpath.planning.router import Route
from stitchpath.planning.weights import Weights
from stitchpath.postman.trails.trail import vertices_of

__all__ = ["CrossingCounter", "charge_crossings"]

_Costs = dict[int, int]
"""The fewest crossings so far, by the face that the needle is in."""


@dataclass(frozen=True, eq=False)
class CrossingCounter:
    """Counts crossings on a network.

    Examples
    --------
    Two squares that share a side, each with a line to the middle of it.

    >>> from shapely import LineString
    >>> from stitchpath import Drawing
    >>> from stitchpath.planning.faces import find_faces
    >>> from stitchpath.planning.network import build_network
    >>> seams = [LineString([(1, 0), (0, 0), (0, 1), (1, 1)]), LineString([(1, 0), (1, 1)]),
    ...          LineString([(1, 0), (2, 0), (2, 1), (1, 1)])]
    >>> network = build_network(Drawing.from_lines([*seams, LineString([(0, 0.5), (2, 0.5)])]))
    >>> seam = np.isin(network.edge_of, network.edge_of[network.line_of == 3], invert=True)
    >>> counter = CrossingCounter(network, find_faces(network, seam))
    >>> line = np.flatnonzero(~seam)
    >>> counter.along(line, network.tails[line], np.array([False, False])).tolist()
    [0, 1]
    >>> counter.along(line[:0], line[:0], seam[:0]).tolist()
    []
    """

    network: Network
    faces: Faces

    def along(
        self, edges: NDArray[np.intp], at: NDArray[np.intp], free: NDArray[np.bool_]
    ) -> NDArray[np.int64]:
        """Return (k,) how many crossings a path has made, at least, once it has taken each of its edges.

        Parameters
        ----------
        edges
            (k,) in order.
        at
            (k,) the junctions where it comes to each.
        free
            (k,) which of them belong to no block.
        """
        made, costs = np.zeros(len(edges), dtype=np.int64), None
        least = 0
        one, other = self.faces.one[edges].tolist(), self.faces.other[edges].tolist()
        for step, (junction, skip) in enumerate(zip(at.tolist(), free.tolist(), strict=True)):
            if skip:
                costs = None
            else:
                costs = self._onto(costs, least, (one[step], other[step]), junction)
                least = min(costs.values())
            made[step] = least
        return made

    def _onto(self, costs: _Costs | None, least: int, faces: tuple[int, int], junction: int) -> _Costs:
        """Return the costs on an edge that lies beside these faces.

        Where rounding leaves no seam between two faces at a junction, going across counts as one crossing.
        """
        sides = [face for face in faces if face >= 0]
        if costs is None:
            return dict.fromkeys(sides, least)
        if list(costs) == sides:
            return costs
        steps = {face: self._from(face, junction) for face in costs}
        return {side: min(cost + steps[face].get(side, 1) for face, cost in costs.items()) for side in sides}

    def _from(self, face: int, junction: int) -> dict[int, int]:
        """Return how many seams lie between a face and each one that meets a junction."""
        far, now = {face: 0}, [face]
        while now:
            on = [(one, far[at] + 1) for at in now for one in self._beside.get((junction, at), ())]
            now = []
            for one, steps in on:
                if one not in far:
                    far[one] = steps
                    now.append(one)
        return far

    @cached_property
    def _beside(self) -> dict[tuple[int, int], list[int]]:
        """For a junction and a face, the faces across the seams there."""
        both = np.flatnonzero(self.faces.other >= 0)
        one, other = self.faces.one[both].tolist(), self.faces.other[both].tolist()
        beside: dict[tuple[int, int], list[int]] = {}
        for ends in (self.network.tails, self.network.heads):
            for junction, a, b in zip(ends[both].tolist(), one, other, strict=True):
                beside.setdefault((junction, a), []).append(b)
                beside.setdefault((junction, b), []).append(a)
        return beside


def charge_crossings(
    routes: Sequence[Route], network: Network, weights: Weights, faces: Faces
) -> tuple[Route, ...]:
    """Return routes that have paid for leaving blocks.

    Each path is counted from its beginning on, through all jobs that it runs through; what it adds to its
    fewest crossings within a job is that job's. In a stage of nothing but seams nobody leaves a block.

    Parameters
    ----------
    routes
        In sewing order, none of which has paid yet.
    network, weights, faces
        What they run on, what leaving a block costs there, and which faces its edges lie beside.

    Examples
    --------
    >>> from stitchpath import CostSettings, Drawing, MachineSettings, ScheduleSettings
    >>> from stitchpath.planning.faces import find_faces
    >>> from stitchpath.planning.network import build_network
    >>> from stitchpath.planning.weights import weigh
    >>> network = build_network(Drawing(()))
    >>> weights = weigh(network, cost=CostSettings(), machine=MachineSettings(), schedule=ScheduleSettings())
    >>> charge_crossings((), network, weights, find_faces(network, weights.seam_edge))
    ()
    """
    counter = CrossingCounter(network, faces)
    trails = [trail for route in routes for trail in route.trails]
    if not trails:
        return tuple(routes)
    job = np.repeat(np.arange(len(routes)), [len(route.trails) for route in routes])
    runs_on = [i == 0 and route.routed.run_on for route in routes for i in range(len(route.trails))]
    walk = np.concatenate([trail.edges for trail in trails])
    at = np.concatenate([vertices_of(t, tails=network.tails, heads=network.heads)[:-1] for t in trails])
    of_job = np.repeat(job, [len(trail) for trail in trails])
    seams_only = np.array([route.job.seams_only for route in routes], dtype=bool)
    free = seams_only[of_job]
    begins = np.cumsum([0, *map(len, trails)])[[i for i, on in enumerate([*runs_on, False]) if not on]]
    made = np.zeros(len(routes), dtype=np.int64)
    for a, b in pairwise(begins.tolist()):
        steps = slice(a, b)
        crossings = counter.along(walk[steps], at[steps], free[steps])
        np.add.at(made, of_job[steps], np.diff(crossings, prepend=0))
    price = weights.leaving * weights.unit_s
    return tuple(
        replace(route, routed=_charged(route.routed, n, price))
        for route, n in zip(routes, made.tolist(), strict=True)
    )


def _charged(routed: RoutedJob, crossings: int, price: float) -> RoutedJob:
    """Return a job with its crossings; its bound is of paths that enter where it was solved for.

    Counted over the whole path, a job may pay one crossing less than any of those.
    """
    cost = routed.cost + crossings * price
    bound = routed.bound if routed.bound <= cost else cost - price
    return replace(routed, cost=cost, bound=bound, crossings=crossings)
