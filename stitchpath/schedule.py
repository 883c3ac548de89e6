"""Bands, stages, threads and groups: the jobs in order, each with its own small part of the network.

A band's stages are sewn one after another, and in each of them thread after thread, and with each of those
group after group. Where groups are finished one by one, each goes through all stages by itself. Threads come
in the order that needs fewest changes, as far as none is given.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from stitchpath.division import Division
from stitchpath.network import Network
from stitchpath.postman.problem import Problem
from stitchpath.postman.walks import Trail
from stitchpath.settings import ScheduleSettings
from stitchpath.threads import thread_orders
from stitchpath.weights import Weights

__all__ = ["Job", "Part", "list_jobs", "part_of"]


@dataclass(frozen=True, eq=False)
class Job:
    """What is routed at once: the edges of one band, stage, thread and group that were asked for.

    `reached` are all edges that lie in the band's reach, ascending; None: all of the network's.
    """

    band: int
    stage: str
    edges: NDArray[np.intp]
    thread: str = ""
    group: str = ""
    reached: NDArray[np.intp] | None = None

    def may_run_on_from(self, before: "Job") -> bool:
        """Tell whether a path of the job before may run on into this one."""
        return (before.band, before.thread) == (self.band, self.thread)


@dataclass(frozen=True, eq=False)
class Part:
    """What a job needs of the network, renumbered from 0.

    Attributes
    ----------
    edges, junctions
        Their numbers in the network, ascending.
    tails, heads, required, extra
        The edges of the part.
    world
        Which of its junctions hang together.
    """

    edges: NDArray[np.intp]
    junctions: NDArray[np.intp]
    tails: NDArray[np.intp]
    heads: NDArray[np.intp]
    required: NDArray[np.bool_]
    extra: NDArray[np.int8]
    world: NDArray[np.intp]

    def end_cost(self, weights: Weights, *, open_ends: bool = True) -> NDArray[np.int64]:
        """Return what an end at each junction costs, -1 where none may be.

        Parameters
        ----------
        open_ends
            False: in seams only, wherever what hangs together has any.
        """
        cost, seam = weights.end[self.junctions], weights.seam[self.junctions]
        kept = open_ends | seam | ~np.isin(self.world, self.world[seam])
        return np.where(kept, cost, -1)

    def problem(self, weights: Weights, *, open_ends: bool = True) -> Problem:
        """Return the rural postman problem on it."""
        return Problem(
            size=len(self.junctions),
            tails=self.tails,
            heads=self.heads,
            cost=weights.travel[self.edges],
            required=self.required,
            extra=self.extra,
            end_cost=self.end_cost(weights, open_ends=open_ends),
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


def list_jobs(
    weights: Weights, schedule: ScheduleSettings, division: Division | None = None
) -> tuple[Job, ...]:
    """Return the jobs in sewing order; a stage without lines makes none.

    Parameters
    ----------
    division
        Bands, groups and threads; None: all in one.
    """
    if division is None:
        stages = enumerate(schedule.stages)
        jobs = (Job(1, stage.name, np.flatnonzero(weights.stage == i)) for i, stage in stages)
        return tuple(job for job in jobs if len(job.edges))
    return tuple(_divided(weights, schedule, division))


def _divided(weights: Weights, schedule: ScheduleSettings, division: Division) -> Iterator[Job]:
    asked = np.flatnonzero(weights.stage >= 0)
    group, thread = division.group[asked], division.thread[asked]
    keys = [division.band[asked], weights.stage[asked]]
    if schedule.finish == "group by group":
        keys.insert(1, group)
    slot = np.unique(np.column_stack(keys), axis=0, return_inverse=True)[1].reshape(-1)
    wanted = [set(thread[slot == i].tolist()) for i in range(int(slot.max(initial=-1)) + 1)]
    orders = thread_orders(wanted, [division.threads.index(name) for name in schedule.threads])
    rank = [orders[i].index(one) for i, one in zip(slot.tolist(), thread.tolist(), strict=True)]
    place = np.column_stack([slot, np.array(rank, dtype=np.intp), group])
    job = np.unique(place, axis=0, return_inverse=True)[1].reshape(-1)
    order = np.argsort(job, kind="stable")
    for edges in np.split(asked[order], np.flatnonzero(np.diff(job[order])) + 1) if len(asked) else []:
        one = int(edges[0])
        yield Job(
            int(division.band[one]) + 1,
            schedule.stages[weights.stage[one]].name,
            edges,
            division.threads[division.thread[one]],
            division.groups[division.group[one]].name if division.groups else "",
            division.reached[division.band[one]] if division.reached else None,
        )


def part_of(
    network: Network,
    weights: Weights,
    required: NDArray[np.bool_],
    sewn: NDArray[np.int64],
    reached: NDArray[np.intp] | None = None,
) -> Part:
    """Return what a job needs of the network: the worlds that hold a required edge.

    Parameters
    ----------
    required
        (m,) what the job must sew.
    sewn
        (m,) how often each edge was sewn before, or will be besides. Sewn edges and hidden seams may be
        travelled, within what is left of their most times.
    reached
        The edges in reach, ascending; None: all.
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    near = np.arange(len(network.tails)) if reached is None else reached
    asked, done = required[near], sewn[near]
    left = np.clip(weights.most[near] - done - asked, 0, 2)
    usable = asked | (((weights.stage[near] < 0) | (done > 0)) & (left > 0))
    edges, left = near[usable], left[usable]
    junctions, place = np.unique((network.tails[edges], network.heads[edges]), return_inverse=True)
    tails, heads = place.reshape(2, -1)
    size = len(junctions)
    links = coo_array((np.ones(len(edges), dtype=np.int8), (tails, heads)), shape=(size, size))
    world = connected_components(links, directed=False)[1]
    holds = np.zeros(size, dtype=bool)
    holds[world[tails[required[edges]]]] = True
    kept, inside = holds[world[tails]], holds[world]
    again = np.cumsum(inside) - 1
    return Part(
        edges[kept],
        junctions[inside],
        again[tails[kept]],
        again[heads[kept]],
        required[edges[kept]],
        left[kept].astype(np.int8),
        np.unique(world[inside], return_inverse=True)[1],
    )
