"""A plan in the parts that it is sewn in: its bands; where it has none, its rows, or other groups."""

import re
from dataclasses import dataclass

from stitchpath.plan import Plan

__all__ = ["PlanPart", "parts_of"]

_BLOCK = re.compile(r"(row \d+), column \d+")


@dataclass(frozen=True, slots=True)
class PlanPart:
    """A part of a plan: its name, its band, and its paths, counted from 0."""

    name: str
    band: int
    paths: tuple[int, ...]


def parts_of(plan: Plan) -> tuple[PlanPart, ...]:
    """Return a plan's parts, in the order in which they are begun; the whole where it has neither.

    A band is one part, whatever groups it has; blocks that are finished one by one are told row by row.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> parts_of(Plan(Drawing(()), (), (), 0.0))
    ()
    """
    banded = len({path.band for path in plan.paths}) > 1
    grouped = any(plan.path_groups)
    found: dict[tuple[int, str], list[int]] = {}
    for number, (path, group) in enumerate(zip(plan.paths, plan.path_groups, strict=True)):
        told = f"band {path.band}" if banded else _row(group) or (path.stage if grouped else "the whole top")
        found.setdefault((path.band, told), []).append(number)
    return tuple(
        PlanPart(name[:1].upper() + name[1:], band, tuple(paths)) for (band, name), paths in found.items()
    )


def _row(group: str) -> str:
    """Return the row of a group that is one block, and any other group as it is.

    Examples
    --------
    >>> _row("row 3, column 2"), _row("row 3"), _row("the middle"), _row("")
    ('row 3', 'row 3', 'the middle', '')
    """
    block = _BLOCK.fullmatch(group)
    return block[1] if block else group
