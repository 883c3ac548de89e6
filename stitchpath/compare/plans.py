"""Plans side by side, each with its differences to the first."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from stitchpath.compare.ways import Way, way_of
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
    """Ways side by side; the first is what the others are measured against."""

    rows: tuple[Row, ...]

    def __iter__(self) -> Iterator[Row]:
        return iter(self.rows)

    @classmethod
    def of(cls, ways: Sequence[tuple[str, Way]]) -> "Comparison":
        """Put named ways side by side.

        Examples
        --------
        >>> Comparison.of([])
        Comparison(rows=())
        """
        return cls(tuple(Row(name, way, way.less(ways[0][1])) for name, way in ways))


def compare_plans(plans: Sequence[Plan], *, names: Sequence[str] | None = None) -> Comparison:
    """Put plans side by side.

    Parameters
    ----------
    plans
        Usually of one drawing; the first is what the others are measured against.
    names
        One for each; None: ``"plan 1"``, ``"plan 2"``, ...

    Returns
    -------
    Comparison
        A row for each plan: paths, ends in open cloth, travel, lifts, time, thread, wander, cost and gap,
        and what each is more than the first one's. Cost and gap are as the plan states them.

    Raises
    ------
    ValueError
        If there are not as many names as plans.

    Examples
    --------
    >>> compare_plans([])
    Comparison(rows=())
    """
    if names is None:
        names = [f"plan {number}" for number in range(1, len(plans) + 1)]
    if len(names) != len(plans):
        raise ValueError(f"{len(names)} names for {len(plans)} plans; give one name for each plan")
    return Comparison.of([(name, way_of(plan_figures(p))) for name, p in zip(names, plans, strict=True)])
