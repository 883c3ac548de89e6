"""The picture by thread: which line is sewn in which thread, and where a thread travels over another's lines.

Threads are told apart by colour, from dark blue to amber on the scale of `stitchpath.pictures.colours`, which
holds in grey print and for every eye, and by a pattern of dashes or a width, for those who see no colours.
Each line is drawn as it is sewn for the first time. The only travel drawn is that over a line of another
thread that does not match: beside the line, dotted, in the colour of the thread that travels.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from stitchpath.figures import ThreadUsed, thread_use_of
from stitchpath.figures.travel import over_other
from stitchpath.files import StrPath, write_whole
from stitchpath.formats.numbers import check_paths, fixed
from stitchpath.formats.svg_text import Mark, printable, svg_text
from stitchpath.limits import LONGEST_NAME
from stitchpath.lines import Line
from stitchpath.pictures import strokes
from stitchpath.pictures.colours import LIGHT, order_colours
from stitchpath.pictures.path_runs import aside, fresh
from stitchpath.pictures.picture import cloth_marks
from stitchpath.pictures.sheet_layout import PictureSheet, sheet_for
from stitchpath.plan import Move, Plan
from stitchpath.units import MM_PER_YARD

__all__ = ["thread_picture_svg", "write_thread_picture"]

_Lines = dict[str, list[NDArray[np.float64]]]
"""Lines on the sheet by the thread that draws them."""

# in printed mm, chosen by eye in print: type, rows, and where columns begin; the title's type and a sample
_WORDS_MM, _ROW_MM = 3.3, 5.0
_COLUMNS_MM = (5.0, 31.0, 92.0, 124.0, 156.0)
_TITLE_MM, _SAMPLE_MM = 5.2, 22.0
_THINNEST_MM = 0.3  # of samples
_PATTERNS = ((), (3.0, 0.9), (0.7, 0.7), (3.0, 0.7, 0.7, 0.7), (1.6, 0.8), (3.0, 0.6, 0.6, 0.6, 0.6, 0.6))
"""Dashes and gaps of threads in turn, in printed mm: chosen by eye. After the last one lines are wider."""
_TRAVEL_PATTERN = (0.35, 0.45)
"""Dots of travel over another thread, in printed mm: finer than any thread's pattern."""
_WIDER = (1.0, 1.8)  # times as wide, for the first threads of each pattern and for the next: chosen by eye
_MOST_NAMED = 24
"""Threads with a row of the legend each: they leave half of the sheet for the picture."""
_NAME_LETTERS = 26
"""What fits in the column of names; a longer name is cut."""


@dataclass(frozen=True, slots=True)
class _Look:
    """How a thread is drawn: colour, how many times as wide, and dashes and gaps in printed mm."""

    colour: str
    wider: float
    pattern: Sequence[float]

    def mark(self, lines: Sequence[NDArray[np.float64]], width_mm: float) -> Mark:
        return strokes.patterned(lines, self.colour, self.wider * width_mm, self.pattern)


def write_thread_picture(plan: Plan, file: StrPath) -> None:
    """Write the picture by thread as SVG.

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
        If a path cannot be drawn.

    Examples
    --------
    >>> from pathlib import Path
    >>> from stitchpath.drawing import Drawing
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     write_thread_picture(Plan(Drawing(()), (), (), 0.0), Path(folder, "plan.svg"))
    ...     Path(folder, "plan.svg").read_text(encoding="utf-8").count("</svg>")
    1
    """
    write_whole(file, thread_picture_svg(plan))


def thread_picture_svg(plan: Plan) -> str:
    """Return the picture by thread as text; see `write_thread_picture`.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> thread_picture_svg(Plan(Drawing(()), (), (), 0.0)).count("no thread is used")
    1
    """
    check_paths(plan)
    used = thread_use_of(plan).threads
    rows = min(len(used), _MOST_NAMED + 1) + len(_notes(plan, used))
    sheet = sheet_for(plan, legend_mm=(rows + 2) * _ROW_MM)
    width, height = fixed(sheet.width_mm), fixed(sheet.height_mm)
    title = f"{printable(plan.drawing.name)[:LONGEST_NAME] or 'Stitch plan'}: threads"
    marks = _marks(plan, used, sheet, title)
    return svg_text(marks, size_mm=(width, height), view_box=f"0 0 {width} {height}", title=title)


def _looks(threads: Sequence[str]) -> dict[str, _Look]:
    """Return how each thread is drawn; patterns and widths come round again, colours do not."""
    colours = order_colours(len(threads))
    looks = {}
    for at, (thread, colour) in enumerate(zip(threads, colours, strict=True)):
        round_, pattern = divmod(at, len(_PATTERNS))
        looks[thread] = _Look(colour, _WIDER[round_ % len(_WIDER)], _PATTERNS[pattern])
    return looks


