"""Directions in words, for a person who guides by hand: numbered, grouped by band, stage, path and block."""

import re
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from stitchpath.export._svgwrite import printable
from stitchpath.export.alignment import BandMarks, alignment
from stitchpath.export.directions_folds import Again, Item, Rows, folded, legs_in, repeated
from stitchpath.export.directions_sentences import Said, Sentences, hops_on
from stitchpath.export.directions_words import length_words, quoted
from stitchpath.export.legs import Leg, legs_of
from stitchpath.export.spots import Spots
from stitchpath.files import StrPath, write_whole
from stitchpath.plan import Move, Plan, StitchPath
from stitchpath.units import Unit

__all__ = ["Direction", "Paragraph", "directions", "directions_text", "paragraphs", "write_directions"]

_LEAST_RUN = 4
_SAME_MM = 0.01
_LEAST_FOLDED = 3
_WIDTH = 72
_KEPT = "\xa0"
_IN_LENGTHS = re.compile(r"(?<=\d) (?=\d+/|in\b|mm\b)")

_PREFACE = (
    "Lengths to the nearest {step}. Up, down, left and right, clockwise and anticlockwise as the top hangs, "
    "seen from the front; rows are counted from the top, columns from the left. Paths have the numbers of "
    "the picture. Oval 2 lies within the first one, and so on. A hop is travel under 1 in and may be "
    "free-hand. Where steps are done again farther on, the names of seams, rows and columns in them move on, "
    "too."
)


@dataclass(frozen=True, slots=True)
class Direction:
    """One numbered step.

    Attributes
    ----------
    number
        Counted from 1 through the whole plan.
    path, band, stage
        Where in the plan; paths and bands count from 1.
    block
        Under which block it stands; empty for the whole top.
    verb
        ``"bring up"``, ``"sew"``, ``"lap"``, ``"lines"``, ``"travel"``, ``"hop"``, ``"resume"``,
        ``"again"``, ``"as path"`` or ``"tie off"``.
    what
        On what: ``"the seam between rows 1 and 2"``.
    way
        Up, down, left, right, clockwise...; of lines, which way the first one goes.
    length_mm
        Needle-down length of the whole step; of ``"bring up"`` that of the needle-up move before it.
    count, spacing_mm
        How many lines, and from one to the next; how many times, of ``"again"``.
    first, last
        Point indices in the path: the step goes from the first one to the last.
    start_mm, end_mm
        The places of these.
    end
        Where it ends, in words.
    text
        The step in words.
    """

    number: int
    path: int
    band: int
    stage: str
    block: str
    verb: str
    what: str
    way: str
    length_mm: float
    count: int
    spacing_mm: float
    first: int
    last: int
    start_mm: tuple[float, float]
    end_mm: tuple[float, float]
    end: str
    text: str


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A heading and what stands under it.

    Attributes
    ----------
    kind
        ``"title"``, ``"note"``, ``"band"``, ``"stage"``, ``"path"`` or ``"block"``.
    heading
        Its words; a note's whole text.
    directions
        What stands under it.
    """

    kind: str
    heading: str
    directions: tuple[Direction, ...] = ()


def directions(plan: Plan, *, unit: Unit = "in") -> tuple[Direction, ...]:
    """Return a plan's directions, in sewing order.

    Parameters
    ----------
    plan
        Any plan.
    unit
        Lengths in ``"in"``, to the nearest eighth, or in ``"mm"``, to the nearest whole one.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.lines import Line, Role
    >>> from stitchpath.plan import Span
    >>> line = Line([(0, 0), (254, 0)], Role.FILL, motif="fill", block="row 1, column 1")
    >>> path = StitchPath([(0, 0), (254, 0)], (Span(Move.SEW, 0, 1, 1, "detail"),))
    >>> told = directions(Plan(Drawing((line,)), (path,), (), 0.0))
    >>> [one.verb for one in told], told[1].text
    (['bring up', 'sew', 'tie off'], 'Sew right, 10 in, along a line of "fill".')
    >>> directions(Plan(Drawing(()), (), (), 0.0))
    ()
    """
    return tuple(_Teller(plan, unit).tell())


def paragraphs(plan: Plan, *, unit: Unit = "in") -> tuple[Paragraph, ...]:
    """Return a plan's directions as headings with what stands under each; a title and notes come first.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> [told.kind for told in paragraphs(Plan(Drawing(()), (), (), 0.0))]
    ['title', 'note']
    """
    return (
        Paragraph("title", f"{printable(plan.drawing.name) or 'Stitch plan'}: directions"),
        Paragraph("note", _PREFACE.format(step=length_words(1.0, unit).rpartition("than ")[2])),
        *_headed(plan, directions(plan, unit=unit), unit),
    )


def _headed(plan: Plan, told: Sequence[Direction], unit: Unit) -> Iterator[Paragraph]:
    marks = {band.band: band for band in alignment(plan)}
    threads = len({path.thread for path in plan}) > 1
    last: Direction | None = None
    for (band, path, stage, block), run in groupby(told, key=lambda d: (d.band, d.path, d.stage, d.block)):
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
        directions_of = tuple(run)
        yield Paragraph("block", block[:1].upper() + block[1:] if block else "The whole top", directions_of)
        last = directions_of[-1]


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
    width = max((len(str(told.directions[-1].number)) for told in told if told.directions), default=1)
    lines: list[str] = []
    for paragraph in told:
        if paragraph.kind != "block" or lines[-1]:
            lines.append("")
        heading = f"  {paragraph.heading}" if paragraph.kind == "block" else paragraph.heading
        lines += _wrapped(heading, "")
        for one in paragraph.directions:
            lines += _wrapped(one.text, " " * (width + 2), first=f"{one.number:>{width}}. ")
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
        Lengths in ``"in"``, to the nearest eighth, or in ``"mm"``, to the nearest whole one.

    Raises
    ------
    FileError
        If it cannot be written.
    """
    write_whole(file, directions_text(plan, unit=unit))


