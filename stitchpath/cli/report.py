"""A plan's figures as tables of text, beside what the same lines would cost without a plan.

The figures and what follows from them are told at once; what they mean and assume is told where asked for.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from stitchpath.cli.cloth import cloth_explained, cloth_rows, cloth_sentences, spools_text
from stitchpath.cli.jobs import jobs_text
from stitchpath.cli.say import wrapped
from stitchpath.cli.tables import laid_out
from stitchpath.compare import Way, nearest_end_next, one_by_one
from stitchpath.errors import Finding
from stitchpath.figures import EndPlace, Figures, plan_figures
from stitchpath.figures.alignment import alignment
from stitchpath.figures.over_least import over_least, over_least_words
from stitchpath.figures.reach_unknown import reach_warning
from stitchpath.plan import OrderException, Plan
from stitchpath.units import Unit
from stitchpath.words import WARNING, cost, duration, length, numbers, share

__all__ = ["exceptions_text", "figures_text", "notes_text", "unplanned"]

_FIRST_NOTES = 5  # told before the rest is counted: chosen
_MOST_NOTES = 40  # told with a plan's figures before the rest is counted: chosen, a screen of them
_WORST_BLOCKS = 3  # named for a figure: chosen
_WORDS = (
    "One by one: each line is tied off at both ends, in the order asked. Nearest end next: from each end on "
    "to the nearest end of a line not yet sewn."
)
_WANDER_WORDS = (
    "A block's wander ratio is the needle-down length from first entering it to last leaving it, over "
    "that on its own lines; 1 is ideal."
)
_VISITS_WORDS = (
    "A visit is a run of sewing in one block, until something new is sewn in another one; once is ideal. "
    "Seams, and lines that no other line meets, are not counted."
)
_FIRST_EXCEPTIONS = 10  # told before the rest is counted: about half a screen
_ENDS_AT = {
    EndPlace.ALLOWANCE: "ends in basting or binding allowance",
    EndPlace.SEAM: "ends in seams",
    EndPlace.STRIP: "ends on strips",
    EndPlace.OUTLINE: "ends on outlines",
    EndPlace.FILL: "ends on fill, echo or drawn lines",
}


def figures_text(plan: Plan, *, unit: Unit = "mm", explain: bool = False) -> str:
    """Return what a plan comes to as text: the whole beside sewing without a plan, then job by job.

    Parameters
    ----------
    plan
        The plan.
    unit
        The unit of lengths.
    explain
        Whether to say what the figures mean and assume, too.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> empty = Plan(Drawing(()), (), (), 0.0)
    >>> "Counted: " in figures_text(empty), "Counted: " in figures_text(empty, explain=True)
    (False, True)
    """
    figures = plan_figures(plan)
    head = ("", "this plan", "one by one", "nearest end next")
    tables = [
        laid_out([head, *_rows(figures, unplanned(plan), unit)]),
        jobs_text(figures.jobs),
        exceptions_text(figures.order_exceptions),
        spools_text(figures, unit),
        *map(wrapped, _sentences(plan, figures, unit)),
        *map(wrapped, cloth_sentences(figures, unit)),
    ]
    if explain:
        tables += map(wrapped, [*_explained(plan, figures), *cloth_explained(figures)])
    if plan.by_hand is not None and figures.by_hand is not None:
        when = plan.schedule.hand_when
        by_hand = ("", f"by hand, {when}", *head[2:])
        tables.append(laid_out([by_hand, *_rows(figures.by_hand, unplanned(plan.by_hand), unit)]))
        tables.append(jobs_text(figures.by_hand.jobs))
    unaligned = (told.note for told in alignment(plan) if told.note)
    notes: list[Finding | str] = [*reach_warning(plan.machine), *plan.drawing.notes, *plan.notes]
    notes += unaligned
    tables.append(notes_text(notes, most=_MOST_NOTES))
    return "\n\n".join(filter(None, tables))


def unplanned(plan: Plan) -> tuple[Way, Way]:
    """Return what the same lines cost sewn one by one, and by nearest end next."""
    cost, machine, schedule = plan.cost_settings, plan.machine, plan.schedule
    drawing = replace(plan.drawing, lines=tuple(filter(plan.sews, plan.drawing.lines)))
    return (
        one_by_one(drawing, cost=cost, machine=machine, schedule=schedule),
        nearest_end_next(drawing, cost=cost, machine=machine, schedule=schedule),
    )


def _rows(figures: Figures, ways: Sequence[Way], unit: Unit) -> list[tuple[str, ...]]:
    def along(mm: float) -> str:
        return length(mm, unit)

    blank = ("",) * len(ways)
    return [
        ("paths", f"{figures.paths:,}", *(f"{way.paths:,}" for way in ways)),
        ("tie-offs", f"{figures.tie_offs:,}", *(f"{2 * way.paths:,}" for way in ways)),
        *((_ENDS_AT[at.place], f"{at.ends:,}", *blank) for at in figures.ends if at.ends),
        ("ends in open cloth", f"{figures.open_ends:,}", *blank),
        ("sewn", along(figures.sewn_mm), *(along(way.sewn_mm) for way in ways)),
        ("travel", along(figures.travel_mm), *(along(way.travel_mm) for way in ways)),
        ("travel along stitched seams", along(figures.travel_seams_mm), *blank),
        ("travel along other sewn lines", along(figures.travel_lines_mm), *blank),
        ("travel along hidden seams", along(figures.travel_hidden_mm), *blank),
        *((*row, *blank) for row in _rows_of_steps(figures, unit)),
        ("longest visible retrace", along(figures.longest_visible_retrace_mm), *blank),
        ("outlines in one lap", f"{figures.laps:,} of {figures.outlines_touched:,}", *blank),
        ("lifts", f"{figures.lifts:,}", *(f"{way.lifts:,}" for way in ways)),
        ("length of lifts", along(figures.lifts_mm), *(along(way.lifts_mm) for way in ways)),
        *((*row, *blank) for row in _rows_where_any(figures, unit)),
        ("weighed by what shows", cost(figures.cost_s), *(cost(way.cost_s) for way in ways)),
        ("tie-offs, weighed", cost(figures.ends_cost_s), *(cost(way.cost_s) for way in ways)),
        ("travel, weighed", cost(figures.travel_cost_s), *(cost(0.0) for _ in ways)),
        ("leaving blocks, weighed", cost(figures.leaving_cost_s), *(cost(0.0) for _ in ways)),
        ("least possible, at least", cost(figures.bound_s), *blank),
        ("over the least, at most", share(figures.gap), *blank),
        ("time", duration(figures.times.total_s), *(duration(way.time_s) for way in ways)),
        *((*row, *blank) for row in cloth_rows(figures, unit)),
    ]


def _rows_of_steps(figures: Figures, unit: Unit) -> Iterator[tuple[str, str]]:
    if figures.steps:
        yield "travel over open cloth", length(figures.travel_open_mm, unit)
        yield "steps over open cloth", f"{figures.steps:,}"


def _rows_where_any(figures: Figures, unit: Unit) -> Iterator[tuple[str, str]]:
    if figures.wander_median is not None and figures.wander_greatest is not None:
        yield "wander ratio of blocks, median", f"{figures.wander_median:,.1f}"
        yield "wander ratio of blocks, greatest", f"{figures.wander_greatest:,.1f}"
    if figures.visits.median is not None and figures.visits.mean is not None:
        yield "visits of blocks, median", f"{figures.visits.median:,.1f}"
        yield "visits of blocks, mean", f"{figures.visits.mean:,.1f}"
        yield "visits of blocks, most", f"{figures.visits.most:,}"
    if figures.travel_over_others_mm:
        yield "travel over lines of another thread", length(figures.travel_over_others_mm, unit)
    if figures.thread_changes:
        yield "thread changes", f"{figures.thread_changes:,}"
        yield "time of thread changes", duration(figures.times.thread_changes_s)
    if figures.advances:
        yield "advances of the quilt", f"{figures.advances:,}"
        yield "time of advances", duration(figures.times.advances_s)
    if figures.thread.bobbin_ends:
        yield "time of new bobbins", duration(figures.times.bobbin_changes_s)


def _sentences(plan: Plan, figures: Figures, unit: Unit) -> Iterator[str]:
    if figures.paths:
        kept = " Meant are plans with the same bands, stages and groups." if len(figures.jobs) > 1 else ""
        yield f"This plan is {over_least_words(over_least(plan), unit)}.{kept}"
    if figures.open_ends:
        paths = figures.open_end_paths
        said = f"Path {paths[0]} ends" if len(paths) == 1 else f"Paths {numbers(paths)} end"
        of = f"{figures.open_ends:,} of {figures.tie_offs:,} ends"
        yield f"{said} in open cloth: {of}, where no seam, basting or binding allowance meets."
    if figures.wander:
        worst = (f"{wander.block} ({wander.ratio:,.1f})" for wander in figures.wander[:_WORST_BLOCKS])
        yield f"Greatest wander ratios: {', '.join(worst)}."
    if figures.visits.most > 1:
        worst = (f"{one.block} ({one.visits:,})" for one in figures.visits.blocks[:_WORST_BLOCKS])
        yield f"Most visits: {', '.join(worst)}."


def _explained(plan: Plan, figures: Figures) -> Iterator[str]:
    if figures.wander:
        yield _WANDER_WORDS
    if figures.visits.most:
        yield _VISITS_WORDS
    besides = figures.thread_changes or figures.advances or figures.thread.bobbin_ends
    alone = " Changes of thread and bobbin and advances are in this plan's time only." if besides else ""
    yield f"Counted: {'; '.join(figures.assumptions)}."
    yield f"{_WORDS} Time: {'; '.join(figures.times.assumptions)}.{alone}"
    if plan.cost_settings.path_cost_s is not None:
        yield f"Weighed with {plan.cost_settings.path_cost_s:g} s for a path's two tie-offs, as set."


def exceptions_text(exceptions: Sequence[OrderException]) -> str:
    """Return in short which outlines and echoes are finished too late, the latest first; nothing if none is.

    Examples
    --------
    >>> late = OrderException(1, "row 1, column 1", "pear: outside outline", "fill", 0.25, 7)
    >>> print(exceptions_text([late]))
    1 exception from outlines first, then echoes, then fill:
      row 1, column 1: pear: outside outline: 25.00 % of its fill comes before path 7 finishes it
    >>> exceptions_text([])
    ''
    """
    if not exceptions:
        return ""
    first = sorted(exceptions, key=lambda one: (-one.share, one.line, one.early))[:_FIRST_EXCEPTIONS]
    left = len(exceptions) - len(first)
    count = "1 exception" if len(exceptions) == 1 else f"{len(exceptions):,} exceptions"
    head = f"{count} from outlines first, then echoes, then fill:"
    more = [f"  and {left:,} more"] if left else []
    return "\n".join([head, *map(_exception, first), *more])


def _exception(late: OrderException) -> str:
    name = ": ".join(filter(None, (late.block, late.motif))) or f"line {late.line}"
    what, come = ("fill", "comes") if late.early == "fill" else ("echoes", "come")
    return f"  {name}: {share(late.share)} of its {what} {come} before path {late.path:,} finishes it"


def notes_text(
    notes: Sequence[Finding | str], *, most: int = _FIRST_NOTES, most_lines: int | None = None
) -> str:
    """Return what was left out or mended in short: how much, and the first few; nothing if nothing was.

    Warnings come first, then what a keep-out takes from asked lines, then what happened most often.

    Parameters
    ----------
    notes
        All there are.
    most
        How many are told before the rest is counted.
    most_lines
        How many lines that takes at most, but for the first note; None: as many as it needs.

    Examples
    --------
    >>> print(notes_text([Finding("short piece", "a piece of 5 mm is left out")] * 2))
    2 things to know:
      a piece of 5 mm is left out (2 times)
    >>> notes_text([])
    ''
    """
    if not notes:
        return ""
    cut = {note.message for note in notes if isinstance(note, Finding) and note.kind == "keep-out"}
    texts = Counter(note if isinstance(note, str) else note.message for note in notes).most_common()
    ranked = sorted(texts, key=lambda text: (not text[0].startswith(WARNING), text[0] not in cut))
    shown = [_note(text, times) for text, times in ranked[:most]]
    while most_lines is not None and len(shown) > 1 and _lines(shown, len(ranked)) > most_lines:
        shown.pop()
    left = len(notes) - sum(times for _, times in ranked[: len(shown)])
    more = [f"  and {left:,} more"] if left else []
    head = "1 thing to know:" if len(notes) == 1 else f"{len(notes):,} things to know:"
    return "\n".join([head, *shown, *more])


def _note(text: str, times: int) -> str:
    return wrapped(text if times == 1 else f"{text} ({times:,} times)", indent="  ")


def _lines(shown: Sequence[str], of: int) -> int:
    """Return how many lines notes take, with their head and the count of those left out."""
    return 1 + sum(len(note.splitlines()) for note in shown) + (len(shown) < of)
