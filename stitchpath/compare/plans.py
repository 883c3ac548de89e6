"""Plans side by side, each with its differences to the first."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from stitchpath.compare.ways import Way, way_of
from stitchpath.errors import DesignError, all_of
from stitchpath.figures import plan_figures
from stitchpath.plan import Plan

__all__ = ["Comparison", "Row", "compare_plans"]


@dataclass(frozen=True, slots=True)
class Row:
    """A way by name, and its differences to the first one."""

    name: str
    way: Way
    more: Way


@dataclass(frozen=True, slots=True)
class Comparison:
    """Ways side by side; the first is what the others are measured against.

    Attributes
    ----------
    rows
        A way each.
    other_drawings
        The names of the plans that are not of the first one's drawing: their figures are of different work.
    """

    rows: tuple[Row, ...]
    other_drawings: tuple[str, ...] = ()

    def __iter__(self) -> Iterator[Row]:
        return iter(self.rows)

    @classmethod
    def of(cls, ways: Sequence[tuple[str, Way]]) -> "Comparison":
        """Put named ways side by side.

        Examples
        --------
        >>> Comparison.of([]).rows
        ()
        """
        return cls(tuple(Row(name, way, way.less(ways[0][1])) for name, way in ways))


def compare_plans(plans: Sequence[Plan], *, names: Sequence[str] | None = None) -> Comparison:
    """Put plans side by side.

    Parameters
    ----------
    plans
        Usually of one drawing; the first is what the others are measured against. Plans of other drawings
        are named in the result.
    names
        One for each; None: ``"plan 1"``, ``"plan 2"``, ...

    Returns
    -------
    Comparison
        A row for each plan: paths, ends in open cloth, travel, lifts, time, thread, wander, visits, cost and
        gap, and what each is more than the first one's. Cost and gap are as the plan states them.

    Raises
    ------
    DesignError
        If there are not as many names as plans, or what is given is no plans or no names.

    Examples
    --------
    >>> compare_plans([])
    Comparison(rows=(), other_drawings=())
    """
    plans = all_of("plans", plans, Plan, "plan", "give Plans, such as make_plan returns")
    if names is None:
        names = [f"plan {number}" for number in range(1, len(plans) + 1)]
    names = all_of("names", names, str, "name", "give texts, one for each plan")
    if len(names) != len(plans):
        problem = f"{len(names)} names for {len(plans)} plans"
        raise DesignError(problem, "give one name for each plan", key="names")
    compared = Comparison.of([(name, way_of(plan_figures(p))) for name, p in zip(names, plans, strict=True)])
    others = [name for name, p in zip(names, plans, strict=True) if _drawn(p) != _drawn(plans[0])]
    return replace(compared, other_drawings=tuple(others))


def _drawn(plan: Plan) -> list[object]:
    """Return what makes a drawing another one: names and notes do not."""
    drawing = plan.drawing
    lines = [(line.role, line.thread, (line.points_mm + 0.0).tobytes()) for line in drawing.lines]
    hidden = [(line.role, (line.points_mm + 0.0).tobytes()) for line in drawing.hidden]
    return [lines, hidden, [keep_out.polygon for keep_out in drawing.keep_outs]]
