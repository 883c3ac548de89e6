"""Directions in words for a person who guides by hand: numbered, by band, stage, path and block."""

import re
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from stitchpath.directions.step import Step
from stitchpath.directions.teller import steps_of
from stitchpath.directions.words import length_words, quoted
from stitchpath.figures.alignment import BandMarks, alignment
from stitchpath.files import StrPath, write_whole
from stitchpath.formats.svg_text import printable
from stitchpath.plan import Plan
from stitchpath.settings import HandWhen
from stitchpath.units import Unit
from stitchpath.words import numbers

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


_WHEN: Mapping[HandWhen, tuple[str, str]] = {
    "before each band": ("before the frame sews", "before the frame sews this band"),
    "after each band": ("after the frame has sewn", "after the frame has sewn this band"),
    "before the frame": ("before the quilt comes on the frame",) * 2,
    "after the frame": ("after the quilt has come off the frame",) * 2,
}
"""When the hand sews, without bands and with them."""


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
        Paragraph("title", f"{plan.titled(printable(plan.drawing.name) or 'Stitch plan')}: directions"),
        Paragraph("note", _PREFACE.format(step=length_words(1.0, unit).rpartition("than ")[2])),
        *_headed(plan, steps, unit),
    )


def _headed(plan: Plan, steps: Sequence[Step], unit: Unit) -> Iterator[Paragraph]:
    marks = {band.band: band for band in alignment(plan)}
    early, late = _by_hand(plan)
    of_band = {band: list(run) for band, run in groupby(steps, key=lambda step: step.band)}
    yield from early.get(0, ())
    for band in sorted({*of_band, *early, *late} - {0}):
        if plan.windows:
            yield Paragraph("band", f"BAND {band} of {len(plan.windows)}")
        yield from early.get(band, ())
        if band in of_band:
            yield from _aligned(marks.get(band) if plan.windows else None)
            yield from _under_band(plan, of_band[band], unit)
        yield from late.get(band, ())
    yield from late.get(0, ())


def _under_band(plan: Plan, steps: Sequence[Step], unit: Unit) -> Iterator[Paragraph]:
    threads = len({path.thread for path in plan}) > 1
    last: Step | None = None
    for (path, stage, heading), run in groupby(steps, key=lambda step: (step.path, step.stage, step.heading)):
        name, on = plan.path_name(path), last is not None and last.path == path
        if last is None or last.stage != stage:
            yield Paragraph("stage", f"STAGE: {stage}{f', path {name} runs on' if on else ''}")
        if not on:
            made = plan.paths[path - 1]
            thread = f" with {quoted(made.thread)}" if threads else ""
            told = f"Path {name} of {len(plan)}{thread}, {length_words(made.length_mm, unit)} in all"
            yield Paragraph("path", told)
        under = tuple(run)
        yield Paragraph("block", heading, under)
        last = under[-1]


_Notes = dict[int, tuple[Paragraph, ...]]


def _by_hand(plan: Plan) -> tuple[_Notes, _Notes]:
    """Return what to say of the hand's part before and after each band; before and after all of it, for 0."""
    hand = plan if plan.of_hand else plan.by_hand
    if hand is None or not len(hand):
        return {}, {}
    schedule, notes = plan.schedule, _Notes()
    words = _WHEN[schedule.hand_when][1 if hand.windows else 0]
    numbered = groupby(enumerate(hand, 1), key=lambda each: each[1].band if schedule.hand_on_frame else 0)
    for band, run in numbered:
        which = numbers([number for number, _ in run], before="H")
        asked = f"Sew what follows {words}." if plan.of_hand else f"Sew {which} by hand {words}."
        notes[band] = (Paragraph("note", asked),)
    return (notes, {}) if plan.of_hand or schedule.hand_first else ({}, notes)


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
