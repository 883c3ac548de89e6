"""Plain marks as SVG text: exactly these, in order, whatever their words hold."""

import xml.etree.ElementTree as ET

import pytest
from strategies.text import HOSTILE

from stitchpath.formats.svg_text import Mark, inline_svg, printable, svg_text, true_size_svg

SPACE = "{http://www.w3.org/2000/svg}"
MARKS = [
    Mark("path", {"d": "M 0.000,0.000 L 1.000,0.000 M 5,5 L 6,6", "stroke": "#000000"}),
    Mark("rect", {"x": "1", "y": "2", "width": "3", "height": "4", "rx": "0.600"}),
    Mark("circle", {"cx": "1", "cy": "2", "r": "3"}),
    Mark("line", {"x1": "0", "y1": "0", "x2": "9", "y2": "9"}),
    Mark("text", {"x": "1", "y": "2", "font-size": "3"}, "row 1 & 2 <pear>"),
]


def test_marks_stand_in_it_as_they_are_and_nothing_else():
    root = ET.fromstring(svg_text(MARKS, size_mm=("10", "20.5"), view_box="0 0 10 20.5"))
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("10mm", "20.5mm", "0 0 10 20.5")
    assert [element.tag for element in root] == [SPACE + mark.tag for mark in MARKS]
    for element, mark in zip(root, MARKS, strict=True):
        assert {key: element.get(key) for key in mark.attributes} == dict(mark.attributes)
        # Besides, svgwrite says where words are inserted; nothing that is drawn.
        assert set(element.keys()) - set(mark.attributes) == set()
        assert (element.text or "") == mark.text


def test_an_empty_one_has_no_child():
    root = ET.fromstring(svg_text([], size_mm=("1", "2"), view_box="0 0 1 2"))
    assert list(root) == []
    assert "xlink" not in svg_text([], size_mm=("1", "2"), view_box="0 0 1 2")


def test_a_title_is_a_childs_text_and_the_page_begins_with_the_declaration():
    about = {"size_mm": ("1", "2"), "view_box": "0 0 1 2", "title": "Pears & <leaves>"}
    text, inline = svg_text(MARKS, **about), inline_svg(MARKS, **about)
    assert text == f'<?xml version="1.0" encoding="utf-8"?>\n{inline}\n'
    assert ET.fromstring(inline)[0].tag == f"{SPACE}title"
    assert ET.fromstring(inline)[0].text == "Pears & <leaves>"


@pytest.mark.parametrize("words", [*HOSTILE, "\x00", "a\x0bb", "\ud800"])
def test_hostile_words_stay_words(words):
    root = ET.fromstring(
        svg_text([Mark("text", {"x": "0", "y": "0"}, words)], size_mm=("1", "1"), view_box="", title=words)
    )
    assert [element.tag for element in root] == [f"{SPACE}title", f"{SPACE}text"]
    assert (root[-1].text or "") == printable(words)


def test_what_cannot_be_shown_is_left_out():
    assert printable("pe\x00a\u202er\r\n 2\u00e9") == "pear 2\u00e9"
    assert printable("") == ""


def test_at_true_size_a_unit_is_a_millimetre():
    root = ET.fromstring(true_size_svg(MARKS[:1], (25.4, 12.7), title="Leaf"))
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == (
        "25.400mm", "12.700mm", "0 0 25.400 12.700",
    )  # fmt: skip
