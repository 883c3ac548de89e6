"""What follows from what was measured of paths of unknown make."""

from dataclasses import replace

import numpy as np
import pytest
from figure_plans import SEW, path, plan_of

from stitchpath.drawing import Drawing
from stitchpath.figures.foreign import EndsFound, Foreign, MissedLine

WAYS = [(0, 0), (10, 0)], [(10, 4), (20, 4)], [(23, 4), (23, 9)]
PLAN = plan_of(Drawing(()), *(path(way, (SEW, 0, 1, None)) for way in WAYS))
FOUND = Foreign(
    length_mm=25, asked_mm=200, covered_mm=150, missed=(MissedLine(2, "a", "pear", "outline", 50, 80),),
    twice_mm=0, travel_mm=0, off_mm=0, keep_out_mm=0, ends=EndsFound(2, 3, 1), tolerance_mm=1.0,
    plan=PLAN, strayed=(),
)  # fmt: skip


def test_lifts_go_from_each_paths_end_to_the_next_ones_start():
    assert (FOUND.paths, FOUND.lifts) == (3, 2)
    assert FOUND.lifts_mm == pytest.approx(np.hypot(0, 4) + np.hypot(3, 0))


def test_the_share_is_of_what_is_asked_for():
    assert FOUND.share == 0.75
    assert replace(FOUND, asked_mm=0.0, covered_mm=0.0).share == 1.0


@pytest.mark.parametrize("count", [0, 1])
def test_one_path_or_none_has_no_lift(count):
    few = replace(FOUND, plan=replace(PLAN, paths=PLAN.paths[:count]))
    assert (few.paths, few.lifts, few.lifts_mm) == (count, 0, 0.0)
