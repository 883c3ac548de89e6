"""The walk-through on a phone, a tablet and a desk: all within reach of fingers and keys, and nothing cut."""

import re
from dataclasses import replace

import numpy as np
import pytest
from banded_plans import banded
from walk_page import PLAN, READY, STEPS, current, go, needle, shown, wait_until, written

from stitchpath.directions.pauses import pauses_of
from stitchpath.directions.teller import steps_of
from stitchpath.pages.walkthrough import write_walkthrough
from stitchpath.settings import MachineSettings

SCREENS = {"phone": (390, 844, "dark"), "tablet": (820, 1180, "light"), "desk": (1440, 900, "dark")}
BANDS = banded(rows=2, columns=2)
BAND_STEPS = steps_of(BANDS, unit="mm")
PAUSES = pauses_of(BANDS, BAND_STEPS, unit="mm")
TOLD = [
    words
    for step in BAND_STEPS
    for words in (
        *(f"Before step {step.number}: {pause.text}" for pause in PAUSES if pause.before == step.number),
        f"Step {step.number} of {len(BAND_STEPS)}: {step.text}",
    )
]
LEAST_PX, LEAST_DRAWING_PX = 44, 240
SEEN = """() => {
  const box = (one) => { const b = one.getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom]; };
  const shown = [...document.querySelectorAll('body *')].filter((one) => one.checkVisibility() && !one.closest('svg, option') && getComputedStyle(one).clipPath === 'none');
  const needle = document.querySelector('#mark .needle');
  const texts = [...document.querySelectorAll('#mark text')].filter((one) => one.getAttribute('visibility') !== 'hidden');
  return {
    told: document.getElementById('told').textContent,
    sheet: box(document.getElementById('sheet')), words: box(document.getElementById('told')), turn: box(document.getElementById('turn')),
    wide: document.documentElement.scrollWidth, high: document.documentElement.scrollHeight,
    cut: shown.filter((one) => one.id !== 'sheet' && (one.scrollWidth > one.clientWidth + 1 && one.clientWidth
        || one.id === 'said' && one.scrollHeight > one.clientHeight))
      .filter((one) => getComputedStyle(one).display !== 'inline').map((one) => one.outerHTML.slice(0, 90)),
    small: shown.filter((one) => one.matches('button, select, input[type=text], label.tick')).filter((one) => {
      const [left, top, right, bottom] = box(one);
      return right - left < 44 || bottom - top < 44;
    }).map((one) => one.outerHTML.slice(0, 90)),
    needle: needle.getAttribute('visibility') === 'hidden' ? null : box(needle), labels: texts.map(box),
  };
}"""  # noqa: E501


@pytest.fixture(params=SCREENS)
def screen(request, open_page):
    """Open a page on one of the screens."""
    width, height, scheme = SCREENS[request.param]

    def opened(file):
        size = {"width": width, "height": height}
        return open_page(file, ready=READY, viewport=size, color_scheme=scheme, has_touch=True)

    return opened


@pytest.fixture(scope="module")
def bands(tmp_path_factory):
    return written(tmp_path_factory.mktemp("bands"), BANDS)


def all_in_sight(page):
    """Look at drawing and words together; return the words."""
    seen, (width, height) = page.evaluate(SEEN), page.viewport_size.values()
    assert (seen["cut"], seen["small"]) == ([], [])
    assert (seen["wide"], seen["high"]) == (width, height)
    sheet, words, turn = seen["sheet"], seen["words"], seen["turn"]
    assert sheet[3] - sheet[1] >= LEAST_DRAWING_PX
    assert 0 <= sheet[1] < sheet[3] <= words[1] < words[3] <= turn[1] < turn[3] <= height
    assert turn[3] - turn[1] >= LEAST_PX
    for label in seen["labels"] if seen["needle"] else ():
        apart = [min(label[i + 2], seen["needle"][i + 2]) - max(label[i], seen["needle"][i]) for i in (0, 1)]
        assert min(apart) <= 0.5, seen["told"]
    return seen["told"]


def search(page, words):
    if not page.is_visible("#wanted"):
        page.tap("#list-opens")
    page.fill("#wanted", words)
    page.press("#wanted", "Enter")


