"""Tables for a machine, and every way of spoiling them that comes to mind."""

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from banded_plans import banded
from export_plans import orchard

from stitchpath.check.files.band_files import laid, zero_mm
from stitchpath.check.files.machine_tables import machine_tables_fit, stitched
from stitchpath.check.folder import _machine_tables_fit
from stitchpath.files import MachineTables
from stitchpath.formats.stitch_points import stitch_points
from stitchpath.formats.stitch_table import stitch_table
from stitchpath.lines import Line, Role
from stitchpath.plan import Move, Span, StitchPath
from stitchpath.planning.paths.securing import secure
from stitchpath.settings import MachineSettings

STITCHES = MachineTables(True, 2.54, 5.08)


def write(plan, folder, tables, *, unit="mm", band=None, spoil=None):
    """Write a plan's tables, or a band's, one of them spoilt."""
    options = {} if tables.stitch_length_mm is None else {
        "stitch_length_mm": tables.stitch_length_mm, "basting_length_mm": tables.basting_length_mm
    }  # fmt: skip
    name = "f" if band is None else f"f-band-{band}"
    for kind in ("thin", "stitches"):
        text = stitch_table(plan, unit=unit, thin=kind == "thin", band=band, **options)
        changed = (spoil or {}).get(kind, lambda text: text)(text)
        assert (changed != text) == (kind in (spoil or {}))
        (folder / f"{name}-{kind}.csv").write_bytes(changed.encode())


def findings(plan, folder, tables):
    fit = machine_tables_fit(folder / "f", tables, plan.paths, laid=np.asarray, lines=plan.drawing.lines)
    return [finding.message for finding in fit]


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("tables", [MachineTables(True), STITCHES, MachineTables(False, 0.7, 100.0)])
def test_tables_as_written_hold(tmp_path, unit, tables):
    plan = orchard()
    plan = replace(plan, paths=secure(plan.paths, MachineSettings(secured="small stitches")))
    write(plan, tmp_path, tables, unit=unit)
    assert findings(plan, tmp_path, tables) == []


@pytest.mark.parametrize("sideways", [False, True])
@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("tables", [MachineTables(True), STITCHES])
def test_tables_of_bands_hold_where_the_bands_files_have_them(tmp_path, sideways, unit, tables):
    plan = banded(sideways=sideways)
    write(plan, tmp_path, tables, unit=unit)
    for band in range(1, len(plan.windows) + 1):
        write(plan, tmp_path, tables, unit=unit, band=band)
    asked = type("Asked", (), {"machine": plan.machine})
    assert list(_machine_tables_fit(tmp_path / "f", tables, plan, asked, plan.drawing)) == []
    write(banded(sideways=not sideways), tmp_path, tables, unit=unit, band=2)
    found = list(_machine_tables_fit(tmp_path / "f", tables, plan, asked, plan.drawing))
    assert found
    assert {finding.kind for finding in found} == {"csv"}


def moved_in_the_middle(text):
    rows = text.split("\r\n")
    at = len(rows) // 2
    x, y = re.search(r"(-?[0-9.]+),(-?[0-9.]+)$", rows[at]).groups()
    rows[at] = rows[at].removesuffix(f"{x},{y}") + f"{float(x) + 0.002:.3f},{y}"
    return "\r\n".join(rows)


def without_a_path(text):
    blocks = text.split("\r\n\r\n")
    return "\r\n\r\n".join(blocks[:-2] + blocks[-1:])


def of_fewer_rows(kind, **more):
    plan = orchard(rows=1)
    return lambda text: stitch_table(plan, thin=kind == "thin", **more)


