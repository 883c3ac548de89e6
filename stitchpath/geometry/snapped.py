"""Lines that a needle cannot tell apart become one: points snap to points, and lines to points.

Lengths typed partly in inches and partly in millimetres, or an angle of 89.999 degrees, make lines that run a
thousandth of a millimetre apart, and ovals that miss a seam by as much. On the cloth they are one line, or
touch. Noded as they are, they became twins that both stemmed from both lines: a hidden seam was sewn as well,
a line up to eleven times.

So points within 0.008 mm of each other become one, and a line is led through a point that near. That distance
is twice what counts as covered, and more than the width of the check's gates, so that along a stretch lines
either coincide or are told apart by everybody. Points are snapped before lines: laying stretches onto one
another instead left hooks of a thousandth where closed lines close, and took 404,000 calls on a star of 2,000
lines (measured 2026-11-30).
"""

from collections import defaultdict
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

__all__ = ["SNAP_MM", "snapped"]

SNAP_MM = 0.008
"""Points no farther apart are one, and a line no farther from a point runs through it."""

_COINCIDES_MM = 1e-9
"""What is as near coincides, but for the last digits of its numbers."""
_ROUNDS = 20
"""How often lines are snapped again to what snapping has moved; chosen, so that it comes to an end."""

_Points = NDArray[np.float64]


def snapped(lines: Sequence[_Points]) -> list[_Points]:
    """Snap the points of lines to each other, and lines to the points that they pass.

    A line that is led through a point leaves others that ended on it: they are snapped in the next round,
    until nothing is left to snap.

    Parameters
    ----------
    lines
        (N, 2) points each, in millimetres. Of two points the later one is moved: the earliest that is near,
        not the nearest, which the last digits of numbers may tell otherwise on another machine. A line that
        would shrink to a point stays as it is.

    Returns
    -------
    list of ndarray
        The lines, as many and in the same order; those that stay are the very same arrays.

    Examples
    --------
    A fill line a hair off a seam, and an end that stops short of it:

    >>> seam, fill = np.array([(0.0, 0.0), (0.0, 90.0)]), np.array([(0.0, 0.0), (0.002, 90.0)])
    >>> end = np.array([(0.003, 40.0), (50.0, 40.0)])
    >>> [line.tolist() for line in snapped([seam, fill])]
    [[[0.0, 0.0], [0.0, 90.0]], [[0.0, 0.0], [0.0, 90.0]]]
    >>> [line.tolist() for line in snapped([seam, end])]
    [[[0.0, 0.0], [0.003, 40.0], [0.0, 90.0]], [[0.003, 40.0], [50.0, 40.0]]]
    >>> snapped([])
    []
    """
    done = list(lines)
    for _ in range(_ROUNDS):
        changed = _points_to_points(done)
        if not (_lines_to_points(done) or changed):
            break
    return done


def _points_to_points(lines: list[_Points]) -> bool:
    """Move points onto earlier ones; tell whether any was."""
    every = np.concatenate([np.zeros((0, 2)), *lines])
    points, first = np.unique(every, axis=0, return_index=True)
    drawn = shapely.points(points)
    one, two = shapely.STRtree(drawn).query(drawn, predicate="dwithin", distance=SNAP_MM)
    apart = np.hypot(*(points[one] - points[two]).T)
    kept = (one != two) & (apart > _COINCIDES_MM) & (apart <= SNAP_MM)
    near: dict[int, list[int]] = defaultdict(list)
    for a, b in zip(one[kept].tolist(), two[kept].tolist(), strict=True):
        near[a].append(b)
    onto: dict[int, int] = {}
    for point in sorted(near, key=first.__getitem__):
        stays = [other for other in near[point] if onto.get(other) == other]
        onto[point] = min(stays, key=first.__getitem__, default=point)
    moves = {tuple(points[a]): points[b] for a, b in onto.items() if a != b}
    changed = [_moved(lines, i, moves) for i in _owners(lines, every, moves)]
    return any(changed)


def _owners(lines: Sequence[_Points], every: _Points, moves: dict[tuple[float, ...], _Points]) -> list[int]:
    """Return which lines have points that are to be moved."""
    if not moves:
        return []
    owner = np.repeat(np.arange(len(lines)), [len(line) for line in lines])
    x = np.isin(every[:, 0], [place[0] for place in moves])
    owners: list[int] = np.unique(owner[x]).tolist()
    return owners


def _moved(lines: list[_Points], i: int, moves: dict[tuple[float, ...], _Points]) -> bool:
    points = np.array([moves.get(tuple(point), point) for point in lines[i]])
    points = points[np.append(True, (np.diff(points, axis=0) != 0).any(axis=1))]
    if len(points) < 2 or (len(points) == len(lines[i]) and (points == lines[i]).all()):
        return False
    lines[i] = points
    return True


def _lines_to_points(lines: list[_Points]) -> bool:
    """Lead lines through the points that they pass; tell whether any was."""
    every = np.concatenate([np.zeros((0, 2)), *lines])
    owner = np.repeat(np.arange(len(lines)), [len(line) for line in lines])
    at = np.flatnonzero((owner[1:] == owner[:-1]) & (every[1:] != every[:-1]).any(axis=1))
    start, along = every[at], every[at + 1] - every[at]
    points = np.unique(every, axis=0)
    steps = shapely.linestrings(np.stack((every[at], every[at + 1]), axis=1))
    step, point = shapely.STRtree(shapely.points(points)).query(steps, predicate="dwithin", distance=SNAP_MM)
    offset, length = points[point] - start[step], np.hypot(*along[step].T)
    foot = (offset * along[step]).sum(axis=1) / length
    across = np.abs(offset[:, 0] * along[step, 1] - offset[:, 1] * along[step, 0]) / length
    inner = (foot > SNAP_MM) & (length - foot > SNAP_MM)  # else points and steps would take turns for ever
    kept = inner & (across > _COINCIDES_MM) & (across <= SNAP_MM)
    through: dict[int, list[tuple[int, float, int]]] = defaultdict(list)
    for p, s, far in zip(point[kept].tolist(), step[kept].tolist(), foot[kept].tolist(), strict=True):
        through[int(owner[at[s]])].append((int(at[s]), far, p))
    first = np.searchsorted(owner, np.arange(len(lines)))
    for line, passed in through.items():
        order = sorted(passed)
        places = [place - int(first[line]) + 1 for place, _, _ in order]
        lines[line] = np.insert(lines[line], places, points[[p for _, _, p in order]], axis=0)
    return bool(through)
