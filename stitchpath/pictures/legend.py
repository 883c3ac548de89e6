"""The picture's legend: how to read it, what the plan comes to, its order, and the caution."""

from collections.abc import Callable, Iterator
from itertools import groupby
from textwrap import wrap

import numpy as np
from numpy.typing import NDArray

from stitchpath.figures import Gap, thread_use_of
from stitchpath.figures.band_frames import band_frames
from stitchpath.figures.times import seconds_by_path
from stitchpath.formats.numbers import fixed
from stitchpath.formats.svg_text import Mark
from stitchpath.pictures import strokes
from stitchpath.pictures.band_signs import band_line, mark_sign, mark_tag
from stitchpath.pictures.bobbin_signs import bobbin_places, bobbin_sign
from stitchpath.pictures.colours import MIDDLE, order_colours
from stitchpath.pictures.gap_signs import gap_circle
from stitchpath.pictures.path_runs import ticks
from stitchpath.pictures.sheet_layout import PictureSheet
from stitchpath.plan import Move, Plan, StitchPath
from stitchpath.units import MM_PER_INCH, MM_PER_YARD
from stitchpath.words import duration, share

__all__ = ["legend", "legend_mm"]

_LEGEND_MM = 57.0
"""What the legend takes below the picture with its first eight signs: chosen by eye in print."""

_CAUTION = (
    "Caution: keep hands and clamps clear of the head, make a first run with the needle up,",
    "and follow the machine's own manual first. Cloth is good to about a millimetre.",
)
# in printed mm, chosen by eye in print: type and rows, columns, the scale of colours and its blocks, and what
# fits in a column
_WORDS_MM, _ROW_MM = 3.3, 5.0
_COLUMNS_MM = (5.0, 75.0, 131.0)
_BAR_MM, _BLOCKS = 53.0, 27
_MOST_SIGNS, _ROW_LETTERS = 8, 30

Sign = Callable[[float, float], tuple[Mark, ...]]


def legend_mm(plan: Plan, wide: Gap | None = None) -> float:
    """Return how high the legend is; `wide` is a gap wider than the batting allows.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> legend_mm(Plan(Drawing(()), (), (), 0.0))
    57.0
    """
    rows = max(len(_signs(plan, wide)), len(_figures(plan)))
    return _LEGEND_MM + _ROW_MM * max(rows - _MOST_SIGNS, 0)


def legend(plan: Plan, sheet: PictureSheet, wide: Gap | None = None) -> Iterator[Mark]:
    """Return the legend, `legend_mm` high.

    Parameters
    ----------
    plan
        What it tells of.
    sheet
        Where it stands.
    wide
        A gap wider than the batting allows.

    Yields
    ------
    Mark
        Words and signs.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.pictures.sheet_layout import sheet_for
    >>> plan = Plan(Drawing(()), (), (), 0.0)
    >>> [mark.text for mark in legend(plan, sheet_for(plan, legend_mm=legend_mm(plan)))][0]
    'How to read it'
    """
    top = sheet.legend_y_mm + _WORDS_MM
    signs = _signs(plan, wide)
    yield from _rows("How to read it", [words for words, _ in signs], _COLUMNS_MM[0], top, indent=12.0)
    for number, (_, sign) in enumerate(signs, 1):
        yield from sign(_COLUMNS_MM[0], top + number * _ROW_MM - 1.2)
    yield from _rows("What it comes to", _figures(plan), _COLUMNS_MM[1], top)
    yield from _rows(
        "Sewn from dark to light",
        ["", "", *_stages(plan, max(len(signs), _MOST_SIGNS) - 2)],
        _COLUMNS_MM[2],
        top,
    )
    yield from _colour_bar(plan, _COLUMNS_MM[2], top + 2.0)
    foot = sheet.height_mm - _ROW_MM - 2.5
    for number, words in enumerate(_CAUTION):
        yield strokes.text(
            _COLUMNS_MM[0], foot + number * _ROW_MM, words, size_mm=_WORDS_MM, font_weight="bold"
        )


def _rows(heading: str, rows: list[str], x: float, top: float, *, indent: float = 0.0) -> Iterator[Mark]:
    yield strokes.text(x, top, heading, size_mm=_WORDS_MM, font_weight="bold")
    for number, row in enumerate(rows, 1):
        if row:
            yield strokes.text(x + indent, top + number * _ROW_MM, row, size_mm=_WORDS_MM)


