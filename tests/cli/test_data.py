"""What verbs tell as data, against lengths and counts worked out by hand."""

import json
from pathlib import Path

import numpy as np
import pytest
from figure_plans import SEW, TRAVEL, path, plan_of

from stitchpath.cli.data import plan_record, told_record
from stitchpath.drawing import Drawing
from stitchpath.errors import Finding
from stitchpath.lines import Line, Role
from stitchpath.plan import Plan


def test_a_plan_beside_sewing_without_one():
    """Two fills of 30 and 40 mm meet where each was drawn to; one by one, the needle lifts in between."""
    lines = Line([(30, 0), (0, 0)], Role.FILL), Line([(0, 40), (0, 0)], Role.FILL)
    one = path([(30, 0), (0, 0), (0, 40), (0, 30)], (SEW, 0, 1, 1), (SEW, 1, 2, 2), (TRAVEL, 2, 3, 2))
    told = plan_record(plan_of(Drawing(lines, name="Corner"), one, cost=12.0, bound=10.0), Path("out/a.json"))
    assert (told["file"], told["name"]) == (str(Path("out/a.json")), "Corner")
    ways = [told[way] for way in ("this_plan", "one_by_one", "nearest_end_next")]
    assert [way["paths"] for way in ways] == [1, 2, 1]
    assert [way["sewn_mm"] for way in ways] == [70, 70, 70]
    assert [way["travel_mm"] for way in ways] == [10, 0, 0]
    assert [way["lifts_mm"] for way in ways] == [0, 40, 0]
    assert told["this_plan"]["gap"] == told["figures"]["gap"] == pytest.approx(0.2)
    assert told["figures"]["tie_offs"] == 2
    assert json.loads(json.dumps(told, allow_nan=False)) == told


def test_a_plan_without_a_path():
    told = plan_record(Plan(Drawing(()), (), (), 0.0), Path("a.json"))
    assert {told[way]["paths"] for way in ("this_plan", "one_by_one", "nearest_end_next")} == {0}
    assert told["figures"]["sewn_mm"] == 0


def test_notes_and_findings_are_told_apart_and_all_of_them():
    findings = [Finding("order", f"path {n}", (float(n), np.inf)) for n in range(9)]
    told = told_record(["a text", Finding("short", "left out", (3.0, 4.5))], iter(findings))
    assert told["notes"] == [
        {"kind": "note", "message": "a text", "place_mm": None},
        {"kind": "short", "message": "left out", "place_mm": [3.0, 4.5]},
    ]
    assert [one["message"] for one in told["findings"]] == [f"path {n}" for n in range(9)]
    assert told["findings"][3]["place_mm"] == [3.0, None]
    assert told_record([], []) == {"notes": [], "findings": []}
