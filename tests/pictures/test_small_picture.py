"""Small pictures: what differs is dark and thick, and ends are told by what they lie in."""

import numpy as np
import pytest
import shapely
from compared_plans import DRAWING, TWO

from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.pictures.small_picture import frame_for, small_picture


def test_a_picture_marks_what_differs_and_which_ends_lie_open():
    paths = [one.coordinates_mm for one in TWO]
    frame = frame_for(paths, DRAWING, room_mm=(52, 100))
    assert frame.scale == 0.5
    assert frame.size_mm == (52, 32)
    plain = small_picture(paths, DRAWING, frame, title="plain")
    assert (plain.count("<circle"), plain.count("<rect")) == (3, 1)
    assert 'stroke-width="0.500"' not in plain
    marked = small_picture(paths, DRAWING, frame, title="marked", changed=[2], missed_mm=paths[:1])
    assert 'd="M 26.000,1.000 L 26.000,31.000"' in marked
    assert marked.count('stroke-width="0.500"') == 1
    assert marked.count('stroke-dasharray="1.820 1.540"') == 1
    assert "<circle" not in small_picture([], DRAWING, frame, title="none")
    strayed = small_picture(
        paths, DRAWING, frame, title="strayed", strayed_mm=[np.array([(10.0, 30), (30, 30)])]
    )
    assert strayed.count('stroke-width="0.500"') == plain.count('stroke-width="0.500"') + 1
    assert 'd="M 6.000,16.000 L 16.000,16.000"' in strayed


@pytest.mark.parametrize(("wide", "high"), [(100, 20), (20, 100), (3000, 2900)])
def test_a_frame_holds_lines_and_top_and_is_no_larger_than_its_room(wide, high):
    drawing = Drawing((), outline=shapely.box(0, 0, wide, high))
    stray = np.array([(-10.0, 5.0), (wide / 2, 5.0)])
    frame = frame_for([stray], drawing, room_mm=(60, 80))
    places = frame.place(np.array([(-10.0, 0.0), (wide, high)]))
    assert places[0] == pytest.approx((1, 1))
    assert places[1] == pytest.approx(np.array(frame.size_mm) - 1)
    assert max(frame.size_mm[0] / 60, frame.size_mm[1] / 80) == pytest.approx(1)
    assert np.diff(places, axis=0)[0] == pytest.approx(np.array([wide + 10, high]) * frame.scale)


def test_nothing_has_a_frame_too():
    frame = frame_for([], Drawing(()), room_mm=(60, 80))
    assert frame.size_mm == (60, 60)
    assert "<path" not in small_picture([], Drawing(()), frame, title="nothing")


def test_an_end_lies_in_a_seam_within_the_tolerance():
    drawing = Drawing((Line([(0, 0), (9, 0)], Role.DITCH),))
    path = np.array([(3.0, 0.5), (3.0, 9.0)])
    frame = frame_for([path], drawing, room_mm=(60, 80))
    near, far = (small_picture([path], drawing, frame, title="", within_mm=mm) for mm in (0.6, 0.4))
    assert (near.count("<circle"), near.count("<rect")) == (1, 1)
    assert (far.count("<circle"), far.count("<rect")) == (0, 2)
