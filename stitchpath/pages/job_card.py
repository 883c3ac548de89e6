"""The job card: what somebody needs at hand to sew a plan, to be hung up beside the machine.

What is on the frame and how it lies; thread, needle and bobbins; the time, whole and part by part, with
places to tick; where bobbins run out; what to check first; and what is done before the first stitch, at each
start and end, and at each advance. The last of these are common practice, no source: the machine's manual
comes first.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from stitchpath.figures import Figures, ThreadUsed
from stitchpath.figures.times import seconds_by_path
from stitchpath.lines import Role
from stitchpath.pages.found_from import found_from
from stitchpath.pages.plan_parts import PlanPart, parts_of
from stitchpath.pages.sewn_where import sewn_there, sewn_words
from stitchpath.plan import Plan
from stitchpath.settings import MachineSettings
from stitchpath.units import MM_PER_INCH, Unit, format_length
from stitchpath.words import duration, length, numbers

__all__ = ["JobCard", "TickRow", "job_card"]

_RESERVE = 10
"""One bobbin more for each so many, and for what is left of them: common practice, no source."""
_MOST_BOBBINS = 12
"""Places named where bobbins run out before the rest is counted: about a third of a page."""
_MOST_COLUMNS = 24
"""Blocks side by side that find room to be ticked off: 7 mm each on A4."""
_NEEDLES = ((25.0, "75 or 80 (11 or 12)"), (35.0, "90 (14)"), (50.0, "100 (16)"), (math.inf, "110 (18)"))
"""For threads up to so many tex: needles to begin with, common practice, no source."""
_BACKING_MM = 4 * MM_PER_INCH
"""How much larger than the top batting and backing are cut on each side: common practice, no source."""


@dataclass(frozen=True, slots=True)
class TickRow:
    """A row to tick off: what it is called, which paths, what they sew, their time, and bobbins put in."""

    name: str
    paths: str
    what: str
    time: str
    bobbins: str


@dataclass(frozen=True, slots=True)
class JobCard:
    """What the card says.

    Attributes
    ----------
    facts
        Labels and words.
    rows
        To be ticked off, in sewing order.
    blocks
        Where blocks are finished one by one, to be ticked off too: the number of each row, and
        whether there is a block in each column.
    bobbins
        Where each bobbin runs out, or is changed.
    checks
        What to check first.
    practice
        What is done when: headings and sentences.
    """

    facts: tuple[tuple[str, str], ...]
    rows: tuple[TickRow, ...]
    blocks: tuple[tuple[int, tuple[bool, ...]], ...]
    bobbins: tuple[str, ...]
    checks: tuple[str, ...]
    practice: tuple[tuple[str, tuple[str, ...]], ...]


def job_card(plan: Plan, figures: Figures, unit: Unit = "mm") -> JobCard:
    """Return a plan's job card.

    Parameters
    ----------
    plan
        The plan.
    figures
        What it comes to.
    unit
        Of lengths.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.figures import plan_figures
    >>> empty = Plan(Drawing(()), (), (), 0.0)
    >>> job_card(empty, plan_figures(empty)).rows
    ()
    """
    return JobCard(
        tuple(_facts(plan, figures, unit)),
        tuple(_rows(plan, figures)),
        tuple(_blocks(plan)),
        tuple(_bobbins(plan, figures, unit)),
        tuple(_checks(plan, figures, unit)),
        tuple(_practice(plan, unit)),
    )


def _counted(count: int, word: str) -> str:
    return f"{count:,} {word}{'' if count == 1 else 's'}"


def _facts(plan: Plan, figures: Figures, unit: Unit) -> Iterator[tuple[str, str]]:
    machine = plan.machine
    on_frame = machine.sewn_by == "frame"
    yield "On the frame" if on_frame else "Under the needle", _what_lies_there(plan, unit)
    if on_frame:
        yield "How it lies", _how_it_lies(plan, unit)
    for used in figures.thread.threads:
        yield "Thread", _thread(used, unit)
    yield "Needle", _needle(plan)
    yield "Bobbins to wind", _to_wind(figures, machine, unit)
    yield "Time", f"{duration(figures.times.total_s)}; breaks and what the hand does besides are not counted"
    yield "Stops", _stops(plan, figures)
    if plan.by_hand is not None and figures.by_hand is not None:
        paths = _counted(figures.by_hand.paths, "path")
        told = f"{plan.schedule.hand_when}: {paths}, {duration(figures.by_hand.times.total_s)}"
        yield "Left to the hand", f"{told}; see the files named by-hand"


def _what_lies_there(plan: Plan, unit: Unit) -> str:
    told = [plan.drawing.name or "the top"]
    if plan.drawing.outline is not None:
        told.append(_size(plan, unit))
    if blocks := plan.drawing.blocks:
        rows, columns = len({block.row for block in blocks}), len({block.column for block in blocks})
        told.append(f"{_counted(len(blocks), 'block')} in {_counted(rows, 'row')} of {columns:,}")
    return ", ".join(told)


def _size(plan: Plan, unit: Unit) -> str:
    x0, y0, x1, y1 = plan.drawing.outline.bounds
    return f"finished {format_length(x1 - x0, unit)} wide and {format_length(y1 - y0, unit)} high"


def _how_it_lies(plan: Plan, unit: Unit) -> str:
    machine = plan.machine
    edge, other = ("left side", "right side") if machine.sideways else ("upper edge", "lower edge")
    turned = "turned by a quarter, its left side uppermost" if machine.sideways else "as it hangs, face up"
    if machine.reach is None:
        return f"{turned}; planned as if the frame reached all of it at once"
    if len(plan.windows) < 2:
        return f"{turned}; all of it is in reach at once"
    reach = f"the frame reaches {format_length(machine.reach, unit)} of it at once"
    return f"{turned}; {reach}: {_counted(len(plan.windows), 'band')}, from the {edge} to the {other}"


def _thread(used: ThreadUsed, unit: Unit) -> str:
    above, below = (length(mm, unit) for mm in (used.with_waste_needle_mm, used.with_waste_bobbin_mm))
    return f"{used.thread or 'the one without a name'}: {above} above, {below} below, waste counted"


def _needle(plan: Plan) -> str:
    sewn = {path.thread for path in plan.paths}
    tex = [thread.tex for thread in plan.drawing.threads if thread.name in sewn]
    if not tex:
        return "a new one, of the size that suits the thread"
    size = next(size for most, size in _NEEDLES if max(tex) <= most)
    return f"a new one; for thread of tex {max(tex):g} begin with size {size}, and trust the test on a scrap"


def _to_wind(figures: Figures, machine: MachineSettings, unit: Unit) -> str:
    wound = [(used, math.ceil(used.bobbins / _RESERVE)) for used in figures.thread.threads]
    if not wound:
        return "none"
    total = sum(used.bobbins + reserve for used, reserve in wound)
    reserves = sum(reserve for _, reserve in wound)
    each = ""
    if len(wound) > 1:
        named = (f"{used.thread or 'without a name'} {used.bobbins + reserve:,}" for used, reserve in wound)
        each = f" ({', '.join(named)})"
    counted = f"what the stitches take up, tails and {machine.thread_waste:.0%} of waste are counted"
    holds = length(1000 * machine.bobbin_m, unit)
    return f"{total:,}{each}, {reserves:,} of them in reserve; each holds {holds}; {counted}"


def _stops(plan: Plan, figures: Figures) -> str:
    changes = len(figures.thread.bobbin_ends)
    told = [_counted(figures.advances, "advance")] if plan.windows else []
    told.append(_counted(figures.paths, "cut") + " of the thread")
    told += [_counted(changes, "new bobbin")] if changes else []
    told += [_counted(figures.thread_changes, "change") + " of thread"] if figures.thread_changes else []
    after = [
        f"after path {number} to {after.thread or 'the one without a name'}"
        for number, (before, after) in enumerate(zip(plan.paths, plan.paths[1:], strict=False), 1)
        if before.thread != after.thread
    ]
    few = f" ({', '.join(after)})" if 0 < len(after) <= _MOST_BOBBINS else ""
    return ", ".join(told) + few


def _rows(plan: Plan, figures: Figures) -> Iterator[TickRow]:
    seconds = seconds_by_path(plan)
    put_in = [end.path - 1 for end in figures.thread.bobbin_ends]
    parts: Sequence[PlanPart] = parts_of(plan)
    if len(parts) == 1:
        told = [("", one.paths, one.what) for one in sewn_there(plan, parts[0].paths)]
    else:
        told = [(part.name, part.paths, sewn_words(plan, part.paths)) for part in parts]
    for name, paths, what in told:
        new = sum(put_in.count(number) for number in paths)
        time = duration(60 * math.ceil(float(seconds[list(paths)].sum()) / 60)).removesuffix(" 00 s")
        yield TickRow(name, numbers([number + 1 for number in paths]), what, time, f"{new:,}" if new else "")


def _blocks(plan: Plan) -> Iterator[tuple[int, tuple[bool, ...]]]:
    """Yield the rows of blocks, as the top hangs, if single blocks are finished and all fit on a page."""
    named = {block.name: block for block in plan.drawing.blocks}
    columns = range(1, max((block.column for block in named.values()), default=0) + 1)
    if not set(plan.path_groups) & set(named) or len(columns) > _MOST_COLUMNS:
        return
    there = {(block.row, block.column) for block in named.values()}
    for row in sorted({row for row, _ in there}):
        yield row, tuple((row, column) in there for column in columns)


def _bobbins(plan: Plan, figures: Figures, unit: Unit) -> Iterator[str]:
    thread, ends = figures.thread, figures.thread.bobbin_ends
    for end in ends[:_MOST_BOBBINS]:
        of = f" of {end.thread or 'the thread without a name'}" if len(thread.threads) > 1 else ""
        if end.at_path_end:
            yield f"Bobbin {end.number}{of} is changed after path {end.path}."
        else:
            where = found_from(plan.drawing.blocks, end.place_mm, unit)
            hidden = "in a seam" if end.in_seam else "in open cloth"
            yield f"Bobbin {end.number}{of} runs out on path {end.path}, {hidden}: {where}."
    if len(ends) > _MOST_BOBBINS:
        yield f"And {len(ends) - _MOST_BOBBINS:,} more."


def _checks(plan: Plan, figures: Figures, unit: Unit) -> Iterator[str]:
    if plan.drawing.outline is not None:
        yield f"Measure the top: this plan is for one {_size(plan, unit)}, seam allowance not counted."
    larger = "4 in" if unit == "in" else format_length(round(_BACKING_MM, -1), unit)
    yield f"Batting and backing are larger than the top by about {larger} on each side."
    if gap := figures.gap_unquilted:
        across = length(gap.across_mm, unit)
        too_wide = "; this batting does not allow it" if gap.too_wide else ": see its label"
        yield f"The batting may be left unquilted over {across}{too_wide}."
    machine, bastes = plan.machine, any(line.role is Role.BASTE for line in plan.drawing.lines)
    baste = f", for basting {_stitch(machine.basting_length)}" if bastes else ""
    yield f"The stitch length is set: {_stitch(machine.stitch_length)}{baste}."
    if len(plan.windows) > 1:
        yield "The machine has the file of the band on the frame, and its zero lies at that band's origin."


def _stitch(length_mm: float) -> str:
    """Say a stitch length as machines have it.

    Examples
    --------
    >>> _stitch(2.54), _stitch(5.08)
    ('2.5 mm (10 to the inch)', '5.1 mm (5 to the inch)')
    """
    return f"{length_mm:.1f} mm ({MM_PER_INCH / length_mm:.0f} to the inch)"


def _practice(plan: Plan, unit: Unit) -> Iterator[tuple[str, tuple[str, ...]]]:
    machine = plan.machine
    on_frame = machine.sewn_by == "frame"
    trial = "Sew a few inches on a scrap of the same layers, and set the tension by both sides of it."
    if on_frame:
        yield (
            "Before the first stitch",
            (
                "Run the file once with the needle up: head and foot stay clear of clamps and rollers.",
                trial,
                "Lay the top straight, and baste its upper edge to batting and backing.",
            ),
        )
    else:
        yield "Before the first stitch", ("Baste or pin the layers.", trial, "Follow path 1 with a finger.")
    start = "Sew one stitch in place, draw the bobbin thread up through the quilt, and hold both threads."
    yield "At each start", (start, _secured(machine, unit, at="start"))
    yield "At each end", (_secured(machine, unit, at="end"), _cut(machine))
    if len(plan.windows) > 1:
        yield (
            "At each advance",
            (
                "Baste both sides as far as they are reached.",
                "Let go the side clamps, wind on, and set the clamps again, no tighter than before.",
                "Align the next band on its marks, and run it with the needle up before it is sewn.",
            ),
        )


def _secured(machine: MachineSettings, unit: Unit, *, at: str) -> str:
    if machine.ends == "buried tails":
        tail = format_length(machine.tail, unit)
        return f"Leave tails of {tail}, above and below; knot and bury them between the layers."
    if machine.secures_in_files:
        return "The file itself holds the small stitches that secure it."
    if machine.ends == "small stitches":
        return "Secure it with four small stitches along the line" + (" and back." if at == "end" else ".")
    return "Let the machine secure it, as its manual says."


def _cut(machine: MachineSettings) -> str:
    if machine.ends == "buried tails":
        return "Then cut both threads behind the tails."
    who = "The machine cuts its thread" if machine.cuts_thread else "Draw both threads up and cut them"
    return f"{who}; see that no tail lies under the next path."
