"""Numbers as files hold them: fixed decimals, a decimal point, no ``nan``, no ``-0.000``."""

import numpy as np
from numpy.typing import NDArray

from stitchpath.errors import DesignError, refuse_other
from stitchpath.plan import Plan, StitchPath

__all__ = ["check_paths", "fixed", "fixed_cells", "fixed_pairs", "path_data"]

_FARTHEST_WRITTEN_MM = 1e7
"""Ten times as far as lines may lie; with so many digits 3 decimals are exact."""


def fixed(value: float, decimals: int = 3) -> str:
    """Write a number with fixed decimals.

    Raises
    ------
    ValueError
        If it is not finite.

    Examples
    --------
    >>> fixed(12.7), fixed(-0.0004), fixed(1, 0)
    ('12.700', '0.000', '1')
    """
    if not np.isfinite(value):
        raise ValueError(f"{value} cannot be written; give a finite number")
    return f"{round(float(value), decimals) + 0.0:.{decimals}f}"


def fixed_cells(points: NDArray[np.float64], *, decimals: int = 3) -> list[tuple[str, str]]:
    """Write points as two numbers each.

    Examples
    --------
    >>> fixed_cells(np.array([[0.0, -0.0001], [12.7, 3.0]]), decimals=1)
    [('0.0', '0.0'), ('12.7', '3.0')]
    >>> fixed_cells(np.empty((0, 2)))
    []
    """
    pattern = f"%.{decimals}f"
    return [(pattern % x, pattern % y) for x, y in (np.round(points, decimals) + 0.0).tolist()]


def fixed_pairs(points: NDArray[np.float64], *, decimals: int = 3, separator: str = ",") -> list[str]:
    """Write points as pairs of numbers.

    Parameters
    ----------
    points
        (N, 2)
    decimals
        How many follow the point.
    separator
        Between the two of a pair.

    Returns
    -------
    list of str
        One for each point.

    Examples
    --------
    >>> fixed_pairs(np.array([[0.0, -0.0001], [12.7, 3.0]]), decimals=1)
    ['0.0,0.0', '12.7,3.0']
    >>> fixed_pairs(np.empty((0, 2)))
    []
    """
    pattern = f"%.{decimals}f{separator}%.{decimals}f"
    return [pattern % (x, y) for x, y in (np.round(points, decimals) + 0.0).tolist()]


def path_data(points: NDArray[np.float64], *, decimals: int = 3) -> str:
    """Write points as the data of one unbroken SVG path; it closes by its last point, not by a command.

    Examples
    --------
    >>> path_data(np.array([[0, 0], [1, 0], [0, 0]]), decimals=1)
    'M 0.0,0.0 L 1.0,0.0 0.0,0.0'
    >>> path_data(np.empty((0, 2)))
    ''
    """
    first, *others = fixed_pairs(points, decimals=decimals) or [""]
    return f"M {first} L {' '.join(others)}" if others else ""


def check_paths(plan: Plan) -> None:
    """See that every path can be written.

    Raises
    ------
    DesignError
        If it is no plan, or a path has under two points, a point that is not finite or absurdly far out, or
        spans that leave points out; it names the path.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> check_paths(Plan(Drawing(()), (), (), 0.0))
    >>> check_paths(Plan(Drawing(()), (StitchPath([(0, 0)], ()),), (), 0.0))
    Traceback (most recent call last):
    stitchpath.errors.DesignError: path 1 has 1 points and 0 spans; give every path two points or more, ...
    """
    refuse_other("plan", plan, Plan, "plan", "give a Plan, such as make_plan returns")
    for number, path in enumerate(plan.paths, 1):
        problem = _problem(path)
        if problem:
            raise DesignError(
                f"path {number} {problem}", "give every path two points or more, and spans over all of them"
            )


def _problem(path: StitchPath) -> str:
    points = path.coordinates_mm
    if len(points) < 2 or not path.spans:
        return f"has {len(points)} points and {len(path.spans)} spans"
    bad = ~(np.abs(points) < _FARTHEST_WRITTEN_MM).all(axis=1)
    if bad.any():
        x, y = points[int(bad.argmax())]
        return f"has a point at ({x:g}, {y:g}) mm"
    ends = [0, *(span.last for span in path.spans)]
    whole = [span.first for span in path.spans] == ends[:-1] and ends[-1] == len(points) - 1
    return (
        "" if whole and ends == sorted(ends) else "has spans that do not run from its first point to its last"
    )
