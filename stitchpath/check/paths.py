"""Prove paths, as read back from a file, against a drawing."""

from collections.abc import Iterable, Sequence
from itertools import chain

import numpy as np

from stitchpath.check.match import cut_cells, match
from stitchpath.check.rails import lay_rails
from stitchpath.check.rules import RULES, Evidence, stages_in_order
from stitchpath.check.secured import secures_in_place
from stitchpath.check.steps import Steps, broken_paths, take_steps, take_stretches
from stitchpath.drawing import Drawing
from stitchpath.errors import Finding
from stitchpath.plan import StitchPath
from stitchpath.settings import CostSettings, ScheduleSettings

__all__ = ["MOST_FINDINGS", "check_paths", "gather"]

MOST_FINDINGS = 20
"""How many findings of one kind are told before the rest are only counted."""


def check_paths(
    paths: Sequence[StitchPath],
    drawing: Drawing,
    *,
    cost: CostSettings | None = None,
    schedule: ScheduleSettings | None = None,
) -> tuple[Finding, ...]:
    """Prove that paths sew a drawing: all of it, nothing else, in order.

    Parameters
    ----------
    paths
        In sewing order, as read from a file; spans need no lines.
    drawing
        What is to be sewn: the only truth.
    cost, schedule
        For how often a line may be sewn, and for the stages; the defaults if left out.

    Returns
    -------
    tuple of Finding
        Empty if all holds. At most `MOST_FINDINGS` of a kind, and one more that counts the rest.

    Examples
    --------
    >>> from stitchpath.lines import Line
    >>> check_paths([], Drawing(lines=()))
    ()
    >>> check_paths([], Drawing(lines=(Line([(0, 0), (9, 0)], block="row 1, column 1"),)))[0].message
    'row 1, column 1 is not sewn over 9.000 mm'
    """
    broken = gather(broken_paths(paths))
    if broken:
        return broken
    seen = look_at(paths, drawing, cost=cost or CostSettings(), schedule=schedule or ScheduleSettings())
    return gather(told_by_rules(seen, paths))


def look_at(
    paths: Sequence[StitchPath], drawing: Drawing, *, cost: CostSettings, schedule: ScheduleSettings
) -> Evidence:
    """Lay unbroken paths beside a drawing's lines."""
    stages = tuple(stage.name for stage in schedule.stages)
    steps = take_steps(paths, stages=stages)
    rails = lay_rails(drawing, cost=cost, schedule=schedule)
    stretches = take_stretches(steps)
    matches = match(rails, stretches)
    cells = cut_cells(rails, stretches, matches)
    return Evidence(rails, steps, stretches, matches, cells, stages, drawing.keep_outs)


def told_by_rules(seen: Evidence, paths: Sequence[StitchPath]) -> Iterable[Finding]:
    """Ask every rule about the paths in evidence."""
    return chain(
        _order(seen.steps, paths, seen.stages), *(rule(seen) for rule in RULES), secures_in_place(seen, paths)
    )


def _order(steps: Steps, paths: Sequence[StitchPath], stages: Sequence[str]) -> Iterable[Finding]:
    spans = [span.stage for path in paths for span in path.spans]
    bands = np.array([path.band for path in paths], dtype=np.int64)[steps.path]
    return stages_in_order(steps, stages=stages, named_so=[spans[i] for i in steps.span], bands=bands)


def gather(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings by kind, the kinds in order of first telling, the many of a kind counted.

    Examples
    --------
    >>> gather([])
    ()
    >>> [f.message for f in gather([Finding("sew", "again")] * 22)][-1]
    'and at 2 more places'
    """
    kinds: dict[str, list[Finding]] = {}
    for finding in findings:
        kinds.setdefault(finding.kind, []).append(finding)
    return tuple(finding for kind, found in kinds.items() for finding in _capped(kind, found))


def _capped(kind: str, found: list[Finding]) -> list[Finding]:
    more = len(found) - MOST_FINDINGS
    rest = [Finding(kind, f"and at {more} more place{'s' * (more > 1)}")] if more > 0 else []
    return [*found[:MOST_FINDINGS], *rest]
