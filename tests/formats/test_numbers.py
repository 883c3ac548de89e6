import numpy as np
import pytest
from hypothesis import given, settings
from strategies import numbers, whole

from stitchpath.formats.numbers import fixed, fixed_pairs, path_data


@settings(deadline=None, derandomize=True, max_examples=200)
@given(numbers(), whole(1, 5))
def test_within_half_the_last_place_and_never_minus_zero(number, decimals):
    for text in (
        fixed(number, decimals),
        fixed_pairs(np.array([[number, 0.0]]), decimals=decimals)[0].split(",")[0],
    ):
        assert abs(float(text) - number) <= 0.5000001 * 10.0**-decimals + 1e-9
        assert len(text.split(".")[1]) == decimals
        assert text.lstrip("-").strip("0.") or not text.startswith("-")


@pytest.mark.parametrize("number", [float("nan"), float("inf"), -float("inf")])
def test_only_finite(number):
    with pytest.raises(ValueError, match="give a finite number"):
        fixed(number)


def test_a_single_point_is_no_path():
    assert path_data(np.array([[1.0, 2.0]])) == ""
