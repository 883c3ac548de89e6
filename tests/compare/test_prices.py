"""What wishes cost, worked out by hand on plans laid by hand."""

from dataclasses import replace

import pytest
from figure_plans import SEW, TRAVEL, path, plan_of

from stitchpath.compare.prices import changed_paths, wish_table
from stitchpath.compare.whatif import WhatIf, Wished
from stitchpath.compare.wishes import WISHES
from stitchpath.drawing import Drawing
from stitchpath.figures import plan_figures
from stitchpath.lines import Line, Role
from stitchpath.settings import CostSettings

SEAM = Line([(0, 0), (100, 0)], Role.DITCH)
FILL = Line([(50, 0), (50, 60)], Role.FILL)
DRAWING = Drawing((SEAM, FILL))
TWO = plan_of(
    DRAWING, path([(0, 0), (100, 0)], (SEW, 0, 1, 1)), path([(50, 0), (50, 60)], (SEW, 0, 1, 2)), cost=999.0
)
ONE = plan_of(
    DRAWING,
    path([(0, 0), (100, 0), (50, 0), (50, 60)], (SEW, 0, 1, 1), (TRAVEL, 1, 2, 1), (SEW, 2, 3, 2)),
    cost=1.0,
)


def test_a_price_by_hand():
    """A cut less, and 50 mm of travel more; a lift of 50 mm and a path's 60 s less.

    Cost: ends 30 s x (1 + 1 + 1 + 4) against 30 s x (1 + 4) and 1 s of travel in a seam.
    """
    (price,) = wish_table(WhatIf(TWO, (Wished(WISHES[0], ONE),)))
    assert (price.cuts, price.open_ends, price.travel_mm) == (-1, 0, 50)
    assert price.time_s == pytest.approx(plan_figures(ONE).times.total_s - plan_figures(TWO).times.total_s)
    assert -60 < price.time_s < -59
    assert price.cost_s == pytest.approx(1 - 60)
    assert (price.changed, price.paths) == ((1,), 1)


def test_the_cost_is_counted_on_the_first_plan_s_scale():
    dear = replace(ONE, cost_settings=CostSettings(backing="contrasting"))
    (plain,) = wish_table(WhatIf(TWO, (Wished(WISHES[0], ONE),)))
    (price,) = wish_table(WhatIf(TWO, (Wished(WISHES[0], dear),)))
    assert price == plain
    (price,) = wish_table(WhatIf(replace(TWO, cost_settings=dear.cost_settings), (Wished(WISHES[0], ONE),)))
    assert price.cost_s == pytest.approx(5 - 60)


def test_a_wish_that_cannot_be_had_and_one_that_is_so_already():
    none, same = wish_table(WhatIf(TWO, (Wished(WISHES[0], None, "no such"), Wished(WISHES[1], TWO))))
    assert (none.problem, none.asked_already, none.changed) == ("no such", False, ())
    assert (same.problem, same.asked_already, same.paths) == ("", True, 2)


def test_ends_left_in_open_cloth_are_told_of_the_wish_against_them_alone():
    """TWO has one end in open cloth, at the fill's tip."""
    against, other = wish_table(WhatIf(TWO, (Wished(WISHES[0], TWO), Wished(WISHES[1], TWO))))
    assert against.wish.name == "no ends in the open"
    assert (against.open_ends_left, other.open_ends_left) == (plan_figures(TWO).open_ends, 0) == (1, 0)


def test_paths_are_matched_either_way_and_each_once():
    one, two = (path(points, (SEW, 0, 1, 1)) for points in ([(0, 0), (9, 0)], [(0, 0), (0, 9)]))
    back = path([(9, 0), (0, 0)], (SEW, 0, 1, 1))
    assert changed_paths([one, two, back], [back, two]) == (3,)
    assert changed_paths([two, one], [one, two]) == ()
    assert changed_paths([one], []) == (1,)
    near = path([(0, 0), (9, 0.0002)], (SEW, 0, 1, 1))
    off = path([(0, 0), (9, 0.02)], (SEW, 0, 1, 1))
    assert changed_paths([near, off], [one, one]) == (2,)
    minus = path([(-0.0, 0), (9, -0.0)], (SEW, 0, 1, 1))
    assert changed_paths([minus], [one]) == ()
