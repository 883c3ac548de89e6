"""The plan sheet: one page of HTML to look through before anything is sewn, to print, and to sew by.

First the job card; then the top with its numbered paths; each band or row, larger, with what its paths sew;
where to align; what the check found, and the cautions; last, how good the plan is.
"""

from collections import Counter
from collections.abc import Iterator, Sequence

from stitchpath.errors import Finding, all_of
from stitchpath.figures import Figures, plan_figures, spool_rows
from stitchpath.figures.alignment import BandMarks, alignment
from stitchpath.figures.over_least import over_least, over_least_words
from stitchpath.figures.reach_unknown import reach_warning
from stitchpath.files import StrPath, write_whole
from stitchpath.pages.found_from import found_from
from stitchpath.pages.html_page import drawn, html_page
from stitchpath.pages.job_card import job_card
from stitchpath.pages.paper import paper_of
from stitchpath.pages.sheet_parts import shown_parts
from stitchpath.pictures.picture import picture_inline
from stitchpath.plan import Plan
from stitchpath.units import Unit, refuse_unit
from stitchpath.words import cost, duration, length, numbers

__all__ = ["plan_sheet_html", "write_plan_sheet"]

_LISTED_FINDINGS, _LISTED_NOTES = 200, 40
"""What the sheet lists before it counts the rest: chosen, some pages of findings and one of notes."""


def write_plan_sheet(
    plan: Plan,
    file: StrPath,
    *,
    paper: str = "A4",
    unit: Unit = "mm",
    findings: Sequence[Finding] | None = None,
) -> None:
    """Write the plan sheet as one file of HTML.

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
    ...     write_plan_sheet(Plan(Drawing(()), (), (), 0.0), Path(folder, "sheet.html"), paper="Letter")
    ...     Path(folder, "sheet.html").read_text(encoding="utf-8").count("</html>")
    1
    """
    text = plan_sheet_html(plan, paper=paper, unit=unit, findings=findings)
    write_whole(file, text)


def plan_sheet_html(
    plan: Plan,
    *,
    paper: str = "A4",
    unit: Unit = "mm",
    findings: Sequence[Finding] | None = None,
) -> str:
    """Return the plan sheet as text; see `write_plan_sheet`.

    Parameters
    ----------
    plan, paper, unit, findings
        As `write_plan_sheet` has them.

    Returns
    -------
    str
        A whole page.

    Raises
    ------
    DesignError
        As `write_plan_sheet`.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> plan_sheet_html(Plan(Drawing(()), (), (), 0.0)).count("was not checked")
    1
    """
    refuse_unit(unit)
    if findings is not None:
        findings = all_of("findings", findings, Finding, "finding", "give what check_plan returns, or None")
    paper_used, figures = paper_of(paper), plan_figures(plan)
    aligned = alignment(plan)
    left_out = (note.message for note in plan.drawing.notes)
    notes = Counter([*reach_warning(plan.machine), *left_out, *plan.notes])
    told = [text if times == 1 else f"{text} ({times:,} times)" for text, times in notes.items()]
    several = len(figures.thread.threads) > 1
    return html_page(
        "plan_sheet.html",
        title=f"{plan.drawing.name or 'Stitch plan'}: plan sheet",
        paper=paper_used,
        card=job_card(plan, figures, unit),
        picture=drawn(picture_inline(plan)),
        larger=shown_parts(plan, paper_used, unit),
        good=list(_sentences(plan, figures, unit)),
        figures=_halves(list(_figures(figures, unit))),
        spools=spool_rows(figures.thread.spools, unit) if several else [],
        findings=None if findings is None else [(one.kind, one.message, _place(one)) for one in findings],
        notes=told,
        most=_LISTED_FINDINGS,
        most_notes=_LISTED_NOTES,
        aligned=aligned,
        marks=list(_marks(plan, aligned, unit)),
        assumed=[*figures.times.assumptions, *figures.thread.assumptions],
    )


def _sentences(plan: Plan, figures: Figures, unit: Unit) -> Iterator[str]:
    if figures.paths:
        yield f"This plan is {over_least_words(over_least(plan), unit)}."
    if figures.open_ends:
        paths = figures.open_end_paths
        said = f"Path {paths[0]} ends" if len(paths) == 1 else f"Paths {numbers(paths)} end"
        yield f"{said} in open cloth, where no seam, basting or binding allowance meets."


def _halves(rows: list[tuple[str, str]]) -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
    """Return rows in two columns, the first as long or longer by one."""
    middle = (len(rows) + 1) // 2
    return rows[:middle], rows[middle:]


def _figures(figures: Figures, unit: Unit) -> Iterator[tuple[str, str]]:
    yield "paths", f"{figures.paths:,}"
    yield "tie-offs", f"{figures.tie_offs:,}"
    yield "ends in open cloth", f"{figures.open_ends:,}"
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
    yield "time", duration(figures.times.total_s)


def _place(finding: Finding) -> str:
    return "" if finding.place_mm is None else "{:.1f}, {:.1f}".format(*finding.place_mm)


def _marks(plan: Plan, aligned: Sequence[BandMarks], unit: Unit) -> Iterator[tuple[str, str, str]]:
    """Yield the marks to align by, and where each is found."""
    for band in aligned:
        for mark in band.marks:
            where = found_from(plan.drawing.blocks, mark.place_mm, unit)
            yield f"{band.band}{mark.letter}", where, mark.meet
