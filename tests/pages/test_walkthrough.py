import json
import re
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from banded_plans import banded
from export_plans import orchard
from hypothesis import given, settings
from strategies import plans

import stitchpath
from stitchpath.directions.pauses import pauses_of
from stitchpath.directions.teller import steps_of
from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError, FileError
from stitchpath.lines import Line, Role
from stitchpath.pages.walkthrough import walkthrough_html, write_walkthrough
from stitchpath.plan import Move, Plan, Span, StitchPath

DATA = re.compile(r'<script type="application/json" id="plan">(.*?)</script>', re.DOTALL)


def data_of(text):
    (found,) = DATA.findall(text)
    return json.loads(found)


def placed(flat):
    """The points of a row of distances, in millimetres."""
    return np.cumsum(np.reshape(flat, (-1, 2)), axis=0) / 100


def words_of(data):
    return [" ".join(data["clauses"][number] for number in step) for step in data["words"]]


def test_every_point_of_every_path_is_in_the_page_to_a_hundredth():
    plan = orchard()
    data = data_of(walkthrough_html(plan))
    assert len(data["paths"]) == len(plan)
    for flat, path in zip(data["paths"], plan, strict=True):
        assert placed(flat) == pytest.approx(path.coordinates_mm, abs=0.0051)


def test_every_step_is_in_the_page_in_words_and_ends_where_it_ends():
    plan = orchard()
    data, steps = data_of(walkthrough_html(plan)), steps_of(plan, unit="mm")
    assert words_of(data) == [step.text for step in steps]
    assert [data["headings"][number] for number in data["under"]] == [step.heading for step in steps]
    assert data["travels"] == [step.verb in {"hop", "travel", "step"} for step in steps]
    assert data["last"] == [step.last for step in steps]
    begins = [n for n, (a, b) in enumerate(pairwise(steps), 1) if a.path != b.path]
    assert data["starts"] == [0, *begins]


def test_parts_and_sections_head_every_step_in_order():
    plan = orchard()
    data = data_of(walkthrough_html(plan))
    firsts = [first for first, _ in data["parts"]]
    assert firsts == sorted(set(firsts))
    assert set(data["starts"]) <= set(firsts)
    assert [words for _, words in data["sections"]] == ["Seams", "Detail"]
    assert data["parts"][0][1] == "Path 1 of 9"
    assert {first for first, _ in data["sections"]} <= set(firsts)


def test_a_long_path_is_listed_in_parts():
    """Stairs, each step of them higher and longer than the one before, so that none comes again."""
    spans = tuple(Span(Move.SEW, n, n + 1, 1, "detail") for n in range(900))
    rise = np.arange(10.0, 910.0)[:, None] * np.where(np.arange(900)[:, None] % 2, (1, 0), (0, 1))
    path = StitchPath(np.concatenate([np.zeros((1, 2)), np.cumsum(rise, axis=0)]), spans)
    drawing = Drawing((Line(path.coordinates_mm, Role.DRAWN, motif="stairs", block="a"),))
    parts = data_of(walkthrough_html(Plan(drawing, (path,), (), 0.0)))["parts"]
    assert [first for first, _ in parts] == [0, 200, 400]
    assert [words for _, words in parts] == [
        "Path 1 of 1, from a", "Path 1 of 1, on, from a", "Path 1 of 1, on, from a",
    ]  # fmt: skip


def test_a_name_cannot_end_its_element_or_become_one():
    name = 'a</script><img src=x onerror=alert(1)>&"'
    plan = orchard(name=name)
    drawing = replace(plan.drawing, lines=tuple(replace(line, motif=name) for line in plan.drawing.lines))
    text = walkthrough_html(replace(plan, drawing=drawing))
    assert "<img" not in text
    assert text.count("</script>") == 2
    assert (
        "<title>a&lt;/script&gt;&lt;img src=x onerror=alert(1)&gt;&amp;&quot;: walk-through</title>" in text
    )
    assert any(name.replace('"', "'") in words for words in words_of(data_of(text)))


def test_the_page_asks_for_nothing_and_lets_nothing_else_run():
    text = walkthrough_html(orchard())
    assert "default-src 'none'" in text
    assert "unsafe" not in text
    assert re.findall(r"https?://[^\"]*", text) == ["http://www.w3.org/2000/svg"]
    script = text.rpartition("<script>")[2]
    assert not re.search(r"innerHTML|insertAdjacent|document\.write|eval\(|fetch|XMLHttp|import\(", script)


def test_the_place_is_kept_under_a_key_of_this_very_plan():
    plan = orchard()
    keys = {
        data_of(walkthrough_html(each, unit=unit))["key"]
        for each, unit in (
            (plan, "mm"),
            (plan, "mm"),
            (plan, "in"),
            (replace(plan, paths=plan.paths[1:]), "mm"),
        )
    }
    assert len(keys) == 3
    assert all(re.fullmatch("[0-9a-f]{64}", key) for key in keys)


def test_pauses_are_in_the_page_beside_the_steps():
    plan = banded()
    data, steps = data_of(walkthrough_html(plan)), steps_of(plan, unit="mm")
    assert data["pauses"] == [
        {
            "before": pause.before - 1,
            "kind": pause.kind,
            "words": pause.text,
            "marks": [[round(100 * x), round(100 * y), label] for label, (x, y) in pause.marks],
        }
        for pause in pauses_of(plan, steps, unit="mm")
    ]
    assert data["pauses"]
    assert len(data["words"]) == len(steps)


def test_the_same_plan_makes_the_same_bytes():
    assert walkthrough_html(orchard()) == walkthrough_html(orchard())


@pytest.mark.parametrize(
    ("unit", "hundredths", "said"), [("mm", 100, "508 mm"), ("cm", 1000, "50.8 cm"), ("in", 2540, "20 in")]
)
def test_units(unit, hundredths, said):
    data = data_of(walkthrough_html(orchard(), unit=unit))
    assert data["unit"] == [unit, hundredths]
    assert words_of(data)[1].startswith(f"Sew down, {said}, in the ditch along ")


def test_what_cannot_be_drawn_is_refused():
    with pytest.raises(DesignError, match='"yd" is no unit of length'):
        walkthrough_html(orchard(), unit="yd")
    with pytest.raises(DesignError, match="path 1 has 1 points"):
        walkthrough_html(Plan(Drawing(()), (StitchPath([(0, 0)], ()),), (), 0.0))


def test_it_is_written_whole(tmp_path):
    stitchpath.write_walkthrough(orchard(), tmp_path / "orchard.html", unit="in")
    assert (tmp_path / "orchard.html").read_text("utf-8") == walkthrough_html(orchard(), unit="in")
    with pytest.raises(FileError):
        write_walkthrough(orchard(), tmp_path / "missing" / "orchard.html")


@settings(max_examples=40, deadline=None)
@given(plans())
def test_any_plan_makes_a_page_that_reads_back(plan):
    data = data_of(walkthrough_html(plan))
    for flat, runs, path in zip(data["paths"], data["runs"], plan.paths, strict=True):
        assert len(flat) == path.coordinates_mm.size
        assert runs[-1] == len(path.coordinates_mm) - 1
    assert data["last"] == [step.last for step in steps_of(plan)]
    assert len(data["starts"]) == len(plan)
