"""The walk-through: one HTML page led by the steps of the directions, with a drawing that follows them.

The page holds everything and asks nothing of any network: its policy forbids it, and lets no other script or
style run than its own, by their SHA-256. Coordinates are whole hundredths of a millimetre in a block of JSON,
each point as its distance from the one before. The browser remembers the place under the SHA-256 of that
block, so that another plan, or the same one told otherwise, never opens at a place that is not meant.

On every screen the drawing comes first, and this step's words and two large buttons stay at the bottom. The
list lies beside it where there is room, else over it. Pauses (`stitchpath.directions.pauses`) are walked
through like steps, without a number.
"""

import base64
import hashlib
import html
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from importlib.resources import files
from itertools import chain, groupby
from string import Template
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.directions.pauses import Pause, pauses_of
from stitchpath.directions.step import Step
from stitchpath.directions.teller import steps_of
from stitchpath.files import StrPath, write_whole
from stitchpath.formats.numbers import check_paths
from stitchpath.formats.svg_text import printable
from stitchpath.plan import Move, Plan, StitchPath
from stitchpath.units import MM_PER, Unit, refuse_unit

__all__ = ["walkthrough_html", "write_walkthrough"]

_PER_MM = 100  # hundredths of a millimetre, as whole numbers: finer than any screen shows
_MOST_LISTED = 200
"""A long path's steps are listed in parts of this many, so that a page opens at once."""

_ROOM = 0.05  # around the drawing, as a share of its longer side: chosen by eye
_LEAST_ROOM_MM = 10.0  # where that share is next to nothing: chosen by eye
_TRAVELS = frozenset({Move.TRAVEL, Move.STEP, Move.RESUME})
_TRAVEL_VERBS = frozenset({"travel", "hop", "step", "resume"})
_CLAUSES = re.compile(r"(?<=[,;.]) ")
"""Between clauses, which steps share: a large plan's words then take a third of the room."""

_SPEEDS: Mapping[Unit, tuple[float, ...]] = {
    "mm": (25, 100, 400, 1600), "cm": (2.5, 10, 40, 160), "in": (1, 4, 16, 64),
}  # fmt: skip
"""How fast it may walk on, in units a second."""


def write_walkthrough(plan: Plan, file: StrPath, *, unit: Unit = "mm") -> None:
    """Write the walk-through as one HTML page.

    Parameters
    ----------
    plan
        The plan; one without paths makes a page that says so.
    file
        Where to write.
    unit
        ``"mm"``, ``"cm"`` or ``"in"``: of lengths in words, and of speeds.

    Raises
    ------
    FileError
        If it cannot be written.
    DesignError
        If a path cannot be drawn, or there is no such unit.
    """
    write_whole(file, walkthrough_html(plan, unit=unit))


def walkthrough_html(plan: Plan, *, unit: Unit = "mm") -> str:
    """Return the walk-through as text; see `write_walkthrough`.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> "<title>Stitch plan: walk-through</title>" in walkthrough_html(Plan(Drawing(()), (), (), 0.0))
    True
    """
    check_paths(plan)
    refuse_unit(unit)
    style = _part(".css")
    script = f'"use strict";\n(() => {{\n{_part("_drawing.js")}{_part("_finding.js")}{_part(".js")}}})();\n'
    policy = (
        f"default-src 'none'; script-src {_sha(script)}; style-src {_sha(style)}; "
        "base-uri 'none'; form-action 'none'"
    )
    data = _data(plan, unit, steps_of(plan, unit=unit))
    data["key"] = hashlib.sha256(_json(data).encode()).hexdigest()
    return Template(_part(".html")).substitute(
        policy=policy,
        title=html.escape(plan.titled(printable(plan.drawing.name) or "Stitch plan")),
        style=style,
        script=script,
        data=_json(data),
    )


def _part(ending: str) -> str:
    return files("stitchpath.pages").joinpath(f"walkthrough{ending}").read_text(encoding="utf-8")


