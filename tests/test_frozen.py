"""What every table of a design file has in common."""

import pytest
from pydantic import ValidationError

from stitchpath.frozen import Frozen


class Basket(Frozen):
    """A table with a number and a list."""

    weight: float = 1.0
    pears: tuple[str, ...] = ()


def test_lists_are_kept_as_tuples_and_a_zero_has_no_sign():
    basket = Basket(weight=-0.0, pears=["green", "red"])
    assert (basket.pears, str(basket.weight)) == (("green", "red"), "0.0")


def test_it_is_not_changed_and_takes_nothing_unknown_or_infinite():
    with pytest.raises(ValidationError, match="frozen"):
        Basket().weight = 2.0
    with pytest.raises(ValidationError, match='there is no key "apples" here'):
        Basket(apples=1)
    with pytest.raises(ValidationError, match="finite"):
        Basket(weight=float("inf"))
