"""What each edge of a network costs, and how often it may be sewn, by the table of roles; in whole units."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Self, TypeVar

import numpy as np
from numpy.typing import NDArray

from stitchpath.errors import DesignError
from stitchpath.lines import (
    PLAIN_TIMES,
    SEAM_ROLES,
    UNASKED_ROLES,
    Line,
    Role,
    RoleRule,
    least_visible_first,
)
from stitchpath.planning.network import Network
from stitchpath.planning.thread_travel import ThreadTravel, thread_travel
from stitchpath.postman.model.problem import to_whole, whole_unit
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings

__all__ = ["Weights", "times_built_up", "weigh"]

_Number = TypeVar("_Number", np.float64, np.int64, np.intp)


@dataclass(frozen=True, eq=False)
class Weights:
    """What each edge costs and may bear.

    Attributes
    ----------
    unit_s
        Seconds in one whole unit.
    travel
        (m,) what travel over an edge costs until thread builds up there, in whole units.
    end
        (n,) what a path's end at a junction costs, in whole units.
    most
        (m,) the most times an edge may be sewn.
    line
        (m,) the least visible asked line an edge stems from, counted from 0, of those not left to others
        if there are any; -1 on a hidden seam.
    stage
        (m,) the earliest stage that asks for it; -1 on a hidden seam, and on what is left to others.
    seam
        (n,) where a seam or the edge line ends or passes.
    seam_edge
        (m,) what lies in a seam or is the edge line.
    leaving
        What leaving a block for the one beside it costs, in whole units.
    threads
        In which thread each edge is sewn.
    over_others
        (m,) what travel over an edge costs a path of a thread that does not match the edge's, in whole units.
    builds_up, builds_up_over_others
        (m,) how much more than that each time after those costs, and the same over lines of another thread.
    open_ends
        Whether paths may end elsewhere, too.
    """

    unit_s: float
    travel: NDArray[np.int64]
    end: NDArray[np.int64]
    most: NDArray[np.int64]
    line: NDArray[np.intp]
    stage: NDArray[np.intp]
    seam: NDArray[np.bool_]
    seam_edge: NDArray[np.bool_]
    threads: ThreadTravel
    over_others: NDArray[np.int64]
    builds_up: NDArray[np.int64]
    builds_up_over_others: NDArray[np.int64]
    leaving: int = 0
    open_ends: bool = True

    def raised(self, price: NDArray[np.int64]) -> Self:
        """Return them with (m,) a price on top of what travel costs in any thread, in whole units."""
        return replace(self, travel=self.travel + price, over_others=self.over_others + price)

    def in_thread(self, thread: str) -> Self:
        """Return what edges cost and may bear for paths of one thread: a job's weights."""
        others = self.threads.others(thread)
        if not others.any():
            return self
        return replace(
            self,
            travel=np.where(others, self.over_others, self.travel),
            builds_up=np.where(others, self.builds_up_over_others, self.builds_up),
            most=np.where(others & self.threads.shut, 0, self.most),
        )

    def after(self, sewn: NDArray[np.int64]) -> Self:
        """Return what edges cost the next time, if (m,) each was sewn over so many times.

        Further times may cost more; what costs are asked for is a job's thread to say first.
        """
        if not self.builds_up.any():
            return self
        return replace(self, travel=self.travel + self.builds_up * times_built_up(sewn + 1))


def weigh(
    network: Network,
    *,
    cost: CostSettings,
    machine: MachineSettings,
    schedule: ScheduleSettings,
    of_hand: bool = False,
) -> Weights:
    """Weigh a network.

    Lines that coincide count once, by the least visible role, the earliest stage and the greatest number of
    times. Seams that are not to be sewn unseen may be sewn no times, and so may lines left to others unless
    they may be travelled: a frame leaves lines to the hand, and the hand in its part all others to the frame.

    Parameters
    ----------
    network
        What is to be weighed.
    cost
        The table of roles, and whether seams may be sewn unseen.
    machine
        Its speed, and what a path costs.
    schedule
        The stages, and what is left to the hand.
    of_hand
        Whether it is the hand's part that is weighed.

    Returns
    -------
    Weights
        Of edges (m,) and junctions (n,), in whole units of its `unit_s` seconds.

    Raises
    ------
    DesignError
        If a line's role stands in no stage.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.planning.network import build_network
    >>> network = build_network(Drawing((Line([(0, 0), (100, 0)]),)))
    >>> weights = weigh(network, cost=CostSettings(), machine=MachineSettings(), schedule=ScheduleSettings())
    >>> (weights.unit_s * weights.travel).round(3).tolist(), (weights.unit_s * weights.end).round(3).tolist()
    ([40.0], [120.0, 120.0])
    """
    rules = cost.rules()
    roles = [line.role for line in network.lines]

    def of(values: Mapping[Role, float]) -> NDArray[np.float64]:
        return np.array([values[role] for role in roles], dtype=np.float64)[network.line_of]

    shows = of({role: rules[role].shows for role in Role})
    seconds = network.length_mm / machine.speed_mm_s * _least(network, shows)
    more = seconds * _builds_up(network, rules, roles)
    path_cost = machine.path_cost_s if cost.path_cost_s is None else cost.path_cost_s
    end_shows = _meeting(network, _least(network, of({role: rules[role].end_shows for role in Role})))
    seam_edge = _least(network, of({role: float(role not in SEAM_ROLES) for role in Role})) == 0
    left = _left(network, machine, schedule, of_hand=of_hand)
    shut = left & (schedule.hand_first if of_hand else not schedule.travels_by_hand)
    shut |= np.array([role is Role.HIDDEN and not cost.hidden_seams for role in roles], dtype=bool)
    most = np.where(shut[network.line_of], 0, of({role: rules[role].most_times for role in Role}))
    line = _line(network, shows, left)
    threads = thread_travel(line, network.drawing.lines, schedule)
    often = -_least(network, -most.astype(np.int64))
    over_others = cost.other_thread_shows if threads.several else 1.0
    often_more = times_built_up(often)
    charged = (seconds + more * often_more) * over_others, more * (often_more > 0) * over_others
    unit = whole_unit(np.concatenate((seconds, *charged, path_cost / 2 * end_shows)))
    return Weights(
        unit,
        to_whole(seconds, unit),
        to_whole(path_cost / 2 * end_shows, unit),
        often,
        line,
        _stage(network, schedule, left),
        _meeting(network, np.where(seam_edge, 0.0, 1.0)) == 0,
        seam_edge,
        threads,
        to_whole(seconds * over_others, unit),
        to_whole(more, unit),
        to_whole(more * over_others, unit),
        int(to_whole(np.array([cost.leaving_block_s]), unit)[0]),
        cost.open_ends,
    )


