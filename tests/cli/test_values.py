"""Values as they can be typed: what is read, and what is refused in a sentence that says what to write."""

import argparse

import pytest

from stitchpath.cli.values import foot_radius, place, seed, stitch_length, tolerance, workers


@pytest.mark.parametrize(
    ("read", "text", "value"),
    [
        (seed, "0", 0),
        (seed, "9" * 18, 10**18 - 1),
        (workers, "1", 1),
        (workers, "999", 999),
        (place, "-1.5, 2e1", (-1.5, 20.0)),
        (tolerance, "0.01", 0.01),
        (tolerance, "10 mm", 10.0),
        (tolerance, "1/32 in", 25.4 / 32),
        (stitch_length, "1/10 in", 2.54),
        (stitch_length, "10 cm", 100.0),
        (foot_radius, "1/4 in", 6.35),
        (foot_radius, "50", 50.0),
    ],
)
def test_what_is_read(read, text, value):
    assert read(text) == pytest.approx(value, rel=1e-15)


@pytest.mark.parametrize(
    ("read", "text", "words"),
    [
        *(
            (seed, text, "is no seed: write a whole number from 0 up")
            for text in ("", "-1", "1.5", "²", "9" * 19)
        ),
        *((workers, text, "write one from 1 to 999") for text in ("", "0", "-2", "1000", "two", "٣")),
        *(
            (place, text, "is no place: write x,y such as 0,0")
            for text in ("", "1", "1,2,3", "1;2", "nan,0", "0,inf")
        ),
        (tolerance, "0.009", 'is no tolerance: write one from "0.01 mm" to "10 mm"'),
        (tolerance, "11", 'is no tolerance: write one from "0.01 mm" to "10 mm"'),
        (stitch_length, "0", 'is no stitch length: write one from "0.1 mm" to "100 mm"'),
        (stitch_length, "4 in 1", "4 in 1"),
        (foot_radius, "90 mm", """is no foot's radius: write one from "0.5 mm" to "50 mm\""""),
        (foot_radius, "-5", "-5"),
        (tolerance, "nan", "nan"),
        (tolerance, "", '"" is not a length; write a number or a text like'),
    ],
)
def test_what_is_refused(read, text, words):
    with pytest.raises(argparse.ArgumentTypeError) as caught:
        read(text)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)
