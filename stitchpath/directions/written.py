"""Directions in words for a person who guides by hand: numbered, by band, stage, path and block."""

import re
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from stitchpath.directions.step import Step
from stitchpath.directions.teller import steps_of
from stitchpath.directions.words import length_words, quoted
from stitchpath.figures.alignment import BandMarks, alignment
from stitchpath.files import StrPath, write_whole
from stitchpath.formats.svg_text import printable
from stitchpath.plan import Plan
from stitchpath.units import Unit

__all__ = ["Paragraph", "directions_text", "paragraphs", "write_directions"]

_WIDTH = 72  # columns of plain text: common practice, no source
_KEPT = "\xa0"
_IN_LENGTHS = re.compile(r"(?<=\d) (?=\d+/|(?:in|mm|cm)\b)")

_PREFACE = (
    "Lengths to the nearest {step}. Up, down, left and right, clockwise and anticlockwise as the top hangs, "
    "seen from the front; rows are counted from the top, columns from the left. Paths have the numbers of "
    "the picture. Oval 2 lies within the first one, and so on. A hop is travel under 1 in and may be "
    "free-hand. Where steps are done again farther on, the rows and columns that they name move on as far; "
    "within a block they stay."
)


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A heading and what stands under it.

    Attributes
    ----------
    kind
        ``"title"``, ``"note"``, ``"band"``, ``"stage"``, ``"path"`` or ``"block"``.
    heading
        Its words; a note's whole text.
    steps
        What stands under it.
    """

    kind: str
    heading: str
    steps: tuple[Step, ...] = ()


def paragraphs(plan: Plan, *, unit: Unit = "in") -> tuple[Paragraph, ...]:
    """Return a plan's directions as headings with the steps under each; a title and notes come first.

    Parameters
    ----------
    plan
        The plan.
    unit
        Of lengths.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> [told.kind for told in paragraphs(Plan(Drawing(()), (), (), 0.0))]
    ['title', 'note']
    """
    steps = steps_of(plan, unit=unit)
    return (
        Paragraph("title", f"{printable(plan.drawing.name) or 'Stitch plan'}: directions"),
        Paragraph("note", _PREFACE.format(step=length_words(1.0, unit).rpartition("than ")[2])),
        *_headed(plan, steps, unit),
    )


def _headed(plan: Plan, steps: Sequence[Step], unit: Unit) -> Iterator[Paragraph]:
    marks = {band.band: band for band in alignment(plan)}
    threads = len({path.thread for path in plan}) > 1
    last: Step | None = None
    for (band, path, stage, heading), run in groupby(
        steps, key=lambda step: (step.band, step.path, step.stage, step.heading)
    ):
        if plan.windows and (last is None or last.band != band):
            yield Paragraph("band", f"BAND {band} of {len(plan.windows)}")
            yield from _aligned(marks.get(band))
        on = last is not None and last.path == path
        if last is None or (last.band, last.stage) != (band, stage):
            yield Paragraph("stage", f"STAGE: {stage}{', path ' + str(path) + ' runs on' if on else ''}")
        if not on:
            made = plan.paths[path - 1]
            thread = f" with {quoted(made.thread)}" if threads else ""
            yield Paragraph(
                "path", f"Path {path} of {len(plan)}{thread}, {length_words(made.length_mm, unit)} in all"
            )
        under = tuple(run)
        yield Paragraph("block", heading, under)
        last = under[-1]


def _aligned(marks: BandMarks | None) -> Iterator[Paragraph]:
    if marks is not None and marks.marks:
        on = "; ".join(f"{mark.letter}, where {mark.what}" for mark in marks.marks)
        yield Paragraph("note", f"Align on {on}.")
    if marks is not None and marks.note:
        yield Paragraph("note", f"{marks.note[0].upper()}{marks.note[1:]}.")


def directions_text(plan: Plan, *, unit: Unit = "in") -> str:
    """Return the directions as plain text; see `write_directions`.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> print(directions_text(Plan(Drawing(()), (), (), 0.0)).splitlines()[0])
    Stitch plan: directions
    """
    told = paragraphs(plan, unit=unit)
    width = max((len(str(one.steps[-1].number)) for one in told if one.steps), default=1)
    lines: list[str] = []
    for paragraph in told:
        if paragraph.kind != "block" or lines[-1]:
            lines.append("")
        heading = f"  {paragraph.heading}" if paragraph.kind == "block" else paragraph.heading
        lines += _wrapped(heading, "")
        for step in paragraph.steps:
            lines += _wrapped(step.text, " " * (width + 2), first=f"{step.number:>{width}}. ")
    return "\n".join(lines[1:]) + "\n"


def _wrapped(text: str, indent: str, *, first: str = "") -> list[str]:
    """Wrap a text; a length is not parted."""
    lines = textwrap.wrap(
        _IN_LENGTHS.sub(_KEPT, text), _WIDTH, initial_indent=first, subsequent_indent=indent,
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    return [line.replace(_KEPT, " ") for line in lines]


def write_directions(plan: Plan, file: StrPath, *, unit: Unit = "in") -> None:
    """Write the directions as plain text: UTF-8, lines of 72 characters at most.

    Parameters
    ----------
    plan
        The plan.
    file
        Where to write.
    unit
        Lengths in ``"in"``, to the nearest eighth, or in ``"mm"`` or ``"cm"``, to the nearest millimetre.

    Raises
    ------
    FileError
        If it cannot be written.
    DesignError
        If it is no plan, or there is no such unit.
    """
    write_whole(file, directions_text(plan, unit=unit))
