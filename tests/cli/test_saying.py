"""What each verb says: an example in its help, with --json data and nothing else, with --quiet nothing."""

import argparse
import csv
import io
import json
import os
import re
import shlex
import signal
import sys
from dataclasses import fields
from pathlib import Path

import pytest
from plans import TWO_LEAVES

from stitchpath.check import Proof
from stitchpath.cli import main
from stitchpath.cli.arguments import parser
from stitchpath.cli.report import unplanned
from stitchpath.compare import Way, way_of
from stitchpath.design import design_schema, read_design
from stitchpath.drawing import draw
from stitchpath.errors import Finding
from stitchpath.figures import Figures, plan_figures
from stitchpath.formats.read_document import read_plan
from stitchpath.planner import make_plan

LEAVES = TWO_LEAVES + '[[kinds.leaf.motifs]]\nmotif = "fill"\nspacing = 20\n'

TYPED = {
    "plan": ("plan", "{here}/leaves.toml", "--out", "{here}/sewing"),
    "check": ("check", "{here}/leaves.toml", "{here}/sewing"),
    "lines": ("lines", "{here}/leaves.toml"),
    "figures": ("figures", "{here}/sewing"),
    "compare": ("compare", "{here}/sewing", "{here}/leaves.toml"),
    "schema": ("schema",),
}
"""For each verb what may be typed."""

PRINTS_A_FILE = {"lines": "{here}/lines.csv", "schema": "{here}/schema.json"}
"""Verbs whose one product goes to standard output, or into a file."""


@pytest.fixture(scope="module")
def here(tmp_path_factory):
    """A folder with a design and its plan."""
    folder = tmp_path_factory.mktemp("leaves")
    (folder / "leaves.toml").write_text(LEAVES, encoding="utf-8")
    assert main(["plan", str(folder / "leaves.toml"), "--out", str(folder / "sewing"), "--quiet"]) == 0
    return folder


def typed(here, verb, *more):
    return [word.format(here=here) for word in (*TYPED[verb], *more)]


def of_each_verb():
    (verbs,) = (held for held in parser()._actions if isinstance(held, argparse._SubParsersAction))
    return dict(verbs.choices)


def test_every_verb_is_walked_here():
    """A new verb fails here until it stands in the table above; the tests below then ask the rest of it."""
    assert set(TYPED) == set(of_each_verb())


@pytest.mark.parametrize("verb", of_each_verb())
def test_every_verb_can_be_quiet_or_data_and_shows_an_example_that_parses(verb):
    held = of_each_verb()[verb]
    assert {"--quiet", "--json"} <= {name for action in held._actions for name in action.option_strings}
    (example,) = re.findall(rf"Example: stitchpath ({verb}\b.*)", held.epilog)
    assert parser().parse_args(shlex.split(example)).run


def told(capsys):
    said = capsys.readouterr()
    assert said.err == ""
    return json.loads(said.out)


@pytest.mark.parametrize("verb", TYPED)
@pytest.mark.parametrize("more", [(), ("--quiet",)])
def test_json_is_all_that_is_printed_and_the_same_twice(here, capsys, verb, more):
    assert main(typed(here, verb, "--json", *more)) == 0
    first = capsys.readouterr()
    assert first.err == ""
    assert isinstance(json.loads(first.out), dict)
    assert main(typed(here, verb, "--json")) == 0
    assert capsys.readouterr().out == first.out


def holds(record, thing):
    """Whether every field of a dataclass stands in a record; of parts, how many."""
    for field in fields(thing):
        value, data = getattr(thing, field.name), record[field.name]
        if isinstance(value, tuple):
            assert len(data) == len(value)
        elif value is None or isinstance(value, int | float):
            assert data == value, field.name
    return True


