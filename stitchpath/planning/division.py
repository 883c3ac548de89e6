"""What is sewn in which band, by which group, and with which thread.

A block that fits in the reach is one unit, and lies in one band. Everything else is parted at its junctions:
each piece of a seam, of the basting or of a line in a border is a unit, and where two that follow each other
on a line come into different bands, the line is cut there. In a seam a cut does not show and costs nothing;
elsewhere it costs what the two ends cost.

A unit is let down to the next seam between rows where it still fits, so that bands close there. Without that
they did not close at seams on tops with borders, whose lines end anywhere (2026-11-26).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from stitchpath.design.listed import refuse_names, refuse_turns
from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.geometry.pieces import Tallest
from stitchpath.lines import RESUME_MM, SEAM_ROLES, Line, motif_name
from stitchpath.planning.bands import Links, choose_bands
from stitchpath.planning.groups import Group, group_blocks, group_edges
from stitchpath.planning.network import Network, who
from stitchpath.planning.outlines import untouched
from stitchpath.planning.reach import Reach, too_tall
from stitchpath.planning.weights import Weights
from stitchpath.settings import MachineSettings, ScheduleSettings
from stitchpath.units import format_length

__all__ = ["Division", "Windows", "divide", "tallest_edge"]

_PIECES = 8
"""A line that does not fit is cut into pieces of this share of the reach, so that bands can part it almost
anywhere: chosen."""
_IN_REACH_MM = 1e-3
"""How far a window is stretched: by what noding moves points."""

Windows = tuple[tuple[float, float], ...]

_Ints = NDArray[np.intp]
_Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Division:
    """Where each edge belongs; arrays are (m,), and mean nothing where an edge is not asked for.

    Attributes
    ----------
    windows
        What each band reaches down the frame, in millimetres; none where nothing limits it.
    band, group, thread
        Counted from 0.
    alone
        What lies on a line that no other line touches.
    groups, threads
        What `group` and `thread` count: groups in their order, threads as the lines name them.
    reached
        The edges that lie in each window, ascending.
    axis
        Which coordinate runs down the frame.
    resumes
        Where a cut line is taken up again: (junction, edge of the later band) -> edge of the earlier one.
    """

    windows: Windows
    band: _Ints
    group: _Ints
    thread: _Ints
    groups: tuple[Group, ...]
    threads: tuple[str, ...]
    alone: NDArray[np.bool_]
    reached: tuple[_Ints, ...] = ()
    axis: int = 1
    resumes: Mapping[tuple[int, int], int] = field(default_factory=dict)


def axis_of(machine: MachineSettings) -> int:
    """Return which coordinate runs down the frame."""
    return 0 if machine.sideways else 1


def reach_on(drawing: Drawing, machine: MachineSettings) -> Reach | None:
    """Return the frame's reach over all lines asked for, whoever sews them; None where there is no limit."""
    if machine.reach is None or not drawing.lines:
        return None
    down = np.concatenate([line.points_mm for line in drawing.lines])[:, axis_of(machine)]
    last = machine.reach if machine.last_reach is None else machine.last_reach
    return Reach(machine.reach, last, float(down.min()), float(down.max()))


def tallest_edge(drawing: Drawing, machine: MachineSettings, schedule: ScheduleSettings) -> Tallest | None:
    """Return which edges that nothing cuts are too tall; None where that is not limited, or is an error.

    Parameters
    ----------
    drawing
        For the window's place down the top.
    machine
        What a frame reaches.
    schedule
        Whether lines may be cut.

    Returns
    -------
    Tallest or None
        Lengths in millimetres.

    Examples
    --------
    >>> from stitchpath import Drawing, Line
    >>> drawing = Drawing((Line([(0, 0), (0, 900)]),))
    >>> tall = tallest_edge(drawing, MachineSettings(reach=400), ScheduleSettings())
    >>> tall.fits(np.array([0.0]), np.array([900.0])).tolist()
    [False]
    >>> tallest_edge(drawing, MachineSettings(), ScheduleSettings()) is None
    True
    """
    reach = reach_on(drawing, machine)
    if reach is None or schedule.cuts == "none":
        return None

    def fits(low: _Floats, high: _Floats) -> NDArray[np.bool_]:
        return ~np.isin(np.arange(len(low)), too_tall(low, high, reach))

    return Tallest(axis_of(machine), fits, min(reach.first_mm, reach.last_mm) / _PIECES)


