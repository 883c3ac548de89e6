"""The results of verbs as data for JSON: lengths in millimetres, times and costs in seconds."""

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from stitchpath.cli.report import unplanned
from stitchpath.compare import way_of
from stitchpath.errors import Finding
from stitchpath.figures import plan_figures
from stitchpath.plan import Plan
from stitchpath.records import record
from stitchpath.words import WARNING

__all__ = ["plan_record", "told_record"]


def plan_record(plan: Plan, file: Path) -> dict[str, Any]:
    """Return what a plan comes to beside sewing without one, and all of its figures.

    Parameters
    ----------
    plan
        The plan.
    file
        Where it is, or will be.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> told = plan_record(Plan(Drawing(()), (), (), 0.0), Path("out/a.json"))
    >>> list(told), told["this_plan"]["paths"], told["figures"]["tie_offs"]
    (['file', 'name', 'this_plan', 'one_by_one', 'nearest_end_next', 'figures'], 0, 0)
    """
    figures = plan_figures(plan)
    one_by_one, nearest_end_next = unplanned(plan)
    by_hand = {"by_hand": _by_hand(plan.by_hand)} if plan.by_hand is not None else {}
    return {
        "file": str(file),
        "name": plan.drawing.name,
        "this_plan": record(way_of(figures)),
        "one_by_one": record(one_by_one),
        "nearest_end_next": record(nearest_end_next),
        "figures": record(figures),
        **by_hand,
    }


def _by_hand(plan: Plan) -> dict[str, Any]:
    """Return what is left to the hand beside sewing without a plan; its figures are among the whole's."""
    one_by_one, nearest_end_next = unplanned(plan)
    return {
        "when": plan.schedule.hand_when,
        "one_by_one": record(one_by_one),
        "nearest_end_next": record(nearest_end_next),
    }


def told_record(notes: Iterable[Finding | str], findings: Iterable[Finding]) -> dict[str, Any]:
    """Return what is to be known and what a check found, all of it.

    Examples
    --------
    >>> told_record(["left to the hand: 2 outlines"], [])
    {'notes': [{'kind': 'note', 'message': 'left to the hand: 2 outlines', 'place_mm': None}], 'findings': []}
    >>> told_record(["WARNING: no reach"], [])["notes"][0]["kind"]
    'warning'
    """
    known = [note if isinstance(note, Finding) else _known(note) for note in notes]
    return {"notes": record(known), "findings": record([*findings])}


def _known(note: str) -> Finding:
    if note.startswith(WARNING):
        return Finding("warning", note.removeprefix(WARNING))
    return Finding("note", note)
