import pytest

from stitchpath.cli.tables import beside_each_other, laid_out

ROWS = [("", "plan", "ends in open cloth"), ("paths", "5", "1,234"), ("a long label", "", "1 min 05 s")]


def test_columns_line_up():
    assert laid_out(ROWS).splitlines() == [
        "              plan  ends in open cloth",
        "paths            5               1,234",
        "a long label                1 min 05 s",
    ]


def test_heads_are_broken_between_words_where_there_is_no_room_and_figures_never():
    assert laid_out(ROWS, columns=30).splitlines() == [
        "                       ends in",
        "              plan  open cloth",
        "paths            5       1,234",
        "a long label        1 min 05 s",
    ]
    assert laid_out(ROWS, columns=4).splitlines()[-1] == "a long label        1 min 05 s"


def test_words_in_the_last_column_are_broken_into_lines():
    rows = [
        ("wish", "time", "paths that change"),
        ("one", "+1 s", "1 to 4 and " * 5),
        ("two", "same", "x" * 40),
    ]
    lines = laid_out(rows, words_last=True, columns=42).splitlines()
    assert lines[:2] == ["wish  time  paths that change", "one   +1 s  1 to 4 and 1 to 4 and 1 to 4"]
    assert lines[2:] == [
        "            and 1 to 4 and 1 to 4 and",
        "two   same  " + "x" * 30,
        "            " + "x" * 10,
    ]


def test_text_is_laid_out_as_it_is_on_any_terminal(monkeypatch):
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("COLUMNS", "5")
    assert laid_out([("", "a"), ("[b]:smile:", "1")]) == "            a\n[b]:smile:  1"
    assert laid_out([("", "a"), ("梨", "1"), ("pear", "2")]).splitlines()[1] == "梨    1"


def test_rows_of_unequal_length_are_a_fault():
    with pytest.raises(ValueError, match="zip"):
        laid_out([("a",), ("b", "c")])


def test_blocks_stand_beside_each_other_where_there_is_room():
    blocks = ["one\n...\n.1.", "two\n...\n2..", "three\n#"]
    assert beside_each_other(blocks, gap=3, columns=80).splitlines() == [
        "one   two   three",
        "...   ...   #",
        ".1.   2..",
    ]
    assert beside_each_other(blocks, gap=3, columns=13).splitlines()[4:] == ["three", "#"]
