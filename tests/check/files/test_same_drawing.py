"""A plan's drawing is the design's: to the last bit here, nearly so from another processor or library."""

import os
import platform
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from plans import TWO_LEAVES

from stitchpath.check import check_folder
from stitchpath.check.files.same_drawing import SAME_MM, drawn_alike
from stitchpath.cli import main
from stitchpath.design import read_design
from stitchpath.drawing import draw
from stitchpath.errors import Finding
from stitchpath.lines import COVERED_MM, Block, Thread

try:
    from numpy._core._multiarray_umath import __cpu_dispatch__, __cpu_features__
except ImportError:  # NumPy before 2
    from numpy.core._multiarray_umath import __cpu_dispatch__, __cpu_features__

REPOSITORY = Path(__file__).parents[3]
TILTED = TWO_LEAVES.replace('ratio = "3:2"', 'ratio = "3:2"\ntilt = 12') + (
    '[[kinds.leaf.motifs]]\nmotif = "fill"\nname = "background"\nspacing = 40\nangle = 33\n'
)
FOUND = [name for name in __cpu_dispatch__ if __cpu_features__[name]]
WIDE = [name for name in FOUND if name.startswith("AVX512") or name == "X86_V4"]

PLANS_AND_CHECKS = """
import sys
from stitchpath.cli import main
design, made, given = sys.argv[1:]
planned = main(["plan", design, "--out", made, "--effort", "quick", "--quiet"])
sys.exit(planned or main(["check", design, given]))
"""


@pytest.fixture
def design(tmp_path):
    file = tmp_path / "leaves.toml"
    file.write_text(TILTED, encoding="utf-8")
    return file


def plan(design, folder):
    assert main(["plan", str(design), "--out", str(folder), "--effort", "quick", "--quiet"]) == 0


def nudged(function):
    """Return what another processor might: some values are the next number up or down."""

    def other(values, *more, **about):
        exact = np.asarray(function(values, *more, **about))
        towards = np.where(np.arange(exact.size).reshape(exact.shape) % 3 == 0, np.inf, -np.inf)
        return np.nextafter(exact, towards)[()]

    return other


def test_a_plan_from_a_processor_with_other_last_bits_holds(design, tmp_path, monkeypatch):
    drawn = draw(read_design(design))
    plan(design, tmp_path / "here")
    for name in ("cos", "sin", "hypot", "sqrt"):
        monkeypatch.setattr(np, name, nudged(getattr(np, name)))
    assert draw(read_design(design)) != drawn
    assert check_folder(design, tmp_path / "here", "leaves") == ()
    plan(design, tmp_path / "there")
    monkeypatch.undo()
    assert check_folder(design, tmp_path / "there", "leaves") == ()


