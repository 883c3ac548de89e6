"""The plan's JSON as pydantic models: each field is spelled here once, to be written and to be read.

`document_of` and `plan_of` are each other's reverse. A part takes what it holds by name from what it stands
for, and gives it back by the same names; where the document has another name, both say so.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Annotated, Any, Literal, Self, TypeVar

import numpy as np
import shapely
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from stitchpath.drawing import Drawing
from stitchpath.errors import Finding
from stitchpath.figures import visits_of
from stitchpath.lines import Block, KeepOut, Line, Role, Thread
from stitchpath.plan import Laps, Move, OrderException, Plan, RoutedJob, Span, StitchPath
from stitchpath.settings import BattingSettings, CostSettings, Effort, MachineSettings, ScheduleSettings

__all__ = [
    "FORMAT",
    "Fault",
    "HandPart",
    "LinesDocument",
    "PathPart",
    "PlanDocument",
    "Totals",
    "document_of",
    "lines_document_of",
    "plan_of",
    "totals",
]  # fmt: skip

FORMAT = "stitchpath plan 1"

Made = TypeVar("Made")
Point = tuple[float, float]
Points = Annotated[tuple[Point, ...], Field(min_length=2)]
Rings = Annotated[tuple[Annotated[tuple[Point, ...], Field(min_length=4)], ...], Field(min_length=1)]
Count = Annotated[int, Field(ge=0)]
CountedFromOne = Annotated[int, Field(ge=1)]


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, strict=True)

    @classmethod
    def of(cls, source: object, **more: object) -> Self:
        """Return the part that stands for `source`: its fields by their names, but what `more` says."""
        named = {name: getattr(source, name) for name in cls.model_fields if name not in more}
        return cls.model_validate({name: _plain(value) for name, value in (named | more).items()})

    def to(self, kind: type[Made], *without: str) -> Made:
        """Return what it stands for; fields named in `without` follow from the others."""
        return kind(**{name: value for name, value in self if name not in without})


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


class _Outline(_Part):
    rings_mm: Rings


class _KeepOut(_Part):
    motif: str
    block: str
    rings_mm: Rings


class _Block(_Part):
    name: str
    box_mm: tuple[float, float, float, float]
    row: CountedFromOne
    column: CountedFromOne
    kind: str = ""


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


class PathPart(_Part):
    """A path; its thread is that of its lines."""

    band: CountedFromOne
    stage: str
    thread: str
    points_mm: Points
    spans: Annotated[tuple[_Span, ...], Field(min_length=1)]


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
    crossings: Count
    optimal: bool


class Totals(_Part):
    """What follows from a plan's paths and jobs: lengths in mm, costs in s, visits of blocks."""

    paths: Count
    tie_offs: Count
    length_mm: float
    sewn_mm: float
    travel_mm: float
    step_mm: float = 0.0
    resume_mm: float
    cost: float
    visits_median: float | None
    visits_mean: float | None
    visits_most: Count
    visits_most_in: tuple[str, ...]


class _OrderException(_Part):
    line: CountedFromOne
    block: str
    motif: str
    early: Literal["fill", "echoes"]
    share: Annotated[float, Field(gt=0, le=1)]
    path: CountedFromOne


class _Laps(_Part):
    touched: Count
    in_one_lap: Count


class HandPart(_Part):
    """What the frame leaves to the hand: a plan over the same lines."""

    settings: _Settings
    paths: tuple[PathPart, ...]
    jobs: tuple[_Job, ...]
    totals: Totals
    windows_mm: tuple[Point, ...]
    bound: float
    laps: _Laps
    order_exceptions: tuple[_OrderException, ...]
    notes: tuple[str, ...]


class PlanDocument(_Part):
    """A plan as its JSON has it."""

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
    paths: tuple[PathPart, ...]
    jobs: tuple[_Job, ...]
    totals: Totals
    windows_mm: tuple[Point, ...]
    bound: float
    laps: _Laps
    order_exceptions: tuple[_OrderException, ...]
    notes: tuple[str, ...]
    by_hand: HandPart | None = None
    of_hand: bool = False


class LinesDocument(_Part):
    """A drawing's lines alone."""

    format: Literal["stitchpath lines 1"]
    design_sha256: str
    name: str
    lines: tuple[_Line, ...]


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong in a document: pydantic's name for it, its place, what, and what stands there."""

    kind: str
    place: str
    message: str
    shown: str
    value: Any

    @classmethod
    def first(cls, error: ValidationError) -> Self:
        """Return the first of what is wrong."""
        found = error.errors(include_url=False, include_context=False)[0]
        said = repr(found["input"])
        shown = said if len(said) <= 40 else said[:37] + "..."
        return cls(found["type"], _place(found["loc"]), found["msg"], shown, found["input"])


def document_of(plan: Plan) -> PlanDocument:
    """Return a plan as its JSON has it.

    Raises
    ------
    pydantic.ValidationError
        If something in it, such as a number that is not finite, could not be read again.
    """
    drawing = plan.drawing
    return PlanDocument.of(
        plan,
        format=FORMAT,
        design_sha256=drawing.design_sha256,
        name=drawing.name,
        **_own_parts(plan),
        threads=tuple(map(_Thread.of, drawing.threads)),
        lines=_line_parts(drawing.lines),
        hidden=_line_parts(drawing.hidden),
        keep_outs=tuple(_KeepOut.of(each, rings_mm=each.polygon) for each in drawing.keep_outs),
        outline=None if drawing.outline is None else _Outline.of(drawing, rings_mm=drawing.outline),
        blocks=tuple(map(_Block.of, drawing.blocks)),
        drawing_notes=tuple(map(_Note.of, drawing.notes)),
        by_hand=None if plan.by_hand is None else HandPart.of(plan.by_hand, **_own_parts(plan.by_hand)),
    )


