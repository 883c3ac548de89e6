"""A plan in the parts in which it is sewn: for each band and group, which paths begin there."""

from dataclasses import dataclass

from stitchpath.plan import Plan

__all__ = ["PlanPart", "parts_of"]


@dataclass(frozen=True, slots=True)
class PlanPart:
    """What is sewn of one group in one band: its name, and its paths, counted from 0."""

    name: str
    band: int
    paths: tuple[int, ...]


def parts_of(plan: Plan) -> tuple[PlanPart, ...]:
    """Return a plan's parts, in the order in which they are begun; the whole where it has neither.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> parts_of(Plan(Drawing(()), (), (), 0.0))
    ()
    """
    found: dict[tuple[int, str], list[int]] = {}
    for number, (path, group) in enumerate(zip(plan.paths, plan.path_groups, strict=True)):
        found.setdefault((path.band, group), []).append(number)
    banded = len({band for band, _ in found}) > 1
    grouped = any(group for _, group in found)
    return tuple(
        PlanPart(
            _name(band if banded else 0, group or (_stages(plan, paths) if grouped else "")),
            band,
            tuple(paths),
        )
        for (band, group), paths in found.items()
    )


def _stages(plan: Plan, paths: list[int]) -> str:
    """Return the stages in which paths begin that belong to no group: seams, above all."""
    return ", ".join(dict.fromkeys(plan.paths[number].stage for number in paths))


def _name(band: int, group: str) -> str:
    """Return a part's name.

    Examples
    --------
    >>> _name(0, ""), _name(2, "row 3"), _name(2, "")
    ('The whole top', 'Band 2, row 3', 'Band 2')
    """
    told = [f"band {band}"] if band else []
    told += [group] if group else []
    name = ", ".join(told) or "the whole top"
    return name[0].upper() + name[1:]
