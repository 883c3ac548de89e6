"""Keeps a figure that several outputs use, so that it is computed once for each plan."""

from collections.abc import Callable
from functools import wraps
from typing import TypeVar
from weakref import finalize

from stitchpath.plan import Plan

__all__ = ["once"]

T = TypeVar("T")


def once(figure: Callable[[Plan], T]) -> Callable[[Plan], T]:
    """Return a function that computes a figure of a plan once, and keeps it for as long as the plan lives.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> plan, seen = Plan(Drawing(()), (), (), 0.0), []
    >>> looked = once(seen.append)
    >>> looked(plan), looked(plan), len(seen)
    (None, None, 1)
    """
    known: dict[int, T] = {}

    @wraps(figure)
    def remembered(plan: Plan) -> T:
        if id(plan) not in known:
            known[id(plan)] = figure(plan)
            finalize(plan, known.pop, id(plan)).atexit = False
        return known[id(plan)]

    return remembered