class _Teller:
    """Tells one plan."""

    def __init__(self, plan: Plan, unit: Unit) -> None:
        self.plan = plan
        self.spots = Spots(plan.drawing, unit)
        self.sentences = Sentences(self.spots)
        self.count = 0
        self.known: list[tuple[int, StitchPath, str, list[Leg]]] = []

    def tell(self) -> Iterator[Direction]:
        before: StitchPath | None = None
        for number, path in enumerate(self.plan, 1):
            yield from self._path(number, path, before)
            before = path

    def _path(self, number: int, path: StitchPath, before: StitchPath | None) -> Iterator[Direction]:
        legs = [leg for leg in legs_of(self.plan, path) if leg.move is not Move.SECURE and leg.length_mm]
        if not legs:
            return
        items = repeated(folded(legs, [self.spots.name_of(leg) for leg in legs]))
        blocks = _blocks(items)
        where = (number, path)
        start, end = path.coordinates_mm[0], path.coordinates_mm[-1]
        moved = None if before is None or before.band != path.band else start - before.coordinates_mm[-1]
        place = self.spots.place(start, legs[0].line, blocks[0])
        said = self.sentences.bring_up(place, moved)
        far = 0.0 if moved is None else float(np.hypot(*moved))
        yield self._direction(
            where, said, blocks[0], legs[0].stage, (legs[0].first, legs[0].first), far, place
        )
        place = self.spots.place(end, legs[-1].line, blocks[-1])
        yield from self._between(where, items, blocks, legs)
        said = self.sentences.tie_off(place, closed=path.closed)
        yield self._direction(
            where, said, blocks[-1], legs[-1].stage, (legs[-1].last, legs[-1].last), 0.0, place
        )

    def _between(
        self, where: tuple[int, StitchPath], items: Sequence[Item], blocks: Sequence[str], legs: list[Leg]
    ) -> Iterator[Direction]:
        number, path = where
        own = {leg.line.block if leg.line else "" for leg in legs}
        if len(own) == 1 and blocks[0] and len(items) >= _LEAST_FOLDED:
            like = next((known for known in self.known if _alike(known, path, legs)), None)
            if like is not None:
                length = sum(leg.length_mm for leg in legs)
                said = self.sentences.as_path(like[0], like[2], length)
                ends = (legs[0].first, legs[-1].last)
                yield self._direction(
                    where, said, blocks[0], legs[0].stage, ends, length, self._end(legs[-1], blocks[-1])
                )
                return
            self.known.append((number, path, blocks[0], legs))
        numbers: list[int] = []
        starts = {at - item.count for at, item in enumerate(items) if isinstance(item, Again)}
        at = 0
        while at < len(items):
            item, block, stop = items[at], blocks[at], at + 1
            before = legs_in(items[at - 1])[-1] if at else None
            parts, count, spacing = legs_in(item), 1, 0.0
            if isinstance(item, Rows):
                said = self.sentences.rows(item, block=block)
                count, spacing = len(item.lines), item.spacing_mm
            elif isinstance(item, Again):
                said = self.sentences.again(item, numbers[-item.count :])
                count = item.times
            else:
                hop = items[stop] if stop < len(items) and stop not in starts else None
                if isinstance(hop, Leg) and blocks[stop] == block and hops_on(item, hop):
                    said = self.sentences.leg(item, before=before, block=block, hop=hop)
                    parts, stop = (item, hop), stop + 1
                else:
                    said = self.sentences.leg(item, before=before, block=block)
            numbers += [self.count + 1] * (stop - at)
            length = sum(leg.length_mm for leg in parts)
            ends = (parts[0].first, parts[-1].last)
            yield self._direction(
                where,
                said,
                block,
                parts[0].stage,
                ends,
                length,
                self._end(parts[-1], block),
                count=count,
                spacing=spacing,
            )
            at = stop

    def _end(self, leg: Leg, block: str) -> str:
        return self.spots.place(leg.points_mm[-1], leg.line, block)

    def _direction(
        self, where: tuple[int, StitchPath], said: Said, block: str, stage: str, ends: tuple[int, int],
        length: float, end: str, *, count: int = 1, spacing: float = 0.0,
    ) -> Direction:  # fmt: skip
        self.count += 1
        number, path = where
        start_mm, end_mm = (_xy(path.coordinates_mm[i]) for i in ends)
        return Direction(
            self.count, number, path.band, stage, block, said.verb, said.what, said.way, length, count,
            spacing, *ends, start_mm, end_mm, end, said.text,
        )  # fmt: skip


