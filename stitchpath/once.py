"""What several outputs tell of one plan is computed once."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar
from weakref import finalize

from stitchpath.plan import Plan

__all__ = ["once"]

P = ParamSpec("P")
T = TypeVar("T")


def once(figure: Callable[Concatenate[Plan, P], T]) -> Callable[Concatenate[Plan, P], T]:
    """Return a function that computes a figure of a plan once, and keeps it for as long as the plan lives.

    Parameters
    ----------
    figure
        A function of a plan and of other arguments, all of which can be hashed.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> plan, seen = Plan(Drawing(()), (), (), 0.0), []
    >>> looked = once(lambda plan, *, unit: seen.append(unit))
    >>> looked(plan, unit="mm"), looked(plan, unit="mm"), looked(plan, unit="in"), seen
    (None, None, None, ['mm', 'in'])
    """
    known: dict[int, dict[object, T]] = {}

    @wraps(figure)
    def remembered(plan: Plan, /, *given: P.args, **more: P.kwargs) -> T:
        key = (given, tuple(sorted(more.items())))
        if not isinstance(plan, Plan) or not _can_be_hashed(key):
            return figure(plan, *given, **more)  # which says what is wrong
        if id(plan) not in known:
            known[id(plan)] = {}
            finalize(plan, known.pop, id(plan)).atexit = False
        own = known[id(plan)]
        if key not in own:
            own[key] = figure(plan, *given, **more)
        return own[key]

    return remembered


def _can_be_hashed(key: object) -> bool:
    try:
        hash(key)
    except TypeError:
        return False
    return True
