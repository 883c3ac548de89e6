"""Bands, stages, threads and groups: the jobs in order, each with its own small part of the network.

A band's stages are sewn one after another; within a stage, thread after thread; and with each thread, group
after group. A stage of nothing but seams and basting is sewn as a whole, since no fill ends on them yet. If
groups are finished one by one, each goes through all stages by itself. Threads that have no given order come
in the order that needs the fewest changes.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.lines import SEAM_ROLES
from stitchpath.planning.division import Division
from stitchpath.planning.threads import thread_orders
from stitchpath.planning.weights import Weights
from stitchpath.settings import ScheduleSettings

__all__ = ["Job", "list_jobs"]


@dataclass(frozen=True, eq=False)
class Job:
    """What is routed at once: the edges of one band, stage, thread and group that were asked for.

    `reached` are all edges that lie in the band's reach, ascending; None: all of the network's. `seams_only`
    says that its stage is one of nothing but seams and basting.
    """

    band: int
    stage: str
    edges: NDArray[np.intp]
    thread: str = ""
    group: str = ""
    reached: NDArray[np.intp] | None = None
    seams_only: bool = False

    def may_run_on_from(self, before: "Job") -> bool:
        """Tell whether a path of the job before may run on into this one."""
        return (before.band, before.thread) == (self.band, self.thread)


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
            bool(seams[weights.stage[one]]),
        )


def _of_seams(schedule: ScheduleSettings) -> NDArray[np.bool_]:
    """Tell which stages are of nothing but seams and basting."""
    return np.array([all(role in SEAM_ROLES for role in stage.roles) for stage in schedule.stages])
