"""The verb that compares, through `main` or a process of its own."""

import csv
import io
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from plans import TWO_LEAVES, line

from stitchpath.cli import main
from stitchpath.cli.compare_text import ends_map
from stitchpath.drawing import Drawing
from stitchpath.formats.read_document import read_plan
from stitchpath.planner import make_plan

LEAVES = TWO_LEAVES + '[[kinds.leaf.motifs]]\nmotif = "fill"\nspacing = 20\n'


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A design, its plan in stages and its plan all in one."""
    here = tmp_path_factory.mktemp("leaves")
    (here / "leaves.toml").write_text(LEAVES, encoding="utf-8")
    for name, more in (("staged", ()), ("mixed", ("--stages", "all-in-one"))):
        run("plan", here / "leaves.toml", "--out", here / name, "--thin", *more)
    return here


def run(*argv):
    return main([str(word) for word in argv])


def test_folders_files_and_designs_side_by_side(folder, capsys):
    assert run("compare", folder / "staged", folder / "mixed/leaves.json", folder / "leaves.toml") == 0
    said = capsys.readouterr()
    assert said.err == ""
    lines = said.out.splitlines()
    assert lines[1].startswith("staged ")
    assert [text.split("  ")[0] for text in lines[2:6]] == [
        "leaves (2)", "against the first", "leaves (3)", "against the first",
    ]  # fmt: skip
    assert set(lines[5].split()[3:]) == {"same"}
    assert "Where paths end" in said.out


def test_plans_of_different_drawings_are_compared_with_a_word_first(folder, tmp_path, capsys):
    other, page, said = tmp_path / "wide.toml", tmp_path / "page.html", "plans of different drawings"
    other.write_text(LEAVES.replace("spacing = 20", "spacing = 25"), encoding="utf-8")
    assert run("compare", folder / "staged", folder / "mixed", other, "--html", page) == 0
    words = " ".join(capsys.readouterr().out.split())
    assert words.startswith("These are " + said)
    assert "not of the first one's drawing: wide. paths ends" in words
    html = page.read_text(encoding="utf-8")
    assert html.index(said) < html.index("<table")
    assert run("compare", other, folder / "staged", "--json", "--effort", "quick") == 0
    told = json.loads(capsys.readouterr().out)
    assert list(told)[:3] == ["format", "notes", "plans"]
    assert said in told["notes"][0]
    assert run("compare", folder / "staged", folder / "leaves.toml", "--effort", "quick") == 0
    assert said not in capsys.readouterr().out


def test_a_wish_has_a_price_and_a_page(folder, tmp_path, capsys):
    page, table = tmp_path / "page.html", tmp_path / "table.csv"
    wishes = ("--wish", "blocks finished in turn", "--wish", "fewest advances")
    assert run("compare", folder / "leaves.toml", *wishes, "--html", page, "--csv", table) == 0
    said = capsys.readouterr().out
    assert "as it is" in said
    assert "paths that change" in said
    assert "none: it is planned so already" in said
    assert f"Written: {page}, {table}." in said.replace("\n", " ").replace("  ", " ")
    assert page.read_text(encoding="utf-8").count("<svg") == 2
    rows = list(csv.DictReader(io.StringIO(table.read_text(encoding="utf-8"))))
    assert [row["name"] for row in rows] == ["as it is", "blocks finished in turn"]


def test_all_wishes_in_two_processes_as_json(folder, capsys):
    design = folder / "leaves.toml"
    assert run("compare", design, "--wish", "all", "--json", "--workers", 2, "--effort", "quick") == 0
    through = capsys.readouterr().out
    assert run("compare", design, "--wish", "all", "--json", "--effort", "quick") == 0
    assert capsys.readouterr().out == through
    told = json.loads(through)
    assert len(told["wishes"]) == 10
    assert told["wishes"][1]["wish"] == "blocks finished in turn"


def test_a_plan_made_elsewhere_is_measured(folder, tmp_path, capsys):
    """Our own thin table, shifted and with its last path left out."""
    paths = (folder / "staged/leaves-thin.csv").read_bytes().decode().strip().split("\r\n\r\n")
    other = tmp_path / "other.csv"
    other.write_bytes("\r\n\r\n".join(paths).encode())
    where = ("--foreign", other, "--unit", "mm", "--origin=0,0")
    assert run("compare", folder / "leaves.toml", *where, "--json") == 0
    told = json.loads(capsys.readouterr().out)
    whole = told["made_elsewhere"]
    assert (whole["missed"], whole["off_mm"], whole["keep_out_mm"]) == ([], 0, 0)
    plan = read_plan(folder / "staged/leaves.json")
    assert whole["travel_on_lines_mm"] == pytest.approx(sum(path.travel_mm for path in plan), abs=0.1)
    assert [row["name"] for row in told["plans"]] == ["leaves", "made elsewhere"]
    more = told["plans"][1]["more"]
    assert [more.pop(name) for name in ("gap", "hand_paths", "hand_time_s")] == [None] * 3
    left = sum(job.crossings for job in plan.jobs) * plan.cost_settings.leaving_block_s
    assert more.pop("cost_s") == pytest.approx(-left, abs=0.05)  # of plans made elsewhere it is not counted
    assert more == pytest.approx(dict.fromkeys(more, 0), abs=0.05)
    assert run("compare", folder / "mixed", folder / "staged", *where) == 0
    said = capsys.readouterr().out
    assert "against the first" in said.split("made elsewhere")[1]

    inches = ["\n".join(_moved(line) for line in path.split("\r\n")) for path in paths[:-1]]
    other.write_text("\n\n".join(inches).replace("x_mm,y_mm\n", ""), encoding="utf-8")
    where = ("--foreign", other, "--unit", "in", "--origin=-10,4", "--y-up")
    page = tmp_path / "page.html"
    assert run("compare", folder / "leaves.toml", *where, "--html", page) == 0
    said = capsys.readouterr().out
    assert "missed" in said
    assert "row 1, column" in said
    assert page.read_text(encoding="utf-8").count("<svg") == 2


def _moved(text):
    if text.startswith("x"):
        return text
    x, y = map(float, text.split(","))
    return f"{x / 25.4 - 10:.7f},{4 - y / 25.4:.7f}"


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        (["nowhere.toml"], "there is no such file"),
        (["nowhere.json"], "nowhere.json cannot be read"),
        (["{here}"], "holds no plan"),
        (["{here}/leaves.toml", "--wish", "no ends"], "there is no wish"),
        (["{here}/staged", "--wish", "all"], "--wish goes with one design"),
        (["{here}/leaves.toml", "{here}/leaves.toml", "--wish", "all"], "--wish goes with one design"),
        (["{here}/leaves.toml", "--foreign", "x.csv", "--unit", "mm"], "write --origin"),
        (["{here}/leaves.toml", "--foreign", "x.csv", "--origin", "0,0"], "write --unit"),
        (
            ["{here}/leaves.toml", "--foreign", "x.csv", "--origin", "0,0", "--unit", "mm"],
            "x.csv cannot be read",
        ),
        (["{here}/staged", "--html", "{here}/none/page.html"], "cannot be written"),
        (["{here}/leaves.toml", "--csv", "{here}/leaves.toml"], "would be overwritten"),
        (["{here}/staged", "--csv", "{here}/a", "--html", "{here}/a"], "give two names"),
        (["{here}/staged", "--html", ""], "cannot be written"),
    ],
)
def test_bad_input_is_one_sentence_and_code_2(folder, capsys, argv, said):
    assert run("compare", *(word.format(here=folder) for word in argv)) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert said in told.err
    assert told.err.count("\n") == 1


@pytest.mark.parametrize(
    "argv",
    [
        ["--workers", "0"],
        ["--origin", "1"],
        ["--origin", "a,b"],
        ["--origin", "inf,0"],
        ["--tolerance", "2 cm"],
    ],
)
def test_what_cannot_be_typed_is_code_2(folder, capsys, argv):
    with pytest.raises(SystemExit) as stopped:
        run("compare", folder / "leaves.toml", *argv)
    assert stopped.value.code == 2
    assert " is no " in capsys.readouterr().err


SLOW = """
import sys, time
import stitchpath.cli
import stitchpath.compare.whatif
if __name__ == "__main__":
    sys.exit(stitchpath.cli.main(sys.argv[1:]))