@pytest.mark.parametrize("verb", ["plan", "figures"])
def test_figures_as_data_are_those_of_the_library(here, capsys, verb):
    assert main(typed(here, verb, "--json")) == 0
    data = told(capsys)
    data = data["plans"][0] if verb == "figures" else data
    plan = read_plan(here / "sewing/leaves.json")
    figures = plan_figures(plan)
    assert (data["file"], data["name"]) == (str(here / "sewing/leaves.json"), plan.drawing.name)
    assert holds(data["this_plan"], way_of(figures))
    assert all(map(holds, (data["one_by_one"], data["nearest_end_next"]), unplanned(plan)))
    assert set(data["this_plan"]) == {field.name for field in fields(Way)}
    assert holds(data["figures"], figures)
    assert {field.name for field in fields(Figures)} < set(data["figures"])
    assert data["figures"]["tie_offs"] == 2 * len(plan)
    assert data["figures"]["times"]["total_s"] == figures.times.total_s
    assert [(job["cost"], job["gap"]) for job in data["figures"]["jobs"]] == [
        (job.cost, job.gap) for job in plan.jobs
    ]


def test_plan_as_data_names_its_files_its_notes_and_what_the_check_found(here, capsys, monkeypatch):
    found = Finding("totals", "they differ"), Finding("covered", "a piece is not sewn", (1.0, 2.5))
    proof = Proof(found, ("left to the hand: a strip",))
    monkeypatch.setattr("stitchpath.check.prove_folder", lambda *_, **__: proof)
    assert main(typed(here, "plan", "--json")) == 1
    data = told(capsys)
    assert data["format"] == "stitchpath planned 1"
    assert data["files"] == []
    assert data["stopped"] is False
    by_hand, nothing = data["notes"][-2:]
    assert by_hand == {"kind": "note", "message": "left to the hand: a strip", "place_mm": None}
    assert nothing["message"].startswith("this plan does not hold, so nothing is written into ")
    assert data["findings"] == [
        {"kind": "totals", "message": "they differ", "place_mm": None},
        {"kind": "covered", "message": "a piece is not sewn", "place_mm": [1.0, 2.5]},
    ]


def test_plan_as_data_names_the_files_that_it_wrote(here, capsys):
    assert main(typed(here, "plan", "--json")) == 0
    assert sorted(told(capsys)["files"]) == sorted(map(str, (here / "sewing").iterdir()))


@pytest.mark.parametrize("verb", ["plan", "check"])
def test_all_findings_are_data_however_many(here, capsys, monkeypatch, verb):
    found = tuple(Finding("covered", f"piece {n} is not sewn", (n, 2.0)) for n in range(50))
    monkeypatch.setattr("stitchpath.check.prove_folder", lambda *_, **__: Proof(found, ()))
    assert main(typed(here, verb, "--json")) == 1
    assert [finding["place_mm"] for finding in told(capsys)["findings"]] == [[n, 2.0] for n in range(50)]


def test_a_check_that_finds_nothing_says_so_as_data(here, capsys):
    assert main(typed(here, "check", "--json")) == 0
    said = told(capsys)
    (warning,) = said.pop("notes")
    assert (warning["kind"], warning["message"][:33]) == ("warning", "the design does not say how deep ")
    assert said == {"format": "stitchpath check 1", "findings": []}


def test_lines_as_data_are_those_drawn(here, tmp_path, capsys):
    assert main(typed(here, "lines", "--json")) == 0
    data = told(capsys)
    drawing = draw(read_design(here / "leaves.toml"))
    assert (data["format"], data["design_sha256"]) == ("stitchpath lines 1", drawing.design_sha256)
    assert [line["points_mm"] for line in data["lines"]] == [
        line.points_mm.tolist() for line in drawing.lines
    ]
    assert [line["role"] for line in data["lines"]] == [line.role for line in drawing.lines]
    assert main(typed(here, "lines", "--json", "--out", str(tmp_path / "lines.json"))) == 0
    assert capsys.readouterr() == ("", "")
    assert json.loads((tmp_path / "lines.json").read_text("utf-8")) == data


def test_the_schema_is_data_already(here, tmp_path, capsys):
    assert main(typed(here, "schema", "--out", str(tmp_path / "schema.json"))) == 0
    assert capsys.readouterr() == ("", "")
    assert json.loads((tmp_path / "schema.json").read_text("utf-8")) == design_schema()
    assert main(typed(here, "schema")) == 0
    assert told(capsys) == design_schema()