def test_each_step_is_reached_by_touch_and_by_keys_with_words_and_drawing_seen(screen, bands):
    page = screen(bands)
    told = [all_in_sight(page)]
    for _ in TOLD[1:]:
        page.tap("#next")
        told.append(all_in_sight(page))
    assert told == TOLD
    back = [page.inner_text("#told")]
    for _ in TOLD[1:]:
        page.keyboard.press("ArrowLeft")
        back.append(page.inner_text("#told"))
    assert back == TOLD[::-1]


def test_long_words_are_not_cut(screen, bands, open_page, tmp_path):
    page = screen(written(tmp_path, PLAN))
    longest = sorted(range(len(STEPS)), key=lambda n: len(STEPS[n].text))[-3:]
    for number in longest:
        search(page, str(number + 1))
        assert all_in_sight(page) == f"Step {number + 1} of {len(STEPS)}: {STEPS[number].text}"
    page.tap("#walk")
    assert page.evaluate(SEEN)["cut"] == []


def test_the_list_and_the_rest_are_one_tap_away(screen, bands):
    page = screen(bands)
    for opens, holds in (("#list-opens", "#steps"), ("#more-opens", "#legend")):
        if not page.is_visible(opens):
            continue
        page.tap(opens)
        assert page.is_visible(holds)
        seen = page.evaluate(SEEN)
        assert (seen["cut"], seen["small"]) == ([], [])
        page.keyboard.press("Escape")
        assert page.evaluate("document.activeElement.id") == opens[1:]
        assert not page.evaluate("document.getElementById('seen').inert")
    if page.is_visible("#list-opens"):
        page.tap("#list-opens")
    page.tap('[data-step="2"]')
    assert all_in_sight(page) == TOLD[2]


def test_a_search_finds_each_kind_of_thing(screen, bands):
    page = screen(bands)
    advance = next(n for n, words in enumerate(TOLD) if "Advance" in words)
    path_8 = next(n for n, words in enumerate(TOLD) if words.startswith(f"Step {first_of_path(8)} of"))
    blocks = [n for n, words in enumerate(TOLD) if stands_in(n, "row 2, column 1")]
    asked_for = {
        "5": 4, "step 5": 4, "path 8": path_8, "Path 1": 0, "band 2": advance, "mark 2A": advance + 1,
        "row 2, column 1": blocks[0], "2A": blocks[0], "2a": blocks[1], "tie off": next_saying("tie off", 0),
    }  # fmt: skip
    for asked, stand in asked_for.items():
        search(page, asked)
        assert page.inner_text("#told") == TOLD[stand], asked
        assert page.is_visible("#sheet")


def first_of_path(path):
    return next(step.number for step in BAND_STEPS if step.path == path)


def stands_in(stand, block):
    found = re.match(r"Step (\d+) ", TOLD[stand])
    under = BAND_STEPS[int(found[1]) - 1].heading if found else ""
    return re.search(rf"{block}\b", f"{under}: {TOLD[stand]}", re.IGNORECASE)


def next_saying(words, stand):
    return next(n for n in range(stand, len(TOLD)) if words in TOLD[n].lower())


def test_the_place_is_kept_for_this_plan_alone(screen, bands, tmp_path):
    page = screen(bands)
    for _ in range(7):
        page.tap("#next")
    page.reload()
    page.wait_for_selector(READY)
    assert page.inner_text("#told") == TOLD[7]
    assert page.inner_text("#note") == "Taken up where it was left."
    page.goto(written(tmp_path, banded(rows=2, columns=3)).as_uri())
    page.wait_for_selector(READY)
    assert page.inner_text("#told").startswith("Step 1 of")


def test_keys_work_on_opening_and_after_a_click(page):
    page.keyboard.press("ArrowRight")
    assert current(page) == 1
    for where in ("#sheet", "h1", "#under", "#next", "#whole"):
        page.click(where, position={"x": 2, "y": 2})
        before = current(page)
        page.keyboard.press("n")
        assert current(page) == before + 1, where
        page.keyboard.press("ArrowUp")
        assert current(page) == before, where


def test_keys_with_a_letter_can_be_turned_off(page):
    page.click("#more-opens")
    page.uncheck("#letters")
    page.click("#more-opens")
    page.keyboard.press("n")
    assert current(page) == 0
    page.keyboard.press("ArrowDown")
    assert current(page) == 1


