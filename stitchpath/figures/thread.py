"""How much thread a plan takes, in needle and bobbin; which spools when; where each bobbin runs out."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.drawing import Drawing
from stitchpath.figures.meeting import near
from stitchpath.figures.thread_use import Lockstitch, lockstitch, usable_bobbin_mm
from stitchpath.lines import SEAM_ROLES
from stitchpath.plan import Plan, StitchPath
from stitchpath.settings import BattingSettings, MachineSettings
from stitchpath.units import Unit
from stitchpath.words import length

__all__ = ["BobbinEnd", "Spool", "ThreadUse", "ThreadUsed", "spool_rows", "thread_use_of"]


@dataclass(frozen=True, slots=True)
class BobbinEnd:
    """Where a bobbin is used up, or changed before it is.

    Attributes
    ----------
    thread, number
        The thread's name, and which of its bobbins it is, counted from 1.
    path
        During or after which path, counted from 1.
    place_mm
        x, y.
    along_mm
        How far along the path that is.
    block
        The block's name there; empty in sashing, borders and where there are no blocks.
    in_seam
        Whether a seam, basting or the edge line passes there.
    at_path_end
        Whether the path is sewn to its end with it.
    """

    thread: str
    number: int
    path: int
    place_mm: tuple[float, float]
    along_mm: float
    block: str
    in_seam: bool
    at_path_end: bool

    @property
    def in_open_cloth(self) -> bool:
        """Whether it runs out on the way, where nothing hides that."""
        return not (self.in_seam or self.at_path_end)


@dataclass(frozen=True, slots=True)
class ThreadUsed:
    """What a plan takes of one thread.

    Attributes
    ----------
    thread
        Its name.
    needle_mm, bobbin_mm
        In seams, small stitches and tails.
    with_waste_needle_mm, with_waste_bobbin_mm
        What has to be there for that.
    bobbins
        How many are put in, the first one among them.
    """

    thread: str
    needle_mm: float
    bobbin_mm: float
    with_waste_needle_mm: float
    with_waste_bobbin_mm: float
    bobbins: int


@dataclass(frozen=True, slots=True)
class Spool:
    """What a stage of a band takes of one thread: a spool and the bobbins to have at hand for it.

    Attributes
    ----------
    band, stage, thread
        Which.
    needle_mm, bobbin_mm
        In seams, small stitches and tails; a path's two tails count where it begins and where it ends.
    with_waste_needle_mm, with_waste_bobbin_mm
        What has to be there for that.
    """

    band: int
    stage: str
    thread: str
    needle_mm: float
    bobbin_mm: float
    with_waste_needle_mm: float
    with_waste_bobbin_mm: float


@dataclass(frozen=True, slots=True)
class ThreadUse:
    """What a plan takes of all threads, and on which assumptions.

    Attributes
    ----------
    threads
        In order of first use.
    spools
        What each stage of each band takes of each thread, in order of first use.
    bobbin_ends
        Where bobbins are used up or changed, thread by thread; the last of each thread has none.
    assumptions
        One sentence each.
    """

    threads: tuple[ThreadUsed, ...]
    spools: tuple[Spool, ...]
    bobbin_ends: tuple[BobbinEnd, ...]
    assumptions: tuple[str, ...]

    @property
    def needle_mm(self) -> float:
        """Of all threads, above."""
        return sum((used.needle_mm for used in self.threads), 0.0)

    @property
    def bobbin_mm(self) -> float:
        """Of all threads, below."""
        return sum((used.bobbin_mm for used in self.threads), 0.0)

    @property
    def bobbins(self) -> int:
        """Of all threads."""
        return sum(used.bobbins for used in self.threads)


@dataclass(frozen=True, slots=True)
class _RunsOut:
    path: int
    place_mm: NDArray[np.float64]
    along_mm: float
    at_path_end: bool


def thread_use_of(plan: Plan, machine: MachineSettings | None = None) -> ThreadUse:
    """Return how much thread a plan takes, and where its bobbins are used up.

    Parameters
    ----------
    plan
        The plan; its schedule says whether bobbins are changed between paths only.
    machine
        Whose stitches, bobbins and tails; None: the plan's own.

    Examples
    --------
    >>> thread_use_of(Plan(Drawing(()), (), (), 0.0)).threads
    ()
    """
    machine = machine or plan.machine
    stitch, bobbin = lockstitch(machine, plan.batting), usable_bobbin_mm(machine)
    rows: dict[str, list[int]] = {}
    for number, path in enumerate(plan.paths):
        rows.setdefault(path.thread, []).append(number)
    lines = plan.drawing.lines
    used = [stitch.spans(path, lines) for path in plan.paths]
    both = np.array([spans.sum(axis=0) + 2 * stitch.tail_mm for spans in used]).reshape(-1, 2)
    threads, found, names = [], [], []
    between = plan.schedule.bobbins_for(plan.machine) == "in seams"
    for thread, numbers in rows.items():
        ends = list(_used_up(plan.paths, numbers, used, both[:, 1], stitch, bobbin, between=between))
        needle, below = both[numbers].sum(axis=0).tolist()
        kept = 1 - machine.thread_waste
        threads.append(ThreadUsed(thread, needle, below, needle / kept, below / kept, len(ends) + 1))
        found += ends
        names += [(thread, number) for number in range(1, len(ends) + 1)]
    return ThreadUse(
        tuple(threads),
        tuple(_spools(plan.paths, used, stitch.tail_mm, kept=1 - machine.thread_waste)),
        tuple(_bobbin_ends(plan.drawing, names, found)),
        tuple(_assumptions(machine, plan.batting, stitch, between=between)),
    )


def _spools(
    paths: Sequence[StitchPath], used: Sequence[NDArray[np.float64]], tail_mm: float, *, kept: float
) -> Iterator[Spool]:
    """Yield what each stage of each band takes of each thread; a share of all is kept from waste."""
    taken: dict[tuple[int, str, str], NDArray[np.float64]] = {}
    for path, spans in zip(paths, used, strict=True):
        thread = spans.copy()
        thread[:1] += tail_mm
        thread[-1:] += tail_mm
        for span, mm in zip(path.spans, thread, strict=True):
            key = path.band, span.stage, path.thread
            taken[key] = taken.get(key, np.zeros(2)) + mm
    for key, mm in taken.items():
        yield Spool(*key, *mm.tolist(), *(mm / kept).tolist())


def spool_rows(spools: Sequence[Spool], unit: Unit) -> list[tuple[str, ...]]:
    """Return a head and a row for each spool; none where one thread does for all, in one band.

    Examples
    --------
    >>> two = [Spool(1, "detail", name, 900.0, 900.0, 1000.0, 1000.0) for name in ("grey", "white")]
    >>> spool_rows(two, "mm")[1], spool_rows(two[:1], "mm")
    (('detail', 'grey', '1.00 m', '1.00 m'), [])
    """
    banded = len({spool.band for spool in spools}) > 1
    if len({spool.thread for spool in spools}) < 2 and not banded:
        return []
    rows: list[tuple[str, ...]] = [
        ("band", "stage", "thread", "needle thread, with waste", "bobbin thread, with waste")
    ]
    for spool in spools:
        both = (length(mm, unit) for mm in (spool.with_waste_needle_mm, spool.with_waste_bobbin_mm))
        rows.append((f"band {spool.band}", spool.stage, spool.thread or "without a name", *both))
    return [row if banded else row[1:] for row in rows]


def _used_up(
    paths: Sequence[StitchPath],
    numbers: Sequence[int],
    used: Sequence[NDArray[np.float64]],
    whole: NDArray[np.float64],
    stitch: Lockstitch,
    bobbin_mm: float,
    *,
    between: bool,
) -> Iterator[_RunsOut]:
    """Yield where the bobbins of some paths, sewn one after another, are used up."""
    left = bobbin_mm
    before = -1
    for number in numbers:
        if before >= 0 and (left <= 0 or (between and left < whole[number])):
            last = paths[before]
            yield _RunsOut(before, last.coordinates_mm[-1], float(last.along_mm[-1]), at_path_end=True)
            left = bobbin_mm
        places = np.arange(left, whole[number], bobbin_mm)
        if len(places):
            yield from _within(number, paths[number], used[number][:, 1], stitch.tail_mm, places)
        left += len(places) * bobbin_mm - whole[number]
        before = number


def _within(
    number: int, path: StitchPath, used: NDArray[np.float64], tail_mm: float, places: NDArray[np.float64]
) -> Iterator[_RunsOut]:
    """Yield the places on a path where these lengths of thread are used up, its first tail included."""
    borders = np.array([0.0, *np.cumsum(path.spans_mm)])
    thread = tail_mm + np.concatenate(([0.0], np.cumsum(used)))
    along = np.interp(places, thread, borders)
    for place, mm in zip(places.tolist(), along.tolist(), strict=True):
        point = np.array([np.interp(mm, path.along_mm, axis) for axis in path.coordinates_mm.T])
        yield _RunsOut(number, point, mm, at_path_end=place >= float(thread[-1]))


def _bobbin_ends(
    drawing: Drawing, names: Sequence[tuple[str, int]], found: Sequence[_RunsOut]
) -> Iterator[BobbinEnd]:
    places = np.array([end.place_mm for end in found]).reshape(-1, 2)
    seams = [line for line in drawing.lines + drawing.hidden if line.role in SEAM_ROLES]
    hidden = set(near(seams, places)[0].tolist()) if len(places) and seams else set()
    for row, ((thread, number), end) in enumerate(zip(names, found, strict=True)):
        x, y = end.place_mm.tolist()
        yield BobbinEnd(
            thread, number, end.path + 1, (x, y), end.along_mm, _block_at(drawing, x, y),
            row in hidden, end.at_path_end,
        )  # fmt: skip


def _block_at(drawing: Drawing, x: float, y: float) -> str:
    for block in drawing.blocks:
        x0, y0, x1, y1 = block.box_mm
        if x0 <= x <= x1 and y0 <= y <= y1:
            return block.name
    return ""


def _assumptions(
    machine: MachineSettings, batting: BattingSettings, stitch: Lockstitch, *, between: bool
) -> Iterator[str]:
    if machine.needle_thread_per_yard is None or machine.bobbin_thread_per_yard is None:
        yield (
            "a balanced lockstitch (type 301): 2 + 2 T S of thread for each length sewn, layers "
            f"T = {batting.thickness:.2f} mm thick, S stitches to a length; half of it above, half below"
        )
    else:
        yield (
            f"as measured, one yard takes {machine.needle_thread_per_yard:.0f} mm above and "
            f"{machine.bobbin_thread_per_yard:.0f} mm below"
        )
    yield f"stitches {stitch.stitch_mm:.2f} mm long, basting {stitch.basting_mm:.2f} mm"
    yield f"a tail of {machine.tail:.0f} mm at each end of a path, above and below"
    yield f"{machine.thread_waste:.0%} of each spool and bobbin is waste"
    yield f"bobbins of {machine.bobbin_m:g} m, of the same thread as the needle's"
    if between:
        yield "a bobbin that does not reach to the end of the next path is changed before it"
    else:
        yield "bobbins are sewn until they run out; starting again there is not counted"
    if not machine.secures_in_files:
        yield "what secures ends beyond the tails is not counted"