def _signs(plan: Plan, wide: Gap | None) -> list[tuple[str, Sign]]:
    signs: list[tuple[str, Sign]] = [
        ("sewn; the arrow says which way", _sewn_sign),
        ("travel over the line to its left,", _travel_sign),
        ("needle down, on a line or seam", lambda _x, _y: ()),
        ("start of a path, with its number", _start_sign),
        ("end of a path", _end_sign),
    ]
    if any(path.step_mm for path in plan):
        signs.append(("step over open cloth", _step_sign))
    if any(path.resume_mm for path in plan):
        signs.append(("an earlier band's end, sewn again", _resumed_sign))
    if plan.drawing.keep_outs:
        signs.append(("keep-out: no stitch goes there", _keep_out_sign))
    if plan.drawing.outline is not None:
        signs.append(("finished edge", lambda x, y: (strokes.edge([_sample(x, y)]),)))
    if plan.drawing.hidden:
        signs.append(("seam nobody asked to sew", lambda x, y: (strokes.seams([_sample(x, y)]),)))
    if plan.by_hand is not None:
        signs.append(("sewn by hand", lambda x, y: (strokes.others([_sample(x, y)]),)))
    if wide is not None:
        signs.append(("gap wider than the batting allows", _gap_sign))
    if bobbin_places(plan):
        signs.append(("bobbin 1 runs out, a new one", _bobbin_sign))
    return [*signs, *_band_signs(plan)]


def _band_signs(plan: Plan) -> list[tuple[str, Sign]]:
    if not band_frames(plan):
        return []
    side = "; left side up" if plan.machine.sideways else ""
    starts: tuple[str, Sign] = (f"a band starts{side}", lambda x, y: (band_line([_sample(x, y)]),))
    return [starts] if plan.of_hand else [starts, ("sewn place to align band 2 on", _mark_sign)]


def _gap_sign(x: float, y: float) -> tuple[Mark, ...]:
    return gap_circle(np.array([x + 5.0, y]), 1.6, 0.6 * _WORDS_MM)


def _bobbin_sign(x: float, y: float) -> tuple[Mark, ...]:
    at, middle = np.array([x + 1.5, y]), np.array([x + 7.5, y])
    return (*strokes.square_tag(middle, at, "B1", _WORDS_MM), bobbin_sign(at, _WORDS_MM))


def _mark_sign(x: float, y: float) -> tuple[Mark, ...]:
    at, middle = np.array([x + 1.5, y]), np.array([x + 7.5, y])
    return (*mark_tag(middle, at, "2A", _WORDS_MM), *mark_sign(at, _WORDS_MM))


def _sewn_sign(x: float, y: float) -> tuple[Mark, ...]:
    return strokes.solid([_sample(x, y)], strokes.BLACK, 0.45), _sample_head(x, y)


def _travel_sign(x: float, y: float) -> tuple[Mark, ...]:
    return (
        strokes.solid([_sample(x, y - 0.4)], MIDDLE, 0.45),
        strokes.dashes([_sample(x, y + 0.5)], strokes.BLACK, 0.32),
        _sample_head(x, y + 0.5),
    )


def _step_sign(x: float, y: float) -> tuple[Mark, ...]:
    rings = [np.array([[at, y - 1.5], [at, y + 1.5]]) for at in (x + 1.0, x + 9.0)]
    step = np.array([[x + 1.0, y], [x + 9.0, y]])
    return strokes.solid(rings, MIDDLE, 0.45), strokes.dots([step], strokes.BLACK, 0.32), _sample_head(x, y)


def _resumed_sign(x: float, y: float) -> tuple[Mark, ...]:
    middle = np.array([[x + 4.5, y], [x + 5.5, y]])
    return strokes.solid([_sample(x, y)], MIDDLE, 0.45), *strokes.hatch(
        ticks(middle, strokes.TICK * _WORDS_MM), _WORDS_MM
    )


def _start_sign(x: float, y: float) -> tuple[Mark, ...]:
    at, middle = np.array([x + 1.5, y]), np.array([x + 7.0, y])
    return (
        *strokes.tag(middle, at, "7", strokes.BLACK, _WORDS_MM),
        strokes.dot(at, strokes.BLACK, _WORDS_MM),
    )


def _end_sign(x: float, y: float) -> tuple[Mark, ...]:
    end = np.array([x + 8.0, y])
    line = strokes.solid([np.array([[x, y], end])], strokes.BLACK, 0.45)
    return line, strokes.bar(end, np.array([1.0, 0.0]), strokes.BLACK, _WORDS_MM)


def _keep_out_sign(x: float, y: float) -> tuple[Mark, ...]:
    low, high = np.array([x, y - 1.5]), np.array([x + 10.0, y + 1.5])
    corners = np.array([low, (high[0], low[1]), high, (low[0], high[1]), low])
    return (strokes.shade([corners]),)