def tap_at(page, place_mm):
    seen, box = shown(page), page.locator("#sheet").bounding_box()
    x, y = ((100 * mm - seen[axis]) / seen["upp"] for mm, axis in zip(place_mm, "xy", strict=True))
    page.mouse.click(box["x"] + x, box["y"] + y)


def test_a_tap_on_the_drawing_goes_to_the_nearest_step_and_the_place(page):
    sewing = [n for n, step in enumerate(STEPS) if step.verb in {"sew", "lap", "lines"}]
    for number in (sewing[1], sewing[20], sewing[-1]):
        step = STEPS[number]
        points = PLAN.paths[step.path - 1].coordinates_mm[step.first : step.last + 1]
        place = (points[0] + points[1]) / 2
        tap_at(page, place)
        passing = {current(page)}
        while page.inner_text("#note") and number not in passing and len(passing) < 20:
            tap_at(page, place)
            passing.add(current(page))
        assert number in passing
        assert np.array(needle(page)) / 100 == pytest.approx(place, abs=shown(page)["upp"] / 50)


def test_i_stopped_here_says_path_point_and_how_far(page):
    step = STEPS[4]
    path = PLAN.paths[step.path - 1]
    tap_at(page, (np.array(step.start_mm) + step.end_mm) / 2)
    page.click("#more-opens")
    page.click("#stop")
    said = page.inner_text("#stopped")
    found = re.fullmatch(
        r"Path (\d+) at (\d+) mm from its start, by point (\d+) of (\d+): step 5, (.*)\.", said
    )
    number, far, point, count = map(int, found.groups()[:4])
    assert (number, count, found[5]) == (step.path, len(path.coordinates_mm), step.heading)
    assert far == pytest.approx((path.along_mm[step.first] + path.along_mm[step.last]) / 2, abs=3)
    assert step.first <= point - 1 <= step.last


def test_it_says_inches_in_eighths(open_page, tmp_path):
    write_walkthrough(PLAN, tmp_path / "inches.html", unit="in")
    page = open_page(tmp_path / "inches.html", ready=READY)
    page.keyboard.press("ArrowRight")
    tap_at(page, (254, 254 + 3 * 25.4 / 8))
    page.click("#more-opens")
    page.click("#stop")
    assert re.match(r"Path 1 at 10 [1-5]/[48] in from its start", page.inner_text("#stopped"))


def test_walking_on_stays_at_a_pause_and_then_goes_on(open_page, bands):
    page = open_page(bands, ready=READY, reduced_motion="no-preference")
    advance = next(n for n, words in enumerate(TOLD) if "Advance" in words)
    go(page, int(re.match(r"Step (\d+) ", TOLD[advance - 2])[1]) - 1)
    page.click("#walk")
    wait_until(page, "document.getElementById('told').textContent.startsWith('Before')")
    wait_until(page, "document.getElementById('walk').textContent === 'Walk on'")
    assert page.inner_text("#told") == TOLD[advance]
    assert page.get_attribute("#mark .needle", "visibility") == "hidden"
    page.click("#walk")
    assert page.inner_text("#told") == TOLD[advance + 2]


def test_where_a_bobbin_runs_out_is_marked_before_and_in_the_step(open_page, tmp_path):
    plan = replace(PLAN, machine=MachineSettings(bobbin_m=100))
    pauses = pauses_of(plan, STEPS, unit="mm")
    page = open_page(written(tmp_path, plan), ready=READY)
    for pause in [pause for pause in pauses if pause.marks][:2]:
        go(page, pause.before - 1)
        assert page.locator("#mark .place").count() == 1
        page.click("#before")
        assert page.inner_text("#told") == f"Before step {pause.before}: {pause.text}"
        assert page.locator("#mark .place").count() == 1
        assert page.locator("#mark text[visibility=visible]").all_text_contents() == ["new bobbin"]
        page.click("#before")
        assert page.locator("#mark .place").count() == 0


def test_axe_finds_nothing(screen, bands):
    axe = pytest.importorskip(
        "axe_playwright_python.sync_playwright",
        reason='axe-core is missing: pip install "stitchpath[browser]"',
    ).Axe()
    page = screen(bands)
    search(page, "mark 2A")
    for opens in (None, "#list-opens", "#more-opens"):
        if opens and not page.is_visible(opens):
            continue
        if opens:
            page.tap(opens)
        found = axe.run(page).response["violations"]
        assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found] == []
        page.keyboard.press("Escape")
