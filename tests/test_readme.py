"""What the README says is run."""

import re
import shlex
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


def test_it_is_short():
    assert len(README.splitlines()) <= 170


def test_what_it_links_to_is_there():
    links = [*re.findall(r"\]\(([^)]+)\)", README), *re.findall(r'src="([^"]+)"', README)]
    assert len(links) > 12
    assert [link for link in links if not (ROOT / link).is_file()] == []


def test_there_are_blocks_to_run():
    assert len(blocks("python")) >= 2
    assert len(blocks("toml")) >= 1


@pytest.mark.parametrize("number", range(len(blocks("python"))))
def test_its_python_runs(folder, number, capsys, monkeypatch):
    """At effort "quick" where it names none; `.ci/run` plans the same example as it stands."""
    monkeypatch.setattr(stitchpath, "make_plan", partial(make_plan, effort="quick"))
    exec(compile(blocks("python")[number], f"README.md, block {number + 1}", "exec"), {"__name__": "readme"})
    printed = capsys.readouterr().out
    told = "".join(re.findall(r"^# prints: (.*\n)", blocks("python")[number], re.MULTILINE))
    assert printed == told or (number == 0 and shape(printed) == shape(told))


def shape(text):
    """Return a text with its numbers left out."""
    return re.sub(r"[\d,.]*\d", "0", text)


def test_what_the_first_block_prints_is_in_the_picture():
    """`.ci/run` holds the picture current."""
    picture = (ROOT / "examples" / "winter_orchard-picture.svg").read_text(encoding="utf-8")
    paths, cost, bound = re.findall(r"[\d,.]*\d", re.search(r"# prints: (.*)", blocks("python")[0])[1])
    for told in (f"{paths} paths, ", f": {cost}<", f"at least {bound}<"):
        assert told in picture


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
    plan = make_plan(design, effort="quick")
    assert check_plan(plan, draw(design)) == ()
    pages = re.findall(r"people, with `(--[a-z-]+)`|paper, with `(--[a-z-]+)`", README)
    assert len(pages) >= 5
    asked = ["".join(option) for option in pages]
    assert main(["plan", "readme.toml", "--out", "stitched", "--effort", "quick", *asked]) == 0
    written = {file.name for file in (folder / "stitched").iterdir()}
    told = {name.replace("STEM", "readme") for name in re.findall(r"`(STEM-?[^`]*)`", README)}
    more = {
        f"readme-band-{n}{ending}" for n in range(2, len(plan.windows) + 1) for ending in (".svg", ".csv")
    }
    pages_by_hand = ("-tiles.html", "-walkthrough.html", "-directions.txt")
    more |= {f"readme-by-hand{ending}" for ending in pages_by_hand if plan.by_hand is not None}
    left = [] if plan.windows else ["-band"]
    left += [] if plan.by_hand is not None else ["-by-hand"]
    assert written == {name for name in told | more if not any(part in name for part in left)}
    assert {*file_names("readme")} < written


def commands():
    """Return what it says to type, in order, without remarks; what is planned, at effort "quick"."""
    verbs = "plan|check|figures|compare|lines|schema"
    typed = re.findall(rf"^`?(stitchpath (?:{verbs}) [^`#\n]+)", README, re.MULTILINE)
    split = [shlex.split(line)[1:] for line in typed]
    quick = ["--effort", "quick"]
    return [line + quick if line[0] == "plan" or "--wish" in line else line for line in split]


def test_its_commands_run_one_after_another(folder):
    (folder / "small_orchard.toml").write_text(blocks("toml")[0], encoding="utf-8")
    (folder / "elsewhere.csv").write_text("0,0\n10,0\n10,12\n\n20,0\n20,24\n", encoding="utf-8")
    assert {verb for verb, *_ in commands()} == {"plan", "check", "figures", "compare", "lines", "schema"}
    for command in commands():
        assert main(command) == 0, command
    for name in ("lines.csv", "design.schema.json", "both.csv", "wishes.html"):
        assert (folder / name).stat().st_size


def test_its_options_are_there(capsys):
    for verb in ("plan", "compare", "check"):
        with pytest.raises(SystemExit) as stopped:
            main([verb, "--help"])
        assert stopped.value.code == 0
    told = capsys.readouterr().out
    options = re.findall(r"`(--[a-z-]+)[ `]", README)
    assert len(options) > 12
    assert [option for option in options if option not in told] == []