def divide(
    network: Network, weights: Weights, *, machine: MachineSettings, schedule: ScheduleSettings
) -> Division:
    """Divide what is asked for into bands, groups and threads.

    Parameters
    ----------
    network, weights
        What is asked for, and in which stage.
    machine
        What a frame reaches.
    schedule
        Groups, threads and cuts.

    Returns
    -------
    Division
        A band, a group and a thread for each edge.

    Raises
    ------
    DesignError
        If the top is wider than the frame, if a line that may not be cut is taller than the reach, or if the
        schedule names a group or a thread that does not exist.

    Examples
    --------
    >>> from stitchpath.planning.network import build_network
    >>> from stitchpath.planning.weights import weigh
    >>> from stitchpath.settings import CostSettings
    >>> network = build_network(Drawing(()))
    >>> asked = {"machine": MachineSettings(), "schedule": ScheduleSettings()}
    >>> divide(network, weigh(network, cost=CostSettings(), **asked), **asked).windows
    ()
    """
    given = schedule.groups_for(machine)
    down: Literal["row", "column"] | None
    down = None if machine.sewn_by == "hand" else "column" if machine.sideways else "row"
    blocks = network.drawing.blocks
    refuse_turns(schedule, [(block.name, block.kind) for block in blocks])
    groups = group_blocks(
        blocks, given, order=_order(schedule, machine, given), down=down, turns=[*map(schedule.turn, blocks)],
        borders=schedule.from_the_middle(machine),
    )  # fmt: skip
    group = group_edges(network, groups, weights.line)
    lines = network.drawing.lines
    threads = tuple(dict.fromkeys(line.thread for line in lines))
    thread = np.array([*(threads.index(line.thread) for line in lines), 0], dtype=np.intp)
    asked_for = (name for line in lines for name in (line.role, motif_name(line.motif)))
    refuse_names(schedule, threads=threads, asked=asked_for)
    asked = np.flatnonzero(weights.stage >= 0)
    _refuse_wide(network, asked, machine)
    band = np.zeros(len(network.tails), dtype=np.intp)
    whole = Division(
        (), band, group, thread[weights.line], groups, threads, untouched(network), axis=axis_of(machine)
    )
    reach = reach_on(network.drawing, machine)
    if reach is None or not len(asked):
        return whole
    return _banded(network, weights, asked, whole, reach, machine, schedule)


def _order(schedule: ScheduleSettings, machine: MachineSettings, given: str | Sequence[object]) -> str | None:
    """Return the order of groups: a list stands as it is, unless an order is asked for."""
    return schedule.order_for(machine) if isinstance(given, str) else schedule.order


def _refuse_wide(network: Network, asked: _Ints, machine: MachineSettings) -> None:
    if machine.width is None or not len(asked):
        return
    low, high = network.extents_mm(1 - axis_of(machine))
    across = float(high[asked].max() - low[asked].min())
    if across > machine.width + _IN_REACH_MM:
        raise DesignError(
            f"the top is {_told(across)} wide on the frame, which takes {_told(machine.width)}",
            "lay it the other way (sideways), or plan it in parts",
            key="machine.width",
        )


def _told(length_mm: float) -> str:
    return f"{format_length(length_mm, 'in')} ({format_length(length_mm)})"


