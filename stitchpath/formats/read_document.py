"""Reads a plan back from JSON, and trusts nothing in it before it is checked."""

from itertools import pairwise

from pydantic import ValidationError

from stitchpath.errors import FileError
from stitchpath.files import StrPath, read_bytes
from stitchpath.formats.plan_models import (
    FORMAT,
    Fault,
    HandPart,
    PathPart,
    PlanDocument,
    Totals,
    plan_of,
    totals,
)
from stitchpath.plan import Plan

__all__ = ["read_plan"]

_TOTALS_TOLERANCE = 1e-6
"""A share far over what adding up in another order changes, and too little for anybody to tell."""


def read_plan(file: StrPath) -> Plan:
    """Read a plan that `write_json` wrote.

    Parameters
    ----------
    file
        The JSON file.

    Returns
    -------
    Plan
        Equal to the one written.

    Raises
    ------
    FileError
        If it cannot be read, is not of this format, or contradicts itself: the message names the place in the
        document.

    Examples
    --------
    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.formats.document import write_json
    >>> with TemporaryDirectory() as folder:
    ...     write_json(Plan(Drawing(()), (), (), 0.0), Path(folder, "pear.json"))
    ...     read_plan(Path(folder, "pear.json")).paths
    ()
    """
    try:
        document = PlanDocument.model_validate_json(read_bytes(file))
        plan = plan_of(document)
        problem = _problem(document) or _totals_problem(document.totals, plan)
        if document.by_hand is not None and plan.by_hand is not None:
            problem = problem or _hand_problem(document, document.by_hand, plan.by_hand)
    except ValidationError as error:
        raise _told(Fault.first(error), file) from error
    if problem:
        raise FileError(problem, "write the plan again", file=file)
    return plan


def _told(found: Fault, file: StrPath) -> FileError:
    if found.kind == "json_invalid":
        said = found.message.removeprefix("Invalid JSON: ")
        return FileError(f"this is no JSON document: {said}", file=file)
    if found.place == "format":
        problem, remedy = f'{found.shown} is not "{FORMAT}"', "name a plan that stitchpath wrote"
    else:
        problem, remedy = f"{found.message} (it says {found.shown})", "write the plan again"
    return FileError(problem, remedy, file=file, key=found.place or "document", value=found.value)


def _problem(document: PlanDocument) -> str:
    for name, lines in (("lines", document.lines), ("hidden", document.hidden)):
        for index, line in enumerate(lines):
            if line.id != index + 1:
                return f"{name}[{index}].id: {line.id} stands where {index + 1} belongs"
    return _paths_problem(document, len(document.lines))


def _hand_problem(document: PlanDocument, by_hand: HandPart, plan: Plan) -> str:
    problem = _paths_problem(by_hand, len(document.lines)) or _totals_problem(by_hand.totals, plan)
    return problem and f"by_hand.{problem}"


def _paths_problem(part: PlanDocument | HandPart, lines: int) -> str:
    for index, path in enumerate(part.paths):
        problem = _spans_problem(path, lines)
        if problem:
            return f"paths[{index}].{problem}"
    for index, job in enumerate(part.jobs):
        if job.optimal != (job.cost == job.bound):
            return f"jobs[{index}].optimal: {job.optimal}, with cost {job.cost!r} and bound {job.bound!r}"
    return ""


def _spans_problem(path: PathPart, lines: int) -> str:
    ends = [0, *(span.last for span in path.spans)]
    for index, (span, (start, end)) in enumerate(zip(path.spans, pairwise(ends), strict=True)):
        if span.first != start or end <= start:
            return f"spans[{index}]: it goes from {span.first} to {end}, and the one before ends at {start}"
        if span.line is not None and span.line > lines:
            return f"spans[{index}].line: there is no line {span.line}"
    if ends[-1] != len(path.points_mm) - 1:
        return f"spans: they end at point {ends[-1]} of {len(path.points_mm) - 1}"
    if path.stage != path.spans[0].stage:
        return f"stage: {path.stage!r}, and its first span's is {path.spans[0].stage!r}"
    return ""


def _totals_problem(stated: Totals, plan: Plan) -> str:
    for (key, said), (_, value) in zip(stated, totals(plan), strict=True):
        if not _same(said, value):
            return f"totals.{key}: {said!r} is stated, and the paths and jobs come to {value!r}"
    return ""


def _same(said: object, value: object) -> bool:
    """Tell whether a total is as it should be: numbers but for rounding, all else to the letter."""
    if isinstance(said, int | float) and isinstance(value, int | float):
        return abs(said - value) <= _TOTALS_TOLERANCE * max(1.0, abs(value))
    return said == value
