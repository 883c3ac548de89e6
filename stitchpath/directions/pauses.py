"""What is done at the machine between two steps: advance and align the quilt, change thread or bobbin.

Pauses have no number, so that steps have the same numbers wherever they are told.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Literal

from stitchpath.directions.step import Step
from stitchpath.directions.words import length_words, quoted
from stitchpath.figures.alignment import alignment
from stitchpath.figures.thread import BobbinEnd, thread_use_of
from stitchpath.plan import Plan
from stitchpath.units import Unit

__all__ = ["Pause", "PauseKind", "pauses_of"]

PauseKind = Literal["advance", "align", "thread", "bobbin"]

_Marks = tuple[tuple[str, tuple[float, float]], ...]


@dataclass(frozen=True, slots=True)
class Pause:
    """One thing to do at the machine.

    Attributes
    ----------
    before
        The number of the step that comes next.
    kind
        ``"advance"``, ``"align"``, ``"thread"`` or ``"bobbin"``.
    text
        What to do, in words.
    marks
        Places to look at: what each is called, and its x and y in millimetres on the top.
    """

    before: int
    kind: PauseKind
    text: str
    marks: _Marks = ()


def pauses_of(plan: Plan, steps: Sequence[Step], *, unit: Unit = "in") -> tuple[Pause, ...]:
    """Return the pauses of a plan, in order.

    Parameters
    ----------
    plan
        The plan.
    steps
        Its steps, as `stitchpath.directions.teller.steps_of` tells them.
    unit
        Of lengths.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> pauses_of(Plan(Drawing(()), (), (), 0.0), ())
    ()
    """
    of_path = {path: list(run) for path, run in groupby(steps, key=lambda step: step.path)}
    found = [*_advances(plan, of_path), *_threads(plan, of_path), *_bobbins(plan, of_path, unit)]
    return tuple(sorted(found, key=lambda pause: pause.before))


def _advances(plan: Plan, of_path: dict[int, list[Step]]) -> Iterator[Pause]:
    """Yield a pause where a path lies in another band than the one before, and one to align it."""
    marks = {band.band: band for band in alignment(plan)}
    bands = max(len(plan.windows), *(path.band for path in plan.paths), 0)
    band = plan.paths[0].band if plan.paths else 0
    for number, path in enumerate(plan.paths, 1):
        if path.band == band:
            continue
        back = "Roll the quilt back" if path.band < band else "Advance the quilt"
        band, before = path.band, of_path[number][0].number
        yield Pause(before, "advance", f"{back}: band {band} of {bands} comes next.")
        told = marks.get(band)
        if told is None or not (told.marks or told.note):
            continue
        on = "; ".join(f"{band}{mark.letter}, where {mark.what}" for mark in told.marks)
        said = [f"Align on {on}."] if on else []
        said += [f"{told.note[0].upper()}{told.note[1:]}."] if told.note else []
        places = tuple((f"{band}{mark.letter}", mark.place_mm) for mark in told.marks)
        yield Pause(before, "align", " ".join(said), places)


def _threads(plan: Plan, of_path: dict[int, list[Step]]) -> Iterator[Pause]:
    thread = plan.paths[0].thread if plan.paths else ""
    for number, path in enumerate(plan.paths, 1):
        if path.thread == thread:
            continue
        thread = path.thread
        name = quoted(thread) if thread else "the thread without a name"
        yield Pause(of_path[number][0].number, "thread", f"Change to {name}, in needle and bobbin.")


def _bobbins(plan: Plan, of_path: dict[int, list[Step]], unit: Unit) -> Iterator[Pause]:
    several = len({path.thread for path in plan.paths}) > 1
    for end in thread_use_of(plan).bobbin_ends:
        of = f" of {quoted(end.thread)}" if several else ""
        if end.at_path_end:
            after = (
                n for n, path in enumerate(plan.paths[end.path :], end.path + 1) if path.thread == end.thread
            )
            number = next(after, None)
            if number is not None:
                words = f"Put in bobbin {end.number + 1}{of} before path {plan.path_name(number)} begins."
                yield Pause(of_path[number][0].number, "bobbin", words)
            continue
        yield _within(plan, end, of_path[end.path], of, unit)


def _within(plan: Plan, end: BobbinEnd, steps: Sequence[Step], of: str, unit: Unit) -> Pause:
    """Return the pause before the step in which a bobbin runs out."""
    along = plan.paths[end.path - 1].along_mm
    step = next((step for step in steps if along[step.last] > end.along_mm), steps[-1])
    far = length_words(end.along_mm - float(along[step.first]), unit)
    where = f", in {end.block}" if end.block else ""
    words = (
        f"Bobbin {end.number}{of} runs out in step {step.number}, {far} after it begins{where}: "
        f"put in bobbin {end.number + 1} there."
    )
    return Pause(step.number, "bobbin", words, (("new bobbin", end.place_mm),))
