"""Prove written files against the design: read back, and compared with each other."""

import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from stitchpath.check.paths import check_paths
from stitchpath.check.plans import check_plan
from stitchpath.design import Design, read_design
from stitchpath.drawing import Drawing, draw
from stitchpath.errors import FileError, Finding
from stitchpath.export.read_document import read_plan
from stitchpath.export.read_svg import read_svg
from stitchpath.export.read_table import read_csv
from stitchpath.files import manifest_name, read_manifest, verify_files
from stitchpath.plan import Plan, StitchPath

__all__ = ["check_folder"]

_ROUNDED_MM = 0.0005 + 1e-9
"""What 3 decimals can move a coordinate."""

_TURNS = (np.array([1.0, 1.0]), np.array([1.0, -1.0]))

T = TypeVar("T")


def check_folder(
    design: str | os.PathLike[str], folder: str | os.PathLike[str], stem: str
) -> tuple[Finding, ...]:
    """Prove the files that a plan was written into against its design file.

    The design is read and drawn again; cost and machine come from it too, and the stages are those that the
    plan was asked for. The table is what is proven. The sewing SVG must hold the same points, moved or with
    y turned up as a whole at most, and the JSON the same paths and true totals.

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
    asked = read_design(design)
    drawing, where = draw(asked), Path(folder)
    findings = list(_manifest_fits(where / manifest_name(stem), design, stem))
    paths = _read(read_csv, where / f"{stem}.csv", "csv", findings)
    plan = _read(read_plan, where / f"{stem}.json", "json", findings)
    sewing = _read(read_svg, where / f"{stem}.svg", "svg", findings)
    if paths is not None and sewing is not None:
        findings += _svg_fits(sewing, paths)
    if plan is not None:
        findings += _settings_fit(plan, asked, drawing)
    if paths is not None:
        findings += _proven(paths, plan, asked, drawing)
    return tuple(findings)


def _read(reader: Callable[[Path], T], file: Path, kind: str, findings: list[Finding]) -> T | None:
    try:
        return reader(file)
    except FileError as error:
        findings.append(Finding(kind, str(error)))
        return None


def _manifest_fits(file: Path, design: str | os.PathLike[str], stem: str) -> Iterator[Finding]:
    try:
        yield from verify_files(file, design=design)
        listed = {name for name, _ in read_manifest(file).files}
    except FileError as error:
        yield Finding("manifest", str(error))
        return
    for name in (f"{stem}.svg", f"{stem}.csv", f"{stem}.json"):
        if name not in listed:
            yield Finding("manifest", f"{file.name} does not list {name}; write the files again")


def _settings_fit(plan: Plan, asked: Design, drawing: Drawing) -> Iterator[Finding]:
    for name, stated, wanted in (
        ("cost", plan.cost_settings, asked.cost),
        ("machine", plan.machine, asked.machine),
    ):
        if stated != wanted:
            yield Finding("settings", f"the plan states other {name} settings than the design")
    if plan.drawing.design_sha256 != drawing.design_sha256:
        yield Finding("design", "the plan was made from another design file; plan again")
    if plan.drawing != drawing:
        yield Finding("lines", "the lines, hidden seams or keep-outs in the plan are not the design's")


def _proven(
    paths: Sequence[StitchPath], plan: Plan | None, asked: Design, drawing: Drawing
) -> tuple[Finding, ...]:
    if plan is None:
        return check_paths(paths, drawing, cost=asked.cost, schedule=asked.schedule)
    other = tuple(_table_fits(paths, plan.paths))
    if other:
        return other + check_paths(paths, drawing, cost=asked.cost, schedule=plan.schedule)
    pairs = zip(paths, plan.paths, strict=True)
    read = tuple(replace(stated, coordinates_mm=path.coordinates_mm) for path, stated in pairs)
    return check_plan(replace(plan, paths=read, cost_settings=asked.cost, machine=asked.machine), drawing)


def _table_fits(paths: Sequence[StitchPath], stated: Sequence[StitchPath]) -> Iterator[Finding]:
    """Tell where the table and the JSON differ by more than rounding."""
    if len(paths) != len(stated):
        yield Finding("csv", f"the table has {len(paths)} paths, the plan {len(stated)}")
        return
    for number, (path, other) in enumerate(zip(paths, stated, strict=True), 1):
        if len(path.coordinates_mm) != len(other.coordinates_mm):
            counts = (
                f"{len(path.coordinates_mm)} points in the table, {len(other.coordinates_mm)} in the plan"
            )
            yield Finding("csv", f"path {number} has {counts}")
        elif path.band != other.band or _moves(path) != _moves(other):
            yield Finding(
                "csv", f"path {number} has other bands, stages or moves in the table than in the plan"
            )
        else:
            off = path.coordinates_mm - other.coordinates_mm
            yield from _moved(f"path {number}", off, path.coordinates_mm, "csv", _ROUNDED_MM)


def _moves(path: StitchPath) -> list[tuple[str, str]]:
    return [(span.move, span.stage) for span in path.spans for _ in range(span.first, span.last)]


def _moved(
    name: str, off: NDArray[np.float64], points: NDArray[np.float64], kind: str, within_mm: float
) -> Iterator[Finding]:
    far = np.flatnonzero(~(np.abs(off) <= within_mm).all(axis=1))
    if len(far):
        x, y = points[far[0]].tolist()
        by = float(np.hypot(*off[far[0]]))
        said = f"{name}, point {far[0] + 1} is {by:.3f} mm from where another file has it"
        yield Finding(kind, said, (x, y))


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
        yield from _moved(
            f"path {number} of the sewing SVG", off[first:last], path.coordinates_mm, "svg", 2 * _ROUNDED_MM
        )
        first = last


def _off(drawn: NDArray[np.float64], table: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how far points are from the table's, less what all are moved by."""
    off = drawn - table
    by = np.median(off, axis=0)
    left: NDArray[np.float64] = off - by
    return left