def test_plans_side_by_side_as_data_are_those_of_the_table(here, tmp_path, capsys):
    table = tmp_path / "table.csv"
    assert main(typed(here, "compare", "--json", "--csv", str(table))) == 0
    rows = list(csv.DictReader(io.StringIO(table.read_text("utf-8"))))
    plans = told(capsys)["plans"]
    assert [plan["name"] for plan in plans] == [row["name"] for row in rows]
    for plan, row in zip(plans, rows, strict=True):
        assert plan["cost_s"] == pytest.approx(float(row["cost_s"]), abs=1e-6)
        assert plan["more"]["travel_mm"] == pytest.approx(float(row["travel_mm_more"]), abs=1e-6)


@pytest.mark.parametrize("verb", TYPED)
def test_quiet_says_nothing_and_ends_the_same(here, capsys, verb):
    more = ("--out", PRINTS_A_FILE[verb]) if verb in PRINTS_A_FILE else ()
    assert main(typed(here, verb, "--quiet", *more)) == 0
    assert capsys.readouterr() == ("", "")


@pytest.mark.parametrize("verb", PRINTS_A_FILE)
def test_what_is_a_file_is_printed_in_quiet_too(here, capsysbinary, verb):
    assert main(typed(here, verb, "--quiet")) == 0
    printed = capsysbinary.readouterr()
    assert main(typed(here, verb, "--out", PRINTS_A_FILE[verb])) == 0
    assert printed == (Path(PRINTS_A_FILE[verb].format(here=here)).read_bytes(), b"")


class Terminal(io.StringIO):
    encoding = "utf-8"

    def isatty(self):
        return True


@pytest.mark.parametrize("verb", ["plan", "check", "figures", "compare"])
def test_a_terminal_has_a_bar_but_not_in_quiet(here, capsys, monkeypatch, verb):
    monkeypatch.setenv("TERM", "xterm")
    seen = []
    for more in ((), ("--json",), ("--quiet",), ("--quiet", "--json")):
        monkeypatch.setattr(sys, "stderr", terminal := Terminal())
        assert main(typed(here, verb, *more)) == 0
        seen.append(bool(terminal.getvalue()))
        out = capsys.readouterr().out
        assert bool(out) == (more != ("--quiet",))
        assert "\x1b" not in out
    assert seen == [True, True, False, False]


@pytest.mark.parametrize("verb", ["plan", "check"])
def test_what_a_check_finds_is_said_in_quiet(here, capsys, monkeypatch, verb):
    proof = Proof((Finding("totals", "they differ"),), ())
    monkeypatch.setattr("stitchpath.check.prove_folder", lambda *_, **__: proof)
    assert main(typed(here, verb, "--quiet")) == 1
    out, err = capsys.readouterr()
    first, *more = err.splitlines()
    assert (out, first) == ("", "stitchpath: totals: they differ")
    assert len(more) == (verb == "plan")


@pytest.mark.parametrize(
    "argv",
    [
        ("plan", "none.toml", "--out", "out"),
        ("check", "none.toml", "."),
        ("lines", "none.toml"),
        ("figures", "none"),
        ("compare", "none.toml"),
        ("schema", "--out", "none/schema.json"),
    ],
)
@pytest.mark.parametrize("more", [("--json",), ("--quiet",), ("--json", "--quiet")])
def test_errors_are_a_sentence_and_code_2_as_ever(tmp_path, monkeypatch, capsys, argv, more):
    monkeypatch.chdir(tmp_path)
    assert main([*argv, *more]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("stitchpath: ")
    assert said.err.count("\n") == 1


def stopped(*arguments, progress, **options):
    os.kill(os.getpid(), signal.SIGINT)
    return make_plan(*arguments, progress=progress, **options)


def test_that_a_search_was_stopped_is_data_and_no_error(here, tmp_path, capsys, monkeypatch):
    monkeypatch.setattr("stitchpath.planner.make_plan", stopped)
    argv = ["plan", str(here / "leaves.toml"), "--out", str(tmp_path)]
    assert main([*argv, "--json", "--quiet"]) == 0
    assert told(capsys)["stopped"] is True
    assert main([*argv, "--quiet"]) == 0
    assert capsys.readouterr() == ("", "")
    assert main([*argv, "--json"]) == 0
    said = capsys.readouterr()
    assert said.err.startswith("stitchpath: stopped before")
    assert json.loads(said.out)["stopped"] is True
