"""Reads a plan back from JSON, and believes none of it before it is checked."""

from itertools import pairwise
from typing import Annotated, Any, Literal

import numpy as np
import shapely
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from stitchpath.drawing import Drawing
from stitchpath.errors import FileError, Finding
from stitchpath.files import StrPath, read_bytes
from stitchpath.formats.document import FORMAT, totals
from stitchpath.lines import Block, KeepOut, Line, Role, Thread
from stitchpath.plan import Laps, Move, Plan, RoutedJob, Span, StitchPath
from stitchpath.settings import BattingSettings, CostSettings, Effort, MachineSettings, ScheduleSettings

__all__ = ["read_plan"]

_TOTALS_TOLERANCE = 1e-6
"""A share far over what adding up in another order changes, and too little for anybody to tell."""

Point = tuple[float, float]
Ring = Annotated[tuple[Point, ...], Field(min_length=4)]
Points = Annotated[tuple[Point, ...], Field(min_length=2)]
Count = Annotated[int, Field(ge=0)]
CountedFromOne = Annotated[int, Field(ge=1)]


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, strict=True)


class _Settings(_Part):
    cost: CostSettings
    machine: MachineSettings
    schedule: ScheduleSettings
    batting: BattingSettings = BattingSettings()
    effort: Effort
    seed: int


class _Thread(_Part):
    name: str
    tex: float


class _Line(_Part):
    id: CountedFromOne
    role: Role
    thread: str
    motif: str
    block: str
    points_mm: Points

    def line(self) -> Line:
        return Line(np.array(self.points_mm), self.role, self.thread, self.motif, self.block)


class _Outline(_Part):
    rings_mm: Annotated[tuple[Ring, ...], Field(min_length=1)]

    def polygon(self) -> Any:
        outer, *holes = (np.array(ring) for ring in self.rings_mm)
        return shapely.Polygon(outer, holes)


class _KeepOut(_Outline):
    motif: str
    block: str


class _Note(_Part):
    kind: str
    message: str
    place_mm: Point | None


class _Span(_Part):
    move: Move
    first: Count
    last: CountedFromOne
    line: CountedFromOne | None
    stage: str


class _Path(_Part):
    band: CountedFromOne
    stage: str
    thread: str
    points_mm: Points
    spans: Annotated[tuple[_Span, ...], Field(min_length=1)]

    def path(self) -> StitchPath:
        spans = tuple(Span(s.move, s.first, s.last, s.line, s.stage) for s in self.spans)
        return StitchPath(np.array(self.points_mm), spans, self.thread, self.band)


class _Job(_Part):
    band: CountedFromOne
    stage: str
    cost: float
    bound: float
    forced: float
    paths: Count
    run_on: bool
    unit_s: float
    thread: str
    group: str
    optimal: bool

    def job(self) -> RoutedJob:
        return RoutedJob(**self.model_dump(exclude={"optimal"}))


class _Block(_Part):
    name: str
    box_mm: tuple[float, float, float, float]
    row: CountedFromOne
    column: CountedFromOne


class _Totals(_Part):
    paths: Count
    tie_offs: Count
    length_mm: float
    sewn_mm: float
    travel_mm: float
    resume_mm: float
    cost: float


class _Laps(_Part):
    touched: Count
    in_one_lap: Count


class _Document(_Part):
    format: Literal["stitchpath plan 1"]
    design_sha256: str
    name: str
    settings: _Settings
    threads: tuple[_Thread, ...]
    lines: tuple[_Line, ...]
    hidden: tuple[_Line, ...]
    keep_outs: tuple[_KeepOut, ...]
    outline: _Outline | None
    blocks: tuple[_Block, ...]
    drawing_notes: tuple[_Note, ...]
    paths: tuple[_Path, ...]
    jobs: tuple[_Job, ...]
    totals: _Totals
    windows_mm: tuple[tuple[float, float], ...]
    bound: float
    laps: _Laps
    notes: tuple[str, ...]


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
    >>> from stitchpath.formats.document import write_json
    >>> with TemporaryDirectory() as folder:
    ...     write_json(Plan(Drawing(()), (), (), 0.0), Path(folder, "pear.json"))
    ...     read_plan(Path(folder, "pear.json")).paths
    ()
    """
    try:
        document = _Document.model_validate_json(read_bytes(file))
    except ValidationError as error:
        raise FileError(f"{file}: {_first_problem(error)}") from error
    plan = _plan(document)
    problem = _problem(document) or _totals_problem(document, plan)
    if problem:
        raise FileError(f"{file}: {problem}; write the plan again")
    return plan


def _plan(document: _Document) -> Plan:
    return Plan(
        _drawing(document),
        tuple(path.path() for path in document.paths),
        tuple(job.job() for job in document.jobs),
        document.bound,
        document.settings.cost,
        document.settings.machine,
        document.settings.schedule,
        document.settings.effort,
        document.settings.seed,
        Laps(document.laps.touched, document.laps.in_one_lap),
        document.notes,
        document.windows_mm,
        document.settings.batting,
    )


def _drawing(document: _Document) -> Drawing:
    return Drawing(
        tuple(line.line() for line in document.lines),
        tuple(line.line() for line in document.hidden),
        tuple(KeepOut(k.polygon(), k.motif, k.block) for k in document.keep_outs),
        document.outline.polygon() if document.outline else None,
        tuple(Thread(thread.name, thread.tex) for thread in document.threads),
        tuple(Finding(note.kind, note.message, note.place_mm) for note in document.drawing_notes),
        document.name,
        document.design_sha256,
        tuple(Block(**block.model_dump()) for block in document.blocks),
    )


def _first_problem(error: ValidationError) -> str:
    first = error.errors(include_url=False, include_context=False)[0]
    said = repr(first["input"])
    shown = said if len(said) <= 40 else said[:37] + "..."
    place = _place(first["loc"])
    if first["type"] == "json_invalid":
        return f"this is no JSON document: {first['msg'].removeprefix('Invalid JSON: ')}"
    if place == "format":
        return f'format: {shown} is not "{FORMAT}"; name a plan that stitchpath wrote'
    return f"{place or 'document'}: {first['msg']} (it says {shown}); write the plan again"


def _place(parts: tuple[int | str, ...]) -> str:
    """Return a place in the document; arrays are counted from 0, as in JSON.

    Examples
    --------
    >>> _place(("paths", 0, "spans", 2, "move")), _place(())
    ('paths[0].spans[2].move', '')
    """
    text = "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in parts)
    return text.removeprefix(".")


def _problem(document: _Document) -> str:
    for name, lines in (("lines", document.lines), ("hidden", document.hidden)):
        for index, line in enumerate(lines):
            if line.id != index + 1:
                return f"{name}[{index}].id: {line.id} stands where {index + 1} belongs"
    for index, path in enumerate(document.paths):
        problem = _spans_problem(path, len(document.lines))
        if problem:
            return f"paths[{index}].{problem}"
    for index, job in enumerate(document.jobs):
        if job.optimal != (job.cost == job.bound):
            return f"jobs[{index}].optimal: {job.optimal}, with cost {job.cost!r} and bound {job.bound!r}"
    return ""


def _spans_problem(path: _Path, lines: int) -> str:
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


def _totals_problem(document: _Document, plan: Plan) -> str:
    for key, value in totals(plan).items():
        said = getattr(document.totals, key)
        if abs(said - value) > _TOTALS_TOLERANCE * max(1.0, abs(value)):
            return f"totals.{key}: {said!r} is stated, and the paths and jobs come to {value!r}"
    return ""
