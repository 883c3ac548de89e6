"""A page in print: nothing is cut off at the paper's edge, and what belongs together is on one page."""

import re

import pytest
from printed import all_within

from stitchpath.formats.svg_text import true_size_svg
from stitchpath.pages.html_page import heading, html_page, listed, paragraph, section, table
from stitchpath.pages.paper import Paper, paper_of

A4 = paper_of("A4")


@pytest.fixture
def pages(tmp_path, printed):
    """Print parts and return the pages."""

    def print_parts(parts, paper=A4):
        file = tmp_path / "page.html"
        file.write_text(html_page("page", parts, paper=paper), encoding="utf-8")
        return printed(file).pages

    return print_parts


@pytest.mark.parametrize("first", [1, 98, 9998])
def test_numbers_of_a_list_are_whole(pages, first):
    (page,) = pages([listed(["turn", "sew", "hop"], first=first)])
    assert all_within(page, within_mm=0.01)
    assert f"{first + 2}." in page.extract_text()


def test_heads_of_columns_are_not_broken(pages):
    narrow = Paper("narrow", 80.0, 200.0)
    head = ("", "wander", "ends in open cloth", "needle-down")
    (page,) = pages([table(head, [("a name of many letters, to and fro",) * 4])], narrow)
    assert {"wander", "needle-", "down", "cloth"} <= set(
        re.findall(r"[\w-]+?(?:-|\b)(?=\s|\w|$)", page.extract_text())
    )
    assert all_within(page)


@pytest.mark.parametrize("lines", range(26, 46))
def test_a_small_table_and_pictures_stay_with_their_heading(pages, lines):
    picture = f"<figure>{true_size_svg([], (50.0, 40.0), title='a')}<figcaption>picture</figcaption></figure>"
    rows = table((), [(f"row {number}",) for number in range(8)])
    for part, last in ((rows, "row 7"), (section([picture] * 2, kind="side"), "picture")):
        made = pages(
            [*[paragraph("words")] * lines, heading(2, "Heading"), paragraph("facts", kind="facts"), part]
        )
        (found,) = [page.extract_text() for page in made if "Heading" in page.extract_text()]
        assert last in found


def test_a_row_that_belongs_to_the_one_above_is_told_by_its_name():
    made = table((), [("one", "1"), ("more", "2")], joined="more")
    assert made.count('<tr class="joined">') == 1
    assert "joined" not in table((), [("", "1")])
