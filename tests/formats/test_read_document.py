import json

import pytest
from export_plans import orchard
from hypothesis import HealthCheck, given, settings
from strategies import damages

from stitchpath.errors import FileError
from stitchpath.formats.document import plan_document
from stitchpath.formats.read_document import read_plan


@pytest.fixture(scope="module")
def text():
    return plan_document(orchard(rows=1, columns=2))


def refused(tmp_path, text, words):
    (tmp_path / "a.json").write_text(text, encoding="utf-8")
    with pytest.raises(FileError, match=words) as caught:
        read_plan(tmp_path / "a.json")
    assert str(caught.value).startswith(str(tmp_path / "a.json"))
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 400


@pytest.mark.parametrize(
    ("place", "value", "words"),
    [
        (("format",), "stitchpath plan 2", "format: 'stitchpath plan 2' is not \"stitchpath plan 1\""),
        (("more",), 1, "more: Extra inputs"),
        (("bound",), "1", "bound: .*number"),
        (("bound",), True, "bound: .*number"),
        (("lines",), {}, "lines: "),
        (("lines", 0, "id"), 2, r"lines\[0\].id: 2 stands where 1 belongs"),
        (("lines", 0, "role"), "zigzag", r"lines\[0\].role: "),
        (("lines", 0, "points_mm"), [[0, 0]], r"lines\[0\].points_mm: "),
        (("lines", 0, "points_mm", 1), [0, 0, 0], r"lines\[0\].points_mm\[1\]"),
        (("paths", 0, "points_mm", 0, 0), None, r"paths\[0\].points_mm\[0\]\[0\]"),
        (("paths", 0, "points_mm", 0, 0), "0", r"paths\[0\].points_mm\[0\]\[0\]"),
        (("paths", 0, "spans"), [], r"paths\[0\].spans: "),
        (("paths", 0, "spans", 0, "first"), 1, r"paths\[0\].spans\[0\]: it goes from 1"),
        (("paths", 0, "spans", 0, "last"), 99, r"paths\[0\].spans: they end at point 99 of 1"),
        (("paths", 0, "spans", 0, "line"), 999, r"paths\[0\].spans\[0\].line: there is no line 999"),
        (("paths", 0, "spans", 0, "move"), "lift", r"paths\[0\].spans\[0\].move: "),
        (("paths", 0, "stage"), "detail", r"paths\[0\].stage: 'detail', and its first span's is 'seams'"),
        (("paths", 0, "band"), 0, r"paths\[0\].band: "),
        (("jobs", 0, "optimal"), False, r"jobs\[0\].optimal: False"),
        (("totals", "length_mm"), 1.0, r"totals.length_mm: 1.0 is stated"),
        (("totals", "sewn_mm"), 1.0, r"totals.sewn_mm: 1.0 is stated"),
        (("totals", "resume_mm"), 1.0, r"totals.resume_mm: 1.0 is stated"),
        (("totals", "paths"), 99, "totals.paths: 99 is stated"),
        (("totals", "cost"), 1.0, "totals.cost: 1.0 is stated"),
        (("totals", "visits_mean"), 9.5, "totals.visits_mean: 9.5 is stated"),
        (("totals", "visits_median"), None, "totals.visits_median: None is stated"),
        (("totals", "visits_most_in"), ["a"], r"totals.visits_most_in: \('a',\) is stated"),
        (
            ("order_exceptions",),
            [{"line": 1, "block": "", "motif": "", "early": "fill", "share": 0.0, "path": 1}],
            r"order_exceptions\[0\].share: ",
        ),
        (("settings", "machine", "sewn_by"), "mule", "settings.machine.sewn_by: "),
        (("settings", "seed"), 1.5, "settings.seed: "),
        (("outline",), {"rings_mm": []}, "outline.rings_mm: "),
        (("outline",), {"rings_mm": [[[0, 0], [1, 1]]]}, r"outline.rings_mm\[0\]: "),
    ],
)
def test_each_place_is_checked_and_named(tmp_path, text, place, value, words):
    document = json.loads(text)
    at = document
    for part in place[:-1]:
        at = at[part]
    at[place[-1]] = value
    refused(tmp_path, json.dumps(document), words)


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_only_finite_numbers(tmp_path, text, number):
    refused(tmp_path, text.replace('"bound": 530.25', f'"bound": {number}'), "bound: ")


@pytest.mark.parametrize("bad", ["", "{", "[]", "null", "[" * 100_000, '{"format": ' + "[" * 100_000, "\x00"])
def test_what_is_no_document(tmp_path, bad):
    refused(tmp_path, bad, "JSON|document")


def test_a_missing_key(tmp_path, text):
    document = json.loads(text)
    del document["laps"]
    refused(tmp_path, json.dumps(document), "laps: Field required")


def test_not_utf_8(tmp_path, text):
    (tmp_path / "a.json").write_bytes(text.encode().replace(b"Winter", b"Wint\xe9r"))
    with pytest.raises(FileError, match="JSON"):
        read_plan(tmp_path / "a.json")


def test_missing(tmp_path):
    with pytest.raises(FileError, match="no such file"):
        read_plan(tmp_path / "none.json")


@settings(deadline=None, max_examples=100, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(damages())
def test_a_damaged_file_is_read_or_refused_in_one_sentence(tmp_path, text, damage):
    file = tmp_path / "a.json"
    file.write_bytes(damage.done_to(text.encode()))
    said = str(file)
    try:
        read_plan(file)
    except FileError as caught:
        said = str(caught)
    assert said.startswith(str(file))
    assert "\n" not in said
