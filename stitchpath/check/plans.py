"""Prove a plan against a drawing."""

from itertools import chain

from stitchpath.check.measuring.segments import broken_paths
from stitchpath.check.paths import gather, told_by_rules
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
    broken = gather(broken_paths(plan.paths))
    if broken:
        return broken
    seen = look_at(plan.paths, Asked(drawing, plan.cost_settings, plan.machine, plan.schedule, plan.batting))
    return gather(
        chain(
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
    )
