"""What each edge of a network costs and may bear, from the table of roles, in whole units."""

from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from stitchpath.errors import DesignError
from stitchpath.lines import HIDDEN_ROLES, Line, Role
from stitchpath.network import Network
from stitchpath.postman.problem import to_whole, whole_unit
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings

__all__ = ["Weights", "weigh"]

_Number = TypeVar("_Number", np.float64, np.int64, np.intp)


@dataclass(frozen=True, eq=False)
class Weights:
    """What each edge costs and may bear.

    Attributes
    ----------
    unit_s
        Seconds in one whole unit.
    travel
        (m,) what travel over an edge costs, in whole units.
    end
        (n,) what a path's end at a junction costs, in whole units.
    most
        (m,) the most times an edge may be sewn.
    line
        (m,) the least visible asked line an edge stems from, counted from 0; -1 on a hidden seam.
    stage
        (m,) the earliest stage that asks for it; -1 on a hidden seam.
    """

    unit_s: float
    travel: NDArray[np.int64]
    end: NDArray[np.int64]
    most: NDArray[np.int64]
    line: NDArray[np.intp]
    stage: NDArray[np.intp]


def weigh(
    network: Network, *, cost: CostSettings, machine: MachineSettings, schedule: ScheduleSettings
) -> Weights:
    """Weigh a network.

    Lines that coincide count once, by the least visible role, the earliest stage and the greatest number of
    times.

    Raises
    ------
    DesignError
        If a line's role stands in no stage.
    """
    rules = cost.rules()
    names = list(Role)
    role = np.array([names.index(line.role) for line in network.lines], dtype=np.intp)
    per_source = role[network.line_of]
    shows = _least(network, np.array([rules[r].shows for r in names], dtype=np.float64)[per_source])
    end_shows = _least(network, np.array([rules[r].end_shows for r in names], dtype=np.float64)[per_source])
    seconds = network.length_mm / machine.sewing_speed_mm_s * shows
    path_cost = machine.path_cost_s if cost.path_cost_s is None else cost.path_cost_s
    ends = path_cost / 2 * _meeting(network, end_shows)
    unit = whole_unit(np.concatenate((seconds, ends)))
    return Weights(
        unit,
        to_whole(seconds, unit),
        to_whole(ends, unit),
        -_least(network, -np.array([rules[r].most_times for r in names], dtype=np.int64)[per_source]),
        _line(network, np.array([rules[r].shows for r in names], dtype=np.float64)[per_source]),
        _stage(network, schedule, names),
    )


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


def _line(network: Network, shows: NDArray[np.float64]) -> NDArray[np.intp]:
    asked = network.line_of < len(network.drawing.lines)
    edge, line = network.edge_of[asked], network.line_of[asked]
    order = np.lexsort((line, shows[asked], edge))
    chosen = np.full(len(network.tails), -1, dtype=np.intp)
    chosen[edge[order][::-1]] = line[order][::-1]
    return chosen


def _such_as(line: Line) -> str:
    return f", such as those of {line.motif}" if line.motif not in ("", line.role) else ""


def _stage(network: Network, schedule: ScheduleSettings, names: list[Role]) -> NDArray[np.intp]:
    of_role = {role: i for i, stage in enumerate(schedule.stages) for role in stage.roles}
    missing = next((x for x in network.drawing.lines if x.role not in of_role), None)
    if missing is not None:
        raise DesignError(
            f"no stage takes {missing.role} lines{_such_as(missing)}",
            f'add "{missing.role}" to a stage',
            key="schedule.stages",
        )
    late = len(schedule.stages)
    table = np.array([late if r in HIDDEN_ROLES else of_role.get(r, late) for r in names], dtype=np.intp)
    of_line = table[[names.index(line.role) for line in network.lines]] if network.lines else table[:0]
    stage = _least(network, of_line[network.line_of])
    return np.where(stage == late, -1, stage).astype(np.intp)
