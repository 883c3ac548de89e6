"""The page of plans side by side: well formed, escaped, nothing from outside; the table and the JSON."""

import csv
import io
import json
import re
from html.parser import HTMLParser

import numpy as np
import pytest
from figure_plans import SEW, TRAVEL, path, plan_of
from printed import all_within
from shapely import box

from stitchpath.check.foreign import measure_foreign
from stitchpath.compare.side_by_side import SideBySide, other_scale, side_by_side
from stitchpath.compare.side_by_side_data import comparison_csv, comparison_json
from stitchpath.compare.whatif import WhatIf, Wished
from stitchpath.compare.wishes import WISHES
from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError, FileError
from stitchpath.lines import KeepOut, Line, Role
from stitchpath.pages.comparison import comparison_html, write_comparison
from stitchpath.pictures.small_picture import frame_for, small_picture
from stitchpath.settings import CostSettings

EVIL = '<script>alert("x")</script> & pears'
DRAWING = Drawing(
    (Line([(0, 0), (100, 0)], Role.DITCH), Line([(50, 0), (50, 60)], Role.FILL)),
    keep_outs=(KeepOut(box(10, 10, 20, 20)),),
    outline=box(0, 0, 100, 60),
    name=EVIL,
)
TWO = plan_of(
    DRAWING, path([(0, 0), (100, 0)], (SEW, 0, 1, 1)), path([(50, 0), (50, 60)], (SEW, 0, 1, 2)), cost=9.0
)
ONE = plan_of(
    DRAWING,
    path([(0, 0), (100, 0), (50, 0), (50, 60)], (SEW, 0, 1, 1), (TRAVEL, 1, 2, 1), (SEW, 2, 3, 2)),
    cost=10.0,
    bound=10.0,
)
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


def wished():
    return side_by_side(
        WhatIf(TWO, (Wished(WISHES[0], ONE), Wished(WISHES[1], None, EVIL), Wished(WISHES[2], TWO)))
    )


def with_foreign(told):
    paths = (np.array([(0, 0), (100.0, 0)]), np.array([(80.0, 20), (90, 20)]))
    return told.with_foreign(measure_foreign(paths, DRAWING))


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
        "Nothing is proven of it",
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


def test_the_table():
    rows = list(csv.DictReader(io.StringIO(comparison_csv(side_by_side([TWO, ONE], ["two", "one, sewn"])))))
    assert [row["name"] for row in rows] == ["two", "one, sewn"]
    assert (rows[1]["paths"], rows[1]["paths_more"], rows[1]["travel_mm_more"]) == ("1", "-1", "50.000000")
    assert (rows[0]["gap"], rows[1]["gap_more"], rows[0]["wander"]) == ("", "", "")
    assert [row["paths_not_in_the_first"] for row in rows] == ["", "1"]
    with pytest.raises(DesignError, match="formula"):
        comparison_csv(side_by_side([TWO], ["=1+1"]))


def test_the_table_of_a_plan_made_elsewhere():
    rows = list(csv.DictReader(io.StringIO(comparison_csv(with_foreign(side_by_side([TWO, ONE]))))))
    assert [row["name"] for row in rows] == ["plan 1", "plan 2", "made elsewhere"]
    told = rows[2]
    assert (told["paths"], told["paths_more"], told["lifts"]) == ("2", "0", "1")
    assert (told["travel_mm"], told["travel_mm_more"]) == ("10.000000", "10.000000")
    assert (told["open_ends"], told["gap"], told["gap_more"]) == ("2", "", "")
    assert (told["off_mm"], told["keep_out_mm"], told["missed_mm"]) == ("10.000000", "0.000000", "60.000000")
    assert (told["ends_off_lines"], told["lines_missed"], told["twice_mm"]) == ("2", "1", "0.000000")
    assert (told["paths_not_in_the_first"], rows[1]["paths_not_in_the_first"]) == ("", "1")
    assert {row["off_mm"] for row in rows[:2]} == {""}
    (alone,) = csv.DictReader(io.StringIO(comparison_csv(with_foreign(SideBySide()))))
    assert (alone["name"], alone["paths_more"], alone["off_mm"]) == ("made elsewhere", "0", "10.000000")


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


def test_json():
    told = json.loads(comparison_json(with_foreign(wished())))
    assert told["format"] == "stitchpath comparison 1"
    assert [plan["name"] for plan in told["plans"]] == ["as it is", WISHES[0].name, "made elsewhere"]
    assert (told["plans"][2]["paths"], told["plans"][2]["more"]["paths"]) == (2, 0)
    assert told["plans"][2]["gap"] is None
    assert "paths_not_in_the_first" not in told["plans"][2]
    assert told["plans"][1]["more"]["paths"] == -1
    assert told["plans"][0]["gap"] is None
    assert [wish["problem"] for wish in told["wishes"]] == ["", EVIL, ""]
    assert told["wishes"][0]["changed"] == [1]
    assert told["made_elsewhere"]["missed"][0]["missed_mm"] == pytest.approx(60)


def test_plans_that_weigh_otherwise_are_told():
    from dataclasses import replace

    assert other_scale(side_by_side([TWO, ONE])) == ()
    assert other_scale(side_by_side([])) == ()
    dear = replace(ONE, cost_settings=CostSettings(path_cost_s=7))
    (said,) = other_scale(side_by_side([TWO, dear], ["a", "b"]))
    assert said.endswith(": b.")
