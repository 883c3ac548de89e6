"""Templates for a ruler foot: each distinct oval moved by the foot's radius, at true scale, and ruler marks.

The foot's edge runs along a template, so the needle sews at the foot's radius beside it. A window in which
the foot runs is cut a radius outside the sewn line, a solid template a radius inside it. Both are true
parallel curves (`stitchpath.geometry.rings`), never a larger or smaller oval.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from numbers import Real

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError, refuse_other
from stitchpath.files import StrPath, write_whole
from stitchpath.formats.numbers import fixed, path_data
from stitchpath.formats.svg_text import Mark
from stitchpath.geometry.rings import beside, left_by
from stitchpath.pages.distinct_ovals import Oval, ovals_of
from stitchpath.pages.html_page import drawn, html_page
from stitchpath.pages.paper import ROUND_MM, TEXT_MM, Paper, paper_of
from stitchpath.pages.ruler_marks import RulerMark, mark_picture, ruler_marks
from stitchpath.pages.true_scale_sheets import sheet_svg, sheets_of
from stitchpath.pictures import strokes
from stitchpath.pictures.page_grid import Box
from stitchpath.plan import Plan
from stitchpath.units import MM_PER_INCH
from stitchpath.words import in_both

__all__ = ["FOOT_RADIUS_MM", "templates_html", "write_templates"]

FOOT_RADIUS_MM = MM_PER_INCH / 4
"""From the needle to a ruler foot's edge: 1/4 in, common practice, no source."""

_LEAST_FOOT_MM, _MOST_FOOT_MM = 0.5, 50.0
"""Radii that a foot may have: what is beyond was written in another unit. Common practice, no source."""
_LEAVES_MM = 0.1
"""How far a solid template may lead the needle off its line untold: less than a pencil line is wide."""
# a template's words, chosen by eye in print: a line's height, its letters, lines; a letter's width to height
_LINE_MM, _LINE_LETTERS, _MOST_WORD_LINES = 4.2, 36, 9
_WORDS_LETTER_WIDE = 0.56


@dataclass(frozen=True, eq=False)
class _Template:
    """One oval's curves, about its middle."""

    name: str
    oval: Oval
    window: tuple[NDArray[np.float64], ...]
    solid: tuple[NDArray[np.float64], ...]
    solid_leaves_mm: float


def write_templates(
    plan: Plan | Drawing, file: StrPath, *, paper: str = "A4", foot_radius_mm: float = FOOT_RADIUS_MM
) -> None:
    """Write templates and ruler marks as one file of HTML.

    Parameters
    ----------
    plan
        A plan, or its drawing alone.
    file
        Where to write.
    paper
        ``"A4"`` or ``"Letter"``.
    foot_radius_mm
        From the needle to the foot's edge, 0.5 to 50 mm.

    Raises
    ------
    FileError
        If it cannot be written.
    DesignError
        If there is no such paper, or no foot has such a radius.

    Examples
    --------
    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     write_templates(Drawing(()), Path(folder, "templates.html"), foot_radius_mm=6.35)
    ...     Path(folder, "templates.html").read_text(encoding="utf-8").count("</html>")
    1
    """
    write_whole(file, templates_html(plan, paper=paper, foot_radius_mm=foot_radius_mm))


def templates_html(plan: Plan | Drawing, *, paper: str = "A4", foot_radius_mm: float = FOOT_RADIUS_MM) -> str:
    """Return the templates as text; see `write_templates`.

    Parameters
    ----------
    plan, paper, foot_radius_mm
        As `write_templates` has them.

    Returns
    -------
    str
        A whole page.

    Raises
    ------
    DesignError
        As `write_templates`.

    Examples
    --------
    >>> templates_html(Drawing(())).count("<h1>")
    1
    >>> templates_html(Drawing(()), foot_radius_mm=0)
    Traceback (most recent call last):
    stitchpath.errors.DesignError: foot_radius: no foot has a radius of 0 mm; write 0.5 to 50 mm
    """
    said = f"write {_LEAST_FOOT_MM:g} to {_MOST_FOOT_MM:g} mm"
    refuse_other("foot_radius", foot_radius_mm, Real, "radius of a foot", said)
    refuse_other("plan", plan, (Plan, Drawing), "plan", "give a Plan or a Drawing")
    if not _LEAST_FOOT_MM <= foot_radius_mm <= _MOST_FOOT_MM:
        raise DesignError(f"no foot has a radius of {foot_radius_mm:g} mm", said, key="foot_radius")
    drawing = plan.drawing if isinstance(plan, Plan) else plan
    sheet = paper_of(paper)
    templates = [_template(number, oval, foot_radius_mm) for number, oval in enumerate(ovals_of(drawing), 1)]
    marks = ruler_marks(drawing, foot_radius_mm)
    return html_page(
        "templates.html",
        title=f"{drawing.name or 'Stitch plan'}: templates and ruler marks",
        paper=sheet,
        foot_radius=in_both(foot_radius_mm),
        templates=[
            {"name": each.name, "size": _size(each), "sentences": [*each.oval.told(), *_warned(each)]}
            for each in templates
        ],
        marks=marks,
        mark_rows=[(in_both(m.spacing_mm), ", ".join(m.fills), _line(m), in_both(m.mark_mm)) for m in marks],
        mark_pictures=[(in_both(m.spacing_mm), drawn(mark_picture(m, foot_radius_mm))) for m in marks],
        sheets=list(map(drawn, _sheets(templates, sheet))),
    )


def _template(number: int, oval: Oval, radius: float) -> _Template:
    points = oval.shape.points
    solid = beside(points, -radius)
    return _Template(f"T{number}", oval, beside(points, radius), solid, left_by(points, -radius))


