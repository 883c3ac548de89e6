"""How far a plan may be over the least possible, in what a quilter sees: tie-offs and visible travel.

Cost, bound and gap are seconds and a share of them. Here the seconds between cost and bound are turned into
tie-offs in seams, or into travel over the least visible of the lines where it shows. A better plan can save
so much of either, unless it saves tie-offs in the binding allowance, or pays with more of the other.
"""

import math
from dataclasses import dataclass

from stitchpath.lines import SEAM_ROLES, Role
from stitchpath.plan import Plan
from stitchpath.units import Unit
from stitchpath.words import duration, length, share

__all__ = ["OverLeast", "over_least", "over_least_words"]


@dataclass(frozen=True, slots=True)
class OverLeast:
    """How far a plan may be over the least possible.

    Attributes
    ----------
    ratio
        (cost - bound) / bound: 0 if nothing less is possible, infinite if nothing is known.
    tie_offs
        So many whole tie-offs in seams at most.
    travel_s, travel_mm
        So much visible travel at most.
    """

    ratio: float
    tie_offs: int
    travel_s: float
    travel_mm: float


def over_least(plan: Plan) -> OverLeast:
    """Return how far a plan may be over the least possible.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> over_least(Plan(Drawing(()), (), (), 0.0))
    OverLeast(ratio=0.0, tie_offs=0, travel_s=0.0, travel_mm=0.0)
    """
    rules, over_s = plan.cost_settings.rules(), plan.cost - plan.bound
    path_cost_s = plan.cost_settings.path_cost_s or plan.machine.path_cost_s
    travel_s = over_s / min(rules[role].shows for role in Role if role not in SEAM_ROLES)
    tie_offs = math.floor(over_s / (path_cost_s / 2 * rules[Role.DITCH].end_shows))
    return OverLeast(plan.gap, tie_offs, travel_s, travel_s * plan.machine.speed_mm_s)


def over_least_words(found: OverLeast, unit: Unit = "mm") -> str:
    """Return it in words.

    Examples
    --------
    >>> over_least_words(OverLeast(0.02, 3, 83.6, 2123.4), "in")
    'at most 2.00 % over the least possible: 3 tie-offs in seams, or 1 min 24 s (2.3 yd) of visible travel'
    >>> over_least_words(OverLeast(0.0004, 0, 0.4, 20.0)).split(": ")[1]
    'less than one tie-off in a seam, or 1 s (20 mm) of visible travel'
    >>> over_least_words(OverLeast(0.0, 0, 0.0, 0.0))
    'proven to be the least possible'
    """
    if not found.ratio:
        return "proven to be the least possible"
    if math.isinf(found.ratio):
        return "not known to be near the least possible"
    ties = f"{found.tie_offs:,} tie-offs in seams" if found.tie_offs > 1 else "1 tie-off in a seam"
    if found.tie_offs < 1:
        ties = "less than one tie-off in a seam"
    travel = f"{duration(math.ceil(found.travel_s))} ({length(found.travel_mm, unit)}) of visible travel"
    return f"at most {share(found.ratio)} over the least possible: {ties}, or {travel}"
