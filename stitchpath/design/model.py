"""The models of a design: the top, its layout, kinds of block and their motifs, threads and settings.

All are frozen, and as easy to build in Python as to read from a file. In Python bare numbers are millimetres;
in a file they are in the design's unit.
"""

from collections import Counter
from typing import Annotated, Self

from pydantic import Field, PrivateAttr, model_validator

from stitchpath.design.change import Change
from stitchpath.design.faults import Path, fault, fold, nearest, shown
from stitchpath.design.letters import Letter, Rows
from stitchpath.design.source import Source
from stitchpath.limits import MOST_ACROSS_MM, MOST_BLOCKS, MOST_DRAWN, MOST_KINDS, MOST_MOTIFS
from stitchpath.motifs import Motif
from stitchpath.motifs.names import Name
from stitchpath.motifs.sizes import Clearance
from stitchpath.settings import BattingSettings, CostSettings, Frozen, MachineSettings, ScheduleSettings
from stitchpath.units import MM_PER_INCH, LengthIn, Unit, length_field

__all__ = ["Border", "Change", "Design", "Kind", "Sashing", "ThreadKind", "Top"]

EDGE_LINE_FROM_RAW_MM = MM_PER_INCH / 8
"""Where the edge line runs in the binding allowance, counted from the raw edge."""

Motifs = Annotated[tuple[Motif, ...], Field(max_length=MOST_MOTIFS)]
PieceSize = Annotated[float, LengthIn(1, MOST_ACROSS_MM, "a piece of cloth")]


def _check_motifs(motifs: Motifs, *path: str | int) -> None:
    """Refuse two motifs of one name, and whole-top motifs in a piece of the top."""
    names: list[str] = []
    for n, motif in enumerate(motifs):
        if motif.motif == "basting":
            raise fault(
                "basting runs round the whole top",
                "write it under the design's own motifs",
                *path,
                n,
                "motif",
            )
        if motif.name is not None and fold(motif.name) in names:
            raise fault(
                f"two motifs are called {shown(motif.name)}", "give each its own name", *path, n, "name"
            )
        names += [fold(motif.name)] if motif.name is not None else []


class Sashing(Frozen):
    """Strips of cloth between the blocks."""

    width: PieceSize = Field(description="the finished width of the strips")
    cornerstones: bool = Field(
        True, description="squares where the strips cross; without them the strips between rows run through"
    )
    around: bool = Field(False, description="strips outside the outer blocks, too")
    motifs: Motifs = Field((), description="what is sewn in each strip")
    thread: Name | None = Field(None, description="the thread of motifs in strips and cornerstones")
    cornerstone_motifs: Motifs = Field((), description="what is sewn in each cornerstone")

    @model_validator(mode="after")
    def _checked(self) -> Self:
        _check_motifs(self.motifs, "motifs")
        _check_motifs(self.cornerstone_motifs, "cornerstone_motifs")
        return self


class Border(Frozen):
    """A frame around the blocks: its sides are sewn on first, then top and bottom over the full width."""

    width: PieceSize = Field(description="the finished width")
    motifs: Motifs = Field((), description="what is sewn in each of its four sides")
    thread: Name | None = Field(None, description="the thread of its motifs; by default the design's first")

    @model_validator(mode="after")
    def _checked(self) -> Self:
        _check_motifs(self.motifs, "motifs")
        return self