def _marks(plan: Plan, used: Sequence[ThreadUsed], sheet: PictureSheet, title: str) -> Iterator[Mark]:
    looks = _looks([one.thread for one in used])
    yield Mark("rect", {"width": fixed(sheet.width_mm), "height": fixed(sheet.height_mm), "fill": "#ffffff"})
    yield strokes.text(5.0, 7.5, title, size_mm=_TITLE_MM, font_weight="bold")
    yield from cloth_marks(plan, sheet)
    left = [sheet.place(line.points_mm) for line in _by_hand(plan)]
    if left:
        yield strokes.solid(left, LIGHT, 0.6 * sheet.sew_mm)
    sewn, over = _drawn(plan, sheet)
    for thread, look in looks.items():
        if thread in sewn:
            yield look.mark(sewn[thread], sheet.sew_mm)
    for thread, look in looks.items():
        if thread in over:
            beside = [aside(points, sheet.aside_mm) for points in over[thread]]
            yield _travel_mark(beside, look.colour, sheet.travel_mm)
    yield from _legend(plan, used, looks, sheet)


def _travel_mark(lines: Sequence[NDArray[np.float64]], colour: str, width_mm: float) -> Mark:
    return strokes.patterned(lines, colour, width_mm, _TRAVEL_PATTERN)


def _by_hand(plan: Plan) -> list[Line]:
    return [line for line in plan.drawing.lines if plan.schedule.leaves_to_hand(line, plan.machine)]


def _drawn(plan: Plan, sheet: PictureSheet) -> tuple[_Lines, _Lines]:
    """Return what each thread sews, and where it travels over lines of others."""
    sewn: _Lines = {}
    over: _Lines = {}
    for path in plan:
        kinds = [(span.move is Move.SEW, over_other(plan, path, span)) for span in path.spans]
        for (sews, other), pairs in groupby(zip(kinds, path.spans, strict=True), key=lambda pair: pair[0]):
            run = [span for _, span in pairs]
            points = fresh(sheet.place(path.coordinates_mm[run[0].first : run[-1].last + 1]))
            if (sews or other) and len(points) > 1:
                (sewn if sews else over).setdefault(path.thread, []).append(points)
    return sewn, over


def _notes(plan: Plan, used: Sequence[ThreadUsed]) -> list[str]:
    """Return what is said below the threads."""
    notes = ["Needle and bobbin thread include tails and waste."] if used else ["no thread is used"]
    if any(over_other(plan, path, span) for path in plan for span in path.spans):
        notes.append("Fine dots beside a line, on the needle's right: travel over it in another thread.")
    under = [
        (bool(plan.drawing.keep_outs), "grey areas: keep-outs"),
        (plan.drawing.outline is not None, "thin and black: the finished edge"),
        (bool(plan.drawing.hidden), "thin and grey: seams that nobody asked to sew"),
        (bool(_by_hand(plan)), "grey: left to be guided by hand"),
    ]
    told = "; ".join(words for there, words in under if there)
    return [*notes, f"{told[0].upper()}{told[1:]}."] if told else notes


def _legend(
    plan: Plan, used: Sequence[ThreadUsed], looks: Mapping[str, _Look], sheet: PictureSheet
) -> Iterator[Mark]:
    top = sheet.legend_y_mm + _WORDS_MM
    if used:
        for x, head in zip(
            _COLUMNS_MM[1:], ("thread", "sewn", "needle thread", "bobbin thread"), strict=True
        ):
            yield strokes.text(x, top, head, size_mm=_WORDS_MM, font_weight="bold")
    rows = [_row(plan, one) for one in used[:_MOST_NAMED]]
    for number, (row, one) in enumerate(zip(rows, used, strict=False), 1):
        y = top + number * _ROW_MM
        sample = np.array([(_COLUMNS_MM[0], y - 1.2), (_COLUMNS_MM[0] + _SAMPLE_MM, y - 1.2)])
        yield looks[one.thread].mark([sample], max(sheet.sew_mm, _THINNEST_MM))
        for x, words in zip(_COLUMNS_MM[1:], row, strict=True):
            yield strokes.text(x, y, words, size_mm=_WORDS_MM)
    left = len(used) - len(rows)
    below = [f"and {left:,} more"] if left else []
    for number, words in enumerate([*below, *_notes(plan, used)], len(rows) + 1):
        yield strokes.text(_COLUMNS_MM[0], top + number * _ROW_MM, words, size_mm=_WORDS_MM)


def _row(plan: Plan, one: ThreadUsed) -> tuple[str, ...]:
    name = printable(one.thread) or "without a name"
    name = name if len(name) <= _NAME_LETTERS else f"{name[: _NAME_LETTERS - 1]}\u2026"
    tex = next((f", {thread.tex:g} tex" for thread in plan.drawing.threads if thread.name == one.thread), "")
    sewn = sum((path.sewn_mm for path in plan if path.thread == one.thread), 0.0)
    lengths = sewn, one.with_waste_needle_mm, one.with_waste_bobbin_mm
    return f"{name}{tex}", *(f"{mm / 1000:,.1f} m ({mm / MM_PER_YARD:,.0f} yd)" for mm in lengths)
