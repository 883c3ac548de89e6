"""What of a path is work: sewing and travel."""

import pytest
from figure_plans import RESUME, SECURE, SEW, TRAVEL, path

from stitchpath.figures.worked import is_worked, worked
from stitchpath.plan import Move, Span, StitchPath


@pytest.mark.parametrize("move", Move)
def test_only_sewing_and_travel_are_work(move):
    assert is_worked(Span(move, 0, 1)) == (move in {SEW, TRAVEL, Move.STEP})


def test_the_spans_that_are_work_in_order():
    points = [(x, 0) for x in range(6)]
    spans = (SECURE, 0, 1, 1), (RESUME, 1, 2, 1), (SEW, 2, 3, 1), (TRAVEL, 3, 4, 1), (SECURE, 4, 5, 1)
    one = path(points, *spans)
    assert [(span.move, span.first) for span in worked(one)] == [(SEW, 2), (TRAVEL, 3)]
    assert worked(path(points[:2], (SECURE, 0, 1, 1))) == []
    assert worked(StitchPath([(0, 0)], ())) == []
