"""A page: what it is filled with is escaped; in print nothing is cut off, and what belongs together stays."""

import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from banded_plans import banded
from jinja2 import UndefinedError
from printed import all_within

from stitchpath.compare.side_by_side import side_by_side
from stitchpath.errors import Finding
from stitchpath.formats.svg_text import true_size_svg
from stitchpath.pages.comparison import comparison_html
from stitchpath.pages.html_page import drawn, page_templates
from stitchpath.pages.paper import Paper, paper_of
from stitchpath.pages.plan_sheet import plan_sheet_html
from stitchpath.pages.templates import templates_html
from stitchpath.pages.tiles import tiles_html

A4 = paper_of("A4")
HOSTILE = (
    "</title></script><script src='//a'>x</script><img onerror=\"y\">&amp; {{ 7 * 7 }} {% raw %}\u202e\x00"
)


def page_of(body, *, paper=A4, **more):
    page = (
        '{% extends "page.html" %}{% import "parts.html" as parts %}{% block body %}'
        + body
        + "{% endblock %}"
    )
    return page_templates().from_string(page).render(title="page", paper=paper, **more)


@pytest.fixture
def pages(tmp_path, printed):
    """Print a body and return the pages."""

    def print_body(body, **more):
        file = tmp_path / "page.html"
        file.write_text(page_of(body, **more), encoding="utf-8")
        return printed(file).pages

    return print_body


class Seen(HTMLParser):
    """What a browser makes of a page: tags, their attributes, text."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.attributes, self.words = set(), [], ""
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.attributes += attrs

    def handle_data(self, data):
        self.words += data


def hostile_plan():
    plan = banded()
    lines = tuple(replace(line, motif=HOSTILE, block=HOSTILE, thread=HOSTILE) for line in plan.drawing.lines)
    paths = tuple(replace(path, thread=HOSTILE) for path in plan.paths)
    return replace(
        plan, drawing=replace(plan.drawing, name=HOSTILE, lines=lines), paths=paths, notes=(HOSTILE,)
    )


@pytest.mark.parametrize(
    "made",
    [
        lambda plan: plan_sheet_html(plan, findings=[Finding(HOSTILE, HOSTILE)]),
        tiles_html,
        templates_html,
        lambda plan: comparison_html(side_by_side([plan, plan], [HOSTILE, "b"])),
    ],
)
def test_hostile_names_are_words_on_every_page(made):
    text = made(hostile_plan())
    seen = Seen(text)
    assert not seen.tags & {"script", "img", "link", "iframe", "use"}
    assert not [name for name, _ in seen.attributes if name.startswith("on")]
    assert HOSTILE.rstrip("\u202e\x00") in seen.words
    assert not set("\u202e\x00") & set(text)
    assert text == made(hostile_plan())


def test_only_what_is_drawn_is_no_words():
    picture = drawn(true_size_svg([], (1.0, 1.0), title="a < b"))
    assert page_of("{{ picture }}", picture=picture).count("<title>a &lt; b</title>") == 1
    assert "<svg" not in page_of("{{ picture }}", picture=str(picture))


def test_a_page_that_is_not_given_what_it_shows_is_an_error():
    with pytest.raises(UndefinedError):
        page_of("{{ figures }}")


@pytest.mark.parametrize("first", [1, 98, 9998])
def test_numbers_of_a_list_are_whole(pages, first):
    (page,) = pages('{{ parts.listed(["turn", "sew", "hop"], first) }}', first=first)
    assert all_within(page, within_mm=0.01)
    assert f"{first + 2}." in page.extract_text()


def test_heads_of_columns_are_not_broken(pages):
    head = ("", "wander", "ends in open cloth", "needle-down")
    rows = [("a name of many letters, to and fro",) * 4]
    (page,) = pages("{{ parts.table(head, rows) }}", head=head, rows=rows, paper=Paper("narrow", 80.0, 200.0))
    assert {"wander", "needle-", "down", "cloth"} <= set(
        re.findall(r"[\w-]+?(?:-|\b)(?=\s|\w|$)", page.extract_text())
    )
    assert all_within(page)


@pytest.mark.parametrize("lines", range(26, 46))
def test_a_small_table_and_pictures_stay_with_their_heading(pages, lines):
    begin = "{% for _ in range(lines) %}<p>words</p>{% endfor %}<h2>Heading</h2><p class='facts'>facts</p>"
    figure = "<figure>{{ picture }}<figcaption>picture</figcaption></figure>\n"
    rows = [(f"row {number}",) for number in range(8)]
    picture = drawn(true_size_svg([], (50.0, 40.0), title="a"))
    for part, last in (
        ("{{ parts.table((), rows) }}", "row 7"),
        (f'<section class="side">{2 * figure}</section>', "picture"),
    ):
        made = pages(begin + part, lines=lines, rows=rows, picture=picture)
        (found,) = [page.extract_text() for page in made if "Heading" in page.extract_text()]
        assert last in found


def test_a_row_that_belongs_to_the_one_above_is_told_by_its_name():
    rows = [("one", "1"), ("more", "2")]
    assert page_of("{{ parts.table((), rows, joined='more') }}", rows=rows).count('<tr class="joined">') == 1
    assert 'class="joined"' not in page_of("{{ parts.table((), [('', '1')]) }}")
