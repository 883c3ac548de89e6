"""A problem solved on fewer vertices, and the answer given for all of them.

See `stitchpath.postman.smaller.bypass`.

What fewer vertices gain (measured 2026-11-30; the gap between plan and bound in % of what travel and ends
cost, and seconds of CPU):

                                    gap without    with  s without   with
    crossings priced, 3 x 3 blocks                0.075    over 60   13.1
    1,000 random points                           1.407    over 60   11.1
    UR745                                 0.370   0.370        7.1    7.4
    jobs of blocks, 4 x 4                     0       0        4.2    4.7
"""

from dataclasses import replace

import numpy as np

from stitchpath.postman.cuts.columns import no_cuts
from stitchpath.postman.cuts.cutting_planes import Task
from stitchpath.postman.model.net import Copies, Net, capped, make_net, stripped
from stitchpath.postman.relaxed.outset import Outset
from stitchpath.postman.search.connect import Held
from stitchpath.postman.smaller.bypass import Bypassed, bypassed

__all__ = ["fewer", "on_fewer", "restored"]

_SHARE = 0.8
"""Not worth it if more vertices stay: on Winter Orchard fewer than a fifth are spared, and nothing is
gained."""


def fewer(task: Task) -> Bypassed | None:
    """Return a task's problem with fewer vertices; None where not many can be passed by."""
    kept = np.zeros(task.problem.size, bool)
    kept[task.doors] = True
    if task.start is not None:
        kept[task.start] = True
    smaller = bypassed(task.problem, kept)
    return smaller if len(smaller.vertices) <= _SHARE * task.problem.size else None


def on_fewer(task: Task, smaller: Bypassed) -> Task:
    """Return the task in the smaller problem's numbers."""
    start = None if task.start is None else int(smaller.nearest[task.start])
    return Task(smaller.problem, start, smaller.nearest[task.doors])


def restored(task: Task, outset: Outset, smaller: Bypassed, held: Held) -> Held:
    """Return what is known about a smaller problem, in the numbering of the whole one.

    What its bound rests on stays in its own numbers: a cut proves less here, on whichever side of it a vertex
    that was passed by is put.

    Parameters
    ----------
    task, outset
        The whole problem.
    smaller, held
        The smaller one, and what is known of it.
    """
    start = -1 if held.outset.start < 0 else int(smaller.vertices[held.outset.start])
    net, proven = make_net(task.problem, start=start), outset.goal - outset.refund
    plan = _plan(net, smaller, held)
    whole = Held(outset.begun_at(start, held.outset.refund, net), plan, proven, no_cuts(net))
    return whole.at_least(held.bound, replace(held.certificate, smaller=smaller))


def _plan(net: Net, smaller: Bypassed, held: Held) -> Copies:
    less, ends = held.outset.net, np.zeros(len(smaller.vertices), np.int64)
    if net.hub >= 0:
        np.add.at(ends, less.tails[less.asked :], held.plan[less.asked :])
    copies, stops = smaller.times(held.plan[: less.asked], ends)
    times = np.append(copies, np.where(net.required, 0, stops[net.tails])[net.asked :])
    return stripped(net, capped(net, times))
