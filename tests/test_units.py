"""1 in = 25.4 mm exactly: international yard and pound agreement 1959; NIST SP 811, appendix B."""

import math
from fractions import Fraction
from typing import Annotated

import pytest
from hypothesis import given, settings
from pydantic import TypeAdapter, ValidationError
from strategies import whole

from stitchpath.units import MM_PER, LengthIn, format_length, length_field, parse_length


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
     10**400, -1e12, 1e308],
)  # fmt: skip
def test_what_is_no_length_is_refused_with_what_to_write(said):
    with pytest.raises(ValueError, match=r"is not a length; write a ") as caught:
        parse_length(said)
    assert len(str(caught.value)) < 150


@settings(deadline=None, derandomize=True, max_examples=200)
@given(whole(-3000, 3000))
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


REACH = TypeAdapter(Annotated[float, LengthIn(25, 1000, "a reach")])


@pytest.mark.parametrize(
    ("said", "unit", "mm"),
    [("1 in", "mm", 25.4), (1, "in", 25.4), (25, "mm", 25), (100, "cm", 1000)],
)
def test_a_length_in_its_range_is_taken_ends_included(said, unit, mm):
    assert REACH.validate_python(said, context={"unit": unit}) == mm


@pytest.mark.parametrize(
    ("said", "unit", "message"),
    [
        (0.5, "in", "0.5 in is too small for a reach; write 25 mm or more"),
        ("3/4", "in", '"3/4" in is too small for a reach; write 25 mm or more'),
        ("3/4 in", "mm", '"3/4 in" is too small for a reach; write 25 mm or more'),
        (1e-308, "mm", "1e-308 mm is too small for a reach; write 25 mm or more"),
        (-1, "cm", "-1 cm is too small for a reach; write 25 mm or more"),
        ("99999999999 in", "mm", '"99999999999 in" is too large for a reach; write 1000 mm or less'),
        (9e11, "cm", "900000000000.0 cm is too large for a reach; write 1000 mm or less"),
        (1e308, "in", "1e+308 is not a length; write a smaller number"),
        (10**400, "in", "a huge number is not a length; write a smaller number"),
        (math.nan, "in", "nan is not a length; write a finite number"),
        (True, "mm", 'true is not a length; write a number or a text like "1 1/4 in", "12.7 mm" or "1.5 cm"'),
    ],
)
def test_a_length_out_of_its_range_is_told_as_it_was_written(said, unit, message):
    with pytest.raises(ValidationError) as caught:
        REACH.validate_python(said, context={"unit": unit})
    (error,) = caught.value.errors()
    assert error["msg"] == f"Value error, {message}"


def test_zero_has_no_sign():
    sides = TypeAdapter(Annotated[float, LengthIn(-1, 1, "a place")])
    assert [math.copysign(1, sides.validate_python(zero)) for zero in (-0.0, "-0 in", 0)] == [1, 1, 1]


def test_a_field_that_may_be_left_out_tells_its_unit():
    for default, mm, told in (("1/10 in", 2.54, "1/10 in"), (5.08, 5.08, "5.08 mm"), (0, 0, "0 mm")):
        field = length_field(default, description="")
        assert (field.default, field.json_schema_extra) == (mm, {"default": told})