def _own_parts(plan: Plan) -> dict[str, Any]:
    """Return the parts of a plan that are not its drawing's."""
    return {
        "settings": _Settings.of(plan, cost=plan.cost_settings),
        "paths": tuple(map(_path_part, plan.paths)),
        "jobs": tuple(map(_Job.of, plan.jobs)),
        "totals": totals(plan),
        "windows_mm": plan.windows,
        "laps": _Laps.of(plan.laps),
        "order_exceptions": tuple(map(_OrderException.of, plan.order_exceptions)),
    }


def lines_document_of(drawing: Drawing) -> LinesDocument:
    """Return a drawing's lines as their JSON has them."""
    return LinesDocument.of(drawing, format="stitchpath lines 1", lines=_line_parts(drawing.lines))


def plan_of(document: PlanDocument) -> Plan:
    """Return the plan that a document stands for; its totals and each job's proof follow from the rest."""
    drawing, by_hand = _drawing_of(document), document.by_hand
    hand = None if by_hand is None else _plan_over(drawing, by_hand, of_hand=True)
    return replace(_plan_over(drawing, document, of_hand=document.of_hand), by_hand=hand)


def _plan_over(drawing: Drawing, part: PlanDocument | HandPart, *, of_hand: bool) -> Plan:
    settings = part.settings
    return Plan(
        drawing,
        tuple(map(_path_of, part.paths)),
        tuple(job.to(RoutedJob, "optimal") for job in part.jobs),
        part.bound,
        settings.cost,
        settings.machine,
        settings.schedule,
        settings.effort,
        settings.seed,
        part.laps.to(Laps),
        part.notes,
        part.windows_mm,
        settings.batting,
        tuple(each.to(OrderException) for each in part.order_exceptions),
        of_hand=of_hand,
    )


def totals(plan: Plan) -> Totals:
    """Return what follows from a plan's paths and jobs.

    Raises
    ------
    pydantic.ValidationError
        If a length or the cost is not finite.

    Examples
    --------
    >>> totals(Plan(Drawing(()), (), (), 0.0)).tie_offs
    0
    """
    visits = visits_of(plan)
    return Totals(
        paths=len(plan.paths),
        tie_offs=2 * len(plan.paths),
        length_mm=sum((path.length_mm for path in plan.paths), 0.0),
        sewn_mm=sum((path.sewn_mm for path in plan.paths), 0.0),
        travel_mm=sum((path.travel_mm for path in plan.paths), 0.0),
        step_mm=sum((path.step_mm for path in plan.paths), 0.0),
        resume_mm=sum((path.resume_mm for path in plan.paths), 0.0),
        cost=plan.cost,
        visits_median=visits.median,
        visits_mean=visits.mean,
        visits_most=visits.most,
        visits_most_in=visits.most_in,
    )


def _line_parts(lines: Iterable[Line]) -> tuple[_Line, ...]:
    return tuple(_Line.of(line, id=number) for number, line in enumerate(lines, 1))


def _path_part(path: StitchPath) -> PathPart:
    return PathPart.of(path, points_mm=path.coordinates_mm, spans=tuple(map(_Span.of, path.spans)))


def _path_of(part: PathPart) -> StitchPath:
    spans = tuple(span.to(Span) for span in part.spans)
    return StitchPath(np.array(part.points_mm), spans, part.thread, part.band)


def _drawing_of(document: PlanDocument) -> Drawing:
    return Drawing(
        tuple(line.to(Line, "id") for line in document.lines),
        tuple(line.to(Line, "id") for line in document.hidden),
        tuple(KeepOut(_polygon(each.rings_mm), each.motif, each.block) for each in document.keep_outs),
        None if document.outline is None else _polygon(document.outline.rings_mm),
        tuple(thread.to(Thread) for thread in document.threads),
        tuple(note.to(Finding) for note in document.drawing_notes),
        document.name,
        document.design_sha256,
        tuple(block.to(Block) for block in document.blocks),
    )


def _polygon(rings: Rings) -> shapely.Polygon:
    outer, *holes = map(np.array, rings)
    return shapely.Polygon(outer, holes)


def _plain(value: Any) -> Any:
    """Return what numpy and shapely hold as numbers and tuples of them; the rest as it is."""
    if isinstance(value, np.generic):
        return value.item()
    if isinstance(value, np.ndarray):
        return tuple(map(tuple, value.tolist()))
    if isinstance(value, shapely.Polygon):
        rings = () if value.is_empty else (value.exterior, *value.interiors)
        return tuple(_plain(shapely.get_coordinates(ring)) for ring in rings)
    return value


def _place(parts: tuple[int | str, ...]) -> str:
    """Return a place in the document; arrays are counted from 0, as in JSON.

    Examples
    --------
    >>> _place(("paths", 0, "spans", 2, "move")), _place(())
    ('paths[0].spans[2].move', '')
    """
    text = "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in parts)
    return text.removeprefix(".")
