"""What lies between a plan and the least possible, turned into tie-offs and travel, worked out by hand."""

from dataclasses import replace

import pytest
from plans import line

from stitchpath.drawing import Drawing
from stitchpath.figures.over_least import over_least, over_least_words
from stitchpath.planner import make_plan
from stitchpath.settings import CostSettings, MachineSettings

PLAN = make_plan(Drawing.from_lines([line((0, 0), (90, 0)), line((0, 50), (90, 50))], roles="fill"))
"""Two paths, four ends in open cloth at four times half of 60 s: 480 s, and no less is possible."""


def test_nothing_less_is_possible():
    assert (PLAN.cost, PLAN.optimal) == (pytest.approx(480), True)
    assert over_least_words(over_least(PLAN)) == "proven to be the least possible"


@pytest.mark.parametrize(
    ("about", "tie_offs", "travel_s", "travel_mm"),
    [
        ({}, 2, 16, 800),
        ({"machine": MachineSettings(sewn_by="hand")}, 2, 16, 400),
        ({"machine": MachineSettings(secured="buried tails")}, 1, 16, 800),
        ({"cost_settings": CostSettings(path_cost_s=40.0)}, 4, 16, 800),
        ({"cost_settings": CostSettings(roles={"ditch": {"end_shows": 3}})}, 0, 16, 800),
        (
            {"cost_settings": CostSettings(roles={"strip": {"shows": 40}, "outline": {"shows": 40}})},
            2,
            4,
            200,
        ),
    ],
)
def test_eighty_seconds(about, tie_offs, travel_s, travel_mm):
    """A tie-off in a seam is half of 60 s; what shows least of what shows are strips, at five."""
    found = over_least(replace(PLAN, bound=PLAN.cost - 80, **about))
    assert found.ratio == pytest.approx(80 / 400)
    assert (found.tie_offs, found.travel_s, found.travel_mm) == pytest.approx((tie_offs, travel_s, travel_mm))


@pytest.mark.parametrize(
    ("over_s", "said"),
    [
        (80, "20.00 % over the least possible: 2 tie-offs in seams, or 16 s (31 1/2 in) of visible travel"),
        (59, "1 tie-off in a seam, or 12 s (23 1/4 in) of visible travel"),
        (29, "less than one tie-off in a seam, or 6 s (11 7/16 in) of visible travel"),
        (480, "not known to be near the least possible"),
    ],
)
def test_in_words(over_s, said):
    assert over_least_words(over_least(replace(PLAN, bound=PLAN.cost - over_s)), "in").endswith(said)
