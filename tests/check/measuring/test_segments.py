"""Paths taken apart into segments, segments gathered into stretches, and paths that are none."""

from collections import Counter
from itertools import pairwise

import numpy as np
import pytest
from banded import RESUME, SEW, TRAVEL, laid
from hypothesis import given, settings
from railed import stretches, taken_apart
from strategies import segments

from stitchpath.check.measuring.segments import NEVER, broken_paths, take_segments, take_stretches
from stitchpath.plan import Move, Span, StitchPath


def test_segments_know_their_path_span_move_stage_and_line():
    one = StitchPath(
        [(0, 0), (9, 0), (9, 0), (9, 4)],
        (Span(SEW, 0, 2, 7, "seams"), Span(TRAVEL, 2, 3, None, "detail")),
    )
    two = StitchPath([(1, 1), (4, 5)], (Span(RESUME, 0, 1, 2, "no such stage"),))
    taken = take_segments([one, two], stages=["seams", "detail"])
    assert taken.start.tolist() == [[0, 0], [9, 0], [1, 1]]
    assert taken.end.tolist() == [[9, 0], [9, 4], [4, 5]]
    assert taken.length.tolist() == [9, 4, 5]
    assert taken.path.tolist() == [0, 0, 1]
    assert taken.span.tolist() == [0, 1, 2]
    assert taken.sew.tolist() == [True, False, False]
    assert taken.stage.tolist() == [0, 1, -1]
    assert taken.line.tolist() == [6, -1, 1]


def test_small_stitches_that_secure_an_end_are_left_out_unless_asked_for():
    spans = (Span(Move.SECURE, 0, 2), Span(SEW, 2, 3))
    path = StitchPath([(0, 0), (3, 0), (0, 0), (50, 0)], spans)
    assert take_segments([path], stages=[]).length.tolist() == [50]
    assert take_segments([path], stages=[], moves={Move.SECURE}).length.tolist() == [3, 3]


@settings(deadline=None, max_examples=40)
@given(segments((0, 3), (0, 2), up_to=9))
def test_each_different_step_is_one_stretch(ways):
    moves = [SEW if i % 3 else TRAVEL for i in range(len(ways))]
    taken = taken_apart(*zip(moves, ways, strict=True))
    found = take_stretches(taken)
    wanted = Counter(frozenset(way) for way in ways)
    assert {
        frozenset({tuple(a), tuple(b)}): times
        for a, b, times in zip(found.start.tolist(), found.end.tolist(), found.times.tolist(), strict=True)
    } == wanted
    for i, way in enumerate(ways):
        alike = [j for j, other in enumerate(ways) if set(other) == set(way)]
        stretch = found.of[i]
        assert found.sews[stretch] == sum(moves[j] is SEW for j in alike)
        assert found.first_sew[stretch] == min((j for j in alike if moves[j] is SEW), default=NEVER)
        assert found.first_travel[stretch] == min((j for j in alike if moves[j] is TRAVEL), default=NEVER)
    low, high = found.extent
    assert high - low == pytest.approx(np.hypot(*(found.end - found.start).T))
    assert all(after > before for before, after in pairwise(np.column_stack((low, high)).ravel().tolist()))


def test_places_on_the_axis_lead_back_to_the_stretch():
    found = stretches([(0, 0), (6, 8)], [(5, 5), (5, 25)])
    assert len(found.times) == 2
    for stretch in (0, 1):
        at = found.extent[0][stretch] + 5
        (where,), (point,) = found.locate(np.array([at]))
        towards = found.end[stretch] - found.start[stretch]
        assert where == stretch
        assert point == pytest.approx(found.start[stretch] + 5 * towards / np.hypot(*towards))


def test_nothing_sewn_is_no_step_and_no_stretch():
    assert len(taken_apart().path) == len(stretches().times) == len(stretches().of) == 0


@pytest.mark.parametrize(
    ("path", "said"),
    [
        (StitchPath([], ()), "path 2 has 0 point; it takes two to sew"),
        (laid([(0, 0), (1, 0), (np.inf, 0)]), "path 2, point 3 is not a place: it holds no finite number"),
        (laid([(4, 4), (4, 4)]), "path 2 stays in one place"),
        (
            StitchPath([(0, 0), (1, 0), (2, 0)], (Span(SEW, 0, 1), Span(SEW, 1, 1), Span(SEW, 1, 2))),
            "do not follow each other",
        ),
        (StitchPath([(0, 0), (1, 0), (2, 0)], (Span(SEW, 1, 2),)), "do not follow each other"),
    ],
)
def test_a_broken_path_is_told(path, said):
    whole = laid([(0, 0), (9, 0)])
    (finding,) = broken_paths([whole, path, whole])
    assert finding.kind == "path"
    assert said in finding.message
    assert broken_paths([whole, whole]) == ()
