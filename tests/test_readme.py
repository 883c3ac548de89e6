"""What the README says is run."""

import re
import tomllib
from functools import partial
from pathlib import Path

import pytest

import stitchpath
from stitchpath.check import check_plan
from stitchpath.cli import main
from stitchpath.design import read_design
from stitchpath.drawing import draw
from stitchpath.outputs import file_names
from stitchpath.planner import make_plan

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language):
    return re.findall(rf"^```{language}\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


@pytest.fixture
def folder(tmp_path, monkeypatch):
    (tmp_path / "examples").symlink_to(ROOT / "examples")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_there_are_blocks_to_run():
    assert len(blocks("python")) >= 2
    assert len(blocks("toml")) >= 1


@pytest.mark.parametrize("number", range(len(blocks("python"))))
def test_its_python_runs(folder, number, capsys, monkeypatch):
    """At effort "quick" where it names none; `.ci/run` plans the same example as it stands."""
    monkeypatch.setattr(stitchpath, "make_plan", partial(make_plan, effort="quick"))
    exec(compile(blocks("python")[number], f"README.md, block {number + 1}", "exec"), {"__name__": "readme"})
    assert capsys.readouterr().out


def test_the_code_under_the_picture_has_less_than_ten_lines_and_makes_it(folder):
    code = blocks("python")[0]
    assert len([text for text in code.splitlines() if text.strip()]) < 10
    (shown,) = re.findall(r"^!\[.+\]\((examples/.+\.svg)\)$", README, re.MULTILINE)
    assert f'write_picture(plan, "{Path(shown).name}")' in code


@pytest.mark.parametrize("number", range(len(blocks("toml"))))
def test_its_design_is_read_planned_and_checked(folder, number):
    text = blocks("toml")[number]
    whole = text if number == 0 else blocks("toml")[0] + text
    (folder / "readme.toml").write_text(whole, encoding="utf-8")
    design = read_design("readme.toml")
    assert design.name == tomllib.loads(whole)["name"]
    plan = make_plan(design)
    assert check_plan(plan, draw(design)) == ()
    pages = re.findall(r"people, with `(--[a-z]+)`|paper, with `(--[a-z]+)`", README)
    assert len(pages) >= 5
    asked = ["".join(option) for option in pages]
    assert main(["plan", "readme.toml", "--out", "stitched", *asked]) == 0
    written = {file.name for file in (folder / "stitched").iterdir()}
    told = {name.replace("STEM", "readme") for name in re.findall(r"`(STEM-?[^`]*)`", README)}
    more = {
        f"readme-band-{n}{ending}" for n in range(2, len(plan.windows) + 1) for ending in (".svg", ".csv")
    }
    assert written == (told | more if plan.windows else {name for name in told if "-band" not in name})
    assert {*file_names("readme")} < written


def test_the_verbs_it_shows_are_there(capsys):
    verbs = re.findall(r"^stitchpath (\w+) ", README, re.MULTILINE)
    assert verbs == ["plan", "check", "figures", "compare", "lines", "schema"]
    for verb in verbs:
        with pytest.raises(SystemExit) as stopped:
            main([verb, "--help"])
        assert stopped.value.code == 0
    for option in re.findall(r"`(--[a-z-]+)`", README):
        for verb in ("plan", "compare"):
            with pytest.raises(SystemExit):
                main([verb, "--help"])
        assert option in capsys.readouterr().out
