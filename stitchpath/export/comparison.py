"""Plans side by side as one page: figures, prices of wishes, a plan made elsewhere, small pictures."""

from collections.abc import Iterator, Sequence

from stitchpath.compare.prices import changed_paths
from stitchpath.compare.told import comparison_table, prices_table
from stitchpath.compare.whatif import WhatIf
from stitchpath.export.foreign_told import foreign_rows, missed_rows, within_words
from stitchpath.export.html_page import captioned, heading, html_page, paragraph, section, table
from stitchpath.export.paper import Paper, paper_of
from stitchpath.export.side_by_side import SideBySide, other_scale, side_by_side
from stitchpath.export.small_picture import frame_for, small_picture
from stitchpath.figures.foreign import Foreign
from stitchpath.files import StrPath, write_whole
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
_MISSED_WORDS = "Dashed and thick: lines of which something is missed."
_ROOM_MM = (62.0, 80.0)
_MOST_MISSED = 40


def write_comparison(
    plans: Sequence[Plan] | WhatIf,
    file: StrPath,
    *,
    names: Sequence[str] | None = None,
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
    """
    write_whole(file, comparison_html(side_by_side(plans, names), paper=paper, unit=unit))


def comparison_html(told: SideBySide, *, paper: str = "A4", unit: Unit = "mm") -> str:
    """Return the page as text; see `write_comparison`."""
    upright = paper_of(paper)
    lying = Paper(upright.name, upright.height_mm, upright.width_mm, upright.margin_mm)
    return html_page(_title(told), _parts(told, unit), paper=lying)


def _title(told: SideBySide) -> str:
    drawing = told.plans[0].drawing if told.plans else told.drawing
    return (drawing.name if drawing else "") or "Stitch plans"


def _parts(told: SideBySide, unit: Unit) -> Iterator[str]:
    yield heading(1, _title(told))
    if told.plans:
        head, *rows = comparison_table(told.compared, unit=unit)
        yield _whole(table(head, rows, numbers=frozenset(range(1, len(head)))))
        yield paragraph(_WORDS)
        yield from map(paragraph, other_scale(told))
    if told.prices:
        head, *rows = prices_table(told.prices, unit=unit)
        yield heading(2, "What each wish takes")
        yield _whole(table(head, rows, numbers=frozenset(range(1, len(head) - 1))))
    if told.foreign is not None:
        yield from _foreign_parts(told.foreign, unit)
    pictures = list(_pictures(told))
    if pictures:
        changed = _CHANGED_WORDS if len(told.plans) > 1 else ""
        missed = _MISSED_WORDS if told.foreign is not None else ""
        yield heading(2, "Side by side" if len(pictures) > 1 else "The picture")
        yield paragraph(" ".join(filter(None, (changed, _ENDS_WORDS, missed))))
        yield section(pictures, kind="side")


def _whole(numbers: str) -> str:
    """Keep a table's numbers in one piece each."""
    return section([numbers], kind="whole")


def _foreign_parts(found: Foreign, unit: Unit) -> Iterator[str]:
    yield heading(2, "The plan made elsewhere")
    yield table((), foreign_rows(found, unit=unit), numbers=frozenset({1}))
    yield paragraph(within_words(found))
    if found.missed:
        head, *rows = missed_rows(found, unit=unit, most=_MOST_MISSED)
        yield heading(3, "What is missed")
        yield table(head, rows, numbers=frozenset({3, 4}))


def _pictures(told: SideBySide) -> Iterator[str]:
    lines = [path.coordinates_mm for plan in told.plans for path in plan]
    drawing = told.drawing or (told.plans[0].drawing if told.plans else None)
    if drawing is None:
        return
    frame = frame_for([*lines, *told.foreign_paths], drawing, room_mm=_ROOM_MM)
    for at, (name, plan) in enumerate(zip(told.names, told.plans, strict=True)):
        changed = changed_paths(plan.paths, told.plans[0].paths) if at else ()
        words = f"{name}: {_counted(len(plan), 'path')}"
        words += f", {len(changed):,} of them not in the first" if at else ""
        paths = [path.coordinates_mm for path in plan]
        picture = small_picture(paths, plan.drawing, frame, title=words, changed=changed)
        yield captioned(picture, words, width_mm=frame.size_mm[0])
    if told.foreign is not None:
        words = f"made elsewhere: {_counted(len(told.foreign_paths), 'path')}"
        missed = [drawing.lines[line.line - 1].points_mm for line in told.foreign.missed]
        picture = small_picture(told.foreign_paths, drawing, frame, title=words, missed_mm=missed)
        yield captioned(picture, words, width_mm=frame.size_mm[0])


def _counted(count: int, word: str) -> str:
    return f"{count:,} {word}" if count == 1 else f"{count:,} {word}s"