def _sample(x: float, y: float) -> NDArray[np.float64]:
    return np.array([[x, y], [x + 10.0, y]])


def _sample_head(x: float, y: float) -> Mark:
    tip = np.array([[x + 6.0, y], [x + 4.1, y + 0.76], [x + 4.1, y - 0.76]])
    return strokes.head_marks([tip], strokes.BLACK)


def _figures(plan: Plan) -> list[str]:
    sewn = sum((path.sewn_mm for path in plan), 0.0)
    travel = sum((path.travel_mm for path in plan), 0.0)
    resumed = sum((path.resume_mm for path in plan), 0.0)
    steps = sum(span.move is Move.STEP for path in plan for span in path.spans)
    open_mm = sum((path.step_mm for path in plan), 0.0)
    stepped = [f"{_counted(steps)}, {_length(open_mm)}"] if steps else []
    again = [f"sewn again {resumed:,.0f} mm ({resumed / MM_PER_INCH:,.2f} in)"] if resumed else []
    secured = ["small stitches at ends not drawn"] if any(path.secure_mm for path in plan) else []
    return [
        f"{len(plan):,} {'path' if len(plan) == 1 else 'paths'}, {2 * len(plan):,} tie-offs",
        f"sewn {_length(sewn)}",
        f"travel {_length(travel)}",
        *stepped,
        *again,
        *_time(plan),
        f"weighed by what shows: {plan.cost:,.1f}",
        f"least possible: at least {plan.bound:,.1f}",
        "proven least in these stages" if plan.optimal else f"at most {share(plan.gap)} over the least",
        *secured,
    ]


def _time(plan: Plan) -> list[str]:
    """Return the time, and how many bobbins are put in."""
    if not plan.paths:
        return []
    count = thread_use_of(plan).bobbins
    return [
        f"{duration(float(seconds_by_path(plan).sum()))}, {count:,} {'bobbin' if count == 1 else 'bobbins'}"
    ]


def _counted(steps: int) -> str:
    return f"{steps:,} {'step' if steps == 1 else 'steps'}"


def _length(length_mm: float) -> str:
    """Say a length in metres and yards.

    Examples
    --------
    >>> _length(914400.0), _length(0.0)
    ('914.4 m (1,000 yd)', '0.0 m (0 yd)')
    """
    return f"{length_mm / 1000:,.1f} m ({length_mm / MM_PER_YARD:,.0f} yd)"


def _stages(plan: Plan, most: int) -> list[str]:
    """Return in what order the stages are sewn, in no more rows than there is room for."""
    numbered = groupby(enumerate(plan.paths, 1), key=lambda item: (item[1].band, _stage_names(item[1])))
    bands = len({path.band for path in plan})
    told = [_stage_rows(plan, list(group), bands) for _, group in numbered]
    rows = [row for group in told for row in group]
    if len(rows) <= most:
        return rows
    while told and sum(map(len, told)) >= most:
        told.pop()
    return [*(row for group in told for row in group), f"and so on, to path {plan.path_name(len(plan))}"]


def _stage_rows(plan: Plan, group: list[tuple[int, StitchPath]], bands: int) -> list[str]:
    path, (first, last) = group[0][1], (plan.path_name(group[i][0]) for i in (0, -1))
    band = f"band {path.band}, " if bands > 1 else ""
    numbers = f"path {first}" if first == last else f"paths {first} to {last}"
    return wrap(
        f"{band}{numbers}: {_stage_names(path)}".removesuffix(": "), _ROW_LETTERS, subsequent_indent="\u2003"
    )


def _stage_names(path: StitchPath) -> str:
    """Return the stages that a path sews in: more than one where it runs on."""
    return ", ".join(dict.fromkeys(span.stage for span in path.spans))


def _colour_bar(plan: Plan, x: float, y: float) -> Iterator[Mark]:
    colours = order_colours(_BLOCKS)
    for index, colour in enumerate(colours):
        width = _BAR_MM / len(colours)
        box = {"x": fixed(x + index * width), "y": fixed(y), "width": fixed(width), "height": "4.000"}
        yield Mark("rect", {**box, "fill": colour})
    if len(plan):
        ends = f"path {plan.path_name(1)}", f"path {plan.path_name(len(plan))}"
        first, last = ends if len(plan) > 1 else ("its start", "its end")
        yield strokes.text(x, y + 7.5, first, size_mm=_WORDS_MM)
        yield strokes.text(x + _BAR_MM, y + 7.5, last, size_mm=_WORDS_MM, text_anchor="end")
