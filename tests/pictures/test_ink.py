"""A plan's ink: any window of it, with no more than lies there."""

import re

import numpy as np
import pytest
import shapely
from export_plans import orchard
from figure_plans import SEW, STEP, TRAVEL, path, plan_of
from svg_marks import strokes_of, words_of

from stitchpath.drawing import Drawing
from stitchpath.pictures.ink import ink_of
from stitchpath.pictures.labels import boxes_around
from stitchpath.plan import Move, Plan, Span, StitchPath

CROSSED = plan_of(
    Drawing(()), path([(0, 50), (300, 50)], (SEW, 0, 1, None)), path([(160, 0), (160, 80)], (SEW, 0, 1, None))
)


def sewn_mm(marks, colour):
    look = {"stroke": colour, "stroke-width": "0.400"}
    lines = [line for mark in marks if look.items() <= mark.attributes.items() for line in strokes_of(mark)]
    return sum(shapely.LineString(line).length for line in lines)


def test_numbers_keep_off_crosses_their_letters_and_end_bars():
    paths = [[(x, 40.0), (x, 44.0)] for x in range(30, 70, 8)]
    spans = (Span(Move.SEW, 0, 1, 1, "detail"),)
    plan = Plan(Drawing(()), tuple(StitchPath(points, spans) for points in paths), (), 0.0)
    ink, clear = ink_of(plan, 1.0), np.array([[20.0, 30.0, 80.0, 39.0]])
    stops = np.array(paths)[:, 1]
    taken = shapely.box(*np.vstack([clear, boxes_around(stops)]).T)

    def covered(marks):
        frames = [mark.attributes for mark in marks if mark.tag == "rect" and "rx" in mark.attributes]
        corners = np.array([[float(frame[key]) for key in ("x", "y", "width", "height")] for frame in frames])
        low, high = corners[:, :2], corners[:, :2] + corners[:, 2:]
        tags = shapely.box(*low.T, *high.T)
        assert len(tags) == len(paths)
        return shapely.area(shapely.intersection(tags[:, None], taken[None])).sum()

    room = (0.0, 0.0, 100.0, 100.0)
    assert covered(ink.marks(room, (0.0, 0.0), clear)) == 0
    assert covered(ink.marks(room, (0.0, 0.0))) > 0


def test_only_what_lies_in_a_window_is_drawn_there():
    ink = ink_of(orchard(), 1.0)
    marks = ink.marks((0, 0, 100, 100), (10, 10))
    numbers = [
        float(n)
        for mark in marks
        if mark.tag == "path"
        for n in re.findall(r"-?\d+\.\d+", mark.attributes["d"])
    ]
    assert min(numbers) > 5
    assert max(numbers) < 113


@pytest.mark.parametrize("scale", [1.0, 0.1])
def test_windows_side_by_side_hold_the_whole_plan_once(scale):
    ink = ink_of(CROSSED, scale)
    windows = [(x * scale, -10 * scale, (x + 100) * scale, 90 * scale) for x in (-50, 50, 150, 250)]
    for number, length in enumerate((300, 80)):
        colour = ink.colours[number]
        found = sum(sewn_mm(ink.marks(window, (0, 0)), colour) for window in windows)
        # The end bars of a path are in its colour, too, but thicker.
        assert found == pytest.approx(length * scale, abs=0.02 * len(windows))


def test_what_is_sewn_in_a_window():
    ink = ink_of(CROSSED, 1.0)
    assert ink.sewn_in((100, 0, 120, 100))
    assert not ink.sewn_in((100, 0, 120, 49))
    assert ink.sewn_in((100, 0, 120, 100), only=[0])
    assert not ink.sewn_in((100, 0, 120, 100), only=[1])
    assert not ink.sewn_in((300, 0, 320, 100))  # it ends on the window's side
    assert ink.bounds_of([1]) == (160, 0, 160, 80)
    assert ink.bounds_of([0, 1]) == (0, 0, 300, 80)


def test_numbers_stand_for_the_paths_in_the_window_that_are_told_apart():
    ink = ink_of(CROSSED, 1.0)
    assert words_of(ink.marks((100, 0, 200, 100), (0, 0))) == ["1", "2"]
    assert words_of(ink.marks((200, 0, 300, 100), (0, 0))) == ["1"]
    assert words_of(ink.marks((100, 0, 200, 100), (0, 0), only=[1])) == ["2"]
    assert words_of(ink.marks((0, 60, 100, 100), (0, 0))) == []


def test_travel_is_dashed_and_drawn_a_little_aside():
    back = plan_of(Drawing(()), path([(0, 0), (80, 0), (0, 0)], (SEW, 0, 1, None), (TRAVEL, 1, 2, None)))
    marks = ink_of(back, 1.0).marks((-10, -10, 90, 10), (-10, -10))
    (dashed,) = [mark for mark in marks if mark.attributes.get("stroke-linecap") == "butt"]
    (line,) = strokes_of(dashed)
    # It comes back from right to left, and its right hand is above.
    assert line[:, 1] == pytest.approx([-0.7] * len(line), abs=1e-3)


def test_an_empty_plan_has_no_ink():
    ink = ink_of(Plan(Drawing(()), (), (), 0.0), 1.0)
    assert not ink.sewn_in((0, 0, 100, 100))
    assert ink.marks((0, 0, 100, 100), (0, 0)) == []


def test_a_step_over_open_cloth_is_dotted_on_its_place():
    one = path([(0, 10), (40, 10), (40, 30)], (SEW, 0, 1, None), (STEP, 1, 2, None))
    marks = ink_of(plan_of(Drawing(()), one), 1.0).marks((0, 0, 60, 60), (0, 0))
    (dots,) = [mark for mark in marks if mark.attributes.get("stroke-dasharray", "").startswith("0.001 ")]
    assert [line.tolist() for line in map(np.asarray, strokes_of(dots))] == [[[40, 10], [40, 30]]]
