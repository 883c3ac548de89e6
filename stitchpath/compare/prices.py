"""What each wish costs: cuts, ends in open cloth, travel, time and cost, and which paths change."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from stitchpath.compare.whatif import WhatIf, Wished
from stitchpath.compare.wishes import Wish
from stitchpath.errors import refuse_other
from stitchpath.figures import Figures, plan_figures
from stitchpath.plan import Plan, StitchPath

__all__ = ["Price", "changed_paths", "wish_table"]

_SAME_DECIMALS = 3
"""Paths are the same if the files cannot tell them apart: in millimetres."""


@dataclass(frozen=True, slots=True)
class Price:
    """What a wish costs against the plan without it: above zero where it takes more.

    Attributes
    ----------
    wish
        The wish.
    problem
        Why it cannot be had; then the other figures are zero.
    asked_already
        Whether the design is planned so anyway.
    cuts
        Paths more: each is cut off once.
    open_ends
        Path ends in open cloth more.
    travel_mm, time_s, cost_s
        More of each. The cost is counted from the paths with what shows as in the first plan, so that a wish
        that weighs it otherwise does not change the scale.
    changed
        The paths that change: of the wished plan those that are not in the first one, ascending, counted
        from 1.
    paths
        How many paths the wished plan has.
    open_ends_left
        Where the wish is for no ends in open cloth and the design is planned so anyway: how many there are
        all the same, where they cannot be avoided.
    """

    wish: Wish
    problem: str = ""
    asked_already: bool = False
    cuts: int = 0
    open_ends: int = 0
    travel_mm: float = 0.0
    time_s: float = 0.0
    cost_s: float = 0.0
    changed: tuple[int, ...] = ()
    paths: int = 0
    open_ends_left: int = 0


def wish_table(tried: WhatIf) -> tuple[Price, ...]:
    """Return what each wish costs, in the order of the wishes.

    Parameters
    ----------
    tried
        As `stitchpath.what_if` returns it.

    Raises
    ------
    DesignError
        If it is anything else.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> wish_table(WhatIf(Plan(Drawing(()), (), (), 0.0), ()))
    ()
    """
    refuse_other("tried", tried, WhatIf, "outcome of wishes", "give what what_if returns")
    if not tried.wished:
        return ()
    first = plan_figures(tried.plan)
    return tuple(_price(one, tried.plan, first) for one in tried)


def _price(wished: Wished, plan: Plan, first: Figures) -> Price:
    if wished.plan is None:
        return Price(wished.wish, wished.problem)
    if wished.plan is plan:
        left = first.open_ends if ("cost.open_ends", False) in wished.wish.changes else 0
        return Price(wished.wish, asked_already=True, paths=len(plan), open_ends_left=left)
    own = plan_figures(replace(wished.plan, cost_settings=plan.cost_settings))
    return Price(
        wished.wish,
        cuts=own.paths - first.paths,
        open_ends=own.open_ends - first.open_ends,
        travel_mm=own.travel_mm - first.travel_mm,
        time_s=own.times.total_s - first.times.total_s,
        cost_s=_counted(own) - _counted(first),
        changed=changed_paths(wished.plan.paths, plan.paths),
        paths=own.paths,
    )


def _counted(figures: Figures) -> float:
    return figures.ends_cost_s + figures.travel_cost_s + figures.leaving_cost_s


def changed_paths(paths: Sequence[StitchPath], others: Sequence[StitchPath]) -> tuple[int, ...]:
    """Return which paths are not among the others, whichever way either is sewn; counted from 1.

    Two paths are the same where their points are, to 0.001 mm.

    Examples
    --------
    >>> from stitchpath.plan import Move, Span
    >>> def path(*points):
    ...     return StitchPath(points, (Span(Move.SEW, 0, 1, 1),))
    >>> changed_paths([path((0, 0), (9, 0)), path((0, 0), (5, 0))], [path((9, 0), (0, 0))])
    (2,)
    >>> changed_paths([], [])
    ()
    """
    left = Counter(map(_either_way, others))
    changed = []
    for number, path in enumerate(paths, 1):
        key = _either_way(path)
        if left[key]:
            left[key] -= 1
        else:
            changed.append(number)
    return tuple(changed)


def _either_way(path: StitchPath) -> bytes:
    points = np.round(path.coordinates_mm, _SAME_DECIMALS) + 0.0
    return min(points.tobytes(), points[::-1].tobytes())
