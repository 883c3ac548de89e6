"""The proof sheet: one page of HTML to look through and print before anything is sewn.

The top with its numbered paths; then what each band or group needs, larger; the figures; what the check
found; on what to align; the cautions; directions, where there are any.
"""

from collections.abc import Iterator, Sequence

from stitchpath.directions.written import paragraphs
from stitchpath.errors import Finding
from stitchpath.figures import Figures, plan_figures
from stitchpath.figures.alignment import alignment
from stitchpath.files import StrPath, write_whole
from stitchpath.pages import cautions
from stitchpath.pages.html_page import heading, html_page, listed, paragraph, section, table
from stitchpath.pages.paper import paper_of
from stitchpath.pages.proof_parts import parts_html
from stitchpath.pictures.picture import picture_inline
from stitchpath.plan import Plan
from stitchpath.units import MM_PER, Unit
from stitchpath.words import cost, duration, length, numbers, share

__all__ = ["proof_sheet_html", "write_proof_sheet"]

_LISTED_FINDINGS = 200
"""Findings that the page lists before it counts the rest: chosen, some pages of them."""
_RIGHT = frozenset({1})
"""Which columns of figures are numbers, and stand to the right."""


def write_proof_sheet(
    plan: Plan,
    file: StrPath,
    *,
    paper: str = "A4",
    unit: Unit = "mm",
    findings: Sequence[Finding] | None = None,
    directions: bool = False,
) -> None:
    """Write the proof sheet as one file of HTML.

    Parameters
    ----------
    plan
        The plan.
    file
        Where to write.
    paper
        ``"A4"`` or ``"Letter"``.
    unit
        The unit of lengths.
    findings
        What a check of the plan found, such as `stitchpath.check_plan` returns; None: it was not checked, and
        the sheet says so.
    directions
        Whether to tell the plan in words, too, as `write_directions` does.

    Raises
    ------
    FileError
        If it cannot be written.
    DesignError
        If a path cannot be drawn, or there is no such paper.

    Examples
    --------
    >>> from pathlib import Path
    >>> from stitchpath.drawing import Drawing
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     write_proof_sheet(Plan(Drawing(()), (), (), 0.0), Path(folder, "proof.html"), paper="Letter")
    ...     Path(folder, "proof.html").read_text(encoding="utf-8").count("</html>")
    1
    """
    text = proof_sheet_html(plan, paper=paper, unit=unit, findings=findings, directions=directions)
    write_whole(file, text)


def proof_sheet_html(
    plan: Plan,
    *,
    paper: str = "A4",
    unit: Unit = "mm",
    findings: Sequence[Finding] | None = None,
    directions: bool = False,
) -> str:
    """Return the proof sheet as text; see `write_proof_sheet`.

    Parameters
    ----------
    plan, paper, unit, findings, directions
        As `write_proof_sheet` has them.

    Returns
    -------
    str
        A whole page.

    Raises
    ------
    DesignError
        As `write_proof_sheet`.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> proof_sheet_html(Plan(Drawing(()), (), (), 0.0)).count("was not checked")
    1
    """
    sheet = paper_of(paper)
    parts = [
        picture_inline(plan),
        *parts_html(plan, sheet, unit),
        heading(2, "What it comes to", new_page=True),
        table((), _figures(plan_figures(plan), unit), numbers=_RIGHT),
        *_found(plan, findings),
        *_aligned(plan, unit),
        section([heading(2, "Cautions"), listed(cautions.GENERAL)], kind="caution"),
        *(_directions(plan, unit) if directions else ()),
    ]
    return html_page(f"{plan.drawing.name or 'Stitch plan'}: proof sheet", parts, paper=sheet)


