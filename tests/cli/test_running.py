"""What may happen to a command from outside: streams that are full or closed, signals, links in a circle."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from plans import TWO_LEAVES

from stitchpath.cli import main

ROOT = str(Path(__file__).parents[2])
VERBS = {
    "plan": ("plan", "{here}/leaves.toml", "--out", "{here}/again", "--effort", "quick"),
    "check": ("check", "{here}/leaves.toml", "{here}/sewing"),
    "lines": ("lines", "{here}/leaves.toml"),
    "figures": ("figures", "{here}/sewing"),
    "compare": ("compare", "{here}/sewing"),
    "schema": ("schema",),
}


@pytest.fixture(scope="module")
def here(tmp_path_factory):
    """A folder with a design, its plan, and links that lead round in a circle."""
    folder = tmp_path_factory.mktemp("leaves")
    (folder / "leaves.toml").write_text(TWO_LEAVES, encoding="utf-8")
    (folder / "loop").symlink_to("pool")
    (folder / "pool").symlink_to("loop")
    assert main(["plan", str(folder / "leaves.toml"), "--out", str(folder / "sewing"), "--quiet"]) == 0
    return folder


def typed(here, verb, *more):
    return [word.format(here=here) for word in (*VERBS[verb], *more)]


@pytest.mark.parametrize("more", [(), ("--json",), ("--help",)])
@pytest.mark.parametrize("verb", VERBS)
def test_a_full_disk_behind_standard_output_is_one_sentence(here, capsys, monkeypatch, verb, more):
    with Path("/dev/full").open("w") as full:
        monkeypatch.setattr(sys, "stdout", full)
        assert main(typed(here, verb, *more)) == 2
    assert capsys.readouterr().err == (
        "stitchpath: standard output cannot be written: the disk is full; make room, or name another place\n"
    )


@pytest.mark.parametrize("more", [(), ("--json",), ("--help",)])
@pytest.mark.parametrize("verb", VERBS)
def test_a_closed_standard_output_is_one_sentence(here, capsys, monkeypatch, verb, more):
    monkeypatch.setattr(sys, "stdout", None)
    assert main(typed(here, verb, *more)) == 2
    assert capsys.readouterr().err == "stitchpath: standard output is closed; open it, or send it to a file\n"


@pytest.mark.parametrize("verb", VERBS)
def test_a_closed_standard_error_loses_words_only(here, capsys, monkeypatch, verb):
    monkeypatch.setattr(sys, "stderr", None)
    assert main(typed(here, verb)) == 0
    monkeypatch.setattr(sys, "stdout", None)
    assert main(typed(here, verb)) == 2


def test_with_nothing_to_print_a_closed_standard_output_is_nothing(here, monkeypatch):
    monkeypatch.setattr(sys, "stdout", None)
    assert main(typed(here, "check", "--quiet")) == 0


@pytest.mark.parametrize(
    ("streams", "code", "said"),
    [
        (">/dev/full", 2, b"the disk is full"),
        (">&-", 2, b"is closed"),
        (">/dev/full 2>/dev/full", 2, b""),
        ("<&- >&- 2>&-", 2, b""),
        ("2>/dev/full", 0, b""),
    ],
)
@pytest.mark.parametrize("words", ["schema", "--help"])
def test_in_a_process_of_its_own_nothing_more_is_said_at_its_end(tmp_path, streams, code, said, words):
    line = f"exec {sys.executable} -m stitchpath {words} {streams}"
    ended = subprocess.run(line, shell=True, env={"PYTHONPATH": ROOT}, capture_output=True, check=False)
    assert ended.returncode == code
    assert said in ended.stderr
    assert ended.stderr.count(b"\n") == (said != b"")


@pytest.mark.parametrize("below", ["", "/deeper"])
@pytest.mark.parametrize("verb", ["plan", "lines", "schema"])
def test_links_in_a_circle_are_one_sentence(here, capsys, verb, below):
    words = [word for word in typed(here, verb) if word != "--out" and "again" not in word]
    assert main([*words, "--out", f"{here}/loop{below}"]) == 2
    said = capsys.readouterr().err
    assert "its links lead round in a circle; name another place\n" in said
    assert said.count("\n") == 1
    assert (here / "loop").is_symlink()


@pytest.mark.parametrize(
    "words",
    [
        ["compare", "{here}/sewing", "--html", "{here}/loop"],
        ["compare", "{here}/loop"],
        ["compare", "{here}/sewing", "--csv", "{here}/{long}"],
        ["check", "{here}/leaves.toml", "{here}/{long}"],
        ["figures", "{here}/{long}"],
        ["figures", "{here}/loop"],
        ["plan", "{here}/leaves.toml", "--out", "{here}/{long}"],
        ["lines", "{here}/loop"],
    ],
)
def test_names_that_lead_nowhere_are_one_sentence(here, capsys, words):
    assert main([word.format(here=here, long="n" * 300) for word in words]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1


def test_a_system_error_that_names_no_file_is_ours(here, capsys, monkeypatch):
    def fail(*_):
        raise OSError(5, "odd")

    monkeypatch.setattr("stitchpath.design.design_schema", fail)
    assert main(["schema"]) == 3
    assert "report it" in capsys.readouterr().err


@pytest.mark.parametrize(("name", "code"), [("SIGTERM", 143), ("SIGHUP", 129), ("SIGINT", 130)])
@pytest.mark.parametrize("verb", ["plan", "schema"])
def test_an_end_from_outside_while_files_are_written_leaves_nothing(here, monkeypatch, verb, name, code):
    number = getattr(signal, name)
    as_ever = signal.default_int_handler if name == "SIGINT" else signal.SIG_DFL
    heard = signal.signal(number, as_ever)
    sync, before = os.fsync, {path: path.lstat().st_mtime_ns for path in here.rglob("*")}

    def ended(handle):
        os.kill(os.getpid(), number)
        sync(handle)

    monkeypatch.setattr(os, "fsync", ended)
    words = [word.replace("again", "ended") for word in typed(here, verb)]
    words += ["--out", f"{here}/ended"] if verb == "schema" else []
    if name == "SIGINT":
        assert main(words) == code
    else:
        with pytest.raises(SystemExit, match=f"^{code}$"):
            main(words)
    assert {path: path.lstat().st_mtime_ns for path in here.rglob("*")} == before
    assert signal.signal(number, heard) is as_ever


INTERRUPTED = """
import os, runpy, signal, sys

class Finder:
    @staticmethod
    def find_spec(name, *_, at=sys.argv[1]):
        if name == at:
            os.kill(os.getpid(), signal.SIGINT)

sys.meta_path.insert(0, Finder)
sys.argv = ["stitchpath", "schema"]
runpy.run_module("stitchpath", run_name="__main__")
"""


@pytest.mark.parametrize(
    "module", ["stitchpath.cli", "stitchpath.cli.running", "argparse", "numpy", "pydantic"]
)
def test_ctrl_c_while_modules_are_imported_ends_without_a_word(module):
    argv = [sys.executable, "-c", INTERRUPTED, module]
    ended = subprocess.run(argv, env={"PYTHONPATH": ROOT}, capture_output=True, check=False)
    assert (ended.returncode, ended.stdout, ended.stderr) == (130, b"", b"")
