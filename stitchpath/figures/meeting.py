"""Which lines of a drawing meet a place or run along a step, and which of their roles comes first."""

from collections.abc import Callable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.geometry.lengths import linestrings
from stitchpath.lines import COVERED_MM, Line, Role

__all__ = ["along", "first_roles", "near", "role_of"]


def role_of(drawing: Drawing, line: int | None) -> Role:
    """Return the role of a line by its id; None is a hidden seam.

    Examples
    --------
    >>> role_of(Drawing(()), None)
    <Role.HIDDEN: 'hidden'>
    """
    return Role.HIDDEN if line is None else drawing.lines[line - 1].role


def first_roles(
    drawing: Drawing,
    own: Sequence[Role],
    ranked: Sequence[Role],
    meets: Callable[[Sequence[Line], NDArray[np.intp]], NDArray[np.intp]],
) -> list[Role]:
    """Return, for each of several things, the role that comes first of its own and those that it meets.

    Parameters
    ----------
    drawing
        Its lines and hidden seams.
    own
        The role that each thing is known to have.
    ranked
        All roles; the first ones go first.
    meets
        Given lines and the rows of some things, returns which of those things meet one of the lines, by
        their places among the rows, any number of times.

    Examples
    --------
    >>> first_roles(Drawing(()), [Role.FILL], list(Role), lambda lines, rows: rows)
    [<Role.FILL: 'fill'>]
    >>> first_roles(Drawing(()), [], list(Role), lambda lines, rows: rows)
    []
    """
    rank = np.array([ranked.index(role) for role in own], dtype=np.intp)
    by_role: dict[Role, list[Line]] = {}
    for line in drawing.lines + drawing.hidden:
        by_role.setdefault(line.role, []).append(line)
    for place, role in enumerate(ranked):
        later = np.flatnonzero(rank > place)
        if role in by_role and len(later):
            rank[later[meets(by_role[role], later)]] = place
    return [ranked[place] for place in rank]


def near(
    lines: Sequence[Line], places_mm: NDArray[np.float64], *, within_mm: float = COVERED_MM
) -> NDArray[np.intp]:
    """Return which places lie within a distance of which lines, (2, N) row numbers.

    Parameters
    ----------
    lines
        Any lines.
    places_mm
        (M, 2)
    within_mm
        How near counts.

    Returns
    -------
    ndarray
        (2, N): the place's row, and the line's.

    Examples
    --------
    >>> near([Line([(0, 0), (9, 0)])], np.array([(5.0, 0.0), (5.0, 1.0)])).tolist()
    [[0], [0]]
    >>> near([], np.array([(5.0, 0.0)])).tolist()
    [[], []]
    """
    tree = shapely.STRtree(linestrings([line.points_mm for line in lines]))
    return _near(tree, places_mm, within_mm)


def _near(tree: shapely.STRtree, places_mm: NDArray[np.float64], within_mm: float) -> NDArray[np.intp]:
    found = tree.query(shapely.points(places_mm), predicate="dwithin", distance=within_mm)
    return np.asarray(found, dtype=np.intp)


def along(
    lines: Sequence[Line], start_mm: NDArray[np.float64], end_mm: NDArray[np.float64]
) -> NDArray[np.intp]:
    """Return the steps whose points at 1/4, 1/2 and 3/4 all lie on the same line.

    Parameters
    ----------
    lines
        Any lines.
    start_mm, end_mm
        (M, 2) each.

    Returns
    -------
    ndarray
        Rows of the steps, rising.

    Examples
    --------
    >>> corner, ends = np.zeros((2, 2)), np.array([(9.0, 0.0), (0.0, 9.0)])
    >>> along([Line([(0, 0), (9, 0)])], corner, ends)
    array([0])
    """
    tree = shapely.STRtree(linestrings([line.points_mm for line in lines]))
    rows, found = np.arange(len(start_mm)), []
    # Most steps are found out by their middle.
    for share in (0.5, 0.25, 0.75):
        start, end = start_mm[rows], end_mm[rows]
        step, line = _near(tree, start + share * (end - start), COVERED_MM)
        found.append(rows[step] * len(lines) + line)
        rows = np.unique(rows[step])
    one, two, three = found
    both = np.intersect1d(np.intersect1d(one, two), three)
    return np.asarray(both // max(len(lines), 1), dtype=np.intp)
