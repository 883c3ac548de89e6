"""The page of plans side by side: well formed, escaped, nothing from outside; the table and the JSON."""

import re
from html.parser import HTMLParser

import numpy as np
import pytest
from compared_plans import DRAWING, EVIL, ONE, TWO, wished, with_foreign
from figure_plans import plan_of
from printed import all_within

from stitchpath.check.foreign import measure_foreign
from stitchpath.compare.side_by_side import SideBySide, side_by_side
from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError, FileError
from stitchpath.pages.comparison import comparison_html, write_comparison

VOID = {"meta", "br", "hr", "img", "input", "link"}


class Page(HTMLParser):
    """Sees that what is opened is closed, and gathers tags and text."""

    def __init__(self, text):
        super().__init__()
        self.open, self.tags, self.words, self.attributes = [], [], [], []
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += attrs
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += attrs

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.words.append(data)


def test_the_page_stands_alone_and_escapes_what_users_wrote():
    text = comparison_html(with_foreign(wished()))
    page = Page(text)
    words = " ".join(page.words)
    assert EVIL in words
    assert not {"script", "use", "image", "img", "link", "iframe", "object"} & set(page.tags)
    assert not re.search(r"(?i)\bon[a-z]+=|javascript:|url\(|@import", text)
    assert {value for _, value in page.attributes if value and "://" in value} == {
        "http://www.w3.org/2000/svg"
    }
    assert "default-src 'none'" in text
    for told in (
        "1 fewer",
        "none: it is planned so already",
        "made elsewhere",
        "against the first",
        "1 of 1",
        "missed",
        "It misses 60",
        "How far it is over the least possible is not known",
        "made elsewhere: 2 paths",
    ):
        assert told in words
    assert page.tags.count("svg") == page.tags.count("figure") == 3
    assert text == comparison_html(with_foreign(wished()))


def test_plans_alone_have_neither_prices_nor_a_plan_made_elsewhere(tmp_path):
    write_comparison([TWO, ONE], tmp_path / "page.html", names=["two", "one"], paper="Letter", unit="in")
    text = (tmp_path / "page.html").read_text(encoding="utf-8")
    words = " ".join(Page(text).words)
    assert "279.4mm 215.9mm" in text
    assert "one: 1 path, 1 of them not in the first" in words
    assert not [told for told in ("wish", "elsewhere", "Dashed", "The picture") if told in words]
    Page(comparison_html(SideBySide()))
    Page(comparison_html(side_by_side([plan_of(Drawing(()))])))


@pytest.mark.parametrize("plans", [4, 5, 6, 7, 8, 9])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_printed_no_heading_stands_without_what_it_heads(tmp_path, printed, plans, paper):
    names = [f"number {number}" for number in range(plans)]
    found = measure_foreign((np.array([(0, 0), (100.0, 0)]), np.array([(80.0, 20), (90, 20)])), DRAWING)
    several = [TWO, *[ONE] * (plans - 1)]
    write_comparison(several, tmp_path / "page.html", names=names, foreign=found, paper=paper)
    pages = printed(tmp_path / "page.html").pages
    words = [page.extract_text() for page in pages]
    for heading, first in (
        ("Side by side", "number 0: 2 paths"),
        ("What is missed", "60 mm"),
        ("The plan made elsewhere", "length of lifts"),
    ):
        (page,) = [page for page in words if heading in page]
        assert first in page
    assert all(map(all_within, pages))


def test_plans_like_the_first_are_named_and_not_drawn_again():
    text = comparison_html(side_by_side([TWO, TWO, ONE], ["a", "like it", "c"]))
    assert text.count("<figure") == 2
    assert "not drawn again: like it." in text
    assert "not drawn again" not in comparison_html(side_by_side([TWO, ONE]))


def test_what_cannot_be_written_is_refused(tmp_path):
    with pytest.raises(DesignError, match="no paper"):
        write_comparison([TWO], tmp_path / "page.html", paper="A0")
    with pytest.raises(ValueError, match="1 names for 2 plans"):
        write_comparison([TWO, ONE], tmp_path / "page.html", names=["one"])
    with pytest.raises(FileError):
        write_comparison([TWO], tmp_path / "none" / "page.html")


def test_the_row_of_a_plan_made_elsewhere_stands_beside_the_others(tmp_path):
    paths = (np.array([(0, 0), (100.0, 0)]), np.array([(50.0, 0), (50, 60)]))
    found = measure_foreign(paths, TWO)
    write_comparison([TWO], tmp_path / "page.html", names=["ours"], foreign=found)
    text = (tmp_path / "page.html").read_text(encoding="utf-8")
    rows = re.findall(r"<tr[ >].*?</tr>", text, re.DOTALL)
    ours, theirs, more = (re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row) for row in rows[1:4])
    assert (ours[0], theirs[0], more[0]) == ("ours", "made elsewhere", "against the first")
    assert ours[1:7] == theirs[1:7]
    assert (theirs[-1], more[-1]) == ("none", "")
    assert "of them not in the first" not in text
