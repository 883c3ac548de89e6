"""One contract over all outputs: every entry of the list, on every kind of plan."""

import json
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from banded_plans import banded, handed
from export_plans import orchard
from strategies.text import HOSTILE

import stitchpath
from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError, FileError
from stitchpath.files import manifest_name, verify_files, write_files
from stitchpath.outputs import OUTPUTS, HowToWrite, file_names, file_texts
from stitchpath.plan import Plan

OF_A_PLAN = [output for output in OUTPUTS if output.text]
EVERYTHING = HowToWrite(
    also=frozenset(output.name for output in OF_A_PLAN if output.option), stitch_length_mm=2.5, findings=()
)
BY_HAND = [
    f"leaf-by-hand{ending}"
    for ending in ("-picture.svg", ".csv", "-tiles.html", "-walkthrough.html", "-directions.txt")
]
SCRIPT = "</script><b>&'\"\u202ex"


def two_threads(plan):
    """The same plan with the last path's lines of another thread."""
    drawing, last = plan.drawing, plan.paths[-1]
    sewn = {span.line for span in last.spans}
    lines = [
        replace(line, thread="red") if number in sewn else line
        for number, line in enumerate(drawing.lines, 1)
    ]
    threads = (*drawing.threads, replace(drawing.threads[0], name="red"))
    return replace(
        plan,
        drawing=replace(drawing, lines=tuple(lines), threads=threads),
        paths=(*plan.paths[:-1], type(last)(last.coordinates_mm, last.spans, "red", last.band)),
    )


def named(plan, name):
    """The same plan with a name for all that has one."""
    drawing = plan.drawing
    lines = tuple(replace(line, motif=name, thread=name) for line in drawing.lines)
    threads = tuple(replace(thread, name=name) for thread in drawing.threads)
    keep_outs = tuple(replace(keep_out, motif=name) for keep_out in drawing.keep_outs)
    paths = tuple(type(path)(path.coordinates_mm, path.spans, name, path.band) for path in plan.paths)
    drawing = replace(drawing, lines=lines, threads=threads, keep_outs=keep_outs, name=name)
    return replace(plan, drawing=drawing, paths=paths)


PLANS = {
    "one block": orchard(rows=1, columns=1),
    "blocks": orchard(),
    "two threads": two_threads(orchard(rows=1)),
    "bands": banded(rows=2, columns=2),
    "a part by hand": handed(rows=2, columns=2),
    "the hand's part": handed(rows=2, columns=2).by_hand,
}


def text_of(output, plan):
    """An output as a file of one plan has it; None where there is none of this plan."""
    if output.of_bands == "only" and not plan.windows:
        return None
    return output.text(plan, EVERYTHING)


class Tags(HTMLParser):
    def __init__(self):
        super().__init__()
        self.seen = []

    def handle_starttag(self, tag, attrs):
        self.seen.append(tag)


def tags(html):
    """The elements of a page, but for lines of text in a drawing, which a long name may need more of."""
    parser = Tags()
    parser.feed(html)
    return [tag for tag in parser.seen if tag not in {"text", "tspan"}]


def well_formed(output, text):
    """Fail where a text is not what its ending says."""
    if output.ending.endswith(".svg"):
        ET.fromstring(text)
    elif output.ending.endswith(".json"):
        json.loads(text)
    elif output.ending.endswith(".csv"):
        assert text.endswith("\r\n")
        assert "\n" not in text.replace("\r\n", "")
    elif output.ending.endswith(".html"):
        assert text.lower().startswith("<!doctype html>")
        assert text.count("</html>") == 1
    assert "\x00" not in text


def test_names_and_endings_are_all_different():
    for field in ("name", "ending"):
        each = [getattr(output, field) for output in OUTPUTS]
        assert len(set(each)) == len(each)
    options = [output.option for output in OUTPUTS if output.option]
    assert len(set(options)) == len(options)


@pytest.mark.parametrize("output", OUTPUTS, ids=lambda output: output.name)
def test_what_writes_and_reads_it_is_public(output):
    for name in filter(None, (output.writer, output.reader)):
        assert name in stitchpath.__all__
        assert callable(getattr(stitchpath, name))
    assert bool(output.home) == bool(output.writer)
    assert bool(output.reader_home) == bool(output.reader)


@pytest.mark.parametrize("kind", PLANS)
@pytest.mark.parametrize("output", OF_A_PLAN, ids=lambda output: output.name)
def test_the_same_plan_gives_the_same_text_and_it_is_well_formed(output, kind):
    text = text_of(output, PLANS[kind])
    assert text == text_of(output, replace(PLANS[kind]))
    if text is not None:
        well_formed(output, text)


@pytest.mark.parametrize("output", OF_A_PLAN, ids=lambda output: output.name)
def test_a_plan_of_nothing_is_written_or_refused_in_a_sentence(output):
    empty = Plan(Drawing(()), (), (), 0.0)
    if output.name == "sewing":
        with pytest.raises(DesignError, match="there is no path to sew; plan a design"):
            output.text(empty, EVERYTHING)
    else:
        well_formed(output, output.text(empty, EVERYTHING))


