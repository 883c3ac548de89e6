"""Lines as they can be sewn: cut at keep-outs, and made one where a needle cannot tell them apart.

All that may be sewn or travelled goes through here, whether asked for or not: lines, hidden seams, the edge
line. They are cut at every keep-out that they enter deeper than noding may move them. Hidden seams are cut,
too, since an appliqué with only its inside outline has a keep-out that may reach over its block's seam, and
the seam was sewn through it (2026-11-30).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from stitchpath.errors import Finding
from stitchpath.geometry.clear import entered, parts_outside
from stitchpath.geometry.lengths import linestrings
from stitchpath.geometry.noding import GRID_MM
from stitchpath.geometry.snapped import snapped
from stitchpath.lines import COVERED_MM, HIDDEN_ROLES, ROLES, KeepOut, Line, motif_name
from stitchpath.units import Unit, format_length

__all__ = ["DEEP_MM", "sewable"]

DEEP_MM = COVERED_MM - GRID_MM
"""A line enters a keep-out that it is deeper in than this: noding may move it a little deeper."""

_LEAST_LEFT_MM = 0.1
"""What is left of a line between two keep-outs is no line if it is shorter."""


def sewable(
    lines: Sequence[Line], keep_outs: Sequence[KeepOut], *, unit: Unit = "mm"
) -> tuple[tuple[Line, ...], tuple[Finding, ...]]:
    """Return lines as they can be sewn, and notes on what is left out of the lines asked for.

    Parameters
    ----------
    lines
        Asked ones and hidden seams.
    keep_outs
        Where no stitch may go.
    unit
        In which to tell lengths.

    Returns
    -------
    tuple of Line, tuple of Finding
        In the same order; a line that runs through a keep-out makes several, and one that lies in it none.

    Examples
    --------
    >>> from stitchpath.lines import Role
    >>> seam = Line([(0, 0), (90, 0)], Role.DITCH, motif="ditch")
    >>> lines, notes = sewable([seam], [KeepOut(shapely.box(30, -9, 60, 9), "pear")])
    >>> [line.points_mm.tolist() for line in lines]
    [[[0.0, 0.0], [30.0, 0.0]], [[60.0, 0.0], [90.0, 0.0]]]
    >>> notes[0].message
    'ditch: a line loses 30 mm, where the keep-out of pear reaches over'
    >>> sewable([], [])
    ((), ())
    """
    clear, lost = _clear(lines, keep_outs)
    order = sorted(range(len(clear)), key=lambda i: list(ROLES).index(clear[i].role))
    moved = dict(zip(order, snapped([clear[i].points_mm for i in order]), strict=True))
    if any(moved[i] is not line.points_mm for i, line in enumerate(clear)):
        clear, more = _clear([replace(line, points_mm=moved[i]) for i, line in enumerate(clear)], keep_outs)
        lost += more
    return tuple(clear), tuple(_told(lost, unit))


@dataclass(frozen=True, slots=True)
class _Lost:
    """What a keep-out takes from a line: the motifs of both, how much, and where."""

    motifs: tuple[str, str]
    mm: float
    place_mm: tuple[float, float]


def _clear(lines: Sequence[Line], keep_outs: Sequence[KeepOut]) -> tuple[list[Line], list[_Lost]]:
    """Cut lines at the keep-outs that they enter."""
    polygons = np.array([keep_out.polygon for keep_out in keep_outs], dtype=object)
    drawn = linestrings([line.points_mm for line in lines])
    if not (len(drawn) and len(polygons)):
        return list(lines), []
    found = entered(drawn, polygons, over_mm=DEEP_MM)
    own = dict(zip(*np.unique(found.line, return_index=True), strict=True))
    clear, lost = list[Line](), list[_Lost]()
    for i, line in enumerate(lines):
        if i not in own:
            clear.append(line)
            continue
        inside = polygons[found.polygon[found.line == i]]
        parts = parts_outside(drawn[i], inside, least_mm=_LEAST_LEFT_MM)
        clear += [replace(line, points_mm=shapely.get_coordinates(part)) for part in parts]
        if line.role not in HIDDEN_ROLES:
            names = line.motif or str(line.role), keep_outs[int(found.polygon[own[i]])].motif
            within = shapely.get_geometry(shapely.intersection(drawn[i], inside[0]), 0)
            place = shapely.line_interpolate_point(within, 0.5, normalized=True)
            left_out = drawn[i].length - sum(part.length for part in parts)
            lost.append(_Lost((motif_name(names[0]), motif_name(names[1])), left_out, (place.x, place.y)))
    return clear, lost


def _told(lost: Sequence[_Lost], unit: Unit) -> Iterator[Finding]:
    """Tell once for each two motifs what the keep-outs of the one take from the lines of the other."""
    for motifs in dict.fromkeys(one.motifs for one in lost):
        own = [one for one in lost if one.motifs == motifs]
        length = format_length(sum(one.mm for one in own), unit)
        count = f"{len(own)} lines lose {length} in all" if len(own) > 1 else f"a line loses {length}"
        said = f"{motifs[0]}: {count}, where the keep-out of {motifs[1]} reaches over"
        yield Finding("keep-out", said, own[0].place_mm)
