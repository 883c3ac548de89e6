"""How a plan's files take the place of older ones, and which stay."""

import json

import pytest
from plans import TWO_LEAVES

from stitchpath.check import Proof
from stitchpath.cli import main
from stitchpath.errors import Finding
from stitchpath.files import read_manifest

FILES = [f"two_leaves{ending}" for ending in (".svg", "-picture.svg", ".csv", ".json", "-manifest.json")]


@pytest.fixture
def design(tmp_path):
    file = tmp_path / "two leaves.toml"
    file.write_text(TWO_LEAVES, encoding="utf-8")
    return file


def run(*argv):
    return main([str(word) for word in argv])


def names(folder):
    return sorted(path.name for path in folder.iterdir())


@pytest.mark.parametrize("before", [False, True])
def test_a_plan_that_fails_its_check_ends_with_1_and_takes_no_place(
    design, tmp_path, monkeypatch, capsys, before
):
    out = tmp_path / "out"
    if before:
        assert run("plan", design, "--out", out, "--thin") == 0
    stood = {path.name: path.read_bytes() for path in out.iterdir()} if before else None
    capsys.readouterr()
    proof = Proof((Finding("totals", "they differ"),), ())
    monkeypatch.setattr("stitchpath.check.prove_folder", lambda *_, **__: proof)
    assert run("plan", design, "--out", out) == 1
    said = capsys.readouterr()
    assert said.out == ""
    told = f"this plan does not hold, so nothing is written into {out}: what stood there stays as it was"
    assert said.err == f"stitchpath: totals: they differ\nstitchpath: {told}\n"
    assert ({path.name: path.read_bytes() for path in out.iterdir()} if out.exists() else None) == stood


MORE = ["--thin", "--stitch-length", "2.5", "--walkthrough", "--directions"]


def test_planning_again_with_other_options_leaves_nothing_stale(design, tmp_path, capsys):
    """What nobody has changed goes; what somebody has stays and is named, and what nobody listed stays."""
    out = tmp_path / "out"
    assert run("plan", design, "--out", out, *MORE) == 0
    (out / "two_leaves-notes.txt").write_text("mine")
    with (out / "two_leaves-walkthrough.html").open("a") as page:
        page.write("<!-- mine -->")
    capsys.readouterr()
    assert run("plan", design, "--out", out) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "two_leaves-walkthrough.html is of an older plan and stays, since it was changed after" in told
    assert told.count("-walkthrough.html") == 1
    assert run("plan", design, "--out", out, "--quiet") == 0
    said = capsys.readouterr()
    assert (said.out, said.err.count("\n")) == ("", 1)
    assert "two_leaves-walkthrough.html is not of this plan" in said.err
    assert names(out) == sorted([*FILES, "two_leaves-notes.txt", "two_leaves-walkthrough.html"])
    assert run("check", design, out) == 1
    assert "two_leaves-walkthrough.html is not of this plan" in capsys.readouterr().err
    (out / "two_leaves-walkthrough.html").unlink()
    assert run("check", design, out) == 0


def test_an_old_table_that_no_manifest_lists_is_told(design, tmp_path, capsys):
    (tmp_path / "two_leaves-thin.csv").write_text("x_mm,y_mm\r\n")
    assert run("plan", design, "--out", tmp_path) == 0
    assert "two_leaves-thin.csv is not of this plan" in " ".join(capsys.readouterr().out.split())
    assert run("check", design, tmp_path) == 1


@pytest.mark.parametrize("forms", [["--unit", "in", "--y-up", "--origin", "middle"], []])
@pytest.mark.parametrize("kind", ["thin", "stitches"])
def test_check_finds_a_table_for_a_machine_of_another_plan(design, tmp_path, capsys, forms, kind):
    """The manifest has the hash of what is there: only the paths tell."""
    for out, length in (("a", "2.5"), ("b", "3")):
        asked = ["--out", tmp_path / out, "--thin", "--stitch-length", length, *forms, "--quiet"]
        assert run("plan", design, *asked) == 0
    name = f"two_leaves-{kind}.csv"
    (tmp_path / "a" / name).write_bytes((tmp_path / "b" / name).read_bytes())
    manifest = tmp_path / "a" / "two_leaves-manifest.json"
    document = json.loads(manifest.read_text())
    document["files"][name] = dict(read_manifest(tmp_path / "b" / "two_leaves-manifest.json").files)[name]
    manifest.write_text(json.dumps(document))
    assert run("check", design, tmp_path / "a") == 1
    said = capsys.readouterr().err
    assert f"points in {name}" in said
    assert "manifest" not in said


def test_two_designs_of_one_stem_do_not_destroy_each_other(design, tmp_path, capsys, monkeypatch):
    assert run("plan", design, "--out", tmp_path / "out", "--quiet") == 0
    stood = {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}
    other = tmp_path / "two_leaves.toml"
    other.write_text(TWO_LEAVES, encoding="utf-8")
    monkeypatch.setattr("stitchpath.planner.make_plan", lambda *_, **__: pytest.fail("planned all the same"))
    assert run("plan", other, "--out", tmp_path / "out") == 2
    said = capsys.readouterr().err
    assert 'two_leaves-manifest.json is of the plan of "two leaves.toml" and would be overwritten' in said
    assert said.count("\n") == 1
    assert {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()} == stood


def test_designs_with_names_in_other_scripts_have_files_of_their_own(tmp_path):
    for name in ("果樹園.toml", "冬の夜.toml"):
        (tmp_path / name).write_text(TWO_LEAVES, encoding="utf-8")
        assert run("plan", tmp_path / name, "--out", tmp_path / "out", "--quiet") == 0
    assert len(names(tmp_path / "out")) == 2 * len(FILES)
    for name in ("果樹園.toml", "冬の夜.toml"):
        assert run("check", tmp_path / name, tmp_path / "out", "--quiet") == 0