@pytest.mark.parametrize(
    ("kind", "spoil", "words"),
    [
        ("thin", moved_in_the_middle, "of f-thin.csv, point"),
        ("thin", without_a_path, "paths, the plan"),
        ("thin", lambda t: t.replace("\r\n\r\n", "\r\n", 1), "paths, the plan"),
        ("thin", lambda t: t.replace("\r\n\r\n", "\r\n\r\n\r\n", 1), '"" is no point'),
        ("thin", lambda t: t + "\r\n", "a blank line stands at the end"),
        ("thin", lambda t: t.replace("x_mm", "x_in").replace("y_mm", "y_in"), "of f-thin.csv, point"),
        ("thin", lambda t: re.sub("\r\n[^x\r]+", "", t, count=1), "points in f-thin.csv"),
        ("thin", lambda t: "", "the header is"),
        ("thin", lambda t: t.replace(",", ";"), "the header is"),
        ("thin", of_fewer_rows("thin", stitch_length_mm=2.54), "paths, the plan"),
        ("stitches", moved_in_the_middle, "of f-stitches.csv, point"),
        ("stitches", lambda t: t[: t.rindex(",lift,")].rpartition("\r\n")[0] + "\r\n", "paths, the plan"),
        ("stitches", lambda t: re.sub("\r\n[^\r]*sew[^\r]*", "", t, count=1), "points in f-stitches.csv"),
        ("stitches", lambda t: t.replace("travel", "sew"), "other bands, stages or moves"),
        ("stitches", lambda t: stitch_table(orchard()), "points in f-stitches.csv"),
        ("stitches", lambda t: stitch_table(orchard(), stitch_length_mm=3.0), "points in f-stitches.csv"),
        ("stitches", of_fewer_rows("stitches", stitch_length_mm=2.54), "paths, the plan"),
        ("stitches", lambda t: "", "the header is"),
    ],
)  # fmt: skip
def test_a_fault_is_found(tmp_path, kind, spoil, words):
    plan = orchard()
    write(plan, tmp_path, STITCHES, spoil={kind: spoil})
    found = findings(plan, tmp_path, STITCHES)
    assert found
    assert any(words in message for message in found), found


def test_a_table_that_is_not_there_is_found(tmp_path):
    found = findings(orchard(), tmp_path, STITCHES)
    assert [Path(message.split(" cannot be read")[0]).name for message in found] == [
        "f-stitches.csv", "f-thin.csv",
    ]  # fmt: skip


def test_stitches_that_are_mirrored_or_run_the_other_way_are_found(tmp_path):
    plan = banded()
    zero = zero_mm(plan.windows[1], plan.paths, plan.drawing, sideways=False)
    assert laid(zero[None], zero, sideways=False).tolist() == [[0.0, 0.0]]
    write(plan, tmp_path, STITCHES)
    file = tmp_path / "f-thin.csv"
    head, rest = file.read_text().split("\n", 1)
    blocks = rest.strip().split("\n\n")
    blocks[3] = "\n".join(reversed(blocks[3].split("\n")))
    file.write_text(f"{head}\n" + "\n\n".join(blocks) + "\n")
    assert [message for message in findings(plan, tmp_path, STITCHES) if "path 4 of f-thin.csv" in message]


def polygon(corners):
    around = np.linspace(0, 2 * np.pi, corners + 1)
    return 100 * np.column_stack([np.cos(around), np.sin(around)])


def by_lot(rng):
    points = np.cumsum(rng.normal(scale=rng.choice([0.3, 5.0]), size=(rng.integers(2, 30), 2)), axis=0)
    return np.repeat(points, rng.integers(1, 3, size=len(points)), axis=0)


@pytest.mark.parametrize("length", [0.1, 1.0, 2.54, 30.0])
def test_stitches_are_laid_as_the_writer_promises_with_no_code_of_it(length):
    """A polygon of 24 corners turns by 15° at each, which is no corner yet; segments may have no length."""
    rng = np.random.default_rng(5)
    shapes = [polygon(corners) for corners in (3, 23, 24, 25)] + [by_lot(rng) for _ in range(40)]
    tables, lines = MachineTables(True, length, 2 * length), (Line([(0, 0), (1, 1)], Role.BASTE),)
    for points in shapes:
        half = len(points) // 2
        spans = (Span(Move.SEW, 0, half, 1), Span(Move.SECURE, half, len(points) - 1))
        path = StitchPath(points, spans)
        own = stitched(path, tables, lines)
        other = stitch_points(path, length, basting_length_mm=2 * length, lines=lines)
        assert own.spans == other.spans
        assert np.abs(own.coordinates_mm - other.coordinates_mm).max() < 1e-9


def test_a_corner_behind_a_step_of_no_length_stays():
    path = StitchPath([(0, 0), (3, 0), (3, 0), (3, 3)], (Span(Move.SEW, 0, 3),))
    for points in (stitch_points(path, 2.0), stitched(path, MachineTables(False, 2.0, 5.0), ())):
        assert [3.0, 0.0] in points.coordinates_mm.tolist()


def test_a_span_of_no_length_stays_a_stitch():
    path = StitchPath([(1, 2), (1, 2)], (Span(Move.SEW, 0, 1),))
    for points in (stitch_points(path, 2.0), stitched(path, MachineTables(False, 2.0, 5.0), ())):
        assert points.coordinates_mm.tolist() == [[1.0, 2.0], [1.0, 2.0]]
