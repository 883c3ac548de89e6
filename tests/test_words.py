"""Lengths, shares, times and numbers as people read them."""

import pytest

from stitchpath.words import duration, length, numbers, share


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (0, "mm", "0 mm"),
        (999.9, "mm", "999.9 mm"),
        (1e6, "mm", "1,000.00 m"),
        (914.4, "in", "1.0 yd"),
        (250, "cm", "25 cm"),
    ],
)
def test_lengths(mm, unit, text):
    assert length(mm, unit) == text


def test_only_nothing_reads_nothing():
    assert [share(x) for x in (0, 1e-9, 0.0001, 0.5, 93)] == [
        "0 %",
        "< 0.01 %",
        "0.01 %",
        "50.00 %",
        "9,300.00 %",
    ]


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (59.6, "1 min 00 s"),
        (3599.4, "59 min 59 s"),
        (3599.6, "1 h 00 min"),
        (7199, "2 h 00 min"),
        (3.6e6, "1,000 h 00 min"),
    ],
)
def test_durations_carry_over(seconds, text):
    assert duration(seconds) == text


@pytest.mark.parametrize(
    ("counted", "text"),
    [
        ([1, 2], "1 and 2"),
        ([1, 2, 3], "1 to 3"),
        ([1, 3, 4, 5, 9], "1, 3 to 5 and 9"),
        (range(2, 77), "2 to 76"),
        ([*range(1, 27, 2), *range(30, 50)], "1, 3, 5, 7, 9, 11, 13, 15, 17, 19, 21, 23 and 21 more"),
    ],
)
def test_numbers_are_said_in_short_and_none_is_lost(counted, text):
    assert numbers(counted) == text


def test_all_numbers_are_said_where_that_is_asked_for():
    counted = [*range(1, 27, 2), *range(30, 50)]
    assert numbers(counted, most=None).endswith("21, 23, 25 and 30 to 49")
