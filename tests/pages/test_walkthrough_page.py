"""The walk-through in a browser: steps chosen by clicks, words and keys, by what changed."""

import math
import re
from dataclasses import replace
from itertools import pairwise

import numpy as np
from walk_page import (
    LIFTS,
    LONG,
    PLAN,
    READY,
    STEPS,
    attribute,
    current,
    go,
    needle,
    shown,
    speed,
    wait_until,
    written,
)


def test_it_opens_at_the_first_step_with_the_whole_top_in_sight(page):
    assert current(page) == 0
    assert STEPS[0].text in page.inner_text("#told")
    assert page.inner_text("#after") == f"Then: {STEPS[1].text}"
    sheet, box = page.locator("#sheet").bounding_box(), page.locator("#cloth .edge").bounding_box()
    assert sheet["x"] < box["x"]
    assert box["x"] + box["width"] < sheet["x"] + sheet["width"]
    assert page.locator("#cloth path.ahead, #cloth path.sewn").count() >= len(PLAN)


def test_the_list_has_a_heading_for_each_section_and_each_path(page):
    assert page.locator("#steps h3").all_inner_texts() == ["Seams", "Detail"]
    assert page.locator("#steps h4").count() == len(PLAN)
    levels = page.eval_on_selector_all("h1,h2,h3,h4,h5", "all => all.map((one) => Number(one.tagName[1]))")
    assert 5 in levels
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_next_and_before_move_the_step_the_drawing_and_the_words(page):
    go(page, LONG)
    drawn = attribute(page, "#mark .sew", "d")
    page.click("#next")
    assert current(page) == LONG + 1
    assert attribute(page, "#mark path:not(.clear):not(.next):not(.lift)", "d") != drawn
    page.click("#before")
    assert current(page) == LONG
    assert attribute(page, "#mark .sew", "d") == drawn
    go(page, 0)
    assert page.locator("#before").is_disabled()
    go(page, len(STEPS) - 1)
    assert page.locator("#next").is_disabled()
    assert page.inner_text("#after") == "All is sewn."


def test_a_click_on_a_step_chooses_it(page):
    page.click("#steps h4 button >> nth=3")
    step = page.locator("#steps ol >> nth=3").locator(".step").first
    number = int(step.get_attribute("data-step"))
    assert STEPS[number].path == 4
    assert STEPS[number].text in step.inner_text()
    step.click()
    assert current(page) == number
    assert page.evaluate("document.activeElement.dataset.step") == str(number)


def test_a_head_shows_and_hides_its_steps(page):
    head, items = page.locator("#steps h4 button").nth(5), page.locator("#steps ol").nth(5)
    for expanded in ("true", "false"):
        head.click()
        assert head.get_attribute("aria-expanded") == expanded
        assert items.is_visible() == (expanded == "true")


def test_what_was_sewn_before_is_told_from_what_is_still_to_come(page):
    for number in (LONG, 0, len(STEPS) - 1):
        go(page, number)
        path = STEPS[number].path - 1
        assert page.locator("#cloth path.sewn:not(.travel)").count() == path
        assert page.locator("#cloth path.ahead:not(.travel)").count() == len(PLAN) - path
    go(page, LONG + 1)
    sewn = attribute(page, "#done path", "d")
    path = PLAN.paths[STEPS[LONG].path - 1]
    x, y = np.round(path.coordinates_mm[0] * 100)
    assert sewn.startswith(f"M{x:.0f} {y:.0f}l")
    go(page, LONG)
    assert page.locator("#done path").count() == 0


def test_sewing_travel_and_lifts_differ_by_more_than_colour(page):
    go(page, LONG)
    page.click("#this")
    assert attribute(page, "#mark .sew", "stroke-dasharray") is None
    assert attribute(page, "#mark .over", "stroke-dasharray")
    wait_until(page, "document.querySelectorAll('#mark .solid, #mark .hollow').length > 1")
    assert page.locator("#mark .hollow").count()
    assert page.locator("#mark .lift, #mark .tie").count() == 0
    go(page, LIFTS[0])
    assert (page.locator("#mark .lift").count(), page.locator("#mark .tie").count()) == (0, 1)
    go(page, LIFTS[0] + 1)
    assert (page.locator("#mark .lift").count(), page.locator("#mark .tie").count()) == (1, 0)
    assert attribute(page, "#mark .lift", "stroke-dasharray").startswith("0 ")
    far = math.dist(*ends_of(LIFTS[0]))
    assert f"Step {LIFTS[0] + 2} of {len(STEPS)}: Needle up, move {far:.0f} mm" in page.inner_text("#told")


def test_the_needle_comes_from_the_path_before_while_it_is_up(page):
    before, after = (np.round(end * 100) for end in ends_of(LIFTS[0]))
    go(page, LIFTS[0] + 1)
    assert needle(page) == tuple(before)
    speed(page, 1)
    page.click("#walk")
    wait_until(page, f"document.querySelector('[aria-current]').dataset.step > {LIFTS[0] + 1}")
    page.click("#walk")
    assert current(page) == LIFTS[0] + 2
    assert math.dist(needle(page), after) < math.dist(needle(page), before)