@pytest.mark.parametrize("name", [*HOSTILE, SCRIPT])
@pytest.mark.parametrize("output", OF_A_PLAN, ids=lambda output: output.name)
def test_names_are_text_whatever_they_look_like(output, name):
    plan = named(orchard(rows=1, columns=1), name)
    text = text_of(output, plan)
    if text is None:
        return
    well_formed(output, text)
    if output.ending.endswith(".svg"):
        plain = ET.fromstring(text_of(output, named(plan, "x")))
        assert [node.tag for node in ET.fromstring(text).iter()] == [node.tag for node in plain.iter()]
    elif output.ending.endswith(".html"):
        plain = text_of(output, named(plan, "x"))
        assert [*tags(text)] == [*tags(plain)]
        assert "\u202e" not in text
    elif output.ending.endswith(".csv"):
        cells = [cell.strip('"') for line in text.splitlines()[1:] for cell in line.split(",")]
        assert not [cell for cell in cells if re.match(r"[=+@]|-(?![0-9])", cell)]
    elif output.ending.endswith(".txt"):
        assert "\u202e" not in text


@pytest.mark.parametrize("kind", PLANS)
@pytest.mark.parametrize(
    "output", [each for each in OF_A_PLAN if each.reader], ids=lambda output: output.name
)
def test_what_is_read_back_is_what_was_written(output, kind, tmp_path):
    plan, file = PLANS[kind], tmp_path / f"a{output.ending}"
    getattr(stitchpath, output.writer)(plan, file)
    read = getattr(stitchpath, output.reader)(file)
    if output.name == "document":
        assert read == plan
    else:
        assert [path.length_mm for path in read] == pytest.approx(
            [path.length_mm for path in plan], abs=0.002 * max(len(p.coordinates_mm) for p in plan)
        )
        assert [(path.band, path.stage) for path in read] == [(path.band, path.stage) for path in plan]


@pytest.mark.parametrize(
    "output",
    [each for each in OF_A_PLAN if each.writer and each.name not in {"thin", "stitches"}],
    ids=lambda output: output.name,
)
def test_a_writer_writes_whole_files_or_none_and_says_where_it_cannot(output, tmp_path):
    plan, write = PLANS["one block"], getattr(stitchpath, output.writer)
    for file in (tmp_path / f"a{output.ending}", str(tmp_path / f"a{output.ending}")):
        assert write(plan, file) is None
        assert len(list(tmp_path.iterdir())) == 1
        well_formed(output, (tmp_path / f"a{output.ending}").read_bytes().decode("utf-8"))
    before = (tmp_path / f"a{output.ending}").read_bytes()
    with pytest.raises(FileError, match="there is no folder"):
        write(plan, tmp_path / "none" / f"a{output.ending}")
    with pytest.raises(FileError, match="it is a folder"):
        write(plan, tmp_path)
    assert [file.read_bytes() for file in tmp_path.iterdir()] == [before]


@pytest.mark.parametrize("kind", PLANS)
def test_all_together_have_the_names_that_are_foretold(kind, tmp_path):
    plan = PLANS[kind]
    contents = file_texts(plan, "leaf", EVERYTHING)
    bands = sorted({path.band for path in plan}) if plan.windows else []
    by_hand = plan.by_hand is not None
    assert list(contents) == file_names("leaf", EVERYTHING.also, bands=bands, by_hand=by_hand)
    assert [name for name in contents if "by-hand" in name] == (BY_HAND if by_hand else [])
    write_files(tmp_path, contents, manifest=manifest_name("leaf"))
    assert verify_files(tmp_path / manifest_name("leaf")) == ()
    assert {file.name for file in tmp_path.iterdir()} == {*contents, manifest_name("leaf")}


def test_the_frames_files_hold_the_frames_paths_and_the_hands_its_own():
    plan = PLANS["a part by hand"]
    contents = file_texts(plan, "leaf", EVERYTHING)
    assert contents["leaf.svg"].count("<path") == len(plan.paths)
    for name, part in (("leaf.csv", plan), ("leaf-by-hand.csv", plan.by_hand)):
        rows = [row.split(",") for row in contents[name].splitlines()[1:]]
        assert {row[1] for row in rows} == {path.stage for path in part}
        assert len({row[2] for row in rows}) == len(part)
    assert "path H1" in contents["leaf-by-hand-picture.svg"]
    assert "H1" not in contents["leaf-picture.svg"]
    for name in ("-picture.svg", "-tiles.html", "-walkthrough.html", "-directions.txt"):
        assert "Letters, by hand" in contents[f"leaf-by-hand{name}"], name


def test_the_command_has_an_option_for_each_and_help_says_what_is_in_it(capsys):
    from stitchpath.cli import main

    with pytest.raises(SystemExit):
        main(["plan", "--help"])
    said = re.sub(r"\s+", " ", capsys.readouterr().out)
    for output in OF_A_PLAN:
        if output.option:
            assert f"{output.option} " in said
            assert f"STEM{output.ending}" in said


@pytest.mark.parametrize("output", OUTPUTS, ids=lambda output: output.name)
def test_the_readme_tells_of_it(output):
    readme = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
    row = re.search(rf"^\|.*`STEM{re.escape(output.ending)}`.*\| {output.audience}\b", readme, re.MULTILINE)
    assert row or (output.option and output.option in readme)
