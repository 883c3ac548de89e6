"""A plan's figures as tables of text, beside what the same lines cost without a plan."""

from collections import Counter
from collections.abc import Sequence

from stitchpath.cli.say import aligned, wrapped
from stitchpath.compare import Way, nearest_end_next, one_by_one
from stitchpath.errors import Finding
from stitchpath.figures import Figures, gap_less_forced, plan_figures
from stitchpath.plan import Plan, RoutedJob
from stitchpath.units import Unit, format_length

__all__ = ["duration", "figures_text", "length", "notes_text", "share"]

_FIRST_NOTES = 5
_WORDS = (
    "One by one: each line is tied off at both ends, in the order asked. Nearest end next: from each end on "
    "to the nearest end of a line not yet sewn. Cost weighs what shows, in seconds; it is not the time."
)


def figures_text(plan: Plan, *, unit: Unit = "mm") -> str:
    """Return what a plan comes to as text: the whole beside sewing without a plan, then job by job."""
    figures = plan_figures(plan)
    tables = [
        aligned(
            [("", "this plan", "one by one", "nearest end next"), *_rows(figures, _unplanned(plan), unit)]
        ),
        aligned([_JOB_HEAD, *map(_job_row, figures.jobs)]),
        wrapped(f"{_WORDS} Time: {'; '.join(figures.times.assumptions)}."),
    ]
    return "\n\n".join(tables)


def _unplanned(plan: Plan) -> tuple[Way, Way]:
    cost, machine, schedule = plan.cost_settings, plan.machine, plan.schedule
    return (
        one_by_one(plan.drawing, cost=cost, machine=machine, schedule=schedule),
        nearest_end_next(plan.drawing, cost=cost, machine=machine, schedule=schedule),
    )


def _rows(figures: Figures, ways: Sequence[Way], unit: Unit) -> list[tuple[str, ...]]:
    def along(mm: float) -> str:
        return length(mm, unit)

    blank = ("",) * len(ways)
    return [
        ("paths", f"{figures.paths:,}", *(f"{way.paths:,}" for way in ways)),
        ("tie-offs", f"{figures.tie_offs:,}", *(f"{2 * way.paths:,}" for way in ways)),
        ("sewn", along(figures.sewn_mm), *(along(way.sewn_mm) for way in ways)),
        ("travel", along(figures.travel_mm), *(along(way.travel_mm) for way in ways)),
        ("travel along stitched seams", along(figures.travel_seams_mm), *blank),
        ("travel along other sewn lines", along(figures.travel_lines_mm), *blank),
        ("travel along hidden seams", along(figures.travel_hidden_mm), *blank),
        ("longest visible retrace", along(figures.longest_visible_retrace_mm), *blank),
        ("outlines in one lap", f"{figures.laps:,} of {figures.outlines_touched:,}", *blank),
        ("lifts", f"{figures.lifts:,}", *(f"{way.lifts:,}" for way in ways)),
        ("length of lifts", along(figures.lifts_mm), *(along(way.lifts_mm) for way in ways)),
        ("cost", _cost(figures.cost_s), *(_cost(way.cost_s) for way in ways)),
        ("cost of path ends", _cost(figures.ends_cost_s), *(_cost(way.cost_s) for way in ways)),
        ("cost of travel", _cost(figures.travel_cost_s), *(_cost(0.0) for _ in ways)),
        ("proven bound", _cost(figures.bound_s), *blank),
        ("gap", share(figures.gap), *blank),
        ("time", duration(figures.times.total_s), *(duration(way.time_s) for way in ways)),
    ]


_JOB_HEAD = ("job", "paths", "cost", "proven bound", "gap", "over cost less forced", "")


def _job_row(job: RoutedJob) -> tuple[str, ...]:
    return (
        f"band {job.band}, {job.stage}",
        f"{job.paths:,}",
        _cost(job.cost),
        _cost(job.bound),
        share(job.gap),
        share(gap_less_forced(job.cost, job.bound, job.forced)),
        "proven cheapest" if job.optimal else "not proven",
    )


def _cost(cost_s: float) -> str:
    return f"{cost_s:,.1f} s"


def length(length_mm: float, unit: Unit = "mm") -> str:
    """Write a short length as the rulers do, a long one in metres or yards.

    Examples
    --------
    >>> length(12.7), length(12700), length(12.7, "in"), length(9144, "in"), length(0)
    ('12.7 mm', '12.70 m', '1/2 in', '10.0 yd', '0 mm')
    """
    if unit == "in":
        return format_length(length_mm, unit) if length_mm < 914.4 else f"{length_mm / 914.4:,.1f} yd"
    return format_length(length_mm, unit) if length_mm < 1000 else f"{length_mm / 1000:,.2f} m"


def share(ratio: float) -> str:
    """Write a share in per cent, so that only what is nothing reads 0 %.

    Examples
    --------
    >>> share(0), share(0.01234), share(0.00001), share(float("inf"))
    ('0 %', '1.23 %', '< 0.01 %', 'no bound')
    """
    if ratio == float("inf"):
        return "no bound"
    return "0 %" if ratio == 0 else "< 0.01 %" if 0 < ratio < 0.0001 else f"{ratio:.2%}".replace("%", " %")


def duration(seconds: float) -> str:
    """Write a time in hours and minutes, or minutes and seconds.

    Examples
    --------
    >>> duration(0), duration(61), duration(3599.9), duration(5400)
    ('0 min 00 s', '1 min 01 s', '1 h 00 min', '1 h 30 min')
    """
    whole = round(seconds)
    if whole < 3600:
        return f"{whole // 60} min {whole % 60:02} s"
    return f"{round(whole / 60) // 60:,} h {round(whole / 60) % 60:02} min"


def notes_text(notes: Sequence[Finding | str]) -> str:
    """Return what was left out or mended in short: how much, and the first few; nothing if nothing was.

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
    texts = Counter(note if isinstance(note, str) else note.message for note in notes).most_common()
    first = texts[:_FIRST_NOTES]
    shown = [
        wrapped(text if times == 1 else f"{text} ({times:,} times)", indent="  ") for text, times in first
    ]
    left = len(notes) - sum(times for _, times in first)
    more = [f"  and {left:,} more"] if left else []
    head = "1 thing to know:" if len(notes) == 1 else f"{len(notes):,} things to know:"
    return "\n".join([head, *shown, *more])
