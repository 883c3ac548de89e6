"""Bands, stages, threads and groups: the jobs in order, each with its own small part of the network.

A band's stages are sewn one after another; within a stage, thread after thread; and with each thread, group
after group. A stage of nothing but seams and basting is sewn as a whole, since no fill ends on them yet. If
groups are finished one by one, each goes through all stages by itself. Threads that have no given order come
in the order that needs the fewest changes.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.lines import SEAM_ROLES
from stitchpath.planning.division import Division
from stitchpath.planning.network import Network
from stitchpath.planning.threads import thread_orders
from stitchpath.planning.weights import Weights
from stitchpath.postman.graphs import components
from stitchpath.postman.model.problem import Problem
from stitchpath.postman.smaller.condense import condensed
from stitchpath.postman.smaller.vicinity import vicinity
from stitchpath.postman.trails.walks import Trail
from stitchpath.settings import ScheduleSettings

__all__ = ["Job", "Part", "list_jobs", "part_of", "usable_part"]


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
    """What a job needs of the network, renumbered from 0; chains of edges that it travels are one edge each.

    Attributes
    ----------
    chain, forward, first
        Edge e of the part is a chain of the network's edges ``chain[first[e]:first[e + 1]]``, each taken
        forwards or not.
    junctions
        Their numbers in the network, ascending.
    tails, heads, required, extra
        The edges of the part; a required one is one edge of the network.
    ends
        (n,) where a path may pay to end.
    """

    chain: NDArray[np.intp]
    forward: NDArray[np.bool_]
    first: NDArray[np.intp]
    junctions: NDArray[np.intp]
    tails: NDArray[np.intp]
    heads: NDArray[np.intp]
    required: NDArray[np.bool_]
    extra: NDArray[np.int8]
    ends: NDArray[np.bool_]

    @property
    def edges(self) -> NDArray[np.intp]:
        """The network's edge that each of its own is, or begins with."""
        return self.chain[self.first[:-1]]

    def headings(self, network: Network) -> NDArray[np.float64]:
        """Return (2, k) the direction in which each edge leaves its tail, and its head."""
        ends = np.stack([self.first[:-1], self.first[1:] - 1])
        back = self.forward[ends] ^ np.array([[True], [False]])
        headings: NDArray[np.float64] = network.headings[back.astype(np.intp), self.chain[ends]]
        return headings

    @cached_property
    def world(self) -> NDArray[np.intp]:
        """Which of its junctions hang together."""
        return components(len(self.junctions), self.tails, self.heads, np.arange(len(self.tails)))[1]

    def end_cost(self, weights: Weights, *, open_ends: bool = True) -> NDArray[np.int64]:
        """Return what an end at each junction costs, -1 where none may be.

        Parameters
        ----------
        open_ends
            False: in seams only, wherever what hangs together has any.
        """
        cost, seam = weights.end[self.junctions], weights.seam[self.junctions]
        kept = self.ends if open_ends else self.ends & (seam | ~np.isin(self.world, self.world[seam]))
        return np.where(kept, cost, -1)

    def problem(self, weights: Weights, *, open_ends: bool = True) -> Problem:
        """Return the rural postman problem on it."""
        cost = weights.travel[self.chain]
        return Problem(
            size=len(self.junctions),
            tails=self.tails,
            heads=self.heads,
            cost=np.add.reduceat(cost, self.first[:-1]) if len(cost) else cost,
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
        count = np.diff(self.first)[trail.edges]
        begin = np.where(trail.forward, self.first[trail.edges], self.first[trail.edges + 1] - 1)
        place = np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count)
        along = np.repeat(trail.forward, count)
        at = np.repeat(begin, count) + np.where(along, place, -place)
        return replace(
            trail,
            edges=self.chain[at],
            forward=self.forward[at] == along,
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

    Examples
    --------
    >>> from stitchpath import Drawing, Line
    >>> from stitchpath.planning.network import build_network
    >>> from stitchpath.planning.weights import weigh
    >>> from stitchpath.settings import CostSettings, MachineSettings
    >>> network = build_network(Drawing((Line([(0, 0), (9, 0)]),)))
    >>> weights = weigh(network, cost=CostSettings(), machine=MachineSettings(), schedule=ScheduleSettings())
    >>> [(job.band, job.stage, job.edges.tolist()) for job in list_jobs(weights, ScheduleSettings())]
    [(1, 'detail', [0])]
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
    else:
        seams = [all(role in SEAM_ROLES for role in stage.roles) for stage in schedule.stages]
        whole = np.array(seams)[weights.stage[asked]]
        group = np.where(whole, len(division.groups), group).astype(np.intp)
    slot = np.unique(np.column_stack(keys), axis=0, return_inverse=True)[1].reshape(-1)
    wanted = [set(thread[slot == i].tolist()) for i in range(int(slot.max(initial=-1)) + 1)]
    orders = thread_orders(wanted, [division.threads.index(name) for name in schedule.threads])
    rank = [orders[i].index(one) for i, one in zip(slot.tolist(), thread.tolist(), strict=True)]
    place = np.column_stack([slot, np.array(rank, dtype=np.intp), group])
    job = np.unique(place, axis=0, return_inverse=True)[1].reshape(-1)
    order = np.argsort(job, kind="stable")
    names = [*(one.name for one in division.groups), ""]
    pieces = np.split(order, np.flatnonzero(np.diff(job[order])) + 1) if len(asked) else []
    for piece in pieces:
        one = int(asked[piece[0]])
        yield Job(
            int(division.band[one]) + 1,
            schedule.stages[weights.stage[one]].name,
            asked[piece],
            division.threads[division.thread[one]],
            names[group[piece[0]]],
            division.reached[division.band[one]] if division.reached else None,
        )


def usable_part(
    network: Network,
    weights: Weights,
    required: NDArray[np.bool_],
    sewn: NDArray[np.int64],
    reached: NDArray[np.intp] | None = None,
) -> Part:
    """Return what a job may use of the network: the worlds that hold a required edge.

    Parameters
    ----------
    required
        (m,) what the job must sew.
    sewn
        (m,) how often each edge was sewn before, or will be besides. Sewn edges and hidden seams may be
        travelled, within what is left of their most times.
    reached
        The edges in reach, ascending; None: all.

    Examples
    --------
    >>> from stitchpath import Drawing, Line
    >>> from stitchpath.planning.network import build_network
    >>> from stitchpath.planning.weights import weigh
    >>> from stitchpath.settings import CostSettings, MachineSettings
    >>> network = build_network(Drawing((Line([(0, 0), (9, 0)]), Line([(9, 0), (9, 9)]))))
    >>> weights = weigh(network, cost=CostSettings(), machine=MachineSettings(), schedule=ScheduleSettings())
    >>> required = np.array([True, False])
    >>> [len(usable_part(network, weights, required, np.array([0, sewn])).tails) for sewn in (0, 1)]
    [1, 2]
    """
    near = np.arange(len(network.tails)) if reached is None else reached
    asked, done = required[near], sewn[near]
    left = np.clip(weights.most[near] - done - asked, 0, 2)
    usable = asked | (((weights.stage[near] < 0) | (done > 0)) & (left > 0))
    part = _numbered(network, near[usable], asked[usable], left[usable])
    holds = np.zeros(int(part.world.max(initial=-1)) + 1, dtype=bool)
    holds[part.world[part.tails[part.required]]] = True
    kept = holds[part.world[part.tails]]
    return _numbered(network, part.chain[kept], part.required[kept], part.extra[kept])


def part_of(
    network: Network,
    weights: Weights,
    usable: Part,
    doors: NDArray[np.intp],
    *,
    open_ends: bool = True,
) -> Part:
    """Return the part of the network that a job needs: where a cheapest plan can go, with chains as one edge.

    Parameters
    ----------
    usable
        What `usable_part` returns.
    doors
        Junctions that may be run on from.
    open_ends
        As for `Part.end_cost`.
    """
    within, ends = vicinity(usable.problem(weights, open_ends=open_ends), usable.own(doors))
    kept = within[usable.tails] & within[usable.heads]
    near = _numbered(
        network, usable.chain[kept], usable.required[kept], usable.extra[kept], ends=usable.junctions[ends]
    )
    return _condensed(near, near.problem(weights))


def _numbered(
    network: Network,
    edges: NDArray[np.intp],
    required: NDArray[np.bool_],
    left: NDArray[Any],
    *,
    ends: NDArray[np.intp] | None = None,
) -> Part:
    """Return a part of the network edge by edge."""
    junctions, place = np.unique((network.tails[edges], network.heads[edges]), return_inverse=True)
    tails, heads = place.reshape(2, -1)
    every, able = np.ones(len(edges), dtype=bool), np.ones(len(junctions), dtype=bool)
    if ends is not None:
        able = np.isin(junctions, ends)
    first = np.arange(len(edges) + 1)
    return Part(edges, every, first, junctions, tails, heads, required, left.astype(np.int8), able)


def _condensed(part: Part, problem: Problem) -> Part:
    """Make one edge of each chain that a part's edges make."""
    runs = condensed(problem, part.ends)
    used, place = np.unique((runs.tails, runs.heads), return_inverse=True)
    tails, heads = place.reshape(2, -1)
    edges, begins = runs.edges, runs.first[:-1]
    return Part(
        part.chain[edges],
        runs.forward,
        runs.first,
        part.junctions[used],
        tails,
        heads,
        part.required[edges[begins]],
        np.minimum.reduceat(part.extra[edges], begins) if len(begins) else part.extra[:0],
        part.ends[used],
    )
