"""The rural postman problem in arrays of whole numbers."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.errors import PostmanError

__all__ = ["MOST_TOTAL", "Problem", "to_whole", "whole_unit"]

MOST_TOTAL = 2**50
"""Sums of costs stay below this, so that float64 holds every distance exactly."""

_FINE_BITS = 23
"""A cost is rounded by 1.2e-7 of the greatest at most, and fits into the 24 bits of a matching's weight."""


def whole_unit(costs: NDArray[np.float64]) -> float:
    """Choose the unit in which costs become whole numbers.

    Whole numbers stay themselves. Else it is a power of two: the coarsest in which all costs are exact, or,
    where that is too fine, the one in which the greatest cost has 23 bits.

    Parameters
    ----------
    costs
        Any number of finite costs >= 0, in the caller's unit.

    Returns
    -------
    float
        The caller's unit in one whole unit.

    Raises
    ------
    PostmanError
        If a cost is negative or not finite.

    Examples
    --------
    >>> whole_unit(np.array([3.0, 40.0])), whole_unit(np.array([0.5, 2.25])), whole_unit(np.array([]))
    (1.0, 0.25, 1.0)
    >>> whole_unit(np.array([0.1, 200.0])) == 2.0**-15
    True
    """
    costs = np.asarray(costs, np.float64)
    if costs.size and not (np.isfinite(costs).all() and costs.min() >= 0):
        worst = _worst(costs)
        raise PostmanError(f"a cost of {worst} is no cost", "costs are finite numbers >= 0", value=worst)
    greatest = float(costs.max(initial=0.0))
    if costs.sum() < MOST_TOTAL // 4 and (costs == np.round(costs)).all():
        return 1.0
    finest = int(np.frexp(greatest)[1]) - _FINE_BITS
    for power in range(max(finest, -1), finest, -1):
        scaled = np.ldexp(costs, -power)
        if (scaled == np.round(scaled)).all():
            return float(2.0**power)
    return float(2.0**finest)


def _worst(costs: NDArray[np.float64]) -> float:
    return float(costs[~(np.isfinite(costs) & (costs >= 0))][0])


def to_whole(costs: NDArray[np.float64], unit: float) -> NDArray[np.int64]:
    """Round costs to whole units.

    Examples
    --------
    >>> to_whole(np.array([0.5, 2.25]), 0.25), to_whole(np.array([]), 1.0)
    (array([2, 9]), array([], dtype=int64))
    """
    return np.rint(np.asarray(costs, np.float64) / unit).astype(np.int64)


@dataclass(frozen=True)
class Problem:
    """A rural postman problem: cover the required edges at least cost.

    Attributes
    ----------
    size
        Number of vertices, 0 to ``size - 1``.
    tails, heads
        (m,) ends of each edge; parallel edges and self-loops are allowed.
    cost
        (m,) of one traversal, whole units >= 0.
    required
        (m,) whether the edge must be traversed.
    extra
        (m,) most traversals beyond the required one: 0, 1 or 2.
    end_cost
        (size,) of one trail end at each vertex, -1 where no trail may end; None: one closed walk.
    unit
        The caller's unit in one whole unit.

    Raises
    ------
    PostmanError
        If an array has the wrong shape or a value is out of range.

    Examples
    --------
    >>> ends = np.array([0, 1]), np.array([1, 2])
    >>> two = Problem(3, *ends, np.array([4, 5]), np.array([True, False]), np.array([1, 2]), None)
    >>> two.cost
    array([4, 5])
    >>> none = np.array([])
    >>> Problem(0, none, none, none, none, none, None).cost
    array([], dtype=int64)
    """

    size: int
    tails: NDArray[np.intp]
    heads: NDArray[np.intp]
    cost: NDArray[np.int64]
    required: NDArray[np.bool_]
    extra: NDArray[np.int8]
    end_cost: NDArray[np.int64] | None
    unit: float = 1.0

    def __post_init__(self) -> None:
        kinds = {"tails": np.intp, "heads": np.intp, "cost": np.int64, "required": np.bool_, "extra": np.int8}
        for name, kind in kinds.items():
            _freeze(self, name, kind, len(np.atleast_1d(self.tails)))
        if self.end_cost is not None:
            _freeze(self, "end_cost", np.int64, self.size)
        _check_ranges(self)


def _freeze(problem: Problem, name: str, kind: type[np.generic], length: int) -> None:
    given = np.asarray(getattr(problem, name))
    if given.shape != (length,):
        said, remedy = f"{name} has shape {given.shape}", f"it must be ({length},)"
        raise PostmanError(said, remedy, place=name, value=given.shape)
    array = given.astype(kind)
    if (array != given).any():
        wrong = given[array != given][0]
        said = f"{name} holds {wrong}, which is no {np.dtype(kind).name}"
        raise PostmanError(said, place=name, value=wrong)
    array.setflags(write=False)
    object.__setattr__(problem, name, array)


def _check_ranges(problem: Problem) -> None:
    ranges = [("tails", 0, problem.size - 1), ("heads", 0, problem.size - 1), ("extra", 0, 2)]
    ranges += [("cost", 0, MOST_TOTAL), ("end_cost", -1, MOST_TOTAL)]
    for name, least, most in ranges:
        array = getattr(problem, name)
        if array is not None and array.size and not least <= array.min() <= array.max() <= most:
            wrong = int(np.flatnonzero((array < least) | (array > most))[0])
            said, remedy = f"{name}[{wrong}] is {array[wrong]}", f"it must be from {least} to {most}"
            raise PostmanError(said, remedy, place=f"{name}[{wrong}]", value=array[wrong])
    ends = (
        0.0 if problem.end_cost is None else float(np.clip(problem.end_cost, 0, None).sum(dtype=np.float64))
    )
    if float(problem.cost.sum(dtype=np.float64)) + ends > MOST_TOTAL:
        raise PostmanError("the costs add up to over 2**50 whole units", "choose a coarser unit")
