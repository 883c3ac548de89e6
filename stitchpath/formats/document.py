"""The plan as JSON: everything, with every number in full, so that `read_plan` gives back an equal plan.

It is one object. ``lines``, ``hidden``, ``paths`` and ``jobs`` are arrays with one entry on each line of the
file. A line's id is its place in ``lines``, counted from 1; ``first`` and ``last`` of a span are point
indices, inclusive. ``totals`` repeats what follows from the paths and jobs, for those who read the file
without stitchpath. ``order_exceptions`` lists outlines and echoes that are finished too late, which the check
proves. The totals' length is ``sewn_mm``, ``travel_mm`` and ``resume_mm`` together: all that is
sewn with the needle down, except for the small stitches that secure ends, which are spans with the move
``secure``. ``step_mm`` is the part of the travel that goes over open cloth, in spans with the move ``step``.

``by_hand`` is there where the frame leaves lines to the hand: the hand's own settings, paths, jobs and
totals, over the same lines.
"""

from pydantic import ValidationError

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.files import StrPath, write_whole
from stitchpath.formats.numbers import check_paths
from stitchpath.formats.plan_models import Fault, document_of, lines_document_of
from stitchpath.plan import Plan
from stitchpath.records import rows_text

__all__ = ["lines_document", "plan_document", "write_json"]

_UNBROKEN = frozenset({"windows_mm", "notes"})
_UNFOLDED = frozenset({"by_hand"})
_WHERE_ANY = ("by_hand", "of_hand")
"""What a document tells only of plans that have it."""


def write_json(plan: Plan, file: StrPath) -> None:
    """Write a plan as JSON.

    Parameters
    ----------
    plan
        The plan.
    file
        Where to write.

    Raises
    ------
    FileError
        If it cannot be written.
    DesignError
        If it holds a number that is not finite, or an outline or keep-out that is no polygon.

    Examples
    --------
    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> from stitchpath.formats.read_document import read_plan
    >>> plan = Plan(Drawing(()), (), (), 0.0)
    >>> with TemporaryDirectory() as folder:
    ...     write_json(plan, Path(folder, "pear.json"))
    ...     read_plan(Path(folder, "pear.json")) == plan
    True
    """
    write_whole(file, plan_document(plan))


def plan_document(plan: Plan) -> str:
    """Return the plan as JSON text; see `write_json`.

    Examples
    --------
    >>> print(plan_document(Plan(Drawing(()), (), (), 0.0)).splitlines()[1])
    "format": "stitchpath plan 1",
    """
    check_paths(plan)
    if plan.by_hand is not None:
        check_paths(plan.by_hand)
    try:
        document = document_of(plan)
    except ValidationError as error:
        found = Fault.first(error)
        raise DesignError(
            f"the plan cannot be written: {found.place}: {found.message} (it is {found.shown})",
            "give finite numbers, and polygons that are not empty",
        ) from error
    without = {name for name in _WHERE_ANY if not getattr(document, name)}
    told = document.model_dump(mode="json", exclude=without)
    return rows_text(told, unbroken=_UNBROKEN, unfolded=_UNFOLDED)


def lines_document(drawing: Drawing) -> str:
    """Return the lines asked for, raw, as JSON text: as they stand in a plan's.

    Examples
    --------
    >>> print(lines_document(Drawing(())), end="")
    {
    "format": "stitchpath lines 1",
    "design_sha256": "",
    "name": "",
    "lines": []
    }
    """
    return rows_text(lines_document_of(drawing).model_dump(mode="json"))
