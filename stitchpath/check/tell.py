"""What is worth knowing about a plan that passes: what is left to the hand, and ends in open cloth.

How many paths it costs that a frame may not travel along what is left to the hand is estimated from where
paths end: half as many as there are ends on such lines. Both ways planned at effort "quick" on 2026-11-30,
estimated and saved: seams of Winter Orchard 863 and 856, its basting 229 and 219, its fill 18 and 17; seams
of Duck Pond 231 and 228, of Low Hedge 118 and 116, its outlines 4 and 12.
"""

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.check.rules.evidence import Asked
from stitchpath.drawing import Drawing
from stitchpath.lines import COVERED_MM, ROLE_NAMES, SEAM_ROLES, Line, Role, motif_name
from stitchpath.plan import StitchPath
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings
from stitchpath.words import WARNING

__all__ = ["left_to_hand", "tell_of_paths"]

_PLURALS = {
    Role.BASTE: "basting lines",
    Role.DITCH: "seams in the ditch",
    Role.STRIP: "strips",
    Role.OUTLINE: "outlines",
    Role.FILL: "fill lines",
    Role.ECHO: "echoes",
    Role.DRAWN: "drawn lines",
}
_SINGULARS = {**ROLE_NAMES, Role.DITCH: "seam in the ditch"}

_FEWEST_ENDS, _LEAST_SHARE = 4, 0.1
"""Ends on lines left to the hand, and their share of all, that are worth a warning: with fewer, travel there
saved one path at most in nine cases of four designs (2026-11-30)."""

_FIRST = 10
"""Numbers of paths that a sentence names: about a line of text."""


def tell_of_paths(
    paths: Sequence[StitchPath],
    drawing: Drawing,
    *,
    cost: CostSettings | None = None,
    machine: MachineSettings | None = None,
    schedule: ScheduleSettings | None = None,
) -> tuple[str, ...]:
    """Return what to know of paths that hold, in sentences; it is nothing wrong.

    Parameters
    ----------
    paths
        In sewing order, as read from a file.
    drawing
        What is to be sewn.
    cost, machine, schedule
        For where paths should end, and for what is left to the hand; the defaults if left out.

    Examples
    --------
    >>> from stitchpath.plan import Move, Span
    >>> line = Line([(0, 0), (9, 0)])
    >>> path = StitchPath(line.points_mm, (Span(Move.SEW, 0, 1),))
    >>> print(*tell_of_paths([path], Drawing(lines=(line,)), cost=CostSettings(open_ends=False)))
    2 ends lie in open cloth, unasked, since no line leads from there to a seam: of path 1
    >>> tell_of_paths([], Drawing(lines=()))
    ()
    """
    asked = Asked(drawing, machine=machine or MachineSettings(), schedule=schedule or ScheduleSettings())
    told = left_to_hand(drawing, machine=asked.machine, schedule=asked.schedule)
    told = (*told, *_stopped_by_hand(paths, asked))
    return told if (cost or CostSettings()).open_ends else (*told, *_open_ends(paths, drawing))


def left_to_hand(
    drawing: Drawing, *, machine: MachineSettings, schedule: ScheduleSettings
) -> tuple[str, ...]:
    """Return in sentences which lines a frame leaves to be guided by hand.

    Parameters
    ----------
    drawing
        All lines asked for.
    machine
        Who sews: where the hand does, nothing is left to it.
    schedule
        Names what is left.

    Returns
    -------
    tuple of str
        One for each role and motif; empty where nothing is left.

    Examples
    --------
    >>> drawing = Drawing(lines=(Line([(0, 0), (0, 1700)], Role.OUTLINE, motif="pear: outside outline"),) * 2)
    >>> left_to_hand(drawing, machine=MachineSettings(), schedule=ScheduleSettings(by_hand=["outline"]))
    ('left to the hand, before each band: 2 outlines (pear), 3.4 m',)
    >>> left_to_hand(drawing, machine=MachineSettings(), schedule=ScheduleSettings())
    ()
    """
    kinds: dict[tuple[Role, str], list[Line]] = {}
    for line in drawing.lines:
        if schedule.leaves_to_hand(line, machine):
            kinds.setdefault((line.role, motif_name(line.motif)), []).append(line)
    when = f"left to the hand, {schedule.hand_when}"
    return tuple(_left(when, role, motif, lines) for (role, motif), lines in kinds.items())


