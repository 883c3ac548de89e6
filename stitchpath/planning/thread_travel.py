"""Travel over lines that are sewn in another thread: where it is, what it costs, and where it may not be.

What lies on an edge follows from the design alone: it is sewn once, in the thread of its asked line, and a
job has one thread. So what travel costs a job is known before anything is routed, and plans and bounds use
the same costs. Later travel by a third thread does not change whose line it is.

A hidden seam is nobody's line and has no thread: whatever travels there sinks into the seam. It leaves thread
of its own colour, unseen, which makes the seam no line of that thread, so that other threads may travel there
afterwards and nothing is charged. So may they over basting, which is taken out or lies under the binding. A
line left to the hand has its own thread, whoever sews it.

Such travel shows five times as much by default: as much more as over a strip than in a seam. On Winter
Orchard with its seams in a thread of their own ("quick", 2026-11-30) that costs no path, and forbidding it
very many:

| times as much | paths | travel over others | cost |
| --- | --- | --- | --- |
| 1 | 79 | 22.7 m | 11,855 |
| 2 | 79 | 20.7 m | 12,251 |
| 5 | 79 | 20.5 m | 13,482 |
| 10 | 79 | 20.4 m | 15,522 |
| 20 | 93 | 17.3 m | 19,354 |
| forbidden | 941 | 0 m | 66,273 |
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.lines import COLOURLESS_ROLES, Line
from stitchpath.settings import ScheduleSettings

__all__ = ["ThreadTravel", "thread_travel"]


@dataclass(frozen=True, eq=False)
class ThreadTravel:
    """In which thread each edge is sewn, and what follows for travel in others.

    Attributes
    ----------
    number
        The number of each thread by its name; threads that match have the same.
    sewn
        (m,) the number of the thread that an edge is sewn in; -1 on a hidden seam or basting.
    shut
        (m,) where no thread may travel but the edge's own and those that match it.
    """

    number: Mapping[str, int]
    sewn: NDArray[np.intp]
    shut: NDArray[np.bool_]

    @property
    def several(self) -> bool:
        """Whether not all threads match."""
        return len({*self.number.values()}) > 1

    def others(self, thread: str) -> NDArray[np.bool_]:
        """Return (m,) which edges are sewn in a thread that does not match one; none if there is no such."""
        number = self.number.get(thread, -1)
        others: NDArray[np.bool_] = (self.sewn != number) & (self.sewn >= 0) & (number >= 0)
        return others


def thread_travel(line: NDArray[np.intp], lines: Sequence[Line], schedule: ScheduleSettings) -> ThreadTravel:
    """Return in which thread each edge is sewn, and where others may not travel.

    Parameters
    ----------
    line
        (m,) the asked line that each edge is sewn as, counted from 0; -1 on a hidden seam.
    lines
        The asked lines.
    schedule
        Which threads match, and over which no other may travel.

    Returns
    -------
    ThreadTravel
        Threads are numbered in the order in which lines name them.

    Examples
    --------
    >>> lines = [Line([(0, 0), (9, 0)], thread=name) for name in ("grey", "white", "silver")]
    >>> schedule = ScheduleSettings(matching_threads=[["grey", "silver"]], kept_clear=["white"])
    >>> found = thread_travel(np.array([0, 1, 2, -1]), lines, schedule)
    >>> found.others("grey").tolist(), found.shut.tolist()
    ([False, True, False, False], [False, True, False, False])
    >>> thread_travel(np.array([], int), [], schedule).others("grey").tolist()
    []
    """
    names = dict.fromkeys(line.thread for line in lines)
    order = list(dict.fromkeys(schedule.matched(name) for name in names))
    number = {name: order.index(schedule.matched(name)) for name in names}
    coloured = [line.role not in COLOURLESS_ROLES for line in lines]
    of_line = [number[line.thread] if told else -1 for line, told in zip(lines, coloured, strict=True)]
    clear = {name: schedule.keeps_clear(name) for name in names}
    shut = np.array([*(clear[line.thread] for line in lines), False], dtype=bool)
    return ThreadTravel(number, np.array([*of_line, -1], dtype=np.intp)[line], shut[line])
