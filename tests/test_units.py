"""1 in = 25.4 mm exactly: international yard and pound agreement 1959; NIST SP 811, appendix B."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stitchpath.units import MM_PER, format_length, parse_length


def test_an_inch_is_254_tenths_of_a_millimetre_and_no_other_number():
    assert dict(MM_PER) == {"mm": 1, "cm": 10, "in": Fraction(254, 10)}


@pytest.mark.parametrize(
    ("said", "mm"),
    [
        ("1 in", 25.4),
        ("36 in", 914.4),  # one international yard
        ("1/2 in", 12.7),
        ("1 1/4 in", 31.75),
        ("1/16 in", 1.5875),
        ("3/8in", 9.525),
        ("12.7 mm", 12.7),
        (".5 cm", 5.0),
        (" 1.5 cm ", 15.0),
        ("7", 7.0),
        ("-1/8 in", -3.175),
        ("-1 1/4 in", -31.75),
        ("4/2 in", 50.8),
        (0, 0.0),
        (12.7, 12.7),
    ],
)
def test_lengths_as_people_write_them(said, mm):
    assert parse_length(said) == mm


@pytest.mark.parametrize(("unit", "mm"), [("mm", 1.5), ("cm", 15.0), ("in", 38.1)])
@pytest.mark.parametrize("said", [1.5, "1.5", "1 1/2", "3/2"])
def test_a_bare_number_is_in_the_designs_unit(said, unit, mm):
    assert parse_length(said, unit=unit) == mm


@pytest.mark.parametrize(
    "said",
    ["", " ", "in", "1/0 in", "1 in 2", "1.5.2", "1 1.5 in", "1e3", "1,5 cm", "½ in", "1 ft", "٣ mm", "--1",
     "1/2/3 in", '1/2"', True, None, [1], b"1 mm", "9" * 50, float("nan"), float("inf"), -float("inf"),
     10**400, -1e12],
)  # fmt: skip
def test_what_is_no_length_is_refused_with_what_to_write(said):
    with pytest.raises(ValueError, match=r"is not a length; write a ") as caught:
        parse_length(said)
    assert len(str(caught.value)) < 150


@settings(deadline=None, derandomize=True, max_examples=200)
@given(st.integers(-3000, 3000))
def test_sixteenths_of_an_inch_are_read_back_as_written(sixteenths):
    length = float(Fraction(sixteenths, 16) * MM_PER["in"])
    assert parse_length(format_length(length, "in")) == length


@pytest.mark.parametrize(
    ("mm", "unit", "said"),
    [
        (25.4, "in", "1 in"),
        (12.7, "in", "1/2 in"),
        (-31.75, "in", "-1 1/4 in"),
        (-0.1, "in", "-0.1 mm"),
        (25.3, "in", "1 in"),
        (0.04, "mm", "0.04 mm"),
        (0.0004, "mm", "0 mm"),
        (-0.0004, "in", "0 in"),
        (0.7, "in", "0.7 mm"),
        (0.8, "in", "1/16 in"),
        (12.345, "cm", "1.23 cm"),
    ],
)
def test_lengths_for_people_are_rounded(mm, unit, said):
    assert format_length(mm, unit) == said