class Top(Frozen):
    """The pieced top, by finished sizes."""

    block_width: PieceSize | None = Field(None, description="of every block; or write column_widths")
    block_height: PieceSize | None = Field(None, description="of every block; or write row_heights")
    column_widths: tuple[PieceSize, ...] | None = Field(
        None, max_length=MOST_BLOCKS, description="one for each column"
    )
    row_heights: tuple[PieceSize, ...] | None = Field(
        None, max_length=MOST_BLOCKS, description="one for each row"
    )
    sashing: Sashing | None = Field(None, description="strips between the blocks")
    borders: tuple[Border, ...] = Field((), max_length=20, description="from the inside outwards")
    binding_allowance: Annotated[float, LengthIn(0, 200, "a binding allowance")] = length_field(
        "1/4 in",
        description="what the binding will hide outside the finished edge; 0 for none",
    )

    @model_validator(mode="after")
    def _sizes_once(self) -> Self:
        for one, each in (("block_width", "column_widths"), ("block_height", "row_heights")):
            given = [key for key in (one, each) if getattr(self, key) is not None]
            if len(given) != 1:
                told = "both are given" if given else "neither is given"
                raise fault(f"of {one} and {each} {told}", "write one of the two", *given[-1:])
        if self.binding_allowance and self.binding_allowance <= EDGE_LINE_FROM_RAW_MM:
            raise fault(
                f"{self.binding_allowance:g} mm leaves no room for the edge line, 1/8 in from the raw edge",
                'write 0 or more than "1/8 in"',
                "binding_allowance",
            )
        return self

    @property
    def edge_line_mm(self) -> float:
        """How far outside the finished edge the edge line runs."""
        return self.binding_allowance - EDGE_LINE_FROM_RAW_MM if self.binding_allowance else 0.0


class Kind(Frozen):
    """A kind of block."""

    letter: Letter = Field(description="its letter in the layout")
    motifs: Motifs = Field(
        (), description="what is sewn in it; shapes are drawn first, then strips, then fills"
    )
    thread: Name | None = Field(
        None, description="the thread of its motifs that name none; by default the design's first"
    )

    @model_validator(mode="after")
    def _checked(self) -> Self:
        _check_motifs(self.motifs, "motifs")
        return self


class ThreadKind(Frozen):
    """A thread."""

    tex: float = Field(ge=0.1, le=10_000, description="grams per kilometre (ISO 2947); denier / 9")


class Design(Frozen):  # noqa: PLW1641  (it holds dictionaries, so it has no hash)
    """A quilt top and what is sewn on it.

    Errors come as pydantic's ``ValidationError`` from Python, and as `DesignError` from `read_design`.
    """

    name: Name = Field("quilt", description="what the quilt is called")
    unit: Unit = Field("mm", description="the unit of bare numbers in the file, and of figures for people")
    top: Top
    layout: Rows = Field(
        description="the blocks as one sees them: a row of letters for each row of blocks, . for a plain one",
    )
    kinds: dict[Name, Kind] = Field(
        default_factory=dict, max_length=MOST_KINDS, description="the kinds of block, by name"
    )
    motifs: Motifs = Field((), description="for the whole top: ditch, basting")
    changes: tuple[Change, ...] = Field(
        (), max_length=MOST_BLOCKS, description="what is different in single blocks"
    )
    threads: dict[Name, ThreadKind] = Field(
        default_factory=lambda: {"cotton": ThreadKind(tex=40.0)},
        min_length=1,
        max_length=MOST_MOTIFS,
        description="by name; the first one is used where motif, block and kind name none",
    )
    clearance: Clearance | None = Field(
        None,
        description="from an appliqué's edge to its outlines; by default 1/8 in on a frame, 1/16 by hand",
    )
    tolerance: Annotated[float, LengthIn(0.001, 1, "a tolerance for chords")] = length_field(
        "0.02 mm", description="how far chords may lie from a curve"
    )
    cost: CostSettings = Field(default_factory=CostSettings, description="what a plan's cost is made of")
    machine: MachineSettings = Field(default_factory=MachineSettings, description="who sews")
    schedule: ScheduleSettings = Field(default_factory=ScheduleSettings, description="the order of stages")
    batting: BattingSettings = Field(
        default_factory=BattingSettings, description="what lies between top and backing"
    )
    _source: Source | None = PrivateAttr(None)

    def __eq__(self, other: object) -> bool:
        """Whether both ask for the same, wherever they were read from."""
        return self.__dict__ == other.__dict__ if isinstance(other, Design) else NotImplemented

    @model_validator(mode="after")
    def _fits(self) -> Self:
        _check_kinds(self.kinds)
        _check_layout(self)
        _check_across(self)
        _check_motif_count(self)
        _check_whole_top(self.motifs)
        _check_threads(self)
        _check_changes(self)
        return self

    @property
    def rows(self) -> int:
        """How many rows of blocks there are."""
        return len(self.layout)

    @property
    def columns(self) -> int:
        """How many columns of blocks there are."""
        return len(self.layout[0])

    @property
    def source(self) -> Source | None:
        """The file that it was read from, if any."""
        return self._source

    def read_from(self, source: Source) -> Self:
        """Return the same design with the file that it was read from."""
        design = self.model_copy()
        design._source = source  # noqa: SLF001  (its own)
        return design

    @property
    def clearance_mm(self) -> float:
        """How far outlines keep from an appliqué's edge where a motif does not say."""
        return self.clearance or self.machine.clearance_mm

    def kind_name(self, *, row: int, column: int) -> str:
        """Return the name of the kind of a block, counted from 1; empty for a plain one."""
        letter = self.layout[row - 1][column - 1]
        return next((name for name, kind in self.kinds.items() if kind.letter == letter), "")


