"""A plan told step by step, held against the plan's own points."""

import numpy as np
import pytest
import shapely
from banded_plans import banded
from export_plans import orchard

from stitchpath.directions.teller import steps_of
from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.lines import Line, Role
from stitchpath.plan import Move, Plan, Span, StitchPath


def hook(hop):
    """A path of 90 mm to the right, then travel down a hidden seam, then 40 mm to the left."""
    corners = [(0, 0), (90, 0), (90, hop), (50, hop)]
    lines = tuple(Line(corners[at : at + 2], Role.DRAWN, "", "hook") for at in (0, 2))
    spans = Span(Move.SEW, 0, 1, 1), Span(Move.TRAVEL, 1, 2, None), Span(Move.SEW, 2, 3, 2)
    seam = Line(corners[1:3], Role.HIDDEN)
    return Plan(Drawing(lines, (seam,)), (StitchPath(corners, spans),), (), 0.0)


@pytest.mark.parametrize("plan", [orchard(), banded(rows=2, columns=2)], ids=["orchard", "banded"])
def test_the_steps_are_as_long_as_their_path(plan):
    told = steps_of(plan, unit="mm")
    for number, path in enumerate(plan, 1):
        sewn = sum(one.length_mm for one in told if one.path == number and one.verb != "bring up")
        assert sewn == pytest.approx(shapely.LineString(path.coordinates_mm).length)


def test_bringing_up_the_thread_tells_the_needle_up_move_within_a_band():
    plan = banded(rows=2, columns=2)
    up = [one for one in steps_of(plan, unit="mm") if one.verb == "bring up"]
    assert len(up) == len(plan)
    for at, one in enumerate(up):
        path, before = plan.paths[at], plan.paths[at - 1]
        same = at > 0 and path.band == before.band
        far = np.hypot(*(path.coordinates_mm[0] - before.coordinates_mm[-1])) if same else 0.0
        assert one.length_mm == pytest.approx(far)
        assert one.text.startswith("Needle up, move") == (far > 0)


def test_a_hop_is_told_with_the_line_before_it_and_longer_travel_alone():
    """A hop is shorter than one inch."""
    hopped, travelled = steps_of(hook(25), unit="mm"), steps_of(hook(26), unit="mm")
    assert [(one.verb, one.length_mm) for one in hopped[1:-1]] == [("sew", 115), ("sew", 40)]
    assert [(one.verb, one.length_mm) for one in travelled[1:-1]] == [
        ("sew", 90),
        ("travel", 26),
        ("sew", 40),
    ]
    assert hopped[1].text.startswith("Sew right, 90 mm, ")
    assert "; hop down, 25 mm, " in hopped[1].text
    assert travelled[2].text.startswith("Travel down, 26 mm, ")


def test_lines_sewn_to_and_fro_are_one_step_with_their_count_and_spacing():
    fills = [one for one in steps_of(orchard()) if one.verb == "lines"]
    assert fills
    assert all(one.spacing_mm == pytest.approx(12.7) for one in fills)
    assert [one.text.split()[:3] for one in fills] == [["Sew", str(one.count), "lines"] for one in fills]


def test_what_is_no_plan_or_no_unit_is_refused_and_nothing_to_tell_is_not():
    assert steps_of(Plan(Drawing(()), (), (), 0.0)) == ()
    with pytest.raises(DesignError, match="give a Plan"):
        steps_of([])
    with pytest.raises(DesignError, match='"ell" is no unit'):
        steps_of(hook(25), unit="ell")
