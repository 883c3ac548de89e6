"""How bands are shown in a picture: against the sheet's own scale."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from banded_plans import banded
from svg_marks import middle_of, strokes_of, words_of

from stitchpath.drawing import Drawing
from stitchpath.pictures.band_signs import band_edges, band_line, band_room, mark_sign, mark_tag
from stitchpath.pictures.sheet_layout import sheet_for
from stitchpath.plan import Plan


def test_words_take_room_on_the_left_or_above():
    assert set(band_room(banded())) == {"left_mm"}
    assert set(band_room(banded(sideways=True))) == {"above_mm"}
    assert band_room(Plan(Drawing(()), (), (), 0.0)) == band_room(replace(banded(), windows=())) == {}


@pytest.mark.parametrize("sideways", [False, True])
def test_each_later_band_has_a_line_and_each_band_a_bracket_and_its_name(sideways):
    plan = banded(sideways=sideways)
    sheet = sheet_for(plan, legend_mm=60, **band_room(plan))
    marks = list(band_edges(plan, sheet))
    count, axis = len(plan.windows), 0 if sideways else 1
    assert words_of(marks) == [f"band {n}" for n in range(1, count + 1)]
    dashed = [mark for mark in marks if mark.attributes.get("stroke-dasharray") == "4.000 4.000"]
    starts = [float(line[0, axis]) for mark in dashed for line in strokes_of(mark)]
    placed = sheet.place(np.array(plan.windows)[:, :1] * np.ones((1, 2)))[:, axis]
    assert starts == pytest.approx(placed[1:], abs=1e-3)
    (brackets,) = [mark for mark in marks if mark.tag == "path" and "L" in mark.attributes["d"]
                   and len(strokes_of(mark)) == count]  # fmt: skip
    ends = sheet.place(np.array(plan.windows)[:, 1:] * np.ones((1, 2)))[:, axis]
    low, high = sheet.drawn_mm[axis], sheet.drawn_mm[axis + 2]
    for line, start, end in zip(strokes_of(brackets), placed, ends, strict=True):
        assert sorted({round(float(x), 3) for x in line[:, axis]}) == pytest.approx(
            [np.clip(start, low, high), np.clip(end, low, high)], abs=1e-3
        )
        # In the margin, off the top.
        assert (line[:, 1 - axis] < sheet.drawn_mm[1 - axis]).all()
    lanes = [round(float(line[:, 1 - axis].min()), 3) for line in strokes_of(brackets)]
    assert all(one != two for one, two in itertools.pairwise(lanes))


def test_no_bands_no_marks():
    plan = replace(banded(), windows=())
    assert list(band_edges(plan, sheet_for(plan, legend_mm=60))) == []


def test_signs_of_a_place_to_align_on():
    at = np.array([20.0, 30.0])
    ring, cross = mark_sign(at, 4.0)
    assert middle_of(ring) == (20, 30)
    assert float(ring.attributes["r"]) == 2
    across, down = strokes_of(cross)
    assert across.tolist() == [[17, 30], [23, 30]]
    assert down.tolist() == [[20, 27], [20, 33]]
    leader, box, words = mark_tag(np.array([40.0, 30.0]), at, "2A", 4.0)
    assert strokes_of(leader)[0].tolist() == [[20, 30], [40, 30]]
    assert middle_of(box) == pytest.approx((40, 30), abs=1e-3)
    assert (box.attributes["fill"], words.attributes["fill"], words.text) == ("#000000", "#ffffff", "2A")
    assert "rx" not in box.attributes


def test_a_line_of_several_pieces():
    mark = band_line([np.array([(0.0, 0.0), (9.0, 0.0)]), np.array([(0.0, 5.0), (9.0, 5.0)])])
    assert [line.tolist() for line in strokes_of(mark)] == [[[0, 0], [9, 0]], [[0, 5], [9, 5]]]