@pytest.mark.parametrize("off", [WIDE, FOUND], ids=["AVX-512", "all that NumPy picks"])
def test_plans_go_between_processors(design, tmp_path, off):
    """Both ways: NumPy and OpenBLAS do without what this processor has and an older one has not."""
    if not off:
        pytest.skip("NumPy picks no such code on this processor, so there is none to leave out")
    older = {"NPY_DISABLE_CPU_FEATURES": " ".join(off)}
    if platform.machine() in ("x86_64", "AMD64"):
        older["OPENBLAS_CORETYPE"] = "Nehalem"
    plan(design, tmp_path / "here")
    told = subprocess.run(
        [
            sys.executable,
            "-c",
            PLANS_AND_CHECKS,
            str(design),
            str(tmp_path / "there"),
            str(tmp_path / "here"),
        ],
        env={**os.environ, **older},
        cwd=REPOSITORY,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (told.returncode, told.stderr) == (0, "")
    assert check_folder(design, tmp_path / "there", "leaves") == ()
    for ending in ("csv", "svg"):
        here, there = ((tmp_path / name / f"leaves.{ending}").read_bytes() for name in ("here", "there"))
        assert here == there


@pytest.fixture(scope="module")
def drawing(tmp_path_factory):
    file = tmp_path_factory.mktemp("drawn") / "leaves.toml"
    file.write_text(TILTED, encoding="utf-8")
    drawn = draw(read_design(file))
    return replace(drawn, notes=(Finding("left out", "a piece 3.17 mm long is left out", (1.0, 2.0)),))


def moved(line, by):
    points = np.array(line.points_mm)
    points[1] += (by, 0.0)
    return replace(line, points_mm=points)


def first(items, change):
    return (change(items[0]), *items[1:])


CHANGES = {
    "lines": lambda d: replace(d, lines=first(d.lines, lambda x: moved(x, 1e-5))),
    "lines (fewer)": lambda d: replace(d, lines=d.lines[1:]),
    "lines (order)": lambda d: replace(d, lines=d.lines[::-1]),
    "lines (role)": lambda d: replace(d, lines=first(d.lines, lambda x: replace(x, role="echo"))),
    "lines (thread)": lambda d: replace(d, lines=first(d.lines, lambda x: replace(x, thread="red"))),
    "lines (motif)": lambda d: replace(d, lines=first(d.lines, lambda x: replace(x, motif="itch"))),
    "lines (block)": lambda d: replace(d, lines=first(d.lines, lambda x: replace(x, block="row 9"))),
    "lines (points)": lambda d: replace(
        d, lines=first(d.lines, lambda x: replace(x, points_mm=np.vstack((x.points_mm, x.points_mm[-1:]))))
    ),
    "lines (not a number)": lambda d: replace(d, lines=first(d.lines, lambda x: moved(x, np.nan))),
    "hidden seams": lambda d: replace(d, hidden=first(d.hidden, lambda x: moved(x, 1e-5))),
    "keep-outs": lambda d: replace(d, keep_outs=d.keep_outs[1:]),
    "keep-outs (shape)": lambda d: replace(
        d, keep_outs=first(d.keep_outs, lambda k: replace(k, polygon=shapely.box(0, 0, 9, 9)))
    ),
    "finished edges": lambda d: replace(d, outline=shapely.box(0, 0, 200, 100.01)),
    "finished edges (none)": lambda d: replace(d, outline=None),
    "blocks": lambda d: replace(d, blocks=first(d.blocks, lambda b: replace(b, row=2))),
    "blocks (box)": lambda d: replace(d, blocks=(Block("a", (0, 0, 1, 1), 1, 1), *d.blocks[1:])),
    "threads": lambda d: replace(d, threads=(*d.threads, Thread("red", 40.0))),
    "notes on the drawing": lambda d: replace(d, notes=()),
    "notes on the drawing (words)": lambda d: replace(
        d, notes=(Finding("left out", "a piece 9.17 mm long is left out", (1.0, 2.0)),)
    ),
    "notes on the drawing (place)": lambda d: replace(
        d, notes=first(d.notes, lambda note: replace(note, place_mm=(1.0, 3.0)))
    ),
}


@pytest.mark.parametrize("change", CHANGES)
def test_what_is_not_the_designs_is_named(drawing, change):
    (finding,) = drawn_alike(CHANGES[change](drawing), drawing)
    assert finding.message == f"the {change.partition(' (')[0]} in the plan are not the design's"


def test_another_name_is_found(drawing):
    (finding,) = drawn_alike(replace(drawing, name="Two pears"), drawing)
    assert finding.message == 'the plan is of "Two pears", the design is "Two leaves"'


def test_a_length_may_be_rounded_the_other_way(drawing):
    note = Finding("left out", "a piece 3.18 mm long is left out", (1.0, 2.0 + SAME_MM / 2))
    assert list(drawn_alike(replace(drawing, notes=(note,)), drawing)) == []


def test_what_is_let_pass_is_nothing_to_any_rule():
    assert SAME_MM * 1000 < COVERED_MM
