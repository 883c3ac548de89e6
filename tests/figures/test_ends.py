"""Path ends by the kind of place they lie in, worked out by hand."""

from dataclasses import replace

import numpy as np
import pytest
from figure_plans import RESUME, SECURE, SEW, TRAVEL, path, plan_of
from hypothesis import given, settings
from strategies import lists_of_roles, roles

from stitchpath.drawing import Drawing
from stitchpath.figures import EndPlace, EndsAt, ends_by_place, path_ends_mm, plan_figures, shows_at_ends
from stitchpath.lines import ROLES, SEAM_ROLES, Line, Role
from stitchpath.settings import CostSettings


@pytest.fixture
def ladder():
    """Lines 10 mm apart, one of each role, from x = 0 to x = 50; a seam at x = 50 meets the last two."""
    roles = (Role.BASTE, Role.DITCH, Role.STRIP, Role.OUTLINE, Role.FILL, Role.ECHO, Role.DRAWN)
    rungs = [Line([(0, 10 * at), (50, 10 * at)], role) for at, role in enumerate(roles)]
    seam = Line([(50, 50), (50, 60)], Role.HIDDEN)
    edge = Line([(0, 70), (50, 70)], Role.ALLOWANCE)
    drawing = Drawing(tuple(rungs), hidden=(seam, edge))
    paths = [path(rung.points_mm, (SEW, 0, 1, at)) for at, rung in enumerate(rungs, 1)]
    along_the_edge = path(edge.points_mm, (TRAVEL, 0, 1, None))
    return plan_of(drawing, *paths, along_the_edge)


def test_each_end_counts_by_the_least_visible_role_that_meets_there(ladder):
    """Basting (path 1) and the edge line (8); the ditch (2), the right ends of 6 and 7; and so on."""
    assert ends_by_place(ladder) == (
        EndsAt(EndPlace.ALLOWANCE, 4, (1, 8)),
        EndsAt(EndPlace.SEAM, 4, (2, 6, 7)),
        EndsAt(EndPlace.STRIP, 2, (3,)),
        EndsAt(EndPlace.OUTLINE, 2, (4,)),
        EndsAt(EndPlace.FILL, 4, (5, 6, 7)),
    )


def test_what_meets_no_seam_is_open_cloth(ladder):
    assert [at.place for at in ends_by_place(ladder) if at.in_open_cloth] == [
        EndPlace.STRIP, EndPlace.OUTLINE, EndPlace.FILL
    ]  # fmt: skip
    figures = plan_figures(ladder)
    assert (figures.open_ends, figures.open_end_paths) == (8, (3, 4, 5, 6, 7))


def test_what_an_end_costs_does_not_move_it(ladder):
    dear = CostSettings(
        roles={"baste": {"end_shows": 9}, "ditch": {"end_shows": 9}, "hidden": {"end_shows": 9}}
    )
    assert ends_by_place(replace(ladder, cost_settings=dear)) == ends_by_place(ladder)


def test_a_closed_path_that_begins_on_a_seam_has_both_its_ends_there():
    """A ring from (0, 0) and a fill that only runs past the seam's end, 1 mm off."""
    ring = Line([(0, 0), (10, 0), (10, 10), (0, 0)], Role.OUTLINE)
    seam = Line([(0, -20), (0, 20)], Role.DITCH)
    fill = Line([(0, 21), (30, 21)], Role.FILL)
    drawing = Drawing((ring, seam, fill))
    plan = plan_of(drawing, path(ring.points_mm, (SEW, 0, 3, 1)), path(fill.points_mm, (SEW, 0, 1, 3)))
    assert [(at.ends, at.paths) for at in ends_by_place(plan)] == [
        (0, ()),
        (2, (1,)),
        (0, ()),
        (0, ()),
        (2, (2,)),
    ]


def test_an_end_lies_where_sewing_stops_not_where_it_is_secured():
    """Sewing stops in the seam at x = 0; what secures it runs 2 mm back along the fill."""
    drawing = Drawing((Line([(0, 0), (50, 0)], Role.FILL), Line([(0, -9), (0, 9)], Role.DITCH)))
    points = [(48, 0), (50, 0), (0, 0), (2, 0)]
    plan = plan_of(drawing, path(points, (SECURE, 0, 1, 1), (SEW, 1, 2, 1), (SECURE, 2, 3, 1)))
    assert [(at.place, at.ends) for at in ends_by_place(plan) if at.ends] == [
        (EndPlace.SEAM, 1), (EndPlace.FILL, 1)
    ]  # fmt: skip
    assert plan_figures(plan).ends_cost_s == pytest.approx(30 * (1 + 4))


def test_a_cut_line_taken_up_again_ends_at_the_cut():
    """The strip is cut in a seam at x = 50; band 2 begins 6 mm back: neither sewing nor travel."""
    drawing = Drawing((Line([(0, 0), (90, 0)], Role.STRIP), Line([(50, -9), (50, 9)], Role.DITCH)))
    plan = plan_of(drawing, path([(44, 0), (50, 0), (90, 0)], (RESUME, 0, 1, 1), (SEW, 1, 2, 1), band=2))
    assert [(at.place, at.ends) for at in ends_by_place(plan) if at.ends] == [
        (EndPlace.SEAM, 1), (EndPlace.STRIP, 1)
    ]  # fmt: skip
    figures = plan_figures(plan)
    assert (figures.sewn_mm, figures.travel_mm) == (40, 0)


def test_a_path_that_only_secures_has_ends_all_the_same():
    drawing = Drawing((Line([(0, 0), (50, 0)], Role.STRIP),))
    plan = plan_of(drawing, path([(0, 0), (1, 0)], (SECURE, 0, 1, 1)))
    assert [at.ends for at in ends_by_place(plan)] == [0, 0, 2, 0, 0]


@pytest.mark.parametrize(("off_mm", "shows"), [(0.0039, 1), (0.0041, 4)])
def test_lines_meet_within_the_tolerance_of_files(off_mm, shows):
    drawing = Drawing((Line([(0, off_mm), (50, off_mm)], Role.DITCH), Line([(5, 0), (5, -9)], Role.FILL)))
    assert shows_at_ends(drawing, np.array([(5.0, 0.0)]), [Role.FILL]) == shows


def test_path_ends_in_turn():
    ends = path_ends_mm([path([(0, 0), (1, 0), (2, 0)]), path([(3, 0), (4, 0)])])
    assert ends.tolist() == [[0, 0], [2, 0], [3, 0], [4, 0]]


@given(lists_of_roles(fewest=1, up_to=6), roles())
@settings(derandomize=True, deadline=None)
def test_places_are_those_of_a_plain_search(meeting, own):
    """Spokes that meet at (0, 0), where a path of one more spoke begins; its other end lies alone."""
    spokes = [Line([(0, 0), (9, 9 * at)], role) for at, role in enumerate(meeting, 1)]
    first = Line([(0, 0), (-9, 0)], own)
    asked = [line for line in (first, *spokes) if line.role not in {Role.HIDDEN, Role.ALLOWANCE}]
    hidden = [line for line in (first, *spokes) if line not in asked]
    line = asked.index(first) + 1 if first in asked else None
    plan = plan_of(Drawing(tuple(asked), hidden=tuple(hidden)), path(first.points_mm, (SEW, 0, 1, line)))
    least = [min(roles, key=list(ROLES).index) for roles in ((own, *meeting), (own,))]
    assert plan_figures(plan).open_ends == sum(role not in SEAM_ROLES for role in least)
    assert plan_figures(plan).ends_cost_s == 30 * sum(ROLES[role].end_shows for role in least)