def _xy(point: NDArray[np.float64]) -> tuple[float, float]:
    x, y = point.tolist()
    return x, y


def _alike(known: tuple[int, StitchPath, str, list[Leg]], path: StitchPath, legs: list[Leg]) -> bool:
    """Tell whether a path is an earlier one moved: the same moves, along lines of the same names."""
    _, other, _, before = known
    if path.thread != other.thread or len(legs) != len(before):
        return False
    for a, b in zip(before, legs, strict=True):
        if len(a.points_mm) != len(b.points_mm) or (a.move, a.stage, a.role) != (b.move, b.stage, b.role):
            return False
        if (a.line.motif if a.line else "") != (b.line.motif if b.line else ""):
            return False
        off = b.points_mm - a.points_mm - (legs[0].points_mm[0] - before[0].points_mm[0])
        if np.abs(off).max() > _SAME_MM:
            return False
    return True


def _blocks(items: Sequence[Item]) -> list[str]:
    """Return under which block's heading each item stands.

    Seams go along with what is before them. A run of a block gets a heading of its own where it has several
    items that sew; else its items name it themselves.
    """
    own = [_block(item) for item in items]
    told: list[str] = []
    carried = _carried(own)
    for block, run in groupby(range(len(items)), key=carried.__getitem__):
        at = list(run)
        sewn = sum(_LEAST_RUN if isinstance(items[i], Rows) else own[i] is not None for i in at)
        told += [block if sewn >= _LEAST_RUN or not told else told[-1]] * len(at)
    return told


def _carried(own: Sequence[str | None]) -> list[str]:
    carried: list[str] = []
    last = next((block for block in own if block is not None), "")
    for block in own:
        last = last if block is None else block
        carried.append(last)
    return carried


def _block(item: Item) -> str | None:
    """Return the block of what an item sews; None where it only travels, or sews no block's line."""
    lines = item.lines if isinstance(item, Rows) else legs_in(item)
    blocks = [leg.line.block for leg in lines if leg.move is Move.SEW and leg.line is not None]
    return blocks[-1] if blocks else None
