"""A line taken up again in the next band: which segments do so, how often, and where the route's ends lie."""

from dataclasses import replace

import numpy as np
import pytest
from banded import RESUME, SEW, TRAVEL, laid

from stitchpath.check.rules.evidence import Asked, look_at
from stitchpath.check.rules.resume import resumed, resumed_passes, resumed_times, route_ends
from stitchpath.drawing import Drawing
from stitchpath.lines import RESUME_MM, Line, Role

LINE = Line([(0, 0), (0, 300)], Role.STRIP)
FIRST = laid([(0, 0), (0, 150)])


def second(back=6.0, *, turned=False, move=RESUME, band=2):
    points, moves = [(0, 150 - back), (0, 150), (0, 300)], [move, SEW]
    return laid(points[::-1] if turned else points, moves[::-1] if turned else moves, band=band)


def look(*paths, drawing=None):
    return look_at(paths, Asked(drawing or Drawing((LINE,))))


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("back", [6.0, RESUME_MM])
def test_a_line_is_taken_up_a_little_back(turned, back):
    seen = look(FIRST, second(back, turned=turned))
    (segments,) = resumed(seen)
    assert segments.tolist() == [2 if turned else 1]
    assert resumed_passes(seen)[seen.stretches.of].tolist() == ([0, 0, 1] if turned else [0, 1, 0])
    # The cell it lies in is passed twice, once of which is taking up.
    assert seen.cells.times.tolist() == [1, 2, 1]
    assert resumed_times(seen).tolist() == [0, 1, 0]
    # The route's end is where it was cut, not where the needle goes down or up.
    assert route_ends(seen)[2:].tolist() == ([[0, 300], [0, 150]] if turned else [[0, 150], [0, 300]])
    assert route_ends(seen)[:2].tolist() == [[0, 0], [0, 150]]


@pytest.mark.parametrize(
    "paths",
    [
        (FIRST, second(RESUME_MM + 0.01)),
        (FIRST, second(move=TRAVEL)),
        (FIRST, second(band=1)),
        (replace(FIRST, band=2), second(), laid([(0, 300), (0, 290)], TRAVEL, band=3)),
        (FIRST, laid([(0, 144), (0, 150)], RESUME, band=2)),
        (FIRST, laid([(0, 150), (0, 147), (0, 150), (0, 300)], [RESUME, RESUME, SEW], band=2)),
        (FIRST, laid([(0, 156), (0, 150), (0, 300)], [RESUME, SEW], band=2)),
    ],
    ids=["too long", "called travel", "all one band", "same band", "no sewing", "there and back", "not sewn"],
)
def test_other_travel_takes_nothing_up(paths):
    seen = look(*paths)
    assert resumed(seen) == ()
    assert resumed_times(seen).sum() == 0
    assert route_ends(seen).tolist() == [p for path in paths for p in path.coordinates_mm[[0, -1]].tolist()]


def test_another_line_there_does_not_count():
    beside = Line([(0, 150), (6, 150)], Role.STRIP)
    paths = laid([(0, 0), (0, 150), (6, 150)]), laid([(6, 150), (0, 150), (0, 300)], [RESUME, SEW], band=2)
    assert resumed(look(*paths, drawing=Drawing((LINE, beside)))) == ()


def test_nothing_sewn_takes_nothing_up():
    assert resumed(look()) == ()
    assert resumed_passes(look()).tolist() == []
    assert np.shape(route_ends(look())) == (0, 2)
