"""What is said after planning, in at most 25 lines: all else is told by ``stitchpath figures``."""

import re
import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path

from stitchpath.cli.report import notes_text
from stitchpath.cli.say import CAUTION, wrapped
from stitchpath.errors import Finding
from stitchpath.figures import Figures, plan_figures
from stitchpath.figures.over_least import over_least, over_least_words
from stitchpath.plan import Plan
from stitchpath.units import Unit
from stitchpath.words import duration, length

__all__ = ["MOST_LINES", "summary_text"]

MOST_LINES = 25
"""Of all that is said after planning: it stands on a terminal of that height."""
_CHECKED = 1
"""The line on what the check found, said after it."""
_LABEL, _COLUMNS = 10, 100
"""How wide labels are, and the text: as all that the command says."""
_NOTE_LINES = 3
"""What notes have at least, where all the rest is long: their head, one line, and how many there are more."""
_NAME_LINES = 3
"""Lines of whole names at most: of more, what all share is told once; chosen."""
_OF_BAND, _OF_HAND = re.compile(r"-band-\d+[.-]"), re.compile(r"-by-hand[.-]")


def summary_text(
    plan: Plan, *, folder: Path, names: Sequence[str], notes: Sequence[Finding | str], unit: Unit = "mm"
) -> str:
    """Return what is said of a plan that was made, written and checked.

    Parameters
    ----------
    plan
        The plan.
    folder, names
        Where it was written, and its files.
    notes
        What is to be known, warnings among it.
    unit
        The unit of lengths.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> empty = Plan(Drawing(()), (), (), 0.0)
    >>> text = summary_text(empty, folder=Path("out"), names=["a.svg", "a.json"], notes=[])
    >>> print(text.splitlines()[0])
    Written into out: a.svg and a.json.
    """
    figures = plan_figures(plan)
    rows = [*_rows(plan, figures, unit)]
    if plan.by_hand is not None and figures.by_hand is not None:
        rows.append(("by hand", _hand(plan.by_hand, figures.by_hand, unit)))
    typed = f"stitchpath figures {folder} --unit {'in' if unit == 'in' else 'mm'}"
    more = f'For all figures type "{typed}"; with --explain it says what they mean.'
    parts = [
        _written(folder, names),
        "\n".join(map(_row, rows)),
        f"{wrapped(more)}\n{wrapped(CAUTION)}",
    ]
    taken = sum(len(part.splitlines()) for part in parts) + 2 + _CHECKED  # and two blank lines
    told = notes_text(notes, most_lines=max(MOST_LINES - taken, _NOTE_LINES))
    room = taken + len(told.splitlines()) < MOST_LINES
    return "\n\n".join((*parts[:2], ("\n\n" if room else "\n").join(filter(None, (told, parts[2])))))


def _row(row: tuple[str, str]) -> str:
    label, words = row
    blank = " " * _LABEL
    return textwrap.fill(
        words, _COLUMNS, initial_indent=label.ljust(_LABEL), subsequent_indent=blank, break_on_hyphens=False
    )


def _rows(plan: Plan, figures: Figures, unit: Unit) -> Iterator[tuple[str, str]]:
    yield "paths", f"{_paths(figures)}; {length(figures.sewn_mm, unit)} sewn"
    yield "travel", _travel(figures, unit)
    yield "time", duration(figures.times.total_s) + "".join(f", {part}" for part in _in_time(figures))
    yield "thread", _thread(figures, unit)
    yield "how good", over_least_words(over_least(plan), unit)
    if late := len(figures.order_exceptions):
        said = "1 outline or echo is" if late == 1 else f"{late:,} outlines and echoes are"
        yield "order", f"{said} finished later than the lines that should come after"


def _paths(figures: Figures) -> str:
    ends = f"{figures.tie_offs:,} tie-offs, {figures.open_ends:,} of them in open cloth"
    return f"{figures.paths:,}, with {ends}"


def _travel(figures: Figures, unit: Unit) -> str:
    visible = figures.travel_lines_mm + figures.travel_open_mm
    longest = length(figures.longest_visible_retrace_mm, unit)
    if not visible:
        return f"{length(figures.travel_mm, unit)}, none of it visible"
    seen = f"{length(visible, unit)} of it visible, the longest retrace {longest}"
    return f"{length(figures.travel_mm, unit)}, {seen}"


def _in_time(figures: Figures) -> Iterator[str]:
    counts = (
        (figures.advances, "advance"),
        (len(figures.thread.bobbin_ends), "new bobbin"),
        (figures.thread_changes, "thread change"),
    )
    told = [f"{count:,} {word}{'' if count == 1 else 's'}" for count, word in counts if count]
    if told:
        yield f"with {' and '.join(filter(None, (', '.join(told[:-1]), told[-1])))}"


def _thread(figures: Figures, unit: Unit) -> str:
    needle = sum(used.with_waste_needle_mm for used in figures.thread.threads)
    bobbin = sum(used.with_waste_bobbin_mm for used in figures.thread.threads)
    count = figures.thread.bobbins
    bobbins = "1 bobbin" if count == 1 else f"{count:,} bobbins"
    threads = len(figures.thread.threads)
    of = f", {threads} threads" if threads > 1 else ""
    return f"{length(needle, unit)} above and {length(bobbin, unit)} below, waste counted; {bobbins}{of}"


def _hand(plan: Plan, figures: Figures, unit: Unit) -> str:
    paths = f"{plan.schedule.hand_when}: {figures.paths:,} paths with {figures.tie_offs:,} tie-offs"
    return f"{paths}; travel {_travel(figures, unit)}; time {duration(figures.times.total_s)}"


def _written(folder: Path, names: Sequence[str]) -> str:
    """Name what was written; where that is long, only by what follows the beginning that all share."""
    told = wrapped(f"Written into {folder}: {_told_names(names)}.")
    if len(told.splitlines()) <= _NAME_LINES:
        return told
    stem = Path(min(names, key=len)).stem
    short = _told_names([name.removeprefix(stem) for name in names])
    return wrapped(f"Written into {folder}, each with {stem} before it: {short}.")


def _told_names(names: Sequence[str]) -> str:
    """Name files; those of bands, and of the hand, by the first and the last, and their count.

    Examples
    --------
    >>> _told_names(["a.svg", "a-band-1.svg", "a-band-1.csv", "a-band-2.svg", "a-band-2.csv", "a.json"])
    'a.svg, a.json and a-band-1.svg to a-band-2.csv (4 files)'
    """
    told, left = [], list(names)
    for kind in (_OF_BAND, _OF_HAND):
        own = [name for name in left if kind.search(name)]
        if len(own) > 2:
            told.append(f"{own[0]} to {own[-1]} ({len(own):,} files)")
            left = [name for name in left if name not in own]
    told = left + told
    return " and ".join(filter(None, (", ".join(told[:-1]), *told[-1:])))
