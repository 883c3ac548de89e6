"""Bands, stages, threads and groups: the jobs in order, each with its own small part of the network.

A band's stages are sewn one after another; within a stage, thread after thread; and with each thread, group
after group. A stage of nothing but seams and basting is sewn as a whole, since no fill ends on them yet. If
groups are finished one by one, each goes through all stages by itself. Threads that have no given order come
in the order that needs the fewest changes.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from stitchpath.lines import SEAM_ROLES
from stitchpath.planning.division import Division
from stitchpath.planning.groups import Group
from stitchpath.planning.threads import thread_orders
from stitchpath.planning.weights import Weights
from stitchpath.settings import ScheduleSettings
from stitchpath.sewing_order import Turn

__all__ = ["Job", "list_jobs"]


@dataclass(frozen=True, eq=False)
class Job:
    """What is routed at once: the edges of one band, stage, thread and group that were asked for.

    Attributes
    ----------
    band, stage, thread, group
        What they have in common.
    edges
        Of the network, ascending.
    reached
        All edges that lie in the band's reach, ascending; None: all of the network's.
    seams_only
        Its stage is one of nothing but seams and basting.
    alone
        It sews the group's lines that no other line touches; the job that sews the rest comes next.
    after_alone
        It comes after such a job.
    row, turn
        Of its group: on a frame the uppermost row; and when it comes.
    """

    band: int
    stage: str
    edges: NDArray[np.intp]
    thread: str = ""
    group: str = ""
    reached: NDArray[np.intp] | None = None
    seams_only: bool = False
    alone: bool = False
    after_alone: bool = False
    row: int = 0
    turn: Turn = Turn.OTHER

    def may_run_on_from(self, before: "Job") -> bool:
        """Tell whether a path of the job before may run on into this one.

        What no line touches is sewn before the path begins that runs through its group: so that path must
        not have begun in another stage.
        """
        together = (before.band, before.thread) == (self.band, self.thread)
        return together and (not self.after_alone or before.stage == self.stage)


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
        seams = _of_seams(schedule)
        jobs = (
            Job(1, stage.name, np.flatnonzero(weights.stage == i), seams_only=bool(seams[i]))
            for i, stage in stages
        )
        return tuple(job for job in jobs if len(job.edges))
    return tuple(_divided(weights, schedule, division))


def _divided(weights: Weights, schedule: ScheduleSettings, division: Division) -> Iterator[Job]:
    asked = np.flatnonzero(weights.stage >= 0)
    group, thread = division.group[asked], division.thread[asked]
    keys, seams = [division.band[asked], weights.stage[asked]], _of_seams(schedule)
    if schedule.finish == "group by group":
        keys.insert(1, group)
    else:
        whole = seams[weights.stage[asked]]
        group = np.where(whole, len(division.groups), group).astype(np.intp)
    slot = np.unique(np.column_stack(keys), axis=0, return_inverse=True)[1].reshape(-1)
    wanted = [set(thread[slot == i].tolist()) for i in range(int(slot.max(initial=-1)) + 1)]
    orders = thread_orders(wanted, [division.threads.index(name) for name in schedule.threads])
    rank = [orders[i].index(one) for i, one in zip(slot.tolist(), thread.tolist(), strict=True)]
    place = np.column_stack([slot, np.array(rank, dtype=np.intp), group])
    job = np.unique(place, axis=0, return_inverse=True)[1].reshape(-1)
    order = np.argsort(job, kind="stable")
    pieces = np.split(order, np.flatnonzero(np.diff(job[order])) + 1) if len(asked) else []
    groups = (*division.groups, Group("", ()))
    for piece in pieces:
        one = int(asked[piece[0]])
        whole_job = Job(
            int(division.band[one]) + 1,
            schedule.stages[weights.stage[one]].name,
            asked[piece],
            division.threads[division.thread[one]],
            groups[group[piece[0]]].name,
            division.reached[division.band[one]] if division.reached else None,
            bool(seams[weights.stage[one]]),
            row=groups[group[piece[0]]].row,
            turn=groups[group[piece[0]]].turn,
        )
        yield from _parted(whole_job, division.alone[asked[piece]])


def _parted(job: Job, alone: NDArray[np.bool_]) -> Iterator[Job]:
    """Part what no line touches from the rest, if there is any of both."""
    if alone.all() or not alone.any():
        yield job
    else:
        yield replace(job, edges=job.edges[alone], alone=True)
        yield replace(job, edges=job.edges[~alone], after_alone=True)


def _of_seams(schedule: ScheduleSettings) -> NDArray[np.bool_]:
    """Tell which stages are of nothing but seams and basting."""
    return np.array([all(role in SEAM_ROLES for role in stage.roles) for stage in schedule.stages])
