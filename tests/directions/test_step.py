"""What a step promises of itself and of its neighbours."""

from itertools import groupby, pairwise

import pytest
from banded_plans import banded

from stitchpath.directions.step import Step
from stitchpath.directions.teller import steps_of


def step(block):
    return Step(1, 1, 1, "detail", block, "sew", "", "", 1.0, 1, 0.0, 0, 1, (0, 0), (1, 0), "", "")


@pytest.mark.parametrize(
    ("block", "heading"),
    [
        ("row 2, column 3", "Row 2, column 3"),
        ("sashing above row 1", "Sashing above row 1"),
        ("BORDER", "BORDER"),
        ("x", "X"),
        ("", "The whole top"),
    ],
)
def test_a_step_stands_under_its_block(block, heading):
    assert step(block).heading == heading


def test_the_steps_of_a_path_lie_on_it_end_to_end():
    plan = banded(rows=2, columns=2)
    told = steps_of(plan)
    assert [one.number for one in told] == list(range(1, len(told) + 1))
    by_path = {number: list(steps) for number, steps in groupby(told, key=lambda one: one.path)}
    assert list(by_path) == list(range(1, len(plan) + 1))
    for path, steps in zip(plan, by_path.values(), strict=True):
        assert (steps[0].verb, steps[-1].verb) == ("bring up", "tie off")
        assert (steps[0].first, steps[-1].last) == (0, len(path.coordinates_mm) - 1)
        assert all(one.last == after.first for one, after in pairwise(steps))
        for one in steps:
            assert one.band == path.band
            assert one.start_mm == tuple(path.coordinates_mm[one.first])
            assert one.end_mm == tuple(path.coordinates_mm[one.last])