stitchpath.compare.whatif.Task.make = lambda self, watch: time.sleep(60)
"""
"""The command line, with workers that take a minute to do nothing."""


def test_an_interrupt_ends_the_workers_and_writes_nothing(folder, tmp_path):
    """Only the one process is interrupted; the two that it started must end with it."""
    page = tmp_path / "page.html"
    argv = ["compare", folder / "leaves.toml", "--wish", "all", "--workers", "2", "--html", page]
    (tmp_path / "slow.py").write_text(SLOW, encoding="utf-8")
    started = subprocess.Popen(
        [sys.executable, tmp_path / "slow.py", *map(str, argv)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={"PYTHONPATH": str(Path(__file__).parents[2]), "PATH": os.defpath},
    )
    children = Path(f"/proc/{started.pid}/task/{started.pid}/children")
    if not children.exists():
        started.kill()
        pytest.skip("this system does not tell a process's children")
    deadline = time.monotonic() + 60
    while len(children.read_text().split()) < 3 and time.monotonic() < deadline:
        time.sleep(0.05)
    time.sleep(1.0)
    started.send_signal(signal.SIGINT)
    begun = time.monotonic()
    _, err = started.communicate(timeout=50)
    assert time.monotonic() - begun < 20
    assert started.returncode == 130
    assert err.decode() == "stitchpath: stopped; what was not yet whole was not written\n"
    assert not page.exists()


def test_a_map_counts_ends_in_places():
    plan = make_plan(Drawing.from_lines([line((0, 0), (100, 0)), line((0, 50), (100, 50))]))
    drawn = ends_map(plan, np.array([0.0, 0.0, 100.0, 50.0]))
    assert len(drawn) == 6
    assert {len(row) for row in drawn} == {26}
    assert drawn[0] == drawn[-1] == f"1{'.' * 24}1"
    assert set("".join(drawn[1:-1])) == {"."}
    many = make_plan(Drawing.from_lines([line((0, y), (1, y)) for y in range(0, 1200, 200)]))
    assert ends_map(many, np.array([0.0, -1e6, 1.0, 1e6]))[8] in {"#", "."}
