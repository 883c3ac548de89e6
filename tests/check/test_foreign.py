"""A plan of our own given known faults, each measured; the sums are worked out by hand."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from plans import circle, line
from strategies import lengths_mm, some_of, yes_or_no

from stitchpath.check.foreign import measure_foreign
from stitchpath.design import read_design
from stitchpath.drawing import Drawing, draw
from stitchpath.errors import DesignError, LimitError
from stitchpath.planner import make_plan
from stitchpath.settings import ScheduleSettings

CLOSE = pytest.approx(0, abs=0.1)

SEAMS = [
    line((0, 0), (200, 0)),
    line((200, 0), (200, 100)),
    line((200, 100), (0, 100)),
    line((0, 100), (0, 0)),
]
FILLS = [line((x, 0), (x + 60, 100)) for x in range(20, 140, 20)]
DRAWING = Drawing.from_lines(
    [*SEAMS, *FILLS],
    roles=["ditch"] * 4 + ["fill"] * 6,
    hidden=[line((0, 50), (200, 50))],
    keep_outs=[shapely.box(4, 20, 10, 80)],
)
FILL_MM = float(np.hypot(60, 100))
ALL_MM = 600 + 6 * FILL_MM
FRAME = [(0, 0), (200, 0), (200, 100), (0, 100), (0, 0)]


def sewn():
    """The frame in one path, each fill line in one of its own."""
    return [np.array(FRAME, float), *(np.array(fill.coords) for fill in FILLS)]


def sound(found):
    return (
        found.asked_mm - found.covered_mm,
        found.twice_mm,
        found.travel_mm,
        found.off_mm,
        found.keep_out_mm,
    )


def test_a_plan_without_fault():
    found = measure_foreign(sewn(), DRAWING)
    assert found.asked_mm == pytest.approx(ALL_MM)
    assert found.length_mm == pytest.approx(ALL_MM)
    assert sound(found) == pytest.approx((0, 0, 0, 0, 0), abs=0.01)
    assert (found.share, found.missed) == (pytest.approx(1), ())
    assert (found.paths, found.lifts) == (7, 6)
    assert (found.ends.in_seams, found.ends.on_lines, found.ends.off_lines) == (14, 0, 0)
    # To the first fill's start 20 mm, then from each end (x + 60, 100) to the next start (x + 20, 0).
    assert found.lifts_mm == pytest.approx(20 + 5 * np.hypot(40, 100))


def test_a_line_dropped():
    paths = sewn()
    del paths[3]
    found = measure_foreign(paths, DRAWING)
    (missed,) = found.missed
    assert (missed.line, missed.role) == (7, "fill")
    assert missed.missed_mm == pytest.approx(FILL_MM, abs=0.1)
    assert missed.whole_mm == pytest.approx(FILL_MM)
    assert sound(found) == pytest.approx((FILL_MM, 0, 0, 0, 0), abs=0.1)


def test_a_side_of_the_frame_dropped():
    """Its neighbours meet its ends, the fills its middle: none of them sews any of it."""
    found = measure_foreign([np.array([(0, 100), *FRAME[:3]], float), *sewn()[1:]], DRAWING)
    assert [(line.line, line.missed_mm) for line in found.missed] == [(3, pytest.approx(200, abs=0.1))]


def test_a_line_doubled_and_one_sewn_three_times():
    paths = sewn()
    found = measure_foreign([*paths, paths[2]], DRAWING)
    assert sound(found) == pytest.approx((0, FILL_MM, FILL_MM, 0, 0), abs=0.1)
    found = measure_foreign([*paths, paths[2], paths[2][::-1]], DRAWING)
    assert sound(found) == pytest.approx((0, FILL_MM, 2 * FILL_MM, 0, 0), abs=0.1)


def test_a_line_shifted_by_3_mm():
    """3 mm to the right: all of it is missed and strays, and its ends still lie in the seams."""
    paths = sewn()
    paths[3] = paths[3] + (3, 0)
    found = measure_foreign(paths, DRAWING)
    assert sound(found) == pytest.approx((FILL_MM, 0, 0, FILL_MM, 0), abs=0.1)
    assert (found.ends.in_seams, found.ends.off_lines) == (14, 0)
    paths[3] = paths[3] + (0, 3)
    found = measure_foreign(paths, DRAWING)
    assert (found.ends.in_seams, found.ends.off_lines) == (12, 2)
    assert found.off_mm == pytest.approx(FILL_MM, abs=0.1)


def test_a_path_reversed_changes_lifts_alone():
    paths = sewn()
    paths[1] = paths[1][::-1]
    found, before = measure_foreign(paths, DRAWING), measure_foreign(sewn(), DRAWING)
    assert sound(found) == pytest.approx(sound(before), abs=0.01)
    # Now from (0, 0) to (80, 100), and from (20, 0) to (40, 0).
    assert found.lifts_mm - before.lifts_mm == pytest.approx(np.hypot(80, 100) + 20 - 20 - np.hypot(40, 100))


def test_a_path_split_in_two_has_two_ends_more():
    paths = sewn()
    middle = paths[1].mean(axis=0)
    paths[1:2] = [np.array([paths[1][0], middle]), np.array([middle, paths[1][1]])]
    found = measure_foreign(paths, DRAWING)
    assert sound(found) == pytest.approx((0, 0, 0, 0, 0), abs=0.01)
    assert (found.paths, found.lifts) == (8, 7)
    # The middle lies at (50, 50), on the hidden seam.
    assert (found.ends.in_seams, found.ends.on_lines) == (16, 0)
    assert found.lifts_mm == pytest.approx(measure_foreign(sewn(), DRAWING).lifts_mm)


def test_half_a_line_its_end_and_travel_along_a_hidden_seam():
    paths = [*sewn(), np.array([(0, 50), (120, 50)], float)]
    paths[1] = np.array([paths[1][0], paths[1][0] + 0.3 * (paths[1][1] - paths[1][0])])
    found = measure_foreign(paths, DRAWING)
    # The keep-out cuts the hidden seam from 4 to 10.
    assert sound(found) == pytest.approx((0.7 * FILL_MM, 0, 114, 0, 6), abs=0.1)
    assert (found.ends.in_seams, found.ends.on_lines) == (15, 1)


def test_stitching_through_a_keep_out_and_over_open_cloth():
    found = measure_foreign([*sewn(), np.array([(0, 30), (14, 30)], float)], DRAWING)
    assert sound(found) == pytest.approx((0, 0, 0, 8, 6), abs=0.1)


def test_lines_that_cross_at_a_small_angle_are_told_apart():
    """Within 0.5 mm of a line that crosses at 4 degrees lie 14 mm of the other: none of them is covered."""
    flat, steep = line((0, 0), (200, 0)), line((0, 7), (200, -7))
    found = measure_foreign([np.array(flat.coords)], Drawing.from_lines([flat, steep]))
    assert [line.line for line in found.missed] == [2]
    assert found.missed[0].missed_mm == pytest.approx(steep.length, abs=0.15)


def test_lines_that_coincide_are_sewn_once_and_both_covered():
    drawing = Drawing.from_lines([line((0, 0), (60, 0)), line((20, 0), (90, 0))])
    found = measure_foreign([np.array([(0, 0), (90, 0)], float)], drawing)
    assert (found.covered_mm, found.twice_mm, found.missed) == (pytest.approx(130, abs=0.1), CLOSE, ())


def test_lines_that_coincide_are_sewn_twice_once():
    drawing = Drawing.from_lines([line((0, 0), (60, 0)), line((20, 0), (90, 0))])
    found = measure_foreign([np.array([(0, 0), (90, 0), (0, 0)], float)], drawing)
    assert (found.twice_mm, found.travel_mm) == pytest.approx((90, 90), abs=0.1)


def test_stitching_between_two_lines_goes_to_the_nearer_one_up_to_the_very_middle():
    """It rises from 0.1 to 0.7 mm over 100 mm, between lines at 0 and at 0.8 mm: half is on each."""
    drawing = Drawing.from_lines([line((0, 0), (100, 0)), line((0, 0.8), (100, 0.8))])
    found = measure_foreign([np.array([(0, 0.1), (100, 0.7)])], drawing)
    assert [line.missed_mm for line in found.missed] == pytest.approx([50, 50], abs=1)
    assert found.covered_mm == pytest.approx(100, abs=1.4)


def test_a_bend_sewn_in_other_chords_a_little_beside_is_covered():
    ring = circle(0, 0, 40, count=200)
    other = np.array(circle(0, 0, 40.3, count=61, start=2).coords)
    found = measure_foreign([other], Drawing.from_lines([ring]))
    assert sound(found) == pytest.approx((0, 0, 0, 0, 0), abs=0.1)
    assert found.ends.on_lines == 2
    strict = measure_foreign([other], Drawing.from_lines([ring]), tolerance_mm=0.05)
    assert strict.off_mm > 0.9 * strict.length_mm


@given(some_of(range(6)), lengths_mm(-0.4, 0.4), yes_or_no())
@settings(deadline=None, derandomize=True, max_examples=30)
def test_whatever_is_dropped_is_missed_wherever_all_lies_within_the_tolerance(dropped, aside, turned):
    paths = sewn()
    kept = [path + np.array([aside, 0]) for at, path in enumerate(paths[1:]) if at not in dropped]
    kept = [path[::-1] if turned else path for path in kept]
    found = measure_foreign([paths[0], *kept], DRAWING)
    assert sorted(line.line for line in found.missed) == sorted(at + 5 for at in dropped)
    assert found.asked_mm - found.covered_mm == pytest.approx(len(dropped) * FILL_MM, abs=0.5)
    assert found.twice_mm == found.travel_mm == 0


DESIGN = """
layout = ["PL"]
motifs = [{ motif = "ditch" }, { motif = "basting" }]
[top]
block_width = "6 in"
block_height = "6 in"
[kinds.pear]
letter = "P"
[[kinds.pear.motifs]]
motif = "ellipse"
height = "4 in"
ratio = "3:2"
applique = true
[[kinds.pear.motifs]]
motif = "fill"
spacing = "1/2 in"
angle = 45
[kinds.leaf]
letter = "L"
[[kinds.leaf.motifs]]
motif = "echo"
spacing = "1/2 in"
[[kinds.leaf.motifs]]
motif = "ellipse"
height = "3 in"
ratio = "5:2"
"""


@pytest.fixture(scope="module")
def pears(tmp_path_factory):
    file = tmp_path_factory.mktemp("pears") / "pears.toml"
    file.write_text(DESIGN, encoding="utf-8")
    return read_design(file)


def test_a_plan_of_ours_is_measured_as_it_says(pears):
    plan = make_plan(pears)
    found = measure_foreign(plan.paths, pears)
    assert found.missed == ()
    assert found.share == pytest.approx(1, abs=1e-5)
    stepped = sum(path.step_mm for path in plan)
    assert (found.off_mm, found.keep_out_mm) == (pytest.approx(stepped, abs=0.1), CLOSE)
    assert found.travel_mm == pytest.approx(sum(path.travel_mm for path in plan) - stepped, abs=0.1)
    assert found.length_mm == pytest.approx(sum(path.length_mm for path in plan))


def test_what_is_left_to_the_hand_is_not_missed(pears):
    by_hand = pears.model_copy(update={"schedule": ScheduleSettings(by_hand=("fill",))})
    found = measure_foreign(make_plan(by_hand).paths, by_hand)
    assert found.missed == ()
    assert found.asked_mm < measure_foreign([], pears).asked_mm
    assert {line.role for line in measure_foreign(make_plan(by_hand).paths, draw(pears)).missed} == {"fill"}


@pytest.mark.parametrize(
    ("paths", "said"),
    [
        ([[(0, 0)]], "path 1 has no two different points"),
        ([[(0, 0), (1, 1)], [(2, 2), (2, 2)]], "path 2 has no two different points"),
        ([[(0, 0), (float("nan"), 1)]], "path 1, point 2 is not finite"),
        ([[(0, 0), (0, 2e6)]], "path 1, point 2 is not finite or over 1 km off"),
        ([[(0, 0, 0)]], "path 1 is no list of points"),
        (["far"], "path 1 is no list of points"),
    ],
)
def test_paths_that_are_none_are_refused(paths, said):
    with pytest.raises(DesignError, match=said):
        measure_foreign(paths, DRAWING)


@pytest.mark.parametrize("tolerance_mm", [0, -1, 11, float("nan")])
def test_a_tolerance_that_is_none_is_refused(tolerance_mm):
    with pytest.raises(DesignError, match="tolerance"):
        measure_foreign([], DRAWING, tolerance_mm=tolerance_mm)


def test_too_many_lines_side_by_side_are_refused(monkeypatch):
    monkeypatch.setattr("stitchpath.check.measuring.follow.MOST_FOREIGN_PAIRS", 5)
    with pytest.raises(LimitError, match="smaller tolerance"):
        measure_foreign(sewn(), DRAWING)


def test_nothing_sewn_and_nothing_asked():
    assert measure_foreign([], DRAWING).covered_mm == 0
    empty = measure_foreign([], Drawing(()))
    assert (empty.share, empty.paths, empty.missed) == (1, 0, ())
    assert measure_foreign([FRAME], Drawing(())).off_mm == pytest.approx(600)