def _left(when: str, role: Role, motif: str, lines: Sequence[Line]) -> str:
    words = (_SINGULARS if len(lines) == 1 else _PLURALS)[role]
    length = sum(line.length_mm for line in lines) / 1000
    return f"{when}: {len(lines):,} {words}{f' ({motif})' if motif else ''}, {length:,.1f} m"


def _stopped_by_hand(paths: Sequence[StitchPath], asked: Asked) -> Iterator[str]:
    """Warn of many paths that end on lines left to the hand, where the frame may not travel."""
    if asked.schedule.travels_by_hand or not asked.left.any():
        return
    left = [line for line, hand in zip(asked.drawing.lines, asked.left.tolist(), strict=False) if hand]
    tree = shapely.STRtree([shapely.LineString(line.points_mm) for line in left])
    places = shapely.points(_ends(paths))
    ends = len(np.unique(tree.query(places, predicate="dwithin", distance=COVERED_MM)[0]))
    if ends >= _FEWEST_ENDS and ends >= _LEAST_SHARE * len(places):
        yield (
            f"{WARNING}{ends:,} of {len(places):,} ends of paths lie on lines left to the hand, since the "
            "frame may not travel there; with travel_by_hand = true under [schedule] it may, which would "
            f"save about {ends // 2:,} of {len(paths):,} paths (an estimate from where they end)"
        )


def _ends(paths: Sequence[StitchPath]) -> NDArray[np.float64]:
    """Return where paths begin and end, (2 N, 2)."""
    return np.concatenate([np.zeros((0, 2)), *(path.coordinates_mm[[0, -1]] for path in paths)])


def _open_ends(paths: Sequence[StitchPath], drawing: Drawing) -> Iterator[str]:
    """Tell which paths end where neither a seam nor basting nor the binding allowance is near, and why."""
    lines = (*drawing.lines, *drawing.hidden)
    shapes = np.array([shapely.LineString(line.points_mm) for line in lines], dtype=object)
    seam = np.array([line.role in SEAM_ROLES for line in lines], dtype=bool)
    ends = _ends(paths)
    places = shapely.points(ends)
    near, _ = shapely.STRtree(shapes[seam]).query(places, predicate="dwithin", distance=COVERED_MM)
    open_ends = np.setdiff1d(np.arange(len(ends)), near)
    if not len(open_ends):
        return
    part = _hanging_together(shapes)
    end, line = shapely.STRtree(shapes).query(places[open_ends], predicate="dwithin", distance=COVERED_MM)
    able = np.isin(part[line], part[seam])
    joined = np.unique(open_ends[end[able]])
    for which, why in (
        (np.setdiff1d(open_ends, joined), "no line leads from there to a seam"),
        (joined, "no line that leads to a seam is in reach, or may be sewn once more"),
    ):
        if len(which):
            yield _told_open(which, why)


def _told_open(ends: NDArray[np.intp], why: str) -> str:
    numbers = np.unique(ends // 2 + 1).tolist()
    told = ", ".join(map(str, numbers[:_FIRST])) + (" and more" if len(numbers) > _FIRST else "")
    count = f"{len(ends):,} ends lie" if len(ends) > 1 else "1 end lies"
    return f"{count} in open cloth, unasked, since {why}: of path{'s' * (len(numbers) > 1)} {told}"


def _hanging_together(shapes: NDArray[np.object_]) -> NDArray[np.int32]:
    """Return for each line a number that it shares with all that it meets, one way or another."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    one, other = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=COVERED_MM)
    links = coo_array((np.ones(len(one), np.int8), (one, other)), shape=(len(shapes), len(shapes)))
    label: NDArray[np.int32] = connected_components(links, directed=False)[1]
    return label
