"""The package as it is imported: its public names, and nothing heavy."""

import subprocess
import sys

import pytest

import stitchpath

HEAVY = ["scipy", "matplotlib", "rich", "pymatching", "svgwrite", "highspy"]


def run(script):
    return subprocess.run(
        [sys.executable, "-c", script], check=True, capture_output=True, text=True
    ).stdout.split()


@pytest.fixture(scope="module")
def loaded():
    return set(run("import sys, stitchpath, stitchpath.postman; print(*sys.modules)"))


@pytest.mark.parametrize("heavy", HEAVY)
def test_importing_it_loads_nothing_heavy(loaded, heavy):
    assert "stitchpath.planner" in loaded
    assert heavy not in loaded


def test_planning_loads_neither_bars_nor_plots_that_it_does_not_need():
    script = (
        "import sys, stitchpath, shapely\n"
        "stitchpath.make_plan(stitchpath.Drawing.from_lines([shapely.LineString([(0, 0), (9, 0)])]))\n"
        "print(*sys.modules)"
    )
    assert "rich" not in run(script)


def test_importing_it_prints_and_handles_nothing():
    script = (
        "import logging, stitchpath\n"
        "print(*(len(logging.getLogger(name).handlers) for name in ('', 'stitchpath')))"
    )
    assert run(script) == ["0", "0"]


def test_every_public_name_is_there_and_says_what_it_is():
    assert sorted(stitchpath.__all__) == stitchpath.__all__
    for name in stitchpath.__all__:
        assert getattr(stitchpath, name).__doc__, name


def test_the_names_that_embedding_code_relies_on():
    asked = {
        "Drawing", "check_plan", "compare_plans", "draw", "make_plan", "plan_figures", "read_csv",
        "read_design", "read_plan", "write_csv", "write_json", "write_picture", "write_svg",
    }  # fmt: skip
    assert asked <= set(stitchpath.__all__)
    assert callable(stitchpath.Drawing.from_lines)
