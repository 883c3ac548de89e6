"""Every page for people in a browser: its text has contrast, and its colours are told apart by every eye.

Both are found from the page itself: every text with its colour and the ground it stands on, and every colour
that something is drawn with.
"""

from itertools import combinations

import numpy as np
import pytest
from banded_plans import banded
from export_plans import orchard
from sight import contrast, lab, least_apart, linear
from walk_page import PLAN, READY

from stitchpath.check.foreign import measure_foreign
from stitchpath.pages.comparison import write_comparison
from stitchpath.pages.plan_sheet import write_plan_sheet
from stitchpath.pages.templates import write_templates
from stitchpath.pages.tiles import write_tiles
from stitchpath.pages.walkthrough import write_walkthrough
from stitchpath.pictures.colours import order_colours
from stitchpath.pictures.picture import picture_svg

LEAST_CONTRAST, LEAST_APART = 4.5, 10.0
TEXTS = """() => {
  const painted = (paint) => !['none', 'rgba(0, 0, 0, 0)', 'transparent'].includes(paint);
  const colourOf = (one) => {
    const style = getComputedStyle(one);
    if (!(one instanceof SVGElement)) return style.backgroundColor;
    return one.tagName === 'svg' ? style.backgroundColor : style.fill;
  };
  const groundOf = (one, x, y) => {
    const found = document.elementsFromPoint(x, y), at = found.indexOf(one);
    const under = (at < 0 ? found : found.slice(at)).filter((other) => !(other instanceof SVGTextElement));
    const first = under.find((other) => painted(colourOf(other)));
    const page = colourOf(document.body);
    return first ? colourOf(first) : painted(page) ? page : 'rgb(255, 255, 255)';
  };
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), found = {};
  while (texts.nextNode()) {
    const node = texts.currentNode, one = node.parentElement, range = document.createRange();
    if (!node.data.trim() || one.closest('script, noscript, style, option, title, .unseen')) continue;
    const style = getComputedStyle(one), colour = one instanceof SVGElement ? style.fill : style.color;
    range.selectNodeContents(node);
    for (const box of range.getClientRects()) {
      if (!box.width) continue;
      const ground = groundOf(one, box.left + box.width / 2, box.top + box.height / 2);
      found[colour + '|' + ground] = node.data.trim().slice(0, 40);
    }
  }
  return Object.entries(found);
}"""
DRAWN = """() => {
  const found = {};
  for (const one of document.querySelectorAll('svg path, svg circle, svg rect, svg line, svg polygon')) {
    const style = getComputedStyle(one), box = one.getBoundingClientRect();
    if (style.visibility === 'hidden' || style.display === 'none') continue;
    for (const paint of [style.fill, style.stroke]) {
      if (paint.startsWith('rgb(')) found[paint] = one.outerHTML.slice(0, 60);
    }
  }
  return Object.entries(found);
}"""

SMALLEST_MM, AIR = 2.0, 0.2
SIZES = """() => {
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), found = [];
  while (texts.nextNode()) {
    const node = texts.currentNode, one = node.parentElement;
    if (!node.data.trim() || one.closest('script, noscript, style, option, title, .unseen')) continue;
    const scale = one instanceof SVGElement ? Math.hypot(one.getScreenCTM().a, one.getScreenCTM().b) : 1;
    found.push([parseFloat(getComputedStyle(one).fontSize) * scale, node.data.trim().slice(0, 40)]);
  }
  return found;
}"""
BOXES = """() => [...document.querySelectorAll('svg')].map(
  (svg) => [...svg.querySelectorAll('text')].map((one) => {
  const box = one.getBoundingClientRect();
  return [one.textContent, box.left, box.top, box.right, box.bottom];
}))"""


def compared(plan, file):
    lines = [path.coordinates_mm for path in plan]
    stray = np.array([lines[0][0] + 7, lines[0][0] + 30])
    write_comparison([plan, plan], file, foreign=measure_foreign([*lines[1:], stray], plan))


PAGES = {
    "picture": lambda file: file.write_text(f"<!DOCTYPE html><body>{inline()}</body>"),
    "plan sheet": lambda file: write_plan_sheet(orchard(), file),
    "plan sheet in bands": lambda file: write_plan_sheet(banded(), file),
    "tiles": lambda file: write_tiles(orchard(), file),
    "templates": lambda file: write_templates(orchard(), file),
    "comparison": lambda file: compared(orchard(), file),
    "walk-through": lambda file: write_walkthrough(PLAN, file),
    "walk-through in the dark": lambda file: write_walkthrough(PLAN, file),
}


def inline():
    """The picture without the line that says it is XML."""
    return picture_svg(orchard()).partition("?>")[2]


@pytest.fixture(params=PAGES)
def shown(request, tmp_path, open_page):
    """A page, whole in sight."""
    PAGES[request.param](tmp_path / "page.html")
    walks = request.param.startswith("walk-through")
    scheme = "dark" if request.param.endswith("dark") else "light"
    page = open_page(tmp_path / "page.html", ready=READY if walks else None, color_scheme=scheme)
    if not walks:
        tall = page.evaluate("Math.ceil(document.documentElement.scrollHeight)")
        page.set_viewport_size({"width": 1360, "height": min(tall, 16000)})
    return page


def colour(paint):
    return "#" + "".join(f"{int(part):02x}" for part in paint.strip("rgb()").split(","))


def test_text_has_contrast_on_its_ground(shown):
    found = shown.evaluate(TEXTS)
    assert found
    for pair, words in found:
        one, ground = map(colour, pair.split("|"))
        assert contrast(one, ground) >= LEAST_CONTRAST, (one, ground, words)


def test_what_is_drawn_is_told_apart_by_every_eye(shown):
    """The order's colours run on from one to the next, and numbers tell them apart; all else differs."""
    found = {colour(paint): what for paint, what in shown.evaluate(DRAWN)}
    others = sorted(one for one in found if not in_order(one))
    assert len(others) >= 2
    near = {
        (one, other): round(least_apart(one, other), 1)
        for one, other in combinations(others, 2)
        if least_apart(one, other) < LEAST_APART
    }
    assert near == {}, [(found[one], found[other]) for one, other in near]


def test_no_text_is_too_small_in_print(shown):
    found = shown.evaluate(SIZES)
    assert found
    assert [words for size, words in found if size / 96 * 25.4 < SMALLEST_MM - 1e-3] == []


def test_no_text_of_a_drawing_lies_over_another(shown):
    for texts in shown.evaluate(BOXES):
        for (one, *box), (other, *near) in combinations(texts, 2):
            wide = min(box[2], near[2]) - max(box[0], near[0])
            high = min(box[3], near[3]) - max(box[1], near[1])
            assert wide <= 1 or high <= AIR * min(box[3] - box[1], near[3] - near[1]), (one, other)


def in_order(one):
    """Whether a colour is one of the order's, but for rounding."""
    places = lab(linear([one, *order_colours(2000)]))
    return np.hypot.reduce(places[1:] - places[0], axis=1).min() < 0.5