def test_between_bands_the_needle_is_nowhere(open_page, tmp_path):
    bands = [replace(path, band=1 if number < 2 else 2) for number, path in enumerate(PLAN.paths)]
    page = open_page(written(tmp_path, replace(PLAN, paths=tuple(bands))), ready=READY)
    for number, lifts in ((LIFTS[0], 1), (LIFTS[1], 0), (LIFTS[2], 1)):
        page.fill("#wanted", str(number + 2))
        page.press("#wanted", "Enter")
        assert page.locator("#mark .lift").count() == lifts
        assert ("Needle up" in page.inner_text("#told")) == bool(lifts)


def ends_of(number):
    path = STEPS[number].path
    return PLAN.paths[path - 1].coordinates_mm[-1], PLAN.paths[path].coordinates_mm[0]


def test_the_next_place_is_marked_and_labelled(page):
    for number in (LIFTS[0], 1):
        go(page, number)
        assert page.locator("#mark text").all_text_contents()[0] == "next"
    go(page, LIFTS[0] + 1)
    x, y = np.round(ends_of(LIFTS[0])[1] * 100)
    d = attribute(page, "#mark .next", "d")
    at_x, at_y = (float(part) for part in d[1:].split("l")[0].split())
    assert at_x == x
    assert abs(at_y - y) < 20 * shown(page)["upp"]


def test_typing_a_place_goes_to_the_first_step_there_and_on(page):
    fitting = [
        n for n, step in enumerate(STEPS)
        if re.search(r"row 2, column 1\b", f"{step.block}: {step.text}", re.IGNORECASE)
    ]  # fmt: skip
    assert any("row 2, column 1" in STEPS[n].text for n in fitting)
    assert any("row 2, column 1" not in STEPS[n].text for n in fitting)
    page.click("#wanted")
    page.keyboard.type("Row 2, column 1")
    page.keyboard.press("Enter")
    assert current(page) == fitting[0]
    assert page.inner_text("#found").startswith(f"1 of {len(fitting)} steps")
    page.keyboard.press("Enter")
    assert current(page) == fitting[1]
    assert page.evaluate("document.activeElement.id") == "wanted"


def test_typing_what_there_is_not_says_so_and_stays(page):
    go(page, 3)
    for wanted, said in (
        ("row 9 column 9", 'No step says "row 9 column 9".'),
        ("0", f"There is no step 0: they are 1 to {len(STEPS)}."),
        ("99999", f"There is no step 99999: they are 1 to {len(STEPS)}."),
        ("(.*", 'No step says "(.*".'),
        (
            " ",
            (
                "A step, a path, a block, a band, a mark, or words: "
                "40, path 3, 2A, row 2 column 1, band 2, mark 2B"
            ),
        ),
        ("path 60", f"There is no path 60: they are 1 to {len(PLAN)}."),
        ("band 2", "Nothing is sewn in a band 2."),
        ("mark 2B", "There is no mark 2B to align a band on."),
        ("3A", "No step is in row 3, column 1."),
    ):
        page.fill("#wanted", wanted)
        page.click("#find button")
        assert page.inner_text("#found") == said
        assert current(page) == 3


def test_keys_in_the_list_move_the_step_and_the_focus(page):
    page.focus('[aria-current="step"]')
    for key, number in (
        ("ArrowDown", 1), ("ArrowDown", 2), ("ArrowUp", 1), ("End", len(STEPS) - 1), ("Home", 0),
        ("PageDown", LIFTS[0] + 1), ("PageDown", LIFTS[1] + 1), ("PageUp", LIFTS[0] + 1), ("n", LIFTS[0] + 2),
        ("b", LIFTS[0] + 1),
    ):  # fmt: skip
        page.keyboard.press(key)
        assert current(page) == number
        assert page.evaluate("document.activeElement.dataset.step") == str(number)
    opened = page.locator("#steps ol:not([hidden])")
    assert [opened.nth(n).locator('[tabindex="0"]').count() for n in range(opened.count())] == [
        1
    ] * opened.count()


def test_keys_do_nothing_in_the_field_but_type(page):
    page.click("#wanted")
    page.keyboard.type("nbwt+-0")
    assert page.input_value("#wanted") == "nbwt+-0"
    assert current(page) == 0
    page.click("#sheet", position={"x": 3, "y": 3})
    page.keyboard.press("/")
    assert page.evaluate("document.activeElement.id") == "wanted"


def test_the_step_is_said_aloud_once_where_the_focus_does_not_say_it(page):
    page.click("#next")
    assert STEPS[1].text in page.text_content("#live")
    assert page.get_attribute("#live", "aria-live") == "polite"
    page.focus('[aria-current="step"]')
    page.keyboard.press("ArrowDown")
    assert STEPS[1].text in page.text_content("#live").split("Then")[0]


def test_everything_to_press_has_a_name_and_can_be_reached_by_tab(page):
    names = page.eval_on_selector_all(
        "button, input, select, summary",
        "all => all.map((one) => one.labels?.[0]?.innerText || one.innerText)",
    )
    assert all(names)
    reached = set()
    page.focus("#wanted")
    for _ in range(40 + len(PLAN)):
        reached.add(page.evaluate("document.activeElement.id || document.activeElement.dataset.step"))
        page.keyboard.press("Tab")
    assert {"wanted", "0", "next", "walk", "nearer", "farther", "this", "whole", "more-opens"} <= reached
