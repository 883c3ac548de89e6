"""The proof sheet: one page of HTML to look through and print before anything is sewn.

It shows the top with its numbered paths; what each band or group needs, larger; the figures; what the check
found; where to align; the cautions; and directions, if there are any.
"""

from collections.abc import Iterator, Sequence

from stitchpath.directions.written import paragraphs
from stitchpath.errors import Finding, all_of
from stitchpath.figures import Figures, plan_figures, spool_rows
from stitchpath.figures.alignment import BandMarks, alignment
from stitchpath.figures.over_least import over_least, over_least_words
from stitchpath.figures.reach_unknown import reach_warning
from stitchpath.files import StrPath, write_whole
from stitchpath.pages.html_page import drawn, html_page
from stitchpath.pages.paper import paper_of
from stitchpath.pages.proof_parts import shown_parts
from stitchpath.pictures.picture import picture_inline
from stitchpath.plan import Plan
from stitchpath.units import MM_PER, Unit, refuse_unit
from stitchpath.words import cost, duration, length, numbers

__all__ = ["proof_sheet_html", "write_proof_sheet"]

_LISTED_FINDINGS = 200
"""Findings that the page lists before it counts the rest: chosen, some pages of them."""


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
    refuse_unit(unit)
    if findings is not None:
        findings = all_of("findings", findings, Finding, "finding", "give what check_plan returns, or None")
    sheet, picture = paper_of(paper), picture_inline(plan)
    aligned, figures = alignment(plan), plan_figures(plan)
    in_words: Unit = "in" if unit == "in" else "mm"
    left_out = (note.message for note in plan.drawing.notes)
    notes = dict.fromkeys([*reach_warning(plan.machine), *left_out, *plan.notes])
    return html_page(
        "proof_sheet.html",
        title=f"{plan.drawing.name or 'Stitch plan'}: proof sheet",
        paper=sheet,
        picture=drawn(picture),
        larger=shown_parts(plan, sheet, unit),
        figures=list(_figures(plan, figures, unit)),
        spools=spool_rows(figures.thread.spools, unit),
        findings=None if findings is None else [(told.kind, told.message, _place(told)) for told in findings],
        notes=list(notes),
        most=_LISTED_FINDINGS,
        aligned=aligned,
        word=in_words,
        marks=list(_marks(aligned, in_words)),
        directions=paragraphs(plan, unit=unit)[1:] if directions else (),
    )


def _figures(plan: Plan, figures: Figures, unit: Unit) -> Iterator[tuple[str, str]]:
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
    if figures.travel_over_others_mm:
        yield "travel over lines of another thread", length(figures.travel_over_others_mm, unit)
    if figures.steps:
        yield "travel over open cloth", length(figures.travel_open_mm, unit)
        yield "steps over open cloth", f"{figures.steps:,}"
    yield "longest visible retrace", length(figures.longest_visible_retrace_mm, unit)
    yield "outlines in one lap", f"{figures.laps:,} of {figures.outlines_touched:,}"
    yield "lifts", f"{figures.lifts:,}"
    yield "length of lifts", length(figures.lifts_mm, unit)
    if figures.visits.mean is not None:
        most = f"{figures.visits.most:,}"
        yield "visits of blocks, mean and most", f"{figures.visits.mean:,.1f} and {most}"
    if figures.order_exceptions:
        yield "exceptions from outlines first, then echoes, then fill", f"{len(figures.order_exceptions):,}"
    if figures.thread_changes:
        yield "thread changes", f"{figures.thread_changes:,}"
    if figures.advances:
        yield "advances of the quilt", f"{figures.advances:,}"
    yield "tie-offs and travel, weighed by what shows; not a time", cost(figures.cost_s)
    yield "least possible, at least", cost(figures.bound_s)
    yield "how near to the least", over_least_words(over_least(plan), unit)
    yield "time", duration(figures.times.total_s)


def _place(finding: Finding) -> str:
    return "" if finding.place_mm is None else "{:.1f}, {:.1f}".format(*finding.place_mm)


def _marks(aligned: Sequence[BandMarks], unit: Unit) -> Iterator[tuple[str, ...]]:
    """Yield the places to align by, on the whole top as it hangs."""
    decimals = 3 if unit == "in" else 1
    for band in aligned:
        for mark in band.marks:
            at = (f"{place / float(MM_PER[unit]):,.{decimals}f}" for place in mark.place_mm)
            yield f"band {band.band}", f"{band.band}{mark.letter}", mark.what, *at
