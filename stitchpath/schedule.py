"""Stages, bands and groups: the jobs in order, each with its own small part of the network.

The whole top is one band for now.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from stitchpath.network import Network
from stitchpath.postman.problem import Problem
from stitchpath.postman.walks import Trail
from stitchpath.settings import ScheduleSettings
from stitchpath.weights import Weights

__all__ = ["Job", "Part", "list_jobs", "part_of"]


@dataclass(frozen=True, eq=False)
class Job:
    """What is routed at once: the edges of one band and stage that were asked for."""

    band: int
    stage: str
    edges: NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Part:
    """What a job needs of the network, renumbered from 0.

    Attributes
    ----------
    edges, junctions
        Their numbers in the network, ascending.
    tails, heads, required, extra
        The edges of the part.
    """

    edges: NDArray[np.intp]
    junctions: NDArray[np.intp]
    tails: NDArray[np.intp]
    heads: NDArray[np.intp]
    required: NDArray[np.bool_]
    extra: NDArray[np.int8]

    def problem(self, weights: Weights) -> Problem:
        """Return the rural postman problem on it."""
        return Problem(
            size=len(self.junctions),
            tails=self.tails,
            heads=self.heads,
            cost=weights.travel[self.edges],
            required=self.required,
            extra=self.extra,
            end_cost=weights.end[self.junctions],
            unit=weights.unit_s,
        )

    def own(self, junctions: NDArray[np.intp]) -> NDArray[np.intp]:
        """Return the part's own numbers of those junctions that it has."""
        return np.flatnonzero(np.isin(self.junctions, junctions))

    def whole(self, trail: Trail) -> Trail:
        """Return a trail of the part as one of the network."""
        return replace(
            trail,
            edges=self.edges[trail.edges],
            first=int(self.junctions[trail.first]),
            last=int(self.junctions[trail.last]),
        )


def list_jobs(weights: Weights, schedule: ScheduleSettings) -> tuple[Job, ...]:
    """Return the jobs in sewing order; a stage without lines makes none."""
    jobs = (Job(1, stage.name, np.flatnonzero(weights.stage == i)) for i, stage in enumerate(schedule.stages))
    return tuple(job for job in jobs if len(job.edges))


def part_of(network: Network, weights: Weights, required: NDArray[np.bool_], sewn: NDArray[np.int64]) -> Part:
    """Return what a job needs of the network: the worlds that hold a required edge.

    Parameters
    ----------
    required
        (m,) what the job must sew.
    sewn
        (m,) how often each edge was sewn before, or will be besides. Sewn edges and hidden seams may be
        travelled, within what is left of their most times.
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    left = np.clip(weights.most - sewn - required, 0, 2)
    usable = required | (((weights.stage < 0) | (sewn > 0)) & (left > 0))
    size = len(network.junctions_mm)
    ends = network.tails[usable], network.heads[usable]
    links = coo_array((np.ones(len(ends[0]), dtype=np.int8), ends), shape=(size, size))
    world = connected_components(links, directed=False)[1]
    holds = np.zeros(size, dtype=bool)
    holds[world[network.tails[required]]] = True
    edges = np.flatnonzero(usable & holds[world[network.tails]])
    both = np.concatenate((network.tails[edges], network.heads[edges]))
    junctions, place = np.unique(both, return_inverse=True)
    tails, heads = place[: len(edges)], place[len(edges) :]
    return Part(edges, junctions, tails, heads, required[edges], left[edges].astype(np.int8))
