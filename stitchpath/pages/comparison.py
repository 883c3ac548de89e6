"""Plans side by side as one page: figures, prices of wishes, a plan made elsewhere, small pictures."""

from collections.abc import Iterator, Sequence

from stitchpath.compare.foreign_told import foreign_rows, missed_rows, row_words, within_words
from stitchpath.compare.side_by_side import SideBySide, other_scale, side_by_side
from stitchpath.compare.told import MORE_THAN_FIRST, comparison_table, prices_table
from stitchpath.compare.whatif import WhatIf
from stitchpath.figures.foreign import Foreign
from stitchpath.files import StrPath, write_whole
from stitchpath.pages.html_page import captioned, heading, html_page, paragraph, section, table
from stitchpath.pages.paper import Paper, paper_of
from stitchpath.pictures.small_picture import frame_for, small_picture
from stitchpath.plan import Plan
from stitchpath.units import Unit

__all__ = ["comparison_html", "write_comparison"]

_WORDS = (
    "Differences are against the first. A lift is a needle-up move between two paths. Wander is the median "
    "of the blocks' wander ratios: needle-down length from first entering a block to last leaving it, over "
    "that on its own lines; 1 is ideal. Cost weighs what shows, in seconds; it is not the time. The gap is "
    "how far the cost may at most be above the cheapest, as a share of the proven bound."
)
_ENDS_WORDS = "Ring: an end in a seam. Square: an end in open cloth. Shaded: where no stitch may go."
_CHANGED_WORDS = "Grey: paths as the first has them. Dark and thick: paths that are not in the first."
_MISSED_WORDS = (
    "Made elsewhere, dashed and thick: lines of which something is missed; dark and unbroken: on no line."
)
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
    ValueError
        If there are not as many names as plans.
    DesignError
        If there is no such paper.
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
    return html_page(_title(told), _parts(told, unit), paper=lying)


def _title(told: SideBySide) -> str:
    return (told.plans[0].drawing.name if told.plans else "") or "Stitch plans"


def _parts(told: SideBySide, unit: Unit) -> Iterator[str]:
    yield heading(1, _title(told))
    if told.plans:
        head, *rows = comparison_table(told.compared, unit=unit)
        right = frozenset(range(1, len(head)))
        yield _whole(table(head, rows, numbers=right, joined=MORE_THAN_FIRST))
        yield paragraph(_WORDS)
        yield from map(paragraph, other_scale(told))
        yield paragraph(row_words(told.foreign, unit=unit)) if told.foreign is not None else ""
    if told.prices:
        head, *rows = prices_table(told.prices, unit=unit)
        yield heading(2, "What each wish takes")
        yield _whole(table(head, rows, numbers=frozenset(range(1, len(head) - 1))))
    if told.foreign is not None:
        yield from _foreign_parts(told.foreign, unit)
    if told.plans:
        same = _like_the_first(told)
        pictures = list(_pictures(told, same))
        changed = _CHANGED_WORDS if len(pictures) > 1 + (told.foreign is not None) else ""
        missed = _MISSED_WORDS if told.foreign is not None else ""
        title = heading(2, "Side by side" if len(pictures) > 1 else "The picture")
        like = f"Path for path like the first, and not drawn again: {'; '.join(same)}." if same else ""
        told_of = paragraph(" ".join(filter(None, (changed, _ENDS_WORDS, missed, like))))
        yield section([title, told_of, section(pictures, kind="side")], kind="kept")


def _whole(numbers: str) -> str:
    """Keep a table's numbers in one piece each."""
    return section([numbers], kind="whole")


def _foreign_parts(found: Foreign, unit: Unit) -> Iterator[str]:
    yield heading(2, "The plan made elsewhere")
    yield table((), foreign_rows(found, unit=unit), numbers=frozenset({1}))
    yield paragraph(within_words(found))
    if found.missed:
        head, *rows = missed_rows(found, unit=unit, most=_MISSED_ROWS)
        yield heading(3, "What is missed")
        yield table(head, rows, numbers=frozenset({3, 4}))


def _like_the_first(told: SideBySide) -> list[str]:
    """Return the names of the plans that have the first one's paths and no others."""
    named = zip(told.names, told.plans, told.not_in_the_first(), strict=True)
    first = len(told.plans[0])
    return [name for at, (name, plan, more) in enumerate(named) if at and more == () and len(plan) == first]


def _pictures(told: SideBySide, left_out: Sequence[str]) -> Iterator[str]:
    lines = [path.coordinates_mm for plan in told.plans for path in plan]
    frame = frame_for(lines, told.plans[0].drawing, room_mm=_PICTURE_MM)
    named = zip(told.names, told.plans, told.not_in_the_first(), strict=True)
    for at, (name, plan, changed) in enumerate(named):
        if at and name in left_out:
            continue
        words = f"{name}: {_counted(len(plan), 'path')}"
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
        yield captioned(picture, words, width_mm=frame.size_mm[0])


def _counted(count: int, word: str) -> str:
    return f"{count:,} {word}" if count == 1 else f"{count:,} {word}s"
