"""Prove a folder of written files against the design: read back, and compared with each other."""

import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from stitchpath.check.files.band_files import TWICE_MM, bands_fit, laid, zero_mm
from stitchpath.check.files.file_names import listing_fits, tables_of
from stitchpath.check.files.machine_tables import machine_tables_fit
from stitchpath.check.files.same_drawing import drawn_alike
from stitchpath.check.files.same_paths import ROUNDED_MM, moved, same_paths
from stitchpath.check.paths import check_paths
from stitchpath.check.plans import check_plan
from stitchpath.check.tell import tell_of_paths
from stitchpath.design import Design, read_design
from stitchpath.drawing import Drawing, draw
from stitchpath.errors import FileError, Finding
from stitchpath.figures.reach_unknown import reach_warning
from stitchpath.files import MachineTables, Manifest, manifest_name, read_manifest, verify_files
from stitchpath.formats.read_document import read_plan
from stitchpath.formats.read_svg import read_svg
from stitchpath.formats.read_table import read_csv
from stitchpath.plan import Plan, StitchPath
from stitchpath.settings import ScheduleSettings

__all__ = ["Proof", "check_folder", "prove_folder"]

_TURNS = (np.array([1.0, 1.0]), np.array([1.0, -1.0]))
"""A sewing SVG has y down or, with ``--y-up``, up."""

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Proof:
    """What a check of written files comes to.

    Attributes
    ----------
    findings
        What is wrong; empty if all holds.
    told
        What to know of files that hold, as sentences: what is left to the hand, ends in open cloth.
    """

    findings: tuple[Finding, ...]
    told: tuple[str, ...]


def check_folder(
    design: str | os.PathLike[str], folder: str | os.PathLike[str], stem: str
) -> tuple[Finding, ...]:
    """Prove the files that a plan was written into against its design file; see `prove_folder`.

    Parameters
    ----------
    design
        The design file.
    folder
        Where the files are.
    stem
        What their names begin with.

    Returns
    -------
    tuple of Finding
        Empty if all holds. A file that cannot be read is a finding.

    Raises
    ------
    DesignError
        If the design cannot be read or drawn.
    """
    return prove_folder(design, folder, stem).findings


def prove_folder(
    design: str | os.PathLike[str],
    folder: str | os.PathLike[str],
    stem: str,
    *,
    drawn: tuple[Design, Drawing] | None = None,
) -> Proof:
    """Prove the files that a plan was written into against its design file, and say what to know of them.

    The design is read and drawn again; cost, machine and schedule come from it too, but stages and laps are
    those that the plan was asked for. The table is what is proven, and beside it that of what is left to the
    hand. The sewing SVG must hold the same points, moved or with y turned up as a whole at most, and the JSON
    the same paths and true totals. The files of each band must hold its part of the table
    (`stitchpath.check.files.band_files`), and tables for a machine its paths
    (`stitchpath.check.files.machine_tables`). The manifest must list all that such a plan has, and no file
    may be left from another one (`stitchpath.check.files.file_names`).

    Parameters
    ----------
    design, folder, stem
        As `check_folder` has them.
    drawn
        The design as it was read and drawn a moment ago; None: both are done here.

    Raises
    ------
    DesignError
        If the design cannot be read or drawn.
    """
    asked = read_design(design) if drawn is None else drawn[0]
    drawing, where = draw(asked) if drawn is None else drawn[1], Path(folder)
    findings: list[Finding] = []
    listed = _listed(where / manifest_name(stem), design, findings)
    paths = _read(read_csv, where / f"{stem}.csv", "csv", findings)
    plan = _read(read_plan, where / f"{stem}.json", "json", findings)
    sewing = _read(read_svg, where / f"{stem}.svg", "svg", findings)
    if paths is not None and sewing is not None:
        findings += _svg_fits(sewing, paths)
    if paths is not None and plan is not None:
        findings += bands_fit(
            where, stem, paths, plan.windows, drawing,
            sideways=asked.machine.sideways, turns=_turns(sewing, paths),
        )  # fmt: skip
    if plan is not None and listed is not None:
        names, banded = [name for name, _ in listed.files], len(plan.windows) > 1
        findings += listing_fits(
            where, stem, names, listed.tables, plan.paths, banded=banded, by_hand=plan.by_hand is not None
        )
        findings += _machine_tables_fit(where / stem, listed.tables, plan, asked, drawing)
    if plan is not None:
        findings += _settings_fit(plan, asked, drawing)
    if paths is None:
        return Proof(tuple(findings), ())
    if plan is not None and plan.by_hand is not None:
        plan = replace(plan, by_hand=_hand_read(where / f"{stem}-by-hand.csv", plan.by_hand, findings))
    findings += _proven(paths, plan, asked, drawing)
    told = tell_of_paths(paths, drawing, cost=asked.cost, machine=asked.machine, schedule=asked.schedule)
    return Proof(tuple(findings), (*reach_warning(asked.machine), *told))


def _read(reader: Callable[[Path], T], file: Path, kind: str, findings: list[Finding]) -> T | None:
    try:
        return reader(file)
    except FileError as error:
        findings.append(Finding(kind, str(error)))
        return None


def _listed(file: Path, design: str | os.PathLike[str], findings: list[Finding]) -> Manifest | None:
    """Return what the manifest lists, having told of what it does not fit; None if it cannot be read."""
    try:
        findings += verify_files(file, design=design)
        return read_manifest(file)
    except FileError as error:
        findings.append(Finding("manifest", str(error)))
        return None


