"""What is said after planning: short, and what it says is so."""

from dataclasses import replace
from pathlib import Path

import pytest
from banded_plans import banded, handed
from export_plans import orchard

from stitchpath.cli.summary import MOST_LINES, summary_text
from stitchpath.figures import plan_figures
from stitchpath.outputs import OUTPUTS, file_names
from stitchpath.words import duration, length

FILES = ["a.svg", "a.json"]


def text(plan, notes=(), names=FILES, unit="mm", folder="out"):
    return summary_text(plan, folder=Path(folder), names=names, notes=notes, unit=unit)


def rows(told):
    """Each row's words by its label, lines that go on joined."""
    found, label = {}, ""
    for line in filter(None, told.splitlines()):
        label = line[:10].strip() or label
        found[label] = f"{found[label]} {line.strip()}" if line.startswith(" ") else line[10:]
    return found


def test_each_figure_is_that_of_the_plan():
    plan = banded()
    figures = plan_figures(plan)
    told = rows(text(plan, unit="in"))
    assert told["paths"].startswith(f"{figures.paths:,}, with {figures.tie_offs:,} tie-offs, ")
    assert told["paths"].endswith(f"; {length(figures.sewn_mm, 'in')} sewn")
    visible = length(figures.travel_lines_mm + figures.travel_open_mm, "in")
    assert f", {visible} of it visible" in told["travel"]
    assert told["time"] == f"{duration(figures.times.total_s)}, with 2 advances"
    assert told["thread"].endswith("waste counted; 1 bobbin")


@pytest.mark.parametrize("plan", [banded(), orchard(), handed()], ids=["bands", "orchard", "by hand"])
def test_with_the_checks_line_it_has_at_most_25_lines_whatever_there_is_to_know(plan):
    asked = {output.name for output in OUTPUTS if output.text}
    names = file_names("a_rather_long_name", asked, bands=range(1, 40), by_hand=True)
    notes = ["WARNING: " + "long words " * 20, *(f"a piece of {n} mm is left out" for n in range(1000))]
    told = text(plan, notes, names, folder="a/rather/long/name/of/a/folder/for/what/is/made/by/the/command")
    assert len(told.splitlines()) + 1 <= MOST_LINES
    assert max(map(len, told.splitlines())) <= 100
    assert "\n1,001 things to know:\n  WARNING: long" in told
    assert "each with a_rather_long_name before it: .svg, -picture.svg, " in " ".join(told.split())
    assert f"-band-1.svg to -band-39-stitches.csv ({4 * 39} files)" in " ".join(told.split())


def test_what_the_hand_sews_is_told_apart():
    assert "by hand" not in rows(text(banded()))
    plan = handed()
    told = rows(text(plan))["by hand"]
    paths = len(plan.by_hand.paths)
    assert told.startswith(f"{plan.schedule.hand_when}: {paths} paths with {2 * paths} tie-offs; ")


def test_lines_out_of_order_are_counted():
    plan = orchard()
    late = len(plan_figures(plan).order_exceptions)
    assert ("order" in rows(text(plan))) is bool(late)
    assert "order" not in rows(text(replace(plan, paths=())))
