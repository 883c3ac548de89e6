"""Letters of a layout: one printable sign each, however it is coded, in rows like a picture."""

import pytest
from pydantic import TypeAdapter, ValidationError

from stitchpath.design.letters import Letter, Rows

LETTER, ROWS = TypeAdapter(Letter), TypeAdapter(Rows)


@pytest.mark.parametrize(
    ("given", "letter"),
    [("P", "P"), ("\u00e9", "\u00e9"), ("e\u0301", "\u00e9"), ("\U0001f9f5", "\U0001f9f5"), ("-", "-")],
)
def test_a_letter_is_composed(given, letter):
    assert LETTER.validate_python(given) == letter


@pytest.mark.parametrize("letter", ["", "PP", ".", " ", "\n", "\x00", "\u202e", "q\u0301", "\u200b"])
def test_what_is_no_letter_is_refused_with_an_example(letter):
    with pytest.raises(ValidationError, match='is no letter for a layout; write one letter such as "P"'):
        LETTER.validate_python(letter)


@pytest.mark.parametrize(
    ("layout", "rows"),
    [
        (["P.", ".P"], ("P.", ".P")),
        ("P.\n.P", ("P.", ".P")),
        ("\n  P .\n\n  . P\n", ("P.", ".P")),
        ("P.\r\n.P\r\n", ("P.", ".P")),
        (["P\t.", " .P "], ("P.", ".P")),
        ("e\u0301.", ("\u00e9.",)),
        ("", ()),
        ("  \n \n", ()),
        ([], ()),
        (["", "P"], ("", "P")),
    ],
)
def test_rows_from_a_list_or_a_picture(layout, rows):
    assert ROWS.validate_python(layout) == rows


@pytest.mark.parametrize("layout", [3, None, ["P", 3], {"P": 1}])
def test_what_is_no_layout_is_refused(layout):
    with pytest.raises(ValidationError):
        ROWS.validate_python(layout)


def test_the_schema_takes_a_text_or_a_list_of_rows():
    assert ROWS.json_schema()["anyOf"] == [
        {"type": "string"},
        {"type": "array", "items": {"type": "string"}, "minItems": 1},
    ]