def _banded(
    network: Network,
    weights: Weights,
    asked: _Ints,
    whole: Division,
    reach: Reach,
    machine: MachineSettings,
    schedule: ScheduleSettings,
) -> Division:
    low, high = network.extents_mm(whole.axis)
    links = _line_links(network, weights)
    tied = [_blocks_that_fit(network, weights, (low, high), reach)]
    tied.append(_run_past_steps(network, links, (low, high), reach))
    if schedule.cuts != "anywhere":
        tied.append(links.pairs[links.kept(schedule.cuts)])
    unit = _units(len(network.tails), asked, np.concatenate(tied))
    tops, bottoms = _extents(unit[asked], low[asked], high[asked])
    bottoms = _down_to_seams(tops, bottoms, network.drawing, whole.axis, reach)
    _refuse_tall(network, asked, weights.line, unit, (tops, bottoms), reach, schedule)
    inner = np.isin(links.pairs, asked).all(axis=1)
    pairs, junction = links.pairs[inner], links.junction[inner]
    ends = weights.unit_s * weights.end.astype(np.float64)
    groups = np.full(len(tops), -1, dtype=np.intp)
    if whole.groups:
        groups[unit[asked]] = whole.group[asked]
    chosen = choose_bands(
        _with_room(tops, bottoms, unit[pairs], reach),
        bottoms,
        reach,
        links=Links(
            unit[pairs[:, 0]], unit[pairs[:, 1]], np.where(weights.seam[junction], 0, 2 * ends[junction])
        ),
        groups=groups,
        half_sewn=machine.path_cost_s,
        advance=machine.advance_s,
        prefer=schedule.bands,
    )
    band = np.zeros(len(network.tails), dtype=np.intp)
    band[asked] = chosen.band[unit[asked]]
    resumes = dict(_resumes(pairs[chosen.cut], junction[chosen.cut], band))
    windows = tuple(_raised(chosen.windows_mm, float(low.min()), reach))
    inside = [(low >= start - _IN_REACH_MM) & (high <= end + _IN_REACH_MM) for start, end in windows]
    reached = tuple(np.flatnonzero(one) for one in inside)
    return replace(whole, windows=windows, band=band, reached=reached, resumes=resumes)


def _raised(windows: Windows, top: float, reach: Reach) -> Iterator[tuple[float, float]]:
    """Let windows start as high as the reach allows: there may be seams above the lines asked for."""
    for start, end in windows:
        yield min(start, max(float(reach.start(end)), top)), end


def _refuse_tall(
    network: Network,
    asked: _Ints,
    line: _Ints,
    unit: _Ints,
    extents: tuple[_Floats, _Floats],
    reach: Reach,
    schedule: ScheduleSettings,
) -> None:
    """Refuse what may not be cut and fits in no window; name a line of it."""
    tall = too_tall(*extents, reach)
    if len(tall):
        one = int(tall[0])
        top, bottom = extents[0][one], extents[1][one]
        edge = asked[np.flatnonzero(unit[asked] == one)[0]]
        which = network.lines[line[edge]]
        off = ', or let the hand sew it off the frame (schedule.by_hand_when = "before the frame")'
        raise DesignError(
            f"{who(which)} reaches over {_told(bottom - top)} and may not be cut, "
            f"and the frame reaches {_told(float(reach.at(top)))} there",
            'let lines be cut (schedule.cuts = "anywhere"), or leave out the reach'
            + (off if schedule.names_for_hand(which) else ""),
            key="machine.reach",
        )


def _resumes(pairs: _Ints, junctions: _Ints, band: _Ints) -> Iterator[tuple[tuple[int, int], int]]:
    for (a, b), junction in zip(pairs.tolist(), junctions.tolist(), strict=True):
        earlier, later = (a, b) if band[a] < band[b] else (b, a)
        yield (junction, later), earlier


@dataclass(frozen=True, eq=False)
class _LineLinks:
    """Pairs of edges that follow each other on a line, the junction between them, and that line."""

    pairs: _Ints
    junction: _Ints
    lines: tuple[Line, ...]

    def kept(self, cuts: str) -> NDArray[np.bool_]:
        """Tell which may not be parted."""
        seam = np.array([line.role in SEAM_ROLES for line in self.lines], dtype=bool)
        return np.ones(len(self.lines), dtype=bool) if cuts == "none" else ~seam


def _line_links(network: Network, weights: Weights) -> _LineLinks:
    """Find where asked lines run on from edge to edge; a line that crosses itself is paired in order."""
    sewn = (network.line_of < len(network.drawing.lines)) & (weights.stage[network.edge_of] >= 0)
    edge, line = (values[sewn] for values in (network.edge_of, network.line_of))
    junction = np.concatenate((network.tails[edge], network.heads[edge]))
    edge, line = np.concatenate((edge, edge)), np.concatenate((line, line))
    order = np.lexsort((edge, junction, line))
    edge, line, junction = edge[order], line[order], junction[order]
    begins = np.append(True, (np.diff(line) != 0) | (np.diff(junction) != 0))[: len(edge)]
    place = np.arange(len(edge)) - np.maximum.accumulate(np.where(begins, np.arange(len(edge)), 0))
    second = np.flatnonzero(place % 2 == 1)
    pairs = np.column_stack([edge[second - 1], edge[second]])
    return _LineLinks(pairs, junction[second], tuple(network.lines[i] for i in line[second].tolist()))


