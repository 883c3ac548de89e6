"""Lines straightened out along one axis: lengths stay, places lead back, and roles say the rest."""

from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from railed import rails
from strategies import lines

from stitchpath.check.measuring.rails import NO_STAGE, named
from stitchpath.errors import DesignError
from stitchpath.lines import ROLES, Line, Role
from stitchpath.settings import CostSettings, RoleChange, ScheduleSettings


@settings(deadline=None, max_examples=40)
@given(lines(points=5, up_to=5, step_mm=3.0))
def test_lines_keep_their_length_and_places_lead_back_to_them(drawn):
    laid = rails(*drawn)
    low, high = laid.extent
    assert high - low == pytest.approx([line.length_mm for line in drawn])
    assert all(low[1:] > high[:-1])
    for i, line in enumerate(drawn):
        whole = shapely.LineString(line.points_mm)
        for share in (0.1, 0.5, 0.77):
            at = np.array([low[i] + share * (high[i] - low[i])])
            ((point,), (along,)) = laid.locate(at)
            assert point == pytest.approx(whole.interpolate(share, normalized=True).coords[0], abs=1e-9)
            assert np.hypot(*along) == pytest.approx(1)
            assert laid.line[laid.piece(at)] == [i]
    segments = [pair for line in drawn for pair in pairwise(line.points_mm.tolist())]
    assert np.stack((laid.start, laid.end), axis=1).tolist() == [list(pair) for pair in segments]


def test_points_that_repeat_make_no_piece():
    laid = rails([(0, 0), (0, 0), (3, 4), (3, 4)])
    assert (laid.start.tolist(), laid.end.tolist()) == ([[0, 0]], [[3, 4]])
    assert (laid.extent[1] - laid.extent[0]).tolist() == [5]


def test_roles_say_stage_times_and_what_shows():
    drawn = [Line([(0, y), (9, y)], role) for y, role in enumerate((Role.BASTE, Role.DITCH, Role.FILL))]
    seam = Line([(0, 9), (9, 9)], Role.HIDDEN)
    laid = rails(*drawn, hidden=(seam,), left=[False, False, True, False])
    assert laid.stage.tolist() == [0, 1, NO_STAGE, NO_STAGE]
    assert laid.hidden.tolist() == [False, False, False, True]
    roles = [line.role for line in (*drawn, seam)]
    assert laid.most_times().tolist() == [ROLES[role].most_times for role in roles]
    assert laid.shows().tolist() == [ROLES[role].shows for role in roles]
    changed = rails(*drawn, cost=CostSettings(roles={Role.FILL: RoleChange(most_times=3, shows=7)}))
    assert (changed.most_times()[2], changed.shows()[2]) == (3, 7)
    assert rails(drawn[0], schedule=ScheduleSettings(stages="all in one")).stage.tolist() == [0]


def test_lines_are_ranked_by_how_much_travel_shows_and_then_by_how_thread_builds_up():
    drawn = [
        Line([(0, y), (9, y)], role) for y, role in enumerate((Role.FILL, Role.DITCH, Role.BASTE, Role.ECHO))
    ]
    laid = rails(*drawn, cost=CostSettings(roles={Role.DITCH: RoleChange(builds_up=0.5)}))
    rank, ranked = laid.visibility()
    assert (rank.tolist(), ranked.tolist()) == ([2, 1, 0, 2], [[1, 0], [1, 0.5], [20, 1]])


def test_no_lines_are_no_rails():
    laid = rails()
    assert (len(laid.line), laid.asked, len(laid.hidden), laid.shows().tolist()) == (0, 0, 0, [])
    assert [part.tolist() for part in laid.visibility()] == [[], []]


@pytest.mark.parametrize("bad", [np.nan, np.inf, -np.inf])
def test_a_coordinate_that_is_no_number_is_refused(bad):
    with pytest.raises(DesignError, match="not finite"):
        rails([(0, 0), (9, 0)], hidden=(Line([(0, 0), (bad, 1)], Role.HIDDEN),))


def test_a_line_is_named_by_block_and_motif_or_by_its_role():
    points = [(0, 0), (9, 0)]
    assert named(Line(points, Role.ECHO, motif="echo", block="row 2, column 1")) == "row 2, column 1: echo"
    assert named(Line(points, Role.DITCH, motif="ditch")) == "ditch"
    assert named(Line(points, Role.STRIP)) == "a strip line"