def _machine_tables_fit(
    file: Path, tables: MachineTables, plan: Plan, asked: Design, drawing: Drawing
) -> Iterator[Finding]:
    if not tables_of(tables):
        return
    yield from machine_tables_fit(file, tables, plan.paths, laid=np.asarray, lines=drawing.lines)
    sideways = asked.machine.sideways
    for band, window in enumerate(plan.windows if len(plan.windows) > 1 else (), 1):
        zero = zero_mm(window, plan.paths, drawing, sideways=sideways)
        own = [(number, path) for number, path in enumerate(plan.paths, 1) if path.band == band]
        if own:
            yield from machine_tables_fit(
                file.with_name(f"{file.name}-band-{band}"),
                tables,
                [path for _, path in own],
                laid=partial(laid, zero=zero, sideways=sideways),
                lines=drawing.lines,
                first=own[0][0],
                within_mm=TWICE_MM,
            )


def _settings_fit(plan: Plan, asked: Design, drawing: Drawing) -> Iterator[Finding]:
    for name, stated, wanted in (
        ("cost", plan.cost_settings, asked.cost),
        ("machine", plan.machine, asked.machine),
        ("schedule", plan.schedule, _schedule(asked, plan)),
        ("batting", plan.batting, asked.batting),
    ):
        if stated != wanted:
            yield Finding("settings", f"the plan states other {name} settings than the design")
    if plan.drawing.design_sha256 != drawing.design_sha256:
        yield Finding("design", "the plan was made from another design file; plan again")
    yield from drawn_alike(plan.drawing, drawing)


def _proven(
    paths: Sequence[StitchPath], plan: Plan | None, asked: Design, drawing: Drawing
) -> tuple[Finding, ...]:
    schedule = _schedule(asked, plan)
    other = () if plan is None else tuple(same_paths(paths, plan.paths))
    if plan is None or other:
        return other + check_paths(
            paths, drawing, cost=asked.cost, machine=asked.machine, schedule=schedule, batting=asked.batting
        )
    as_asked = replace(
        plan, cost_settings=asked.cost, machine=asked.machine, schedule=schedule, batting=asked.batting
    )
    return check_plan(_with_table(as_asked, paths), drawing)


def _with_table(plan: Plan, paths: Sequence[StitchPath]) -> Plan:
    """Return a plan with its paths' points as a table has them."""
    pairs = zip(paths, plan.paths, strict=True)
    read = (replace(stated, coordinates_mm=path.coordinates_mm) for path, stated in pairs)
    return replace(plan, paths=tuple(read))


def _hand_read(file: Path, plan: Plan, findings: list[Finding]) -> Plan:
    """Return the hand's part with the points of its table, having told where that holds other paths."""
    paths = _read(read_csv, file, "csv", findings)
    if paths is None:
        return plan
    other = [*same_paths(paths, plan.paths, names=("the table by hand", "the plan"))]
    findings += other
    return plan if other else _with_table(plan, paths)


def _schedule(asked: Design, plan: Plan | None) -> ScheduleSettings:
    """Return the design's schedule, with the stages and laps that the plan was asked for."""
    if plan is None:
        return asked.schedule
    return asked.schedule.model_copy(update={"stages": plan.schedule.stages, "laps": plan.schedule.laps})


def _svg_fits(sewing: Sequence[NDArray[np.float64]], paths: Sequence[StitchPath]) -> Iterator[Finding]:
    """Tell where the sewing SVG is not the table's paths, moved or turned as a whole at most."""
    if len(sewing) != len(paths):
        yield Finding("svg", f"the sewing SVG has {len(sewing)} paths, the table {len(paths)}")
        return
    for number, (points, path) in enumerate(zip(sewing, paths, strict=True), 1):
        if len(points) != len(path.coordinates_mm):
            counts = f"{len(points)} points in the sewing SVG, {len(path.coordinates_mm)} in the table"
            yield Finding("svg", f"path {number} has {counts}")
            return
    if not paths:
        return
    drawn = np.concatenate(list(sewing))
    table = np.concatenate([path.coordinates_mm for path in paths])
    off = min((_off(drawn, table * turn) for turn in _TURNS), key=lambda off: float(np.abs(off).sum()))
    first = 0
    for number, path in enumerate(paths, 1):
        last = first + len(path.coordinates_mm)
        yield from moved(
            f"path {number} of the sewing SVG", off[first:last], path.coordinates_mm, "svg", 2 * ROUNDED_MM
        )
        first = last


def _turns(
    sewing: Sequence[NDArray[np.float64]] | None, paths: Sequence[StitchPath]
) -> Sequence[NDArray[np.float64]]:
    """Return how the sewing SVG may be turned: with y as the table has it, or up; both where none is seen."""
    counts = [len(path.coordinates_mm) for path in paths]
    if sewing is None or [len(points) for points in sewing] != counts or not counts:
        return _TURNS
    drawn, table = np.concatenate(list(sewing)), np.concatenate([path.coordinates_mm for path in paths])
    offs = [float(np.abs(_off(drawn, table * turn)).sum()) for turn in _TURNS]
    return [
        turn for turn, off in zip(_TURNS, offs, strict=True) if off <= min(offs) + drawn.size * ROUNDED_MM
    ]


def _off(drawn: NDArray[np.float64], table: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how far points are from the table's, less what all are moved by."""
    off = drawn - table
    by = np.median(off, axis=0)
    left: NDArray[np.float64] = off - by
    return left
