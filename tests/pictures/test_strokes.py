"""What pictures are drawn with: each mark lies where it was put, as large as it was asked for."""

import numpy as np
import pytest
from svg_marks import middle_of, strokes_of

from stitchpath.pictures import strokes

LINES = [np.array([(0.0, 0.0), (9.0, 0.0)]), np.array([(0.0, 5.0), (9.0, 5.0), (9.0, 9.0)])]
AT = np.array([20.0, 30.0])
LOOKS = {
    "solid": lambda lines: strokes.solid(lines, "#123456", 0.4),
    "dashes": lambda lines: strokes.dashes(lines, "#123456", 0.5),
    "seams": strokes.seams,
    "edge": strokes.edge,
    "shade": strokes.shade,
    "ticks": strokes.ticks_across,
}


@pytest.mark.parametrize("look", LOOKS)
def test_lines_are_drawn_as_they_are(look):
    mark = LOOKS[look](LINES)
    assert mark.tag == "path"
    assert [line.tolist() for line in strokes_of(mark)] == [line.tolist() for line in LINES]
    assert strokes_of(LOOKS[look]([])) == []


def test_sewing_travel_edge_and_keep_outs_look_different():
    marks = {look: make(LINES) for look, make in LOOKS.items()}
    assert marks["solid"].attributes["stroke"] == marks["dashes"].attributes["stroke"] == "#123456"
    assert "stroke-dasharray" not in marks["solid"].attributes
    assert marks["dashes"].attributes["stroke-dasharray"] == "1.300 1.100"
    assert marks["dashes"].attributes["stroke-linecap"] == "butt"
    looks = [{k: v for k, v in mark.attributes.items() if k != "d"} for mark in marks.values()]
    assert all(one != two for i, one in enumerate(looks) for two in looks[:i])
    assert marks["shade"].attributes["fill-rule"] == "evenodd"


def test_ticks_have_a_room_of_their_own():
    under, over = strokes.hatch(LINES[:1], 3.0)
    assert under.attributes["d"] == over.attributes["d"]
    assert (under.attributes["stroke"], over.attributes["stroke"]) == ("#ffffff", strokes.BLACK)
    assert (
        float(under.attributes["stroke-width"]) > float(over.attributes["stroke-width"]) == pytest.approx(0.3)
    )


def test_a_dot_and_a_bar_lie_at_their_point():
    assert middle_of(strokes.dot(AT, "#123456", 3.0)) == (20, 30)
    for along in ((5.0, 0.0), (-1.0, 0.0)):
        (bar,) = strokes_of(strokes.bar(AT, np.array(along), "#123456", 4.0))
        assert sorted(bar.tolist()) == [[20, 28], [20, 32]]
    (slant,) = strokes_of(strokes.bar(AT, np.array([3.0, 4.0]), "#123456", 10.0))
    assert (slant[1] - slant[0]) @ (3, 4) == pytest.approx(0)
    assert np.hypot(*(slant[1] - slant[0])) == pytest.approx(10)
    assert slant.mean(axis=0) == pytest.approx(AT)


def test_a_number_stands_in_the_middle_of_its_frame_with_a_leader_to_its_point():
    leader, frame, words = strokes.tag(np.array([40.0, 50.0]), AT, "123", "#123456", 4.0)
    assert strokes_of(leader)[0].tolist() == [[20, 30], [40, 50]]
    assert middle_of(frame) == pytest.approx((40, 50))
    wide, high = strokes.tag_size("123", 4.0)
    assert (float(frame.attributes["width"]), float(frame.attributes["height"])) == pytest.approx(
        (wide, high)
    )
    assert (words.text, words.attributes["text-anchor"], float(words.attributes["x"])) == (
        "123",
        "middle",
        40,
    )
    # Digits are about 0.73 of the type high: half of that under the middle, and within the frame.
    base = float(words.attributes["y"])
    assert base == pytest.approx(50 + 0.73 * 4 / 2, abs=1e-3)
    assert base < 50 + high / 2
    assert strokes.tag_size("1234", 4.0)[0] > wide
    assert strokes.tag_size("123", 8.0) == pytest.approx((2 * wide, 2 * high))


def test_words_have_their_attributes_with_hyphens():
    mark = strokes.text(1, 2, "pear", size_mm=3, font_weight="bold", text_anchor="end")
    assert (mark.tag, mark.text) == ("text", "pear")
    assert {
        "font-weight": "bold",
        "text-anchor": "end",
        "font-size": "3.000",
    }.items() <= mark.attributes.items()
    assert (mark.attributes["x"], mark.attributes["y"]) == ("1.000", "2.000")


def test_arrow_heads_are_closed():
    heads = [np.array([(0.0, 0.0), (2.0, 1.0), (0.0, 2.0)])] * 2
    mark = strokes.head_marks(heads, "#123456")
    assert mark.attributes["d"].count("Z") == 2
    assert [head.tolist() for head in strokes_of(mark)] == [head.tolist() for head in heads]
