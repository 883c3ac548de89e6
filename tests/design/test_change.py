"""What one block has otherwise: its block in words, its values, and the unit in which bare numbers count."""

import pytest
from pydantic import ValidationError

from stitchpath.design.change import Change


def change(block="row 2, column 3", *, unit=None, **to):
    said = {"block": block, "motif": "pear", "to": to or {"height": 7}}
    return Change.model_validate(said, context=unit and {"unit": unit})


@pytest.mark.parametrize(
    ("block", "place"),
    [("row 2, column 3", (2, 3)), ("row 10, column 1", (10, 1)), ("row 9999, column 99", (9999, 99))],
)
def test_a_block_is_said_in_words(block, place):
    assert change(block).row_column == place


@pytest.mark.parametrize(
    "block",
    ["", "3/1", "row 0, column 1", "row 01, column 1", "row 1, column 10000", "row 1,column 1",
     "Row 1, column 1", "row 1, column 1\n", "row -1, column 1", "row ١, column 1"],
)  # fmt: skip
def test_what_is_no_block_is_refused_with_an_example(block):
    with pytest.raises(ValidationError, match=r'is no block; write one such as "row 2, column 3"'):
        change(block)


@pytest.mark.parametrize(
    "wrong", [{"to": {}}, {"motif": ""}, {"motif": "=pear"}, {"to": 7}, {"colour": "red"}, {"block": None}]
)
def test_what_lacks_something_or_has_too_much_is_refused(wrong):
    good = {"block": "row 1, column 1", "motif": "pear", "to": {"height": 7}}
    assert Change(**good).to == {"height": 7}
    with pytest.raises(ValidationError):
        Change(**good | wrong)


def test_bare_numbers_count_in_the_unit_of_their_file():
    assert change().unit == "mm"
    assert change(unit="in").unit == "in"
    for to in ({"height": 7}, {"height": {"rows": [1, 2.5]}}, {"centre": (0, 1)}):
        assert change(**to) == change(**to, unit="mm") != change(**to, unit="in")


def test_without_a_bare_number_the_unit_says_nothing():
    for to in ({"height": "7 in"}, {"height": {"like": "plum"}}, {"applique": True}):
        assert change(**to) == change(**to, unit="in")


def test_changes_to_something_else_are_not_the_same():
    assert change() != change("row 2, column 2")
    assert change() != change(height=8)
    assert change() != Change(block="row 2, column 3", motif="leaf", to={"height": 7})
    assert change() != {"height": 7}


def test_without_a_motif_it_is_the_whole_blocks_thread():
    whole = Change(block="row 2, column 3", to={"thread": "red"})
    assert (whole.block_thread, whole.row_column) == ("red", (2, 3))
    assert Change(block="row 2, column 3", motif="pear", to={"thread": "red"}).block_thread is None


@pytest.mark.parametrize("to", [{"height": 7}, {"thread": "red", "height": 7}, {"thread": 7}])
def test_without_a_motif_nothing_else_can_change(to):
    with pytest.raises(ValidationError, match="no motif is named; name one, or write nothing but a thread"):
        Change(block="row 2, column 3", to=to)