def _check_kinds(kinds: dict[str, Kind]) -> None:
    names: dict[str, str] = {}
    letters: dict[str, str] = {}
    for name, kind in kinds.items():
        if (other := names.setdefault(fold(name), name)) != name:
            raise fault(
                f"two kinds have names alike, {shown(other)} and {shown(name)}", "rename one", "kinds", name
            )
        if (other := letters.setdefault(kind.letter, name)) != name:
            raise fault(
                f"{shown(kind.letter)} is the letter of {shown(other)} already",
                "give each kind its own letter",
                "kinds",
                name,
                "letter",
            )


def _check_layout(design: Design) -> None:
    if not design.layout or not design.layout[0]:
        raise fault("the layout has no block", "draw one letter for each block", "layout")
    if design.rows * design.columns > MOST_BLOCKS:
        raise fault(
            f"the layout has {design.rows} x {design.columns} blocks",
            f"draw at most {MOST_BLOCKS} blocks",
            "layout",
        )
    letters = {".", *(kind.letter for kind in design.kinds.values())}
    for n, row in enumerate(design.layout):
        _check_row(row, n, design.columns, letters)
    for key, count, word in (
        ("column_widths", design.columns, "column"),
        ("row_heights", design.rows, "row"),
    ):
        sizes = getattr(design.top, key)
        if sizes is not None and len(sizes) != count:
            raise fault(
                f"the layout has {_counted(count, word)} and this list {_counted(len(sizes), 'size')}",
                f"write one for each {word}",
                "top",
                key,
            )


def _check_across(design: Design) -> None:
    """Refuse a top over the limit; name what takes the most of it."""
    top, sashing = design.top, design.top.sashing
    around = 2 * (top.binding_allowance + sum(border.width for border in top.borders))
    for count, one, each, word in (
        (design.columns, "block_width", "column_widths", "wide"),
        (design.rows, "block_height", "row_heights", "high"),
    ):
        sizes = getattr(top, each) or (getattr(top, one),) * count
        strips = sashing.width * (count + 1 if sashing.around else count - 1) if sashing else 0.0
        if sum(sizes) + strips + around > MOST_ACROSS_MM:
            blocks = one if getattr(top, each) is None else each
            parts = {(blocks,): sum(sizes), ("sashing", "width"): strips, ("borders",): around}
            raise fault(
                f"the top would be {(sum(sizes) + strips + around) / 1000:.0f} m {word}",
                f"write smaller sizes, for {MOST_ACROSS_MM / 1000:.0f} m in all",
                "top",
                *max(parts, key=parts.__getitem__),
            )


