"""What is put side by side: plans, wishes, and a plan made elsewhere."""

from dataclasses import replace

import pytest
from compared_plans import DRAWING, ONE, TWO, wished, with_foreign

from stitchpath.compare.side_by_side import (
    MADE_ELSEWHERE,
    SideBySide,
    other_drawings,
    other_scale,
    side_by_side,
)
from stitchpath.compare.wishes import WISHES
from stitchpath.lines import Line
from stitchpath.settings import CostSettings, MachineSettings


def test_plans_that_weigh_otherwise_are_told():
    assert other_scale(side_by_side([TWO, ONE])) == ()
    assert other_scale(side_by_side([])) == ()
    dear = replace(ONE, cost_settings=CostSettings(path_cost_s=7))
    (said,) = other_scale(side_by_side([TWO, dear], ["a", "b"]))
    assert said.endswith(": b.")


def test_plans_have_their_names_or_numbers():
    assert side_by_side([TWO, ONE]).names == ("plan 1", "plan 2")
    told = side_by_side([TWO, ONE], ["a", "b"])
    assert (told.names, told.plans, told.prices, told.foreign) == (("a", "b"), (TWO, ONE), (), None)
    assert [row.name for row in told.compared] == ["a", "b"]
    assert side_by_side([]).plans == ()
    with pytest.raises(ValueError, match="1 names for 2 plans"):
        side_by_side([TWO, ONE], ["a"])


def test_only_wishes_that_changed_something_are_plans_of_their_own_but_all_have_prices():
    told = wished()
    assert told.names == ("as it is", WISHES[0].name)
    assert told.plans == (TWO, ONE)
    assert [price.wish for price in told.prices] == list(WISHES[:3])


def test_a_plan_made_elsewhere_is_the_last_and_its_paths_are_not_matched():
    told = with_foreign(side_by_side([TWO, ONE]))
    assert told.names == ("plan 1", "plan 2", MADE_ELSEWHERE)
    assert [row.name for row in told.compared] == list(told.names)
    assert told.plans[-1] is told.foreign.plan
    assert list(told.not_in_the_first()) == [(), (1,), None]
    assert list(with_foreign(SideBySide()).not_in_the_first()) == [None]


def test_plans_of_another_drawing_are_named():
    assert other_drawings(side_by_side([TWO, ONE])) == ()
    moved = replace(ONE, drawing=replace(DRAWING, lines=(Line([(0, 0), (99, 0)]), *DRAWING.lines[1:])))
    (said,) = other_drawings(side_by_side([TWO, moved], ["a", "b"]))
    assert said.endswith("not of the first one's drawing: b.")


@pytest.mark.parametrize(
    ("change", "other"),
    [
        ({"machine": MachineSettings(cuts_thread=True)}, True),
        ({"machine": MachineSettings(sewing_speed_mm_s=99)}, True),
        ({"machine": MachineSettings(lift_speed_mm_s=99)}, False),
        ({"cost_settings": CostSettings(roles={"fill": {"shows": 2}})}, True),
        ({"cost_settings": CostSettings(path_cost_s=MachineSettings().path_cost_s)}, False),
    ],
)
def test_a_scale_is_what_ends_and_travel_cost(change, other):
    assert bool(other_scale(side_by_side([TWO, replace(ONE, **change)]))) == other
