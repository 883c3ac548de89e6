"""Every verb and every exit code, through `main` or a process of its own."""

import csv
import io
import json
import os
import signal
import subprocess
import sys
from dataclasses import replace
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import pytest

from stitchpath.check import Proof
from stitchpath.cli import main, verbs
from stitchpath.cli.summary import MOST_LINES
from stitchpath.errors import InternalError
from stitchpath.files import read_manifest, verify_files
from stitchpath.formats.read_document import read_plan

DESIGN = """
name = "Winter Orchard ½"
unit = "in"
layout = ["PL"]
motifs = [{ motif = "ditch" }, { motif = "basting" }]
machine = { reach = "10 in" }

[top]
block_width = 6
block_height = 6

[kinds.pear]
letter = "P"

[[kinds.pear.motifs]]
motif = "ellipse"
height = 4
ratio = "3:2"
applique = true

[[kinds.pear.motifs]]
motif = "fill"
spacing = "1 in"

[kinds.leaf]
letter = "L"

[[kinds.leaf.motifs]]
motif = "ellipse"
width = 2
height = 4
"""
FILES = [
    "two_pears.svg",
    "two_pears-picture.svg",
    "two_pears.csv",
    "two_pears.json",
    "two_pears-manifest.json",
]


@pytest.fixture
def design(tmp_path):
    file = tmp_path / "two pears.toml"
    file.write_text(DESIGN, encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def planned(tmp_path_factory):
    """A design and the folder of its plan, for tests that only read."""
    folder = tmp_path_factory.mktemp("planned")
    (folder / "two pears.toml").write_text(DESIGN, encoding="utf-8")
    assert main(["plan", str(folder / "two pears.toml"), "--out", str(folder / "out")]) == 0
    return folder / "two pears.toml", folder / "out"


def run(*argv):
    return main([str(word) for word in argv])


def process(*argv, **options):
    where = {"PYTHONPATH": str(Path(__file__).parents[2]), "PATH": os.defpath}
    return subprocess.Popen(
        [sys.executable, "-m", "stitchpath", *map(str, argv)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=where | options.pop("env", {}),
    )


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_plan_writes_all_files_and_says_what_they_come_to(design, tmp_path, capsys):
    out = tmp_path / "new" / "out"
    assert run("plan", design, "--out", out) == 0
    said = capsys.readouterr()
    assert said.err == ""
    assert names(out) == sorted(FILES)
    assert verify_files(out / "two_pears-manifest.json", design=design) == ()
    assert len(said.out.splitlines()) <= MOST_LINES
    for told in ("tie-offs", "of it visible", "bobbin", "least possible", "Checked:", *FILES):
        assert told in said.out
    assert "needle up" in said.out
    assert "manual" in said.out


def test_plan_settings_reach_the_plan(design, tmp_path):
    assert (
        run("plan", design, "--out", tmp_path, "--effort", "quick", "--seed", 7, "--stages", "all-in-one")
        == 0
    )
    made = read_plan(tmp_path / "two_pears.json")
    assert (made.effort, made.seed, {job.stage for job in made.jobs}) == ("quick", 7, {"all"})
    assert run("plan", design, "--out", tmp_path, "--laps", "free") == 0
    made = read_plan(tmp_path / "two_pears.json")
    assert made.schedule.laps == "free"
    assert list(dict.fromkeys(job.stage for job in made.jobs)) == ["baste", "seams", "detail"]


def interrupting(times):
    """A make_plan during which Ctrl-C is pressed, and which says how its search was told to go on."""
    from stitchpath.planner import make_plan

    def interrupted(design, *, progress, **options):
        for _ in range(times):
            os.kill(os.getpid(), signal.SIGINT)
        said = []
        made = make_plan(design, progress=lambda *at: said.append(progress(*at)) or said[-1], **options)
        assert said
        assert not any(said)
        return made

    return interrupted


def test_an_interrupt_keeps_the_best_plan_and_writes_it(design, tmp_path, monkeypatch, capsys):
    """Code 0 says that the check read the files back and found nothing."""
    monkeypatch.setattr("stitchpath.planner.make_plan", interrupting(1))
    assert run("plan", design, "--out", tmp_path / "out") == 0
    said = capsys.readouterr()
    assert said.err.startswith("stitchpath: stopped before the search was over: the files will hold the best")
    assert "Checked:" in said.out
    assert names(tmp_path / "out") == sorted(FILES)


def test_a_second_interrupt_ends_as_usual(design, tmp_path, monkeypatch, capsys):
    monkeypatch.setattr("stitchpath.planner.make_plan", interrupting(2))
    assert run("plan", design, "--out", tmp_path / "out") == 130
    assert "what was not yet whole was not written" in capsys.readouterr().err
    assert names(tmp_path) == [design.name]


def test_figures_are_told_in_the_designs_unit(design, tmp_path, capsys):
    run("plan", design, "--out", tmp_path)
    assert " yd" in capsys.readouterr().out
    run("plan", design, "--out", tmp_path, "--unit", "mm")
    assert " yd" not in capsys.readouterr().out


def test_plan_in_other_forms_still_holds_the_design(design, tmp_path):
    """Exit code 0 says that the check read the files back and found nothing."""
    forms = ["--unit", "in", "--y-up", "--origin", "middle", "--thin", "--stitch-length", "1/10 in"]
    assert run("plan", design, "--out", tmp_path / "out", *forms) == 0
    assert names(tmp_path / "out") == sorted([*FILES, "two_pears-thin.csv", "two_pears-stitches.csv"])
    rows = {
        kind: (tmp_path / "out" / f"two_pears{kind}.csv").read_text().splitlines()
        for kind in ("", "-thin", "-stitches")
    }
    assert rows[""][0] == rows["-stitches"][0] == "band,stage,path,move,x_in,y_in"
    assert rows["-thin"][0] == "x_in,y_in"
    assert len(rows["-stitches"]) > len(rows[""])


def test_plan_writes_the_walkthrough_if_asked(design, tmp_path):
    """Exit code 0 says that the check read the files back and found nothing."""
    assert main(["plan", str(design), "--out", str(tmp_path / "out"), "--walkthrough"]) == 0
    assert names(tmp_path / "out") == sorted([*FILES, "two_pears-walkthrough.html"])
    page = (tmp_path / "out" / "two_pears-walkthrough.html").read_text("utf-8")
    assert "<title>Winter Orchard ½: walk-through</title>" in page
    assert '"unit":["in",2540]' in page
    listed = dict(read_manifest(tmp_path / "out" / "two_pears-manifest.json").files)
    assert "two_pears-walkthrough.html" in listed


def test_directions_are_written_when_asked_for(design, tmp_path):
    out = tmp_path / "out"
    assert run("plan", design, "--out", out, "--directions", "--unit", "mm") == 0
    assert names(out) == sorted([*FILES, "two_pears-directions.txt"])
    assert "nearest 1 mm" in (out / "two_pears-directions.txt").read_text(encoding="utf-8")
    assert "two_pears-directions.txt" in (out / "two_pears-manifest.json").read_text(encoding="utf-8")
    assert run("check", design, out) == 0


def test_basting_has_its_own_stitch_length(design, tmp_path):
    counts = []
    for length in ([], ["--basting-length", "1/2 in"], ["--basting-length", "1/4 in"]):
        assert run("plan", design, "--out", tmp_path, "--stitch-length", "1/10 in", *length) == 0
        table = (tmp_path / "two_pears-stitches.csv").read_text().splitlines()
        cells = [row.split(",") for row in table]
        counts.append(
            {name: sum(c[1] == name and c[3] == "sew" for c in cells) for name in ("baste", "detail")}
        )
    assert counts[0]["baste"] > counts[2]["baste"] > counts[1]["baste"] > 0
    assert counts[0]["detail"] == counts[1]["detail"] == counts[2]["detail"] > 0


def test_a_length_of_basting_without_stitches_is_refused(design, tmp_path, capsys):
    assert run("plan", design, "--out", tmp_path / "out", "--basting-length", "5 mm") == 2
    said = capsys.readouterr()
    assert said.err.endswith("write --stitch-length too\n")
    assert not (tmp_path / "out").exists()


def test_a_frame_that_secures_no_ends_gets_small_stitches_in_its_files(design, tmp_path, capsys):
    """Exit code 0 says that the check read the files back and found nothing."""
    plain, small = tmp_path / "plain", tmp_path / "small"
    assert run("plan", design, "--out", plain) == 0
    design.write_text(DESIGN.replace("{ reach", '{ secured = "small stitches", reach'), encoding="utf-8")
    assert run("plan", design, "--out", small, "--stitch-length", "1/10 in") == 0
    assert run("check", design, small) == 0
    one, two = (read_plan(folder / "two_pears.json") for folder in (plain, small))
    assert [path.length_mm for path in two] == pytest.approx([path.length_mm for path in one])
    assert {path.secure_mm > 0 for path in two} == {True}
    design.write_text(DESIGN, encoding="utf-8")
    capsys.readouterr()
    assert run("check", design, small) == 1
    assert "secure: path 1 has small stitches at its start" in capsys.readouterr().err


def test_each_band_has_its_files_in_the_forms_asked_for(design, tmp_path, monkeypatch, capsys):
    def banded(*arguments):
        return replace(planned(*arguments), windows=((-10.0, 160.0), (150.0, 320.0)))

    planned = verbs._planned
    monkeypatch.setattr(verbs, "_planned", banded)
    forms = ["--unit", "in", "--y-up", "--origin", "middle", "--thin", "--stitch-length", "1/10 in"]
    run("plan", design, "--out", tmp_path / "out", *forms)
    told = capsys.readouterr()
    assert " of band" not in told.err
    more = ["band-1.svg", "band-1.csv", "band-1-thin.csv", "band-1-stitches.csv", "bands.csv"]
    assert {f"two_pears-{name}" for name in more} <= set(names(tmp_path / "out"))
    assert not [name for name in names(tmp_path / "out") if "band-2" in name]
    assert "nothing is sewn in it" in " ".join(told.out.split())
    for name in ("band-1.svg to ", "bands.csv"):
        assert name in told.out
    listed = dict(read_manifest(tmp_path / "out" / "two_pears-manifest.json").files)
    assert {f"two_pears-{name}" for name in more} <= set(listed)
    for name in ("band-1.csv", "band-1-stitches.csv"):
        first = (tmp_path / "out" / f"two_pears-{name}").read_text().splitlines()[0]
        assert first == "band,stage,path,move,x_in,y_in"
    assert "file_x_in" in (tmp_path / "out" / "two_pears-bands.csv").read_text()


def test_the_same_design_gives_the_same_bytes(design, tmp_path):
    for out in ("a", "b"):
        run("plan", design, "--out", tmp_path / out)
    for name in FILES:
        assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes()


@pytest.mark.parametrize(
    ("wrong", "line", "told"),
    [
        (("block_width = 6", "block_width = 0"), 9, "block_width"),
        (("height = 4\nratio", "hieght = 4\nratio"), 17, "height"),
        (('["PL"]', '["PX"]'), 4, "X"),
        (("unit =", "unit"), 3, ""),
    ],
)
def test_a_bad_design_is_one_sentence_and_nothing_written(design, tmp_path, capsys, wrong, line, told):
    design.write_text(DESIGN.replace(*wrong, 1), encoding="utf-8")
    assert run("plan", design, "--out", tmp_path / "out") == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith(f"stitchpath: {design}:{line}: ")
    assert said.err.count("\n") == 1
    assert told in said.err
    assert names(tmp_path) == [design.name]


@pytest.mark.parametrize("verb", ["plan", "check", "lines"])
def test_a_missing_design_is_bad_input(verb, tmp_path, capsys):
    more = {"plan": ["--out", tmp_path / "out"], "check": [tmp_path], "lines": []}[verb]
    assert run(verb, tmp_path / "none.toml", *more) == 2
    assert "none.toml" in capsys.readouterr().err
    assert names(tmp_path) == []


@pytest.mark.parametrize("below", ["", "deeper/still"])
def test_a_file_in_the_folders_place_is_said_before_planning(design, tmp_path, capsys, monkeypatch, below):
    monkeypatch.setattr("stitchpath.planner.make_plan", lambda *_, **__: pytest.fail("planned all the same"))
    (tmp_path / "taken").write_text("mine")
    assert run("plan", design, "--out", tmp_path / "taken" / below) == 2
    assert "is no folder" in capsys.readouterr().err
    assert (tmp_path / "taken").read_text() == "mine"


def test_a_read_only_folder_is_said_before_planning(design, tmp_path, capsys, monkeypatch):
    monkeypatch.setattr("os.access", lambda *_: False)
    assert run("plan", design, "--out", tmp_path / "out") == 2
    assert "is read-only" in capsys.readouterr().err


@pytest.mark.parametrize("blank", ["", " "])
def test_a_folder_without_a_name_is_refused(design, tmp_path, capsys, monkeypatch, blank):
    monkeypatch.chdir(tmp_path)
    before = names(tmp_path)
    assert run("plan", design, "--out", blank) == 2
    assert "--out names no folder; write one" in capsys.readouterr().err
    assert names(tmp_path) == before


def test_a_design_is_never_overwritten(tmp_path, capsys):
    design = tmp_path / "pears.json"
    design.write_text(DESIGN, encoding="utf-8")
    assert run("plan", design, "--out", tmp_path) == 2
    assert "would be overwritten" in capsys.readouterr().err
    assert names(tmp_path) == ["pears.json"]
    assert design.read_text(encoding="utf-8") == DESIGN


def test_check_passes_what_was_written(planned, capsys):
    assert run("check", *planned) == 0
    said = capsys.readouterr()
    assert said.err == ""
    assert said.out.startswith("Checked: ")


@pytest.mark.parametrize("name", FILES[:-1])
def test_check_finds_a_file_changed(planned, tmp_path, capsys, name):
    design, out = planned
    for each in FILES:
        (tmp_path / each).write_bytes((out / each).read_bytes())
    with (tmp_path / name).open("a") as file:
        file.write("\n")
    assert run("check", design, tmp_path) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("stitchpath: ")
    assert name in said.err


def test_check_finds_that_the_design_has_moved_on(planned, tmp_path, capsys):
    _, out = planned
    design = tmp_path / "two pears.toml"
    design.write_text(DESIGN.replace('"1 in"', '"3/4 in"'), encoding="utf-8")
    assert run("check", design, out) == 1
    assert "design" in capsys.readouterr().err


def test_check_without_files_is_bad_input(planned, tmp_path, capsys):
    assert run("check", planned[0], tmp_path / "nowhere") == 2
    assert "nowhere" in capsys.readouterr().err


def test_what_is_left_to_the_hand_is_told_and_all_is_well(tmp_path, capsys):
    file = tmp_path / "pears.toml"
    file.write_text(DESIGN.replace("[top]", '[schedule]\nby_hand = ["fill"]\n[top]', 1), encoding="utf-8")
    assert run("plan", file, "--out", tmp_path / "out") == 0
    told = capsys.readouterr().out
    assert "left to the hand, after each band: " in told
    assert "by hand   after each band: " in told
    assert (tmp_path / "out" / "pears-by-hand.csv").is_file()
    assert run("check", file, tmp_path / "out") == 0
    assert "fill lines (fill), " in capsys.readouterr().out


def test_many_findings_are_cut_short(planned, capsys, monkeypatch):
    from stitchpath.errors import Finding

    found = tuple(Finding("covered", f"piece {n} is not sewn", (n, 2.0)) for n in range(23))
    monkeypatch.setattr("stitchpath.check.prove_folder", lambda *_, **__: Proof(found, ()))
    assert run("check", *planned) == 1
    told = capsys.readouterr().err.splitlines()
    assert told[0] == "stitchpath: covered: piece 0 is not sewn (at x 0.0 mm, y 2.0 mm)"
    assert told[-1] == "stitchpath: and 3 findings more"
    assert len(told) == 21


def test_lines_go_to_standard_output_or_a_file(planned, tmp_path, capsysbinary):
    design, _ = planned
    assert run("lines", design) == 0
    told = capsysbinary.readouterr().out
    assert run("lines", design, "--out", tmp_path / "lines.csv") == 0
    assert (tmp_path / "lines.csv").read_bytes() == told
    rows = list(csv.DictReader(io.StringIO(told.decode("utf-8"), newline="")))
    assert {row["role"] for row in rows} == {"baste", "ditch", "outline", "fill"}
    assert list(rows[0]) == ["line", "role", "thread", "block", "x_mm", "y_mm"]


def test_figures_of_a_folder(planned, capsys):
    assert run("figures", planned[1]) == 0
    told = capsys.readouterr().out
    assert str(planned[1] / "two_pears.json") in told
    assert "nearest end next" in told
    assert "Counted: " not in told
    assert run("figures", planned[1], "--explain") == 0
    assert "Counted: " in capsys.readouterr().out


def test_check_of_a_folder_without_the_designs_plan(design, planned, tmp_path, capsys):
    assert run("check", design, tmp_path) == 2
    said = " ".join(capsys.readouterr().err.split())
    assert f"{tmp_path} holds no plan of {design}; make one with" in said
    other = tmp_path / "other.toml"
    other.write_text(DESIGN, encoding="utf-8")
    assert run("check", other, planned[1]) == 2
    assert "holds no plan of" in capsys.readouterr().err


def test_figures_of_what_holds_no_plan(tmp_path, capsys):
    assert run("figures", tmp_path) == 2
    assert "holds no plan" in capsys.readouterr().err
    (tmp_path / "file").write_text("")
    assert run("figures", tmp_path / "file") == 2
    assert "is no folder" in capsys.readouterr().err


def test_schema_is_one_that_an_editor_follows(capsys):
    assert run("schema") == 0
    told = json.loads(capsys.readouterr().out)
    assert told["$schema"].startswith("https://json-schema.org/")
    assert {"top", "layout", "kinds"} <= set(told["properties"])


@pytest.mark.parametrize(
    "argv",
    [
        [],
        ["sew"],
        ["plan"],
        ["plan", "a.toml"],
        ["plan", "a.toml", "--out", "b", "--effort", "all"],
        ["plan", "a.toml", "--out", "b", "--seed", "-1"],
        ["plan", "a.toml", "--out", "b", "--seed", "1.5"],
        ["plan", "a.toml", "--out", "b", "--stitch-length", "long"],
        ["plan", "a.toml", "--out", "b", "--stitch-length", "0"],
        ["plan", "a.toml", "--out", "b", "--stitch-length", "nan"],
        ["plan", "a.toml", "--out", "b", "--basting-length", "0"],
        ["plan", "a.toml", "--ou", "b"],
    ],
)
def test_what_cannot_be_read_is_one_sentence_and_code_2(argv, capsys):
    with pytest.raises(SystemExit, match=r"^2$"):
        main(argv)
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("stitchpath: ")
    assert said.err.count("\n") == 1
    assert "--help" in said.err


def test_help_for_plan_says_to_take_care(capsys):
    with pytest.raises(SystemExit, match=r"^0$"):
        main(["plan", "--help"])
    told = " ".join(capsys.readouterr().out.split())
    assert "hands and clamps clear of the head" in told
    assert "first run with the needle up" in told
    assert "own manual first" in told


def test_version(capsys):
    with pytest.raises(SystemExit, match=r"^0$"):
        main(["--version"])
    try:
        known = version("stitchpath")
    except PackageNotFoundError:
        known = ""
    assert capsys.readouterr().out == (
        f"stitchpath {known}\n" if known else "stitchpath, run from its source\n"
    )


@pytest.mark.parametrize(
    ("error", "code", "told"),
    [
        (KeyboardInterrupt(), 130, "stopped"),
        (InternalError("odd"), 3, "report it: odd"),
        (ZeroDivisionError(), 3, "report it"),
    ],
)
def test_what_stops_the_work_leaves_nothing_behind(design, tmp_path, monkeypatch, capsys, error, code, told):
    def fail(*_, **__):
        raise error

    monkeypatch.setattr("stitchpath.planner.make_plan", fail)
    assert run("plan", design, "--out", tmp_path / "out") == code
    assert told in capsys.readouterr().err
    assert names(tmp_path) == [design.name]


def test_nobody_reading_is_no_error_worth_words(planned):
    """The reader is gone before anything is written."""
    running = process("schema")
    running.stdout.close()
    assert running.wait(60) == 141
    assert running.stderr.read() == b""
    running.stderr.close()


def test_a_bare_locale_takes_all_output(planned):
    bare = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    running = process("figures", planned[1], env=bare)
    out, err = running.communicate(timeout=60)
    assert (running.returncode, err) == (0, b"")
    assert out.isascii()


def test_the_command_line_starts_light():
    """Help must not wait for what only long work needs."""
    heavy = ("rich", "argcomplete", "scipy", "matplotlib", "pymatching")
    code = f"import sys, stitchpath.cli; sys.exit(any(name in sys.modules for name in {heavy}))"
    root = str(Path(__file__).parents[2])
    assert subprocess.run([sys.executable, "-c", code], env={"PYTHONPATH": root}, check=False).returncode == 0


def test_pages_for_people_are_written_if_asked_for_and_stand_in_the_manifest(design, tmp_path):
    """Exit code 0 says that the check read the files back and found nothing."""
    pages = [f"two_pears-{page}.html" for page in ("plan-sheet", "tiles", "templates")]
    asked = ["--plan-sheet", "--tiles", "--templates", "--paper", "Letter", "--foot-radius", "5/16 in"]
    assert run("plan", design, "--out", tmp_path / "out", *asked) == 0
    assert names(tmp_path / "out") == sorted([*FILES, *pages])
    manifest = (tmp_path / "out" / "two_pears-manifest.json").read_text("utf-8")
    for page in pages:
        assert page in manifest
        assert "size: 215.9mm 279.4mm" in (tmp_path / "out" / page).read_text("utf-8")
    assert "Nothing is wrong" in (tmp_path / "out" / pages[0]).read_text("utf-8")
    assert "7.94 mm" in (tmp_path / "out" / pages[2]).read_text("utf-8")


def test_a_foot_that_there_is_not_is_refused(design, tmp_path, capsys):
    with pytest.raises(SystemExit):
        run("plan", design, "--out", tmp_path / "out", "--templates", "--foot-radius", "90 mm")
    assert "is no foot's radius" in capsys.readouterr().err


def test_what_is_all_sewn_by_hand_has_its_directions_unasked(tmp_path):
    file = tmp_path / "pears.toml"
    file.write_text(DESIGN.replace('{ reach = "10 in" }', '{ sewn_by = "hand" }', 1), encoding="utf-8")
    assert run("plan", file, "--out", tmp_path / "out") == 0
    assert "pears-directions.txt" in names(tmp_path / "out")