def _check_motif_count(design: Design) -> None:
    """Refuse more motifs in all places than could be drawn, before any is looked at."""
    letters = Counter(letter for row in design.layout for letter in row)
    rows, columns = design.rows, design.columns
    places: dict[Path, int] = {
        ("motifs",): 1,
        ("top", "sashing", "motifs"): rows * (columns + 1) + columns * (rows + 1),
        ("top", "sashing", "cornerstone_motifs"): (rows + 1) * (columns + 1),
    }
    places |= {("kinds", name, "motifs"): letters[kind.letter] for name, kind in design.kinds.items()}
    drawn = {path: places.get(path, 4) * len(motifs) for path, motifs in _all_motifs(design)}
    total = sum(drawn.values())
    if total > MOST_DRAWN:
        problem = f"the top has {total:,} motifs, each counted in each of its places"
        raise fault(problem, f"write {MOST_DRAWN:,} or fewer", *max(drawn, key=drawn.__getitem__))


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def _check_row(row: str, n: int, columns: int, letters: set[str]) -> None:
    if len(row) != columns:
        raise fault(
            f"row {n + 1} has {_counted(len(row), 'block')} and row 1 has {columns}",
            f"draw {_counted(columns, 'letter')}",
            "layout",
            n,
        )
    unknown = next((letter for letter in row if letter not in letters), None)
    if unknown is not None:
        known = ", ".join(sorted(letters - {"."})) or "none"
        raise fault(
            f"{shown(unknown)} in row {n + 1} is the letter of no kind of block",
            f"write . for a plain block, or a letter of a kind ({known})",
            "layout",
            n,
        )


def _check_whole_top(motifs: Motifs) -> None:
    seen: list[str] = []
    for n, motif in enumerate(motifs):
        if motif.motif not in ("ditch", "basting"):
            raise fault(
                f"{shown(motif.motif)} is not for the whole top",
                'write "ditch" or "basting", and all else under a kind, the sashing or a border',
                "motifs",
                n,
                "motif",
            )
        if motif.motif in seen:
            raise fault(f"{motif.motif} stands twice", "write it once", "motifs", n, "motif")
        seen.append(motif.motif)


def _all_motifs(design: Design) -> list[tuple[Path, Motifs]]:
    """Return every list of motifs in the design, with the place where it stands."""
    found: list[tuple[Path, Motifs]] = [(("motifs",), design.motifs)]
    found += [(("kinds", name, "motifs"), kind.motifs) for name, kind in design.kinds.items()]
    if design.top.sashing is not None:
        found.append((("top", "sashing", "motifs"), design.top.sashing.motifs))
        found.append((("top", "sashing", "cornerstone_motifs"), design.top.sashing.cornerstone_motifs))
    found += [(("top", "borders", n, "motifs"), b.motifs) for n, b in enumerate(design.top.borders)]
    return found


def _check_threads(design: Design) -> None:
    named: list[tuple[Path, str | None]] = [
        ((*path, n, key), name)
        for path, motifs in _all_motifs(design)
        for n, motif in enumerate(motifs)
        for key, name in motif.named_threads.items()
    ]
    named += [(("kinds", name, "thread"), kind.thread) for name, kind in design.kinds.items()]
    named += [(("top", "borders", n, "thread"), border.thread) for n, border in enumerate(design.top.borders)]
    if design.top.sashing is not None:
        named.append((("top", "sashing", "thread"), design.top.sashing.thread))
    named += [(("changes", n, "to", "thread"), one.block_thread) for n, one in enumerate(design.changes)]
    for path, thread in named:
        if thread is not None and thread not in design.threads:
            raise fault(*no_thread(thread, design), *path)


def no_thread(name: str, design: Design) -> tuple[str, str]:
    """Return problem and remedy where a thread has no entry among the design's."""
    return f"there is no thread {shown(name)}", nearest(name, design.threads)


def _check_changes(design: Design) -> None:
    seen: set[tuple[str, str, str]] = set()
    for n, change in enumerate(design.changes):
        row, column = change.row_column
        if row > design.rows or column > design.columns:
            raise fault(
                f"the layout has no {change.block}",
                f"write a row up to {design.rows} and a column up to {design.columns}",
                "changes",
                n,
                "block",
            )
        told = {(change.block, fold(change.motif or ""), key) for key in change.to}
        if again := sorted(told & seen):
            of = f" for {shown(change.motif)}" if change.motif else ""
            problem = f"{again[0][2]} is changed twice{of} in {change.block}"
            raise fault(problem, "write it once", "changes", n, "to", again[0][2])
        seen |= told