def _warned(template: _Template) -> Iterator[str]:
    if not template.solid:
        yield "No solid template: the oval is narrower than the foot. Use the window."
    elif template.solid_leaves_mm > _LEAVES_MM:
        off = f"{template.solid_leaves_mm:.1f} mm"
        yield (
            f"Its ends turn more sharply than the foot: around the solid template the needle cuts them short "
            f"by {off}. Use the window for those."
        )


def _size(template: _Template) -> str:
    width, height = np.ptp(template.oval.shape.points, axis=0).tolist()
    return f"{in_both(height)} long, {in_both(width)} wide"


def _line(mark: RulerMark) -> str:
    return (
        ("the last line", "the line before the last")[mark.back - 1]
        if mark.back < 3
        else f"the {mark.back}th line back"
    )


def _sheets(templates: Sequence[_Template], paper: Paper) -> Iterator[str]:
    laid = [(template, _Curves(template)) for template in templates]
    cut = [(t, c, sheets_of(c.box, paper, sewn_in=c.in_window)) for t, c in laid]
    count = sum(len(sheets) for _, _, (_, sheets) in cut)
    number = 0
    for template, curves, (_, sheets) in cut:
        for sheet in sheets:
            number += 1
            name = template.name if len(sheets) == 1 else f"{template.name}, {sheet.window.name}"
            foot = (f"sheet {number} of {count}", "outer curve: window", "inner curve: solid template")
            title = f"template {name} at true scale"
            yield sheet_svg(sheet, curves.marks, paper, title=title, foot=foot, name=name)


class _Curves:
    """A template's curves, centre lines and words, drawn window by window."""

    def __init__(self, template: _Template) -> None:
        self._template = template
        self._sewn = shapely.LineString(template.oval.shape.points)
        self._cuts = [shapely.LineString(ring) for ring in (*template.window, *template.solid)]
        x0, y0, x1, y1 = shapely.total_bounds(self._cuts).tolist()
        self._centre = shapely.MultiLineString([[(x0, 0), (x1, 0)], [(0, y0), (0, y1)]])
        self._words = list(_words(template))
        wide = max(map(len, self._words)) * TEXT_MM * _WORDS_LETTER_WIDE
        high = len(self._words) * _LINE_MM + 1.0
        inner = shapely.Polygon(template.solid[0]) if template.solid else shapely.Polygon()
        self._block = (-wide / 2, -high / 2, wide / 2, high / 2)
        if not inner.contains(shapely.box(*self._block)):
            self._block = (-wide / 2, y1 + ROUND_MM, wide / 2, y1 + ROUND_MM + high)
        x0, y0, x1, y1 = shapely.total_bounds([*self._cuts, shapely.box(*self._block)]).tolist()
        self.box: Box = (x0 - ROUND_MM, y0 - ROUND_MM, x1 + ROUND_MM, y1 + ROUND_MM)

    def in_window(self, box: Box) -> bool:
        """Tell whether anything is to be cut there."""
        return any(shapely.clip_by_rect(cut, *box).length > 0 for cut in self._cuts)

    def marks(self, box: Box, at: tuple[float, float], _clear: NDArray[np.float64]) -> Iterator[Mark]:
        """Yield what lies in a window, its corner laid at a place of the page; there are no words in it."""
        off = np.array(at) - np.array(box[:2])

        def data(line: object) -> str:
            parts = shapely.get_parts(shapely.clip_by_rect(line, *box))
            return " ".join(path_data(shapely.get_coordinates(part) + off) for part in parts)

        looks = [
            (self._centre, {"stroke-width": "0.150", "stroke-dasharray": "6.000 1.500 1.500 1.500"}),
            (self._sewn, {"stroke-width": "0.250", "stroke-dasharray": "2.500 1.500"}),
            *((cut, {"stroke-width": "0.500"}) for cut in self._cuts),
        ]
        for line, look in looks:
            if found := data(line):
                yield Mark("path", {"d": found, "fill": "none", "stroke": strokes.BLACK, **look})
        yield from self._said(box, off)

    def _said(self, box: Box, off: NDArray[np.float64]) -> Iterator[Mark]:
        """Yield the words, moved into the window that holds their middle."""
        x0, y0, x1, y1 = self._block
        middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
        low, high = np.array(box[:2]), np.array(box[2:])
        if not ((middle >= low) & (middle < high)).all():
            return
        half = np.array([(x1 - x0) / 2, (y1 - y0) / 2])
        x, y = (np.clip(middle, low + half, np.maximum(high - half, low + half)) - half + off).tolist()
        room = {"width": fixed(x1 - x0), "height": fixed(y1 - y0)}
        yield Mark("rect", {"x": fixed(x), "y": fixed(y), **room, "fill": "#ffffff"})
        for number, words in enumerate(self._words):
            weight = {"font_weight": "bold"} if number == 0 else {}
            base = y + _LINE_MM * number + 3.4
            yield strokes.text(
                (2 * x + x1 - x0) / 2, base, words, size_mm=TEXT_MM, text_anchor="middle", **weight
            )


def _words(template: _Template) -> Iterator[str]:
    yield template.name
    yield "thick: cut; dashed: sewn; thin: centre"
    lines = [line for said in template.oval.told() for line in _broken(said)]
    most = _MOST_WORD_LINES - 2
    yield from lines[:most]
    if len(lines) > most:
        yield "and others, as listed before"


def _broken(words: str) -> Iterator[str]:
    """Break words into lines of at most so many letters."""
    import textwrap

    yield from textwrap.wrap(words, _LINE_LETTERS)
