"""Plans side by side on one page: figures, prices of wishes, a plan made elsewhere, small pictures."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from stitchpath.compare.foreign_told import foreign_rows, missed_rows, row_words, within_words
from stitchpath.compare.side_by_side import SideBySide, other_drawings, other_scale, side_by_side
from stitchpath.compare.told import MORE_THAN_FIRST, comparison_table, prices_table
from stitchpath.compare.whatif import WhatIf
from stitchpath.errors import refuse_other
from stitchpath.figures.foreign import Foreign
from stitchpath.files import StrPath, write_whole
from stitchpath.pages.html_page import counted, drawn, html_page
from stitchpath.pages.paper import Paper, paper_of
from stitchpath.pictures.small_picture import Frame, frame_for, small_picture
from stitchpath.plan import Plan
from stitchpath.units import Unit, refuse_unit

if TYPE_CHECKING:
    from markupsafe import Markup

__all__ = ["comparison_html", "write_comparison"]

_PICTURE_MM = (62.0, 80.0)
"""A small picture's width and height at most: chosen by eye in print, four to a row on A4 and on Letter."""
_MISSED_ROWS = 40
"""Rows of what is missed before the table ends with a count: chosen, about a page."""


def write_comparison(
    plans: Sequence[Plan] | WhatIf,
    file: StrPath,
    *,
    names: Sequence[str] | None = None,
    foreign: Foreign | None = None,
    paper: str = "A4",
    unit: Unit = "mm",
) -> None:
    """Write plans side by side as one page of HTML: figures, differences and small pictures.

    Parameters
    ----------
    plans
        Plans, or what `stitchpath.what_if` returned: then the prices of the wishes, too.
    file
        Where to write.
    names
        One for each plan; of wishes, the name of the plan without them.
    foreign
        A plan made elsewhere, as `stitchpath.measure_foreign` returns it, measured against the first one.
    paper
        ``"A4"`` or ``"Letter"``; it is laid on its long side.
    unit
        The unit of lengths.

    Raises
    ------
    DesignError
        If there are not as many names as plans, if there is no such paper or unit, or what is given is no
        plans or no measure of one.
    FileError
        If it cannot be written.

    Examples
    --------
    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     write_comparison([], Path(folder, "both.html"))
    ...     Path(folder, "both.html").read_text(encoding="utf-8").count("</html>")
    1
    """
    refuse_unit(unit)
    if foreign is not None:
        refuse_other("foreign", foreign, Foreign, "measure of a plan", "give what measure_foreign returns")
    told = side_by_side(plans, names)
    told = told if foreign is None else told.with_foreign(foreign)
    write_whole(file, comparison_html(told, paper=paper, unit=unit))


def comparison_html(told: SideBySide, *, paper: str = "A4", unit: Unit = "mm") -> str:
    """Return the page as text; see `write_comparison`.

    Parameters
    ----------
    told
        Plans side by side.
    paper
        ``"A4"`` or ``"Letter"``.
    unit
        The unit of lengths.

    Returns
    -------
    str
        A whole page.

    Raises
    ------
    DesignError
        If there is no such paper.

    Examples
    --------
    >>> from stitchpath.compare.side_by_side import side_by_side
    >>> comparison_html(side_by_side([])).count("<h1>")
    1
    """
    upright = paper_of(paper)
    lying = Paper(upright.name, upright.height_mm, upright.width_mm, upright.margin_mm)
    more = _pictured(told) if told.plans else {"pictures": ()}
    return html_page(
        "comparison.html",
        title=(told.plans[0].drawing.name if told.plans else "") or "Stitch plans",
        paper=lying,
        compared=comparison_table(told.compared, unit=unit) if told.plans else (),
        joined=MORE_THAN_FIRST,
        other_drawings=other_drawings(told),
        compared_words=_compared_words(told, unit),
        prices=prices_table(told.prices, unit=unit) if told.prices else (),
        foreign=None if told.foreign is None else _foreign(told.foreign, unit),
        **more,
    )


def _compared_words(told: SideBySide, unit: Unit) -> list[str]:
    elsewhere = () if told.foreign is None else (row_words(told.foreign, unit=unit),)
    return [*(other_scale(told) if told.plans else ()), *elsewhere]


def _foreign(found: Foreign, unit: Unit) -> dict[str, object]:
    missed = missed_rows(found, unit=unit, most=_MISSED_ROWS) if found.missed else ()
    return {"rows": foreign_rows(found, unit=unit), "within": within_words(found), "missed": missed}


def _pictured(told: SideBySide) -> dict[str, object]:
    lines = [path.coordinates_mm for plan in told.plans for path in plan]
    frame = frame_for(lines, told.plans[0].drawing, room_mm=_PICTURE_MM)
    same = _like_the_first(told)
    pictures = list(_pictures(told, same, frame))
    changed = len(pictures) > 1 + (told.foreign is not None)
    return {"pictures": pictures, "width_mm": frame.size_mm[0], "same": same, "changed": changed}


def _like_the_first(told: SideBySide) -> list[str]:
    """Return the names of the plans that have the first one's paths and no others."""
    named = zip(told.names, told.plans, told.not_in_the_first(), strict=True)
    first = len(told.plans[0])
    return [name for at, (name, plan, more) in enumerate(named) if at and more == () and len(plan) == first]


def _pictures(told: SideBySide, left_out: Sequence[str], frame: Frame) -> Iterator[tuple[str, "Markup"]]:
    named = zip(told.names, told.plans, told.not_in_the_first(), strict=True)
    for at, (name, plan, changed) in enumerate(named):
        if at and name in left_out:
            continue
        words = f"{name}: {counted(len(plan), 'path')}"
        words += f", {len(changed):,} of them not in the first" if at and changed is not None else ""
        paths = [path.coordinates_mm for path in plan]
        if changed is None and told.foreign is not None:
            found = told.foreign
            missed = [plan.drawing.lines[line.line - 1].points_mm for line in found.missed]
            picture = small_picture(
                paths,
                plan.drawing,
                frame,
                title=words,
                missed_mm=missed,
                strayed_mm=[line.points_mm for line in found.strayed],
                within_mm=found.tolerance_mm,
            )
        else:
            picture = small_picture(paths, plan.drawing, frame, title=words, changed=changed or ())
        yield words, drawn(picture)
