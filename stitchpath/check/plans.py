"""Prove a plan against a drawing."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import chain

from stitchpath.check.measuring.segments import broken_paths
from stitchpath.check.paths import gather, told_by_rules
from stitchpath.check.rules.by_hand import both_hold, hand_is_asked
from stitchpath.check.rules.crossings import crossings_hold
from stitchpath.check.rules.evidence import Asked, look_at
from stitchpath.check.rules.jobs import jobs_hold
from stitchpath.check.rules.laps import laps_hold
from stitchpath.check.rules.outline_order import exceptions_hold
from stitchpath.check.rules.reach import windows_hold
from stitchpath.check.rules.secured import secured_as_set
from stitchpath.check.rules.threads import keeps_its_thread
from stitchpath.check.rules.totals import names_its_lines, totals_hold
from stitchpath.check.rules.visits import visits_hold
from stitchpath.drawing import Drawing
from stitchpath.errors import Finding, refuse_other
from stitchpath.plan import Plan

__all__ = ["check_plan"]


def check_plan(plan: Plan, drawing: Drawing) -> tuple[Finding, ...]:
    """Prove a plan against a drawing: the stitching, the lines it names, and what it states.

    The part that a frame leaves to the hand is proven like a plan, and then both together.

    Parameters
    ----------
    plan
        Its paths, settings and stated costs; its own drawing is not looked at.
    drawing
        What is to be sewn: the only truth.

    Returns
    -------
    tuple of Finding
        Empty if all holds.

    Raises
    ------
    DesignError
        If it is no plan, or no drawing.

    Examples
    --------
    >>> check_plan(Plan(Drawing(lines=()), (), (), 0.0), Drawing(lines=()))
    ()
    >>> [finding.kind for finding in check_plan(Plan(Drawing(lines=()), (), (), 1.0), Drawing(lines=()))]
    ['bound']
    """
    refuse_other("plan", plan, Plan, "plan", "give a Plan, such as make_plan returns")
    refuse_other("drawing", drawing, Drawing, "drawing", "give a Drawing, such as draw returns")
    parts = [part for part in (plan, plan.by_hand) if part is not None]
    broken = gather(chain(*(_said(part, plan, broken_paths(part.paths)) for part in parts)))
    if broken:
        return broken
    hands = (_said(part, plan, _part_holds(part, drawing)) for part in parts)
    asked = _asked(plan, drawing)
    return gather(chain(*hands, hand_is_asked(plan), () if plan.of_hand else both_hold(plan, asked)))


def _asked(plan: Plan, drawing: Drawing) -> Asked:
    settings = plan.cost_settings, plan.machine, plan.schedule, plan.batting
    return Asked(drawing, *settings, part="hand" if plan.of_hand else "frame")


def _part_holds(plan: Plan, drawing: Drawing) -> Iterator[Finding]:
    """Prove the frame's part of a plan, or the hand's, by itself."""
    seen = look_at(plan.paths, _asked(plan, drawing))
    return chain(
        told_by_rules(seen),
        names_its_lines(seen),
        keeps_its_thread(seen),
        secured_as_set(plan.paths, plan.machine),
        windows_hold(seen, plan),
        jobs_hold(seen, plan),
        totals_hold(seen, plan),
        laps_hold(seen, plan),
        exceptions_hold(seen, plan),
        visits_hold(seen, plan),
        crossings_hold(seen, plan),
    )


def _said(part: Plan, plan: Plan, findings: Iterable[Finding]) -> Iterator[Finding]:
    """Say of each finding of the hand's part that it is one."""
    for finding in findings:
        yield finding if part is plan else replace(finding, message=f"by hand: {finding.message}")