def _figures(figures: Figures, unit: Unit) -> Iterator[tuple[str, str]]:
    yield "paths", f"{figures.paths:,}"
    yield "tie-offs", f"{figures.tie_offs:,}"
    yield "ends in open cloth", f"{figures.open_ends:,}"
    if figures.open_ends:
        yield "paths that end in open cloth", numbers(figures.open_end_paths)
    yield "sewn", length(figures.sewn_mm, unit)
    yield "travel", length(figures.travel_mm, unit)
    yield "travel along stitched seams", length(figures.travel_seams_mm, unit)
    yield "travel along other sewn lines", length(figures.travel_lines_mm, unit)
    yield "travel along hidden seams", length(figures.travel_hidden_mm, unit)
    yield "longest visible retrace", length(figures.longest_visible_retrace_mm, unit)
    yield "outlines in one lap", f"{figures.laps:,} of {figures.outlines_touched:,}"
    yield "lifts", f"{figures.lifts:,}"
    yield "length of lifts", length(figures.lifts_mm, unit)
    if figures.thread_changes:
        yield "thread changes", f"{figures.thread_changes:,}"
    if figures.advances:
        yield "advances of the quilt", f"{figures.advances:,}"
    yield "cost, by what shows; not a time", cost(figures.cost_s)
    yield "proven bound", cost(figures.bound_s)
    yield "gap", share(figures.gap)
    yield "time", duration(figures.times.total_s)


def _found(plan: Plan, findings: Sequence[Finding] | None) -> Iterator[str]:
    yield heading(2, "What the check found")
    if findings is None:
        yield paragraph("This plan was not checked before the sheet was written. Check it before you sew.")
    elif not findings:
        yield paragraph(
            "Nothing is wrong: every line is sewn, nothing else is, and all keeps within its limits."
        )
    else:
        count = "1 thing is wrong" if len(findings) == 1 else f"{len(findings):,} things are wrong"
        yield paragraph(f"{count}. Do not sew from this plan before it is mended.")
        rows = [(told.kind, told.message, _place(told)) for told in findings[:_LISTED_FINDINGS]]
        yield table(("rule", "what is wrong", "where, x and y in mm"), rows)
        if len(findings) > _LISTED_FINDINGS:
            yield paragraph(f"And {len(findings) - _LISTED_FINDINGS:,} more.")
    notes = dict.fromkeys([*(note.message for note in plan.drawing.notes), *plan.notes])
    if notes:
        yield heading(3, "To know")
        yield listed(list(notes)[:_LISTED_FINDINGS])


def _place(finding: Finding) -> str:
    return "" if finding.place_mm is None else "{:.1f}, {:.1f}".format(*finding.place_mm)


def _aligned(plan: Plan, unit: Unit) -> Iterator[str]:
    yield heading(2, "On what to align after advancing")
    told = alignment(plan)
    if not told:
        yield paragraph("All is in reach at once: there is nothing to align.")
        return
    decimals, mm = (3, float(MM_PER["in"])) if unit == "in" else (1, 1.0)
    word = "in" if unit == "in" else "mm"
    rows = [
        (f"band {band.band}", f"{band.band}{mark.letter}", mark.what,
         *(f"{place / mm:,.{decimals}f}" for place in mark.place_mm))
        for band in told for mark in band.marks
    ]  # fmt: skip
    if rows:
        yield paragraph(
            "Places sewn in earlier bands, as the picture letters them, on the whole top as it hangs."
        )
        head = ("band", "mark", "what is found there", f"x, {word}", f"y, {word}")
        yield table(head, rows, numbers=frozenset({3, 4}))
    yield from (paragraph(f"{band.note[0].upper()}{band.note[1:]}.") for band in told if band.note)


def _directions(plan: Plan, unit: Unit) -> Iterator[str]:
    """Give the directions under their headings; the title is that of the section."""
    yield heading(2, "Directions", new_page=True)
    for told in paragraphs(plan, unit="in" if unit == "in" else "mm")[1:]:
        yield paragraph(told.heading) if told.kind == "note" else heading(3, told.heading)
        if told.directions:
            yield listed([one.text for one in told.directions], first=told.directions[0].number)
