"""Plans side by side as a table and as JSON."""

import csv
import io
import json

import pytest
from compared_plans import EVIL, ONE, TWO, wished, with_foreign

from stitchpath.compare.side_by_side import SideBySide, side_by_side
from stitchpath.compare.side_by_side_data import comparison_csv, comparison_json
from stitchpath.compare.wishes import WISHES
from stitchpath.errors import DesignError


def test_the_table():
    rows = list(csv.DictReader(io.StringIO(comparison_csv(side_by_side([TWO, ONE], ["two", "one, sewn"])))))
    assert [row["name"] for row in rows] == ["two", "one, sewn"]
    assert (rows[1]["paths"], rows[1]["paths_more"], rows[1]["travel_mm_more"]) == ("1", "-1", "50.000000")
    assert (rows[0]["gap"], rows[1]["gap_more"], rows[0]["wander"]) == ("", "", "")
    assert [row["paths_not_in_the_first"] for row in rows] == ["", "1"]
    with pytest.raises(DesignError, match="formula"):
        comparison_csv(side_by_side([TWO], ["=1+1"]))


def test_the_table_of_a_plan_made_elsewhere():
    rows = list(csv.DictReader(io.StringIO(comparison_csv(with_foreign(side_by_side([TWO, ONE]))))))
    assert [row["name"] for row in rows] == ["plan 1", "plan 2", "made elsewhere"]
    told = rows[2]
    assert (told["paths"], told["paths_more"], told["lifts"]) == ("2", "0", "1")
    assert (told["travel_mm"], told["travel_mm_more"]) == ("10.000000", "10.000000")
    assert (told["open_ends"], told["gap"], told["gap_more"]) == ("2", "", "")
    assert (told["off_mm"], told["keep_out_mm"], told["missed_mm"]) == ("10.000000", "0.000000", "60.000000")
    assert (told["ends_off_lines"], told["lines_missed"], told["twice_mm"]) == ("2", "1", "0.000000")
    assert (told["paths_not_in_the_first"], rows[1]["paths_not_in_the_first"]) == ("", "1")
    assert {row["off_mm"] for row in rows[:2]} == {""}
    (alone,) = csv.DictReader(io.StringIO(comparison_csv(with_foreign(SideBySide()))))
    assert (alone["name"], alone["paths_more"], alone["off_mm"]) == ("made elsewhere", "0", "10.000000")


def test_json():
    told = json.loads(comparison_json(with_foreign(wished())))
    assert told["format"] == "stitchpath comparison 1"
    assert [plan["name"] for plan in told["plans"]] == ["as it is", WISHES[0].name, "made elsewhere"]
    assert (told["plans"][2]["paths"], told["plans"][2]["more"]["paths"]) == (2, 0)
    assert told["plans"][2]["gap"] is None
    assert "paths_not_in_the_first" not in told["plans"][2]
    assert told["plans"][1]["more"]["paths"] == -1
    assert told["plans"][0]["gap"] is None
    assert [wish["problem"] for wish in told["wishes"]] == ["", EVIL, ""]
    assert told["wishes"][0]["changed"] == [1]
    assert told["made_elsewhere"]["missed"][0]["missed_mm"] == pytest.approx(60)


def test_nothing_side_by_side_is_a_head_and_an_empty_list():
    assert comparison_csv(SideBySide()).count("\r\n") == 1
    assert json.loads(comparison_json(SideBySide())) == {"format": "stitchpath comparison 1", "plans": []}
