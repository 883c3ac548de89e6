"""Tables as the csv module reads them back."""

import csv
import io

import pytest
from hypothesis import given
from strategies import broken_toml

from stitchpath.errors import DesignError
from stitchpath.formats.csv_text import cell, csv_text


def read(text):
    return list(csv.reader(io.StringIO(text, newline=""), strict=True))


@given(broken_toml(), broken_toml())
def test_cells_with_quotes_commas_and_line_ends_are_read_back(one, other):
    assert read(csv_text([("a", "b"), (one, other)])) == [["a", "b"], [one, other]]


def test_numbers_rows_and_line_ends():
    text = csv_text([("x_mm", "n"), (1.5, 2), ("-0.25", 0)])
    assert text == "x_mm,n\r\n1.5,2\r\n-0.25,0\r\n"
    assert read(csv_text(iter([("a,b", 'c"')]))) == [["a,b", 'c"']]
    assert csv_text([]) == ""
    assert csv_text([(), ()]) == "\r\n\r\n"


@pytest.mark.parametrize("name", ["=1+1", "+1", "-1", "@a"])
def test_what_a_table_program_takes_for_a_formula_is_refused(name):
    with pytest.raises(DesignError, match="formula"):
        cell(name)
    assert cell(f"a{name}") == f"a{name}"


@pytest.mark.parametrize("name", ["a\r\nb", "\t", "a\u202eb", "\ufeff"])
def test_what_cannot_be_printed_is_refused(name):
    with pytest.raises(DesignError, match="cannot be printed"):
        cell(name)


@pytest.mark.parametrize("name", ["", "pale grey", 'a "b", c', "½", "\U0001f9f5"])
def test_any_other_name_stays_as_it_is(name):
    assert cell(name) == name
