"""The plan as JSON: everything, with every number in full, so that `read_plan` gives back an equal plan.

One object. ``lines``, ``hidden``, ``paths`` and ``jobs`` are arrays with one entry a line of the file. A
line's id is its place in ``lines``, counted from 1; ``first`` and ``last`` of a span are point indices,
inclusive. ``totals`` repeats what follows from the paths and jobs, for who reads the file without stitchpath;
its length is ``sewn_mm``, ``travel_mm`` and ``resume_mm`` together, all with the needle down but the small
stitches that secure ends, spans with the move ``secure``.
"""

import json
from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np
import shapely

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.files import StrPath, write_whole
from stitchpath.formats.numbers import check_paths
from stitchpath.lines import KeepOut, Line
from stitchpath.plan import Plan, StitchPath

__all__ = ["FORMAT", "lines_document", "plan_document", "totals", "write_json"]

FORMAT = "stitchpath plan 1"
LINES_FORMAT = "stitchpath lines 1"


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
    drawing = plan.drawing
    document: dict[str, Any] = {
        "format": FORMAT,
        "design_sha256": drawing.design_sha256,
        "name": drawing.name,
        "settings": _settings(plan),
        "threads": [{"name": thread.name, "tex": thread.tex} for thread in drawing.threads],
        "lines": _lines(drawing.lines),
        "hidden": _lines(drawing.hidden),
        "keep_outs": [_keep_out(keep_out) for keep_out in drawing.keep_outs],
        "outline": _outline(drawing),
        "blocks": [
            {"name": block.name, "box_mm": block.box_mm, "row": block.row, "column": block.column}
            for block in drawing.blocks
        ],
        "drawing_notes": [
            {"kind": note.kind, "message": note.message, "place_mm": note.place_mm} for note in drawing.notes
        ],
        "paths": [_path(path) for path in plan.paths],
        "jobs": [_job(job) for job in plan.jobs],
        "totals": totals(plan),
        "windows_mm": plan.windows,
        "bound": plan.bound,
        "laps": {"touched": plan.laps.touched, "in_one_lap": plan.laps.in_one_lap},
        "notes": plan.notes,
    }
    try:
        return "".join(_text(document))
    except ValueError as error:
        raise DesignError(f"the plan cannot be written: {error}", "give finite numbers only") from error


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
    document = {
        "format": LINES_FORMAT,
        "design_sha256": drawing.design_sha256,
        "name": drawing.name,
        "lines": _lines(drawing.lines),
    }
    return "".join(_text(document))


def totals(plan: Plan) -> dict[str, float]:
    """Return what follows from a plan's paths and jobs: lengths in mm, costs in s.

    Examples
    --------
    >>> totals(Plan(Drawing(()), (), (), 0.0))["tie_offs"]
    0
    """
    return {
        "paths": len(plan.paths),
        "tie_offs": 2 * len(plan.paths),
        "length_mm": sum((path.length_mm for path in plan.paths), 0.0),
        "sewn_mm": sum((path.sewn_mm for path in plan.paths), 0.0),
        "travel_mm": sum((path.travel_mm for path in plan.paths), 0.0),
        "resume_mm": sum((path.resume_mm for path in plan.paths), 0.0),
        "cost": plan.cost,
    }


def _settings(plan: Plan) -> dict[str, Any]:
    return {
        "cost": plan.cost_settings.model_dump(mode="json"),
        "machine": plan.machine.model_dump(mode="json"),
        "schedule": plan.schedule.model_dump(mode="json"),
        "batting": plan.batting.model_dump(mode="json"),
        "effort": plan.effort,
        "seed": plan.seed,
    }


def _lines(lines: Iterable[Line]) -> list[dict[str, Any]]:
    return [
        {
            "id": number,
            "role": line.role,
            "thread": line.thread,
            "motif": line.motif,
            "block": line.block,
            "points_mm": line.points_mm.tolist(),
        }
        for number, line in enumerate(lines, 1)
    ]


def _keep_out(keep_out: KeepOut) -> dict[str, Any]:
    return {
        "motif": keep_out.motif,
        "block": keep_out.block,
        "rings_mm": _rings(keep_out.polygon, "a keep-out"),
    }


def _outline(drawing: Drawing) -> dict[str, Any] | None:
    return None if drawing.outline is None else {"rings_mm": _rings(drawing.outline, "the outline")}


def _rings(polygon: Any, what: str) -> list[Any]:
    if not isinstance(polygon, shapely.Polygon) or polygon.is_empty:
        raise DesignError(f"{what} is a {type(polygon).__name__}", "give one polygon that is not empty")
    rings = [polygon.exterior, *polygon.interiors]
    return [shapely.get_coordinates(ring).tolist() for ring in rings]


def _path(path: StitchPath) -> dict[str, Any]:
    return {
        "band": path.band,
        "stage": path.stage,
        "thread": path.thread,
        "points_mm": path.coordinates_mm.tolist(),
        "spans": [
            {"move": s.move, "first": s.first, "last": s.last, "line": s.line, "stage": s.stage}
            for s in path.spans
        ],
    }


def _job(job: Any) -> dict[str, Any]:
    names = ("band", "stage", "cost", "bound", "forced", "paths", "run_on", "unit_s", "thread", "group")
    return {name: getattr(job, name) for name in names} | {"optimal": job.optimal}


def _text(document: dict[str, Any]) -> Iterator[str]:
    """Return the text in pieces: a line for each key, and for each entry of an array."""
    before = "{\n"
    for key, value in document.items():
        yield f"{before}{json.dumps(key)}: "
        yield _array_text(value) if isinstance(value, list) and value else _compact(value)
        before = ",\n"
    yield "\n}\n"


def _array_text(values: list[Any]) -> str:
    return "[\n" + ",\n".join(_compact(value) for value in values) + "\n]"


def _compact(value: Any) -> str:
    return json.dumps(
        value, ensure_ascii=False, allow_nan=False, separators=(",", ":"), default=_plain_number
    )


def _plain_number(value: Any) -> int | float | bool:
    if isinstance(value, np.generic):
        return value.item()  # type: ignore[no-any-return]
    raise TypeError(f"{type(value).__name__} has no place in a plan")
