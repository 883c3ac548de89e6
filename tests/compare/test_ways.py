"""Ways side by side, worked out by hand on small cases; the greedy order against a plain search."""

import numpy as np
import pytest
from hypothesis import given, settings
from strategies import segments

from stitchpath.compare.ways import _greedy, nearest_end_next, one_by_one
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings


def line(*points, role=Role.DRAWN):
    return Line(points, role)


CORNER = Drawing((line((0, 0), (30, 0)), line((30, 40), (30, 0)), line((0, 0), (0, -10))))


def test_one_by_one_by_hand():
    """Three paths, six ends at 30 s x 4; lifts (30, 0) - (30, 40) and (30, 0) - (0, 0).

    Each line takes 50 / 500 s more for its start and stop; lifts of less than 150^2 / 500 = 45 mm are never
    at top speed.
    """
    way = one_by_one(CORNER)
    assert (way.paths, way.lifts, way.cost_s) == (3, 2, 6 * 30 * 4)
    assert (way.sewn_mm, way.travel_mm, way.lifts_mm) == (80, 0, 70)
    assert way.time_s == pytest.approx(
        80 / 50 + 3 * 0.1 + 2 * np.sqrt(40 / 500) + 2 * np.sqrt(30 / 500) + 3 * 60
    )


def test_nearest_end_next_by_hand():
    """From (0, 0) to (30, 0), on up to (30, 40); then a lift of 50 mm to (0, 0), and down."""
    way = nearest_end_next(CORNER)
    assert (way.paths, way.lifts, way.cost_s) == (2, 1, 4 * 30 * 4)
    assert (way.sewn_mm, way.lifts_mm) == (80, 50)
    corner_mm_s = np.sqrt(500 * 0.1 / (np.sqrt(2) - 1))
    lost = (2 * 50**2 + 2 * (50 - corner_mm_s) ** 2 + 2 * 50**2) / (2 * 500 * 50)
    assert way.time_s == pytest.approx(80 / 50 + lost + 50 / 150 + 150 / 500 + 2 * 60)


def test_ends_count_by_the_least_visible_role_that_meets_there():
    """The fill begins on the seam (1) and ends on open ground (4); the seam's own ends count 1 each."""
    drawing = Drawing((line((0, 0), (100, 0), role=Role.DITCH), line((50, 0), (50, 60), role=Role.FILL)))
    assert one_by_one(drawing).cost_s == 30 * (1 + 1 + 1 + 4)
    assert one_by_one(drawing, machine=MachineSettings(cuts_thread=True)).cost_s == 12.5 * 7
    assert one_by_one(drawing, cost=CostSettings(path_cost_s=2)).cost_s == 7


def test_stages_are_kept():
    """By nearest end the fill would come first; in stages the two seams do."""
    drawing = Drawing(
        (
            line((0, 0), (10, 0), role=Role.FILL),
            line((10, 0), (20, 0), role=Role.DITCH),
            line((50, 0), (60, 0), role=Role.DITCH),
        )
    )
    assert nearest_end_next(drawing).lifts_mm == (50 - 20) + (60 - 10)
    assert nearest_end_next(drawing, schedule=ScheduleSettings(stages="all in one")).lifts_mm == 30
    assert one_by_one(drawing).lifts_mm == 30 + 60
    assert one_by_one(drawing, schedule=ScheduleSettings(stages="all in one")).lifts_mm == 30


def test_a_closed_line_is_one_path_with_two_ends():
    ring = Drawing((line((0, 0), (9, 0), (9, 9), (0, 0), role=Role.OUTLINE),))
    assert nearest_end_next(ring).cost_s == one_by_one(ring).cost_s == 2 * 30 * 2


def plain_greedy(ends, here):
    """The same rule with no tree: look at every end left."""
    left, order = list(range(len(ends))), []
    while left:
        far = {
            (row, last): np.hypot(*(ends[row, int(last)] - here)) for row in left for last in (False, True)
        }
        row, last = min(far, key=lambda end: (far[end], end))
        order.append((row, last))
        left.remove(row)
        here = ends[row, 0 if last else 1]
    return order


@given(segments((0, 6), (0, 6), points_too=True, fewest=1, up_to=40))
@settings(deadline=None, derandomize=True, max_examples=80)
def test_greedy_agrees_with_a_plain_search_where_many_ends_coincide(cells):
    ends = np.array(cells)
    assert list(_greedy(ends, ends[0, 0])) == plain_greedy(ends, ends[0, 0])


def test_greedy_agrees_with_a_plain_search_over_several_trees(monkeypatch):
    ends = np.random.default_rng(7).uniform(0, 100, (300, 2, 2))
    monkeypatch.setattr("stitchpath.compare.ways._BURST", 17)
    assert list(_greedy(ends, np.zeros(2))) == plain_greedy(ends, np.zeros(2))
