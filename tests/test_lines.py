"""Lines, keep-outs, and the table of roles."""

import numpy as np
import pytest
from shapely import box

from stitchpath.lines import (
    HIDDEN_ROLES,
    ROLES,
    SEAM_ROLES,
    UNASKED_ROLES,
    KeepOut,
    Line,
    Role,
    RoleRule,
    as_points,
    least_visible_first,
)


@pytest.mark.parametrize("points", [[1, 2], [[1, 2, 3]], [[[1, 2]]], 5])
def test_points_are_pairs(points):
    with pytest.raises(ValueError, match=r"points have shape .*; give \(N, 2\)"):
        as_points(points)


def test_points_are_an_own_copy_that_nobody_can_break():
    mine = np.array([[0.0, 0.0], [3.0, 4.0]])
    line = Line(mine)
    mine[1] = 99
    assert line.length_mm == 5.0
    with pytest.raises(ValueError, match="read-only"):
        line.points_mm[0] = 1


def test_lines_alike_are_equal_and_hash_alike():
    points = [(0, 0), (3, 4)]
    same = Line(points, "fill", "grey", "fill", "row 1, column 1")
    assert same == Line(np.array(points, float), Role.FILL, "grey", "fill", "row 1, column 1")
    assert len({same, Line(points, Role.FILL, "grey", "fill", "row 1, column 1")}) == 1
    for other in (Line(points), Line(points[::-1], "fill", "grey", "fill", "row 1, column 1"), "line"):
        assert same != other


@pytest.mark.parametrize(
    ("points", "closed"),
    [
        ([(0, 0), (1, 0), (1, 1), (0, 0)], True),
        ([(0, 0), (1, 0), (1, 1)], False),
        ([(0, 0), (0, 0)], False),
        ([(0, 0), (1, 0), (0, 0)], True),
    ],
)
def test_a_closed_line_ends_where_it_begins(points, closed):
    assert Line(points).closed is closed


def test_the_table_of_roles_is_the_one_that_was_agreed_on():
    """Common practice, no source: stage, how much travel shows, most times sewn, how much an end shows."""
    assert {str(role): (r.stage, r.shows, r.most_times, r.end_shows) for role, r in ROLES.items()} == {
        "allowance": ("baste", 1, 4, 0.5),
        "baste": ("baste", 1, 4, 0.5),
        "ditch": ("seams", 1, 4, 1),
        "hidden": ("seams", 1, 4, 1),
        "strip": ("detail", 5, 2, 2),
        "outline": ("detail", 5, 2, 2),
        "fill": ("detail", 20, 2, 4),
        "echo": ("detail", 20, 2, 4),
        "drawn": ("detail", 20, 2, 4),
        "step": ("", 20, 2, 4),
    }
    sinks = {role for role, rule in ROLES.items() if not rule.builds_up}
    assert (sinks, {ROLES[role].builds_up for role in set(ROLES) - sinks}) == (SEAM_ROLES, {1})
    assert set(ROLES) == set(Role)
    assert {"allowance", "hidden"} == HIDDEN_ROLES
    assert {"allowance", "hidden", "step"} == UNASKED_ROLES


def test_roles_stand_from_the_least_visible_to_the_most():
    shows = [rule.shows for rule in ROLES.values()]
    ends = [rule.end_shows for rule in ROLES.values()]
    assert (shows, ends) == (sorted(shows), sorted(ends))


def test_rules_and_keep_outs_cannot_be_changed():
    for frozen, name in ((ROLES[Role.FILL], "shows"), (KeepOut(box(0, 0, 1, 1)), "motif")):
        with pytest.raises(AttributeError):
            setattr(frozen, name, 1)
    assert RoleRule("detail", 20, 2, 4, 1) == ROLES[Role.ECHO]


def test_travel_counts_more_from_the_third_time_on():
    assert [RoleRule("detail", 8, 9, 4, 0.25).shows_at(times) for times in range(1, 6)] == [8, 8, 10, 12, 14]
    assert RoleRule("detail", 8, 9, 4).shows_at(9) == 8


def test_of_two_roles_that_show_alike_the_one_where_thread_builds_up_shows_more():
    rules = dict(ROLES) | {Role.DITCH: RoleRule("seams", 1, 4, 1, 2), Role.ALLOWANCE: RoleRule("", 9, 4, 1)}
    order = [str(role) for role in least_visible_first(rules)]
    assert order[:3] == ["baste", "hidden", "ditch"]
    assert order.index("outline") < order.index("allowance") < order.index("fill")
