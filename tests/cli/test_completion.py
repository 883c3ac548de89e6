"""What is offered at the Tab key, asked as a shell asks: by variables, answered in a file."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from stitchpath.cli import main

ROOT = Path(__file__).parents[2]
OPTIONS = {"--json", "--quiet", "--help"}


@pytest.fixture
def folder(tmp_path):
    """Two designs, a plan and what is neither, one of them hidden."""
    for name in ("pears.toml", "two pears.toml", "pears.json", "pears.txt", ".hidden.toml", "sewing/a.toml"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).touch()
    return tmp_path


@pytest.fixture
def offered(folder):
    pytest.importorskip("argcomplete", reason="argcomplete is not installed, so there is no completion")

    def ask(line):
        answer = folder.parent / f"{folder.name}-answer"
        asked = {
            "_ARGCOMPLETE": "1",
            "_ARGCOMPLETE_SHELL": "bash",
            "_ARGCOMPLETE_IFS": "\v",
            "_ARGCOMPLETE_STDOUT_FILENAME": str(answer),
            "COMP_LINE": line,
            "COMP_POINT": str(len(line)),
            "COMP_TYPE": "9",
        }
        where = {"PYTHONPATH": str(ROOT), "PATH": os.defpath, "HOME": str(folder / "sewing")}
        ran = subprocess.run(
            [sys.executable, "-m", "stitchpath"],
            cwd=folder,
            env=where | asked,
            capture_output=True,
            check=True,
            timeout=60,
        )
        assert ran.stdout == b""
        return {word.rstrip(" ") for word in answer.read_text("utf-8").split("\v") if word}

    return ask


def test_verbs(offered):
    assert offered("stitchpath ") == {"plan", "check", "lines", "figures", "compare", "schema"}
    assert offered("stitchpath pl") == {"plan"}


def test_designs_are_files_of_their_kind_and_folders(offered):
    names = {"pears.toml", "two\\ pears.toml", "sewing/"}
    for verb in ("plan", "check", "lines"):
        assert offered(f"stitchpath {verb} ") == names
    assert offered("stitchpath plan tw") == {"two\\ pears.toml"}
    assert offered("stitchpath plan sewing/") == {"sewing/a.toml"}
    assert offered("stitchpath plan ~/") == {"~/a.toml"}
    assert offered("stitchpath plan .h") == {".hidden.toml"}
    assert offered("stitchpath plan nowhere/") == set()


def test_other_arguments_have_what_fits_them(offered):
    assert offered("stitchpath figures ") == {"sewing/"}
    assert offered("stitchpath check pears.toml ") == {"sewing/"}
    assert offered("stitchpath plan pears.toml --out ") == {"sewing/"}
    assert offered("stitchpath compare pears") == {"pears.toml", "pears.json"}
    assert offered("stitchpath compare pears.toml --foreign pears.t") == {"pears.toml", "pears.txt"}
    assert offered("stitchpath plan pears.toml --effort ") == {"quick", "standard", "proof"}
    assert offered("stitchpath plan pears.toml --effort=q") == {"--effort=quick"}
    assert offered("stitchpath plan pears.toml --seed ") == set()
    assert offered("stitchpath compare pears.toml --wish no\\ e") == {"no\\ ends\\ in\\ the\\ open"}


@pytest.mark.parametrize("verb", ["plan", "check", "lines", "figures", "compare", "schema"])
def test_options_are_offered_after_a_dash(offered, verb):
    assert offered(f"stitchpath {verb} -") >= OPTIONS
    assert not offered(f"stitchpath {verb} ") & OPTIONS


def test_fish_offers_as_the_readme_says(folder):
    """What is written there is run as it stands."""
    pytest.importorskip("argcomplete", reason="argcomplete is not installed, so there is no completion")
    if (fish := shutil.which("fish")) is None:
        pytest.skip("fish is not installed")
    (turned_on,) = re.findall(r"`(register-\S+ --shell fish .*)`", (ROOT / "README.md").read_text("utf-8"))
    bin_ = folder / "bin"
    bin_.mkdir()
    for name, module in [
        ("stitchpath", "stitchpath"),
        ("register-python-argcomplete", "argcomplete.scripts.register_python_argcomplete"),
    ]:
        (bin_ / name).write_text(f'#!/bin/sh\nexec "{sys.executable}" -m {module} "$@"\n', "utf-8")
        (bin_ / name).chmod(0o755)
    asked = ("stitchpath pl", "stitchpath plan tw", "stitchpath compare pears.toml --wish no\\\\ e")
    ran = subprocess.run(
        [fish, "-c", "; ".join((turned_on, *(f"complete -C '{line}'" for line in asked)))],
        cwd=folder,
        env={"PYTHONPATH": str(ROOT), "PATH": f"{bin_}:{os.defpath}", "HOME": str(folder / "sewing")},
        capture_output=True,
        check=True,
        timeout=60,
    )
    offered = [line.partition("\t")[0] for line in ran.stdout.decode().splitlines()]
    assert offered == ["plan", "two pears.toml", "no ends in the open"], ran.stderr


def test_without_argcomplete_all_else_goes_on(monkeypatch, capsys):
    monkeypatch.setitem(sys.modules, "argcomplete", None)
    monkeypatch.setenv("_ARGCOMPLETE", "1")
    assert main(["schema"]) == 0
    assert capsys.readouterr().out.startswith("{")


def test_nothing_is_loaded_where_no_shell_asks():
    code = (
        "import sys, stitchpath.cli; stitchpath.cli.main(['schema']); sys.exit('argcomplete' in sys.modules)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], env={"PYTHONPATH": str(ROOT)}, stdout=subprocess.DEVNULL, check=False
    )
    assert ran.returncode == 0
