"""The package as it is imported: its public names, and nothing heavy."""

import ast
import importlib
import subprocess
import sys
from pathlib import Path

import pytest

import stitchpath

HEAVY = ["scipy", "matplotlib", "rich", "pymatching", "svgwrite", "highspy", "jinja2"]
SLOW = [*HEAVY, "shapely", "networkx", "numpy", "pydantic"]


def run(script):
    return subprocess.run(
        [sys.executable, "-c", script], check=True, capture_output=True, text=True
    ).stdout.split()


@pytest.fixture(scope="module")
def loaded():
    return set(run("import sys, stitchpath.postman; from stitchpath import *; print(*sys.modules)"))


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


def test_importing_it_alone_loads_nothing_until_a_name_is_used():
    assert not {"stitchpath.errors", *SLOW} & set(run("import sys, stitchpath; print(*sys.modules)"))
    used = set(run("import sys, stitchpath; stitchpath.DesignError; print(*sys.modules)"))
    assert "stitchpath.errors" in used
    assert not set(SLOW) & used


@pytest.mark.parametrize("arguments", [["--help"], ["plan", "--help"], ["--version"]])
def test_help_comes_before_anything_slow_is_loaded(arguments):
    script = (
        "import atexit, sys, runpy\n"
        "atexit.register(lambda: print(*sys.modules))\n"
        f"sys.argv = ['stitchpath', *{arguments}]\n"
        "runpy.run_module('stitchpath', run_name='__main__')"
    )
    loaded = run(script)
    assert "stitchpath.cli.arguments" in loaded
    assert not set(SLOW) & set(loaded)


def test_names_are_listed_and_unknown_ones_refused():
    assert set(stitchpath.__all__) <= set(dir(stitchpath))
    with pytest.raises(AttributeError, match="module 'stitchpath' has no attribute 'make_plans'"):
        getattr(stitchpath, "make_plans")  # noqa: B009  (mypy knows that it is not there)
    with pytest.raises(ImportError, match="cannot import name 'make_plans'"):
        exec("from stitchpath import make_plans")


def test_what_a_type_checker_is_told_is_what_is_loaded():
    told = {
        alias.name: node.module
        for typed in ast.parse(Path(stitchpath.__file__).read_text(encoding="utf-8")).body
        if isinstance(typed, ast.If) and ast.unparse(typed.test) == "TYPE_CHECKING"
        for node in typed.body
        if isinstance(node, ast.ImportFrom) and str(node.module).startswith("stitchpath.")
        for alias in node.names
    }
    assert sorted(told) == stitchpath.__all__
    for name, module in told.items():
        assert getattr(stitchpath, name) is getattr(importlib.import_module(module), name)


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
