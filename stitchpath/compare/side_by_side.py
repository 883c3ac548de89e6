"""What can be put side by side, together: plans, the prices of wishes, a plan made elsewhere."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from stitchpath.compare.plans import Comparison, compare_plans
from stitchpath.compare.prices import Price, changed_paths, wish_table
from stitchpath.compare.ways import way_of_foreign
from stitchpath.compare.whatif import WhatIf
from stitchpath.figures.foreign import Foreign
from stitchpath.plan import Plan

__all__ = ["MADE_ELSEWHERE", "SideBySide", "other_drawings", "other_scale", "side_by_side"]

MADE_ELSEWHERE = "made elsewhere"


@dataclass(frozen=True)
class SideBySide:
    """What is put side by side.

    Attributes
    ----------
    names, plans
        The plans; the first is what the others are measured against. One made elsewhere is the last.
    compared
        Their figures.
    prices
        What wishes cost; none where plans are compared.
    foreign
        What was found of the plan made elsewhere; None where there is none.
    """

    names: tuple[str, ...] = ()
    plans: tuple[Plan, ...] = ()
    compared: Comparison = field(default_factory=lambda: Comparison(()))
    prices: tuple[Price, ...] = ()
    foreign: Foreign | None = None

    def with_foreign(self, found: Foreign) -> "SideBySide":
        """Return the same with a plan made elsewhere."""
        ways = [*((row.name, row.way) for row in self.compared), (MADE_ELSEWHERE, way_of_foreign(found))]
        return replace(
            self,
            names=(*self.names, MADE_ELSEWHERE),
            plans=(*self.plans, found.plan),
            compared=replace(self.compared, rows=Comparison.of(ways).rows),
            foreign=found,
        )

    def not_in_the_first(self) -> Iterator[tuple[int, ...] | None]:
        """Yield for each plan which paths the first has not, counted from 1; None for one made elsewhere.

        That one's points are never quite the same.
        """
        for at, plan in enumerate(self.plans):
            elsewhere = self.foreign is not None and plan is self.foreign.plan
            yield None if elsewhere else changed_paths(plan.paths, self.plans[0].paths) if at else ()


def side_by_side(plans: Sequence[Plan] | WhatIf, names: Sequence[str] | None = None) -> SideBySide:
    """Put plans, or what came of wishes, side by side.

    Parameters
    ----------
    plans
        Plans, or a design under wishes; a wish that cannot be had, or is so already, has a price only.
    names
        One for each plan; of wishes, the name of the plan without them. None: numbers, and ``"as it is"``.

    Examples
    --------
    >>> side_by_side([]).names
    ()
    """
    if not isinstance(plans, WhatIf):
        compared = compare_plans(plans, names=names)
        return SideBySide(tuple(row.name for row in compared), tuple(plans), compared)
    wished = [one for one in plans if one.plan is not None and one.plan is not plans.plan]
    made = (plans.plan, *(one.plan for one in wished if one.plan is not None))
    called = (names[0] if names else "as it is", *(one.wish.name for one in wished))
    return SideBySide(called, made, compare_plans(made, names=called), wish_table(plans))


def other_drawings(told: SideBySide) -> tuple[str, ...]:
    """Return a sentence if some plan is not of the first one's drawing.

    Examples
    --------
    >>> other_drawings(SideBySide())
    ()
    """
    if not told.compared.other_drawings:
        return ()
    others = "; ".join(told.compared.other_drawings)
    said = "These are plans of different drawings, so their figures are of different work"
    return (f"{said}; not of the first one's drawing: {others}.",)


def other_scale(told: SideBySide) -> tuple[str, ...]:
    """Return a sentence if some plan is weighed otherwise than the first one.

    Examples
    --------
    >>> from stitchpath import Drawing, MachineSettings
    >>> machines = MachineSettings(), MachineSettings(cuts_thread=True)
    >>> plans = [Plan(Drawing(()), (), (), 0.0, machine=machine) for machine in machines]
    >>> other_scale(side_by_side(plans, ["one", "two"]))
    ('Weighed otherwise than the first, on another scale: two.',)
    >>> other_scale(side_by_side([]))
    ()
    """

    def scale(plan: Plan) -> object:
        path_cost_s = plan.cost_settings.path_cost_s or plan.machine.path_cost_s
        return plan.cost_settings.rules(), path_cost_s, plan.machine.speed_mm_s

    named = zip(told.names, told.plans, strict=True)
    others = [name for name, plan in named if scale(plan) != scale(told.plans[0])]
    if not others:
        return ()
    return (f"Weighed otherwise than the first, on another scale: {'; '.join(others)}.",)