def times_built_up(times: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return how many times more than plainly something is sewn over at each of some times.

    Examples
    --------
    >>> times_built_up(np.array([0, 1, 2, 3, 4])).tolist(), times_built_up(np.array([], int)).tolist()
    ([0, 0, 0, 1, 2], [])
    """
    more: NDArray[np.int64] = np.maximum(times - PLAIN_TIMES, 0)
    return more


def _builds_up(
    network: Network, rules: Mapping[Role, RoleRule], roles: Sequence[Role]
) -> NDArray[np.float64]:
    """Return by how much thread builds up on each edge, by its least visible role."""
    ranked = least_visible_first(rules)
    rank = np.array([ranked.index(role) for role in roles], dtype=np.intp)
    table = np.array([rules[role].builds_up for role in ranked], dtype=np.float64)
    return table[_least(network, rank[network.line_of])]


def _left(
    network: Network, machine: MachineSettings, schedule: ScheduleSettings, *, of_hand: bool
) -> NDArray[np.bool_]:
    """Return for each line whether somebody else is to sew it."""
    asked = len(network.drawing.lines)
    if of_hand:
        left = [i < asked and not schedule.names_for_hand(line) for i, line in enumerate(network.lines)]
    else:
        left = [schedule.leaves_to_hand(line, machine) for line in network.lines]
    return np.array(left, dtype=bool)


def _firsts(network: Network) -> NDArray[np.intp]:
    return np.searchsorted(network.edge_of, np.arange(len(network.tails)))


def _least(network: Network, values: NDArray[_Number]) -> NDArray[_Number]:
    """Return the least of the sources' values on each edge."""
    if not len(network.tails):
        return values[:0]
    least: NDArray[_Number] = np.minimum.reduceat(values, _firsts(network))
    return least


def _meeting(network: Network, values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the least of the edges' values at each junction."""
    least = np.full(len(network.junctions_mm), np.inf)
    np.minimum.at(least, network.tails, values)
    np.minimum.at(least, network.heads, values)
    return least


def _line(network: Network, shows: NDArray[np.float64], left: NDArray[np.bool_]) -> NDArray[np.intp]:
    asked = network.line_of < len(network.drawing.lines)
    edge, line = network.edge_of[asked], network.line_of[asked]
    order = np.lexsort((line, shows[asked], left[line], edge))
    chosen = np.full(len(network.tails), -1, dtype=np.intp)
    chosen[edge[order][::-1]] = line[order][::-1]
    return chosen


def _such_as(line: Line) -> str:
    return f", such as those of {line.motif}" if line.motif not in ("", line.role) else ""


def _stage(network: Network, schedule: ScheduleSettings, left: NDArray[np.bool_]) -> NDArray[np.intp]:
    of_role = {role: i for i, stage in enumerate(schedule.stages) for role in stage.roles}
    sewn = [line for line, others in zip(network.drawing.lines, left.tolist(), strict=False) if not others]
    missing = next((line for line in sewn if line.role not in of_role), None)
    if missing is not None:
        raise DesignError(
            f"no stage takes {missing.role} lines{_such_as(missing)}",
            f'add "{missing.role}" to a stage',
            key="schedule.stages",
        )
    late = len(schedule.stages)
    of_line = [late if line.role in UNASKED_ROLES else of_role.get(line.role, late) for line in network.lines]
    of_line_or_left = np.where(left, late, np.array(of_line, dtype=np.intp))
    stage = _least(network, of_line_or_left[network.line_of])
    return np.where(stage == late, -1, stage).astype(np.intp)