def _sha(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _json(data: Any) -> str:
    """Return JSON that cannot end the element it stands in."""
    text = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return text.replace("<", "\\u003c")


def _data(plan: Plan, unit: Unit, steps: Sequence[Step]) -> dict[str, Any]:
    said = [_CLAUSES.split(step.text) for step in steps]
    clauses = {clause: number for number, clause in enumerate(dict.fromkeys(chain.from_iterable(said)))}
    headings = {words: number for number, words in enumerate(dict.fromkeys(step.heading for step in steps))}
    sections, parts = _headings(plan, steps)
    drawing = plan.drawing
    outline = [] if drawing.outline is None else _rings([drawing.outline])
    shown = [path.coordinates_mm for path in plan.paths] + [line.points_mm for line in drawing.hidden]
    box, room = _box([*shown, *outline])
    return {
        "unit": [unit, round(_PER_MM * float(MM_PER[unit]))],
        "speeds": _SPEEDS[unit],
        "box": box,
        "room": room,
        "outline": [_deltas(ring) for ring in outline],
        "seams": [_deltas(line.points_mm) for line in drawing.hidden],
        "keepOuts": [_deltas(ring) for ring in _rings([each.polygon for each in drawing.keep_outs])],
        "columns": _strips((block.column, block.box_mm[0], block.box_mm[2]) for block in drawing.blocks),
        "rows": _strips((block.row, block.box_mm[1], block.box_mm[3]) for block in drawing.blocks),
        "paths": [_deltas(path.coordinates_mm) for path in plan.paths],
        "runs": [_runs(path) for path in plan.paths],
        "bands": [path.band for path in plan.paths],
        "pathNames": [plan.path_name(number) for number in range(1, len(plan.paths) + 1)],
        "pauses": [_pause(pause) for pause in pauses_of(plan, steps, unit=unit)],
        "clauses": [printable(clause) for clause in clauses],
        "words": [[clauses[clause] for clause in step] for step in said],
        "headings": [printable(heading) for heading in headings],
        "under": [headings[step.heading] for step in steps],
        "last": [step.last for step in steps],
        "travels": [int(step.verb in _TRAVEL_VERBS) for step in steps],
        "starts": [at for at, step in enumerate(steps) if at == 0 or step.path != steps[at - 1].path],
        "sections": sections,
        "parts": parts,
    }


def _pause(pause: Pause) -> dict[str, Any]:
    """Return a pause, before which step it stands, counted from 0, and each mark as x, y and its label."""
    marks = [(*(round(_PER_MM * mm) for mm in place), label) for label, place in pause.marks]
    return {
        "before": pause.before - 1, "kind": pause.kind, "words": printable(pause.text), "marks": marks,
    }  # fmt: skip


def _deltas(points_mm: NDArray[np.float64]) -> list[int]:
    """Return points as whole hundredths: the first, then each one's distance from the one before."""
    whole = np.round(points_mm * _PER_MM).astype(np.int64)
    flat: list[int] = np.concatenate([whole[:1], np.diff(whole, axis=0)]).ravel().tolist()
    return flat


def _rings(polygons: Sequence[Any]) -> list[NDArray[np.float64]]:
    parts = [part for polygon in polygons for part in shapely.get_parts(polygon)]
    return [shapely.get_coordinates(ring) for part in parts for ring in (part.exterior, *part.interiors)]


def _box(shown: Sequence[NDArray[np.float64]]) -> tuple[list[int], int]:
    """Return what there is to see with room around it, and how much room that is."""
    points = np.concatenate([*shown, np.zeros((0, 2))])
    points = points if len(points) else np.zeros((1, 2))
    low, high = points.min(axis=0), points.max(axis=0)
    room = max(_ROOM * float((high - low).max()), _LEAST_ROOM_MM)
    corners = np.concatenate([low - room, high + room])
    return np.round(corners * _PER_MM).astype(np.int64).tolist(), round(room * _PER_MM)


def _strips(sides: Iterable[tuple[int, float, float]]) -> list[tuple[int, int, int]]:
    """Return rows or columns: the number of each, and where it begins and ends."""
    found = {number: (number, round(low * _PER_MM), round(high * _PER_MM)) for number, low, high in sides}
    return sorted(found.values())


def _runs(path: StitchPath) -> list[int]:
    """Return whether the needle travels, and up to which point, for each run of a path."""
    runs = groupby(path.spans, key=lambda span: span.move in _TRAVELS)
    return [number for travels, spans in runs for number in (int(travels), list(spans)[-1].last)]


class _Heads:
    """What stands over the steps: sections by band, stage, group and thread, and in them paths in parts."""

    def __init__(self, plan: Plan) -> None:
        self.threads = [path.thread for path in plan.paths]
        self.groups, self.path_name = plan.path_groups, plan.path_name
        self.several_bands = len({path.band for path in plan.paths}) > 1
        self.several_threads = len(set(self.threads)) > 1

    def section(self, step: Step) -> str:
        words = (
            f"band {step.band}" if self.several_bands else "",
            step.stage,
            self.groups[step.path - 1],
            f"thread {self.threads[step.path - 1]}" if self.several_threads else "",
        )
        said = printable(", ".join(word for word in words if word)) or "all"
        return said[0].upper() + said[1:]

    def part(self, run: Sequence[Step], at: int, *, begins: bool) -> str:
        """Say which steps of a path a part lists; `at` is how many of the run come before it."""
        from_place = f", from {run[at].block}" if run[at].block else ""
        on = "" if begins and not at else ", on"
        return printable(f"Path {self.path_name(run[0].path)} of {len(self.threads)}{on}{from_place}")


def _headings(plan: Plan, steps: Sequence[Step]) -> tuple[list[tuple[int, str]], list[tuple[int, str]]]:
    """Return the sections and the parts: before which step each stands, counted from 0, and what it says."""
    heads = _Heads(plan)
    sections: list[tuple[int, str]] = []
    parts: list[tuple[int, str]] = []
    first, path = 0, 0
    for (section, number), grouped in groupby(steps, key=lambda step: (heads.section(step), step.path)):
        run = list(grouped)
        if not sections or sections[-1][1] != section:
            sections.append((first, section))
        parts += [
            (first + at, heads.part(run, at, begins=number != path))
            for at in range(0, len(run), _MOST_LISTED)
        ]
        first, path = first + len(run), number
    return sections, parts
