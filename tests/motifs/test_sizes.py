import pytest
from pydantic import TypeAdapter, ValidationError

from stitchpath.errors import DesignError
from stitchpath.motifs import Motif
from stitchpath.motifs.sizes import AngleRule, SizeRule


def at(rule, row, column, rows=5, columns=3):
    return rule.at(row=row, column=column, rows=rows, columns=columns)


@pytest.mark.parametrize(
    ("rule", "expected"),
    [
        (SizeRule(rows=[1, 2, 3, "1 in", 5]), 25.4),
        (SizeRule(columns=[7, 8, 9]), 9),
        (SizeRule(top=10, bottom=50), 40),
        (SizeRule(left=30, right="2 cm"), 20),
        (SizeRule(middle=40, edge=20), 20),
        (AngleRule(top=-20, bottom=20), 10),
    ],
)
def test_in_row_4_column_3_of_5_by_3(rule, expected):
    assert at(rule, 4, 3) == pytest.approx(expected)


def test_graded_from_the_middle_in_rings():
    rule = SizeRule(middle=40, edge=20)
    assert [at(rule, row, 3, columns=5) for row in range(1, 6)] == [20, 30, 40, 30, 20]
    assert at(rule, 1, 1, rows=1, columns=1) == 40


def test_a_single_row_takes_the_mean():
    assert at(SizeRule(top=10, bottom=50), 1, 1, rows=1) == 30


@pytest.mark.parametrize(
    "fields",
    [
        {},
        {"top": 1},
        {"rows": [1], "columns": [1]},
        {"top": 1, "right": 2},
        {"rows": []},
        {"rows": [0]},
        {"middle": 1, "edge": -1},
        {"like": ""},
        {"like": "pear", "top": 1, "bottom": 1},
    ],
)
def test_exactly_one_way(fields):
    with pytest.raises(ValidationError):
        SizeRule(**fields)


@pytest.mark.parametrize(
    ("rule", "row", "said"),
    [
        (SizeRule(rows=[1, 2]), 1, "2 sizes stand in the list for 5 rows"),
        (SizeRule(columns=[1, 2]), 1, "for 3 columns"),
        (SizeRule(top=1, bottom=2), 0, "outside the blocks"),
        (SizeRule(like="pear"), 1, "not looked up"),
    ],
)
def test_what_has_no_place_is_refused(rule, row, said):
    with pytest.raises(DesignError, match=said):
        at(rule, row, 1)


def test_motifs_are_told_by_their_tag_and_have_a_schema():
    motifs = TypeAdapter(Motif)
    assert motifs.validate_python({"motif": "fill", "spacing": "1/2 in"}).spacing == 12.7
    with pytest.raises(ValidationError, match="motif"):
        motifs.validate_python({"motif": "feather"})
    schema = motifs.json_schema()
    for model in schema["$defs"].values():
        for field in model.get("properties", {}).values():
            assert "description" in field or "const" in field