def _blocks_that_fit(
    network: Network, weights: Weights, extents: tuple[_Floats, _Floats], reach: Reach
) -> _Ints:
    """Return pairs of edges that lie in the same block, for blocks that fit in the reach."""
    place = {block.name: i for i, block in enumerate(network.drawing.blocks)}
    of_line = np.array([*(place.get(line.block, -1) for line in network.lines), -1], dtype=np.intp)
    block = np.where(weights.stage >= 0, of_line[weights.line], -1)
    edge = np.flatnonzero(block >= 0)
    edge = edge[np.argsort(block[edge], kind="stable")]
    if not len(edge):
        return np.zeros((0, 2), dtype=np.intp)
    index = np.unique(block[edge], return_inverse=True)[1]
    tall = too_tall(*_extents(index, extents[0][edge], extents[1][edge]), reach)
    fits = ~np.isin(index, tall)
    edge, index = edge[fits], index[fits]
    tied: _Ints = np.column_stack([edge[:-1], edge[1:]])[np.diff(index) == 0]
    return tied


def _run_past_steps(
    network: Network, links: _LineLinks, extents: tuple[_Floats, _Floats], reach: Reach
) -> _Ints:
    """Return pairs of edges that only a step over open cloth parts, of what fits in the reach as a whole.

    A step that nobody takes is no reason to part a ring between bands.
    """
    count, lines = len(network.junctions_mm), ~network.is_step
    ends = np.concatenate((network.tails[lines], network.heads[lines]))
    parted = np.bincount(ends, minlength=count) == 2
    steps = np.concatenate((network.tails[~lines], network.heads[~lines]))
    parted &= np.bincount(steps, minlength=count) > 0
    pairs: _Ints = links.pairs[parted[links.junction]]
    edges = np.unique(pairs)
    if not len(edges):
        return pairs
    unit = _units(len(network.tails), edges, pairs)
    tall = too_tall(*_extents(unit[edges], extents[0][edges], extents[1][edges]), reach)
    fits: _Ints = pairs[~np.isin(unit[pairs[:, 0]], tall)]
    return fits


def _down_to_seams(tops: _Floats, bottoms: _Floats, drawing: Drawing, axis: int, reach: Reach) -> _Floats:
    """Let units reach down to the next seam between rows if they still fit, so that bands close there."""
    seams = np.unique([block.box_mm[edge] for block in drawing.blocks for edge in (axis, axis + 2)])
    if not len(seams):
        return bottoms
    below = np.append(seams, np.inf)[np.searchsorted(seams, bottoms - _IN_REACH_MM)]
    lowered = np.where(below < np.inf, below, bottoms).clip(bottoms)
    lowered[too_tall(tops, lowered, reach)] = -np.inf
    snapped: _Floats = np.maximum(lowered, bottoms)
    return snapped


def _with_room(tops: _Floats, bottoms: _Floats, pairs: _Ints, reach: Reach) -> _Floats:
    """Let units that go on from others reach up to where a cut line is taken up again, if they fit."""
    later = np.where(bottoms[pairs[:, 0]] < bottoms[pairs[:, 1]], pairs[:, 1], pairs[:, 0])
    raised = tops.copy()
    raised[np.unique(later[pairs[:, 0] != pairs[:, 1]])] -= RESUME_MM
    raised[too_tall(raised, bottoms, reach)] = np.inf
    room: _Floats = np.minimum(raised, tops)
    return room


def _units(count: int, asked: _Ints, tied: _Ints) -> _Ints:
    """Return (count,) the unit of each asked edge, counted from 0; -1 for others."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    links: Any = coo_array((np.ones(len(tied), np.int8), (tied[:, 0], tied[:, 1])), shape=(count, count))
    label = connected_components(links, directed=False)[1][asked]
    unit = np.full(count, -1, dtype=np.intp)
    unit[asked] = np.unique(label, return_inverse=True)[1]
    return unit


def _extents(unit: _Ints, low: _Floats, high: _Floats) -> tuple[_Floats, _Floats]:
    """Return the top and the bottom of each unit."""
    count = int(unit.max(initial=-1)) + 1
    top, bottom = np.full(count, np.inf), np.full(count, -np.inf)
    np.minimum.at(top, unit, low)
    np.maximum.at(bottom, unit, high)
    return top, bottom
