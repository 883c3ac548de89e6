"""Prove paths, as read back from a file, against a drawing."""

from collections.abc import Iterable, Sequence
from itertools import chain

from stitchpath.check.measuring.segments import broken_paths
from stitchpath.check.rules.evidence import Asked, Evidence, look_at
from stitchpath.check.rules.secured import secures_in_place
from stitchpath.check.rules.stitching import RULES
from stitchpath.check.rules.threads import keeps_to_one_thread
from stitchpath.drawing import Drawing
from stitchpath.errors import Finding
from stitchpath.plan import StitchPath
from stitchpath.settings import BattingSettings, CostSettings, MachineSettings, ScheduleSettings

__all__ = ["MOST_FINDINGS", "check_paths", "gather", "told_by_rules"]

MOST_FINDINGS = 20
"""How many findings of one kind are told before the rest are only counted."""


def check_paths(
    paths: Sequence[StitchPath],
    drawing: Drawing,
    *,
    cost: CostSettings | None = None,
    machine: MachineSettings | None = None,
    schedule: ScheduleSettings | None = None,
    batting: BattingSettings | None = None,
) -> tuple[Finding, ...]:
    """Prove that paths sew a drawing: all of it, nothing else, in order.

    Parameters
    ----------
    paths
        In sewing order, as read from a file; spans need no lines, and paths no threads.
    drawing
        What is to be sewn: the only truth.
    cost, machine, schedule, batting
        For how often a line may be sewn and which seams are used, what is in reach, stages, groups, cuts and
        what is left to the hand, and how much thread is taken; the defaults if left out.

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
    settings = cost or CostSettings(), machine or MachineSettings(), schedule or ScheduleSettings()
    seen = look_at(paths, Asked(drawing, *settings, batting or BattingSettings()))
    return gather(chain(told_by_rules(seen), keeps_to_one_thread(seen)))


def told_by_rules(seen: Evidence) -> Iterable[Finding]:
    """Ask every rule about the paths in evidence.

    Examples
    --------
    >>> from stitchpath.lines import Line
    >>> asked = Asked(Drawing(lines=(Line([(0, 0), (9, 0)], block="row 1, column 1"),)))
    >>> [found.message for found in told_by_rules(look_at([], asked))]
    ['row 1, column 1 is not sewn over 9.000 mm']
    >>> list(told_by_rules(look_at([], Asked(Drawing(lines=())))))
    []
    """
    return chain(*(rule(seen) for rule in RULES), secures_in_place(seen))


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
