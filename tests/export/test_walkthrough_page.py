"""The walk-through in a browser: clicked, typed into and dragged, by what changed."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely
from export_plans import orchard

from stitchpath.drawing import Drawing
from stitchpath.export.steps import steps_of
from stitchpath.export.walkthrough import write_walkthrough
from stitchpath.lines import Block, Line, Role
from stitchpath.plan import Move, Plan, Span, StitchPath

READY = "html[data-ready]"
NAME = "a</script><script>window.ran = 1</script><img src=x onerror='window.ran = 1'>"
FRAMES = """(ms) => new Promise((done) => {
  let count = 0; const from = performance.now();
  const frame = (time) => { count += 1; time - from < ms ? requestAnimationFrame(frame) : done(count * 1000 / (time - from)); };
  requestAnimationFrame(frame);
})"""  # noqa: E501

TEXT_COLOURS = """() => {
      const ground = (one) => {
        for (let up = one; up; up = up.parentElement) {
          const colour = getComputedStyle(up).backgroundColor;
          if (colour !== 'rgba(0, 0, 0, 0)') return colour;
        }
        return 'rgb(255, 255, 255)';
      };
      const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), found = {};
      while (texts.nextNode()) {
        const one = texts.currentNode.parentElement;
        if (!texts.currentNode.data.trim() || one.closest('script, noscript, option')) continue;
        const style = getComputedStyle(one), drawn = one instanceof SVGElement;
        found[[drawn ? style.fill : style.color, drawn ? 'rgb(255, 255, 255)' : ground(one)]] = one.textContent.slice(0, 30);
      }
      return Object.entries(found);
    }"""  # noqa: E501


def with_blocks(plan, rows, columns, size=254.0):
    blocks = tuple(
        Block(f"row {r}, column {c}", (c * size - size, r * size - size, c * size, r * size), r, c)
        for r in range(1, rows + 1)
        for c in range(1, columns + 1)
    )
    return replace(plan, drawing=replace(plan.drawing, blocks=blocks))


PLAN = with_blocks(orchard(rows=2, columns=12), 2, 12)
STEPS = steps_of(PLAN)
LIFTS = [n for n, step in enumerate(STEPS[:-1]) if STEPS[n + 1].path != step.path]
LONG = next(n for n, step in enumerate(STEPS) if "lines to and fro" in step.what)


def written(folder, plan, name="walk.html"):
    write_walkthrough(plan, folder / name)
    return folder / name


@pytest.fixture(scope="module")
def file(tmp_path_factory):
    return written(tmp_path_factory.mktemp("walk"), PLAN)


@pytest.fixture
def page(open_page, file):
    return open_page(file, ready=READY)


def current(page):
    """The number of the step that is marked as the present one."""
    (number,), told = page.evaluate("""() => [
      [...document.querySelectorAll('[aria-current="step"]')].map((one) => Number(one.dataset.step)),
      document.getElementById('told').textContent]""")
    assert told.startswith(f"Step {number + 1} of {len(STEPS)}: ")
    return number


def go(page, number):
    page.fill("#wanted", str(number + 1))
    page.press("#wanted", "Enter")


def attribute(page, selector, name):
    return page.eval_on_selector(selector, f"(one) => one.getAttribute('{name}')")


def shown(page):
    """What of the top lies in the sheet's corner, and hundredths of a millimetre to a pixel."""
    return page.evaluate("""() => {
      const cloth = document.getElementById('cloth'), sheet = document.getElementById('sheet').getBoundingClientRect();
      const box = cloth.getBoundingClientRect(), [x, y, width] = cloth.getAttribute('viewBox').split(' ').map(Number);
      const upp = width / box.width;
      return { x: x + (sheet.left - box.left) * upp, y: y + (sheet.top - box.top) * upp, upp };
    }""")  # noqa: E501


def wait_until(page, holds):
    """Playwright's own waiting compiles its text in the page, which the page's policy forbids."""
    for _ in range(400):
        if page.evaluate(holds):
            return
        page.wait_for_timeout(50)
    raise AssertionError(holds)


def middle(page):
    box = page.locator("#sheet").bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def needle(page):
    said = attribute(page, "#mark .needle", "transform")
    return tuple(float(part) for part in said[len("translate(") : -1].split())


def test_it_opens_at_the_first_step_with_the_whole_top_in_sight(page):
    assert current(page) == 0
    assert STEPS[0].words in page.inner_text("#told")
    assert STEPS[1].words in page.inner_text("#after")
    sheet, box = page.locator("#sheet").bounding_box(), page.locator("#cloth .edge").bounding_box()
    assert sheet["x"] < box["x"]
    assert box["x"] + box["width"] < sheet["x"] + sheet["width"]
    assert page.locator("#cloth path.ahead, #cloth path.sewn").count() >= len(PLAN)


def test_the_list_has_a_heading_for_each_section_and_each_path(page):
    assert page.locator("#steps h3").all_inner_texts() == ["Seams", "Detail"]
    assert page.locator("#steps h4").count() == len(PLAN)
    levels = page.eval_on_selector_all("h1,h2,h3,h4", "all => all.map((one) => Number(one.tagName[1]))")
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
    assert page.inner_text("#after") == "Then tie off: all is sewn."


def test_a_click_on_a_step_chooses_it(page):
    page.click("#steps h4 button >> nth=3")
    step = page.locator("#steps ol >> nth=3").locator(".step").first
    number = int(step.get_attribute("data-step"))
    assert STEPS[number].path == 4
    assert STEPS[number].words in step.inner_text()
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
    travel = next(n for n, step in enumerate(STEPS) if step.move is Move.SEW and "to and fro" in step.what)
    go(page, travel)
    page.click("#this")
    assert attribute(page, "#mark .sew", "stroke-dasharray") is None
    assert attribute(page, "#mark .over", "stroke-dasharray")
    wait_until(page, "document.querySelectorAll('#mark .solid, #mark .hollow').length > 1")
    assert page.locator("#mark .hollow").count()
    assert page.locator("#mark .lift").count() == (2 if travel in LIFTS else 0)
    go(page, LIFTS[0])
    assert page.locator("#mark .lift").count() == 2
    assert attribute(page, "#mark .lift", "stroke-dasharray").startswith("0 ")
    assert f"lift {math.dist(*ends_of(LIFTS[0])):.0f} mm to path 2" in page.inner_text("#after")


def ends_of(number):
    path = STEPS[number].path
    return PLAN.paths[path - 1].coordinates_mm[-1], PLAN.paths[path].coordinates_mm[0]


def test_the_next_place_is_marked_and_labelled(page):
    for number in (LIFTS[0], 1):
        go(page, number)
        labels = page.locator("#mark text").all_text_contents()
        assert labels[0] == "here"
        assert labels[1].startswith(f"next: {STEPS[number + 1].words[:20]}")
    go(page, LIFTS[0])
    x, y = np.round(ends_of(LIFTS[0])[1] * 100)
    d = attribute(page, "#mark .next", "d")
    at_x, at_y = (float(part) for part in d[1:].split("l")[0].split())
    assert at_x == x
    assert abs(at_y - y) < 20 * shown(page)["upp"]


def test_typing_a_place_goes_to_the_first_step_there_and_on(page):
    fitting = [n for n, step in enumerate(STEPS) if step.place == "row 2 column 1"]
    page.click("#wanted")
    page.keyboard.type("Row 2, column 1")
    page.keyboard.press("Enter")
    assert current(page) == fitting[0]
    assert page.inner_text("#found").startswith(f"1 of {len(fitting)} steps")
    page.keyboard.press("Enter")
    assert current(page) == fitting[1]
    assert page.evaluate("document.activeElement.id") == "wanted"
    for number in fitting:
        assert "column 1:" in STEPS[number].words


def test_typing_what_there_is_not_says_so_and_stays(page):
    go(page, 3)
    for wanted, said in (
        ("row 9 column 9", 'No step says "row 9 column 9".'),
        ("0", f"There is no step 0: they are 1 to {len(STEPS)}."),
        ("99999", f"There is no step 99999: they are 1 to {len(STEPS)}."),
        ("(.*", 'No step says "(.*".'),
        (" ", "Write a step's number, or words such as: row 2 column 3"),
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
    page.focus("#sheet")
    page.keyboard.press("/")
    assert page.evaluate("document.activeElement.id") == "wanted"


def test_the_step_is_said_aloud_once_where_the_focus_does_not_say_it(page):
    page.click("#next")
    assert STEPS[1].words in page.text_content("#live")
    assert page.get_attribute("#live", "aria-live") == "polite"
    page.focus('[aria-current="step"]')
    page.keyboard.press("ArrowDown")
    assert STEPS[1].words in page.text_content("#live").split("Then")[0]


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
    assert {"wanted", "0", "next", "walk", "speed", "nearer", "farther", "this", "whole", "sheet"} <= reached


def test_dragging_moves_the_drawing_by_as_much_and_nothing_else(page):
    before, (x, y) = shown(page), middle(page)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 30, y + 10)
    page.mouse.move(x + 120, y - 50)
    page.mouse.up()
    after = shown(page)
    assert after["x"] == pytest.approx(before["x"] - 120 * before["upp"], abs=before["upp"])
    assert after["y"] == pytest.approx(before["y"] + 50 * before["upp"], abs=before["upp"])
    assert after["upp"] == pytest.approx(before["upp"])
    assert current(page) == 0
    page.mouse.move(x, y)
    assert shown(page) == after


def test_the_wheel_comes_nearer_at_the_pointer(page):
    before, box = shown(page), page.locator("#sheet").bounding_box()
    page.mouse.move(box["x"] + 200, box["y"] + 100)
    page.mouse.wheel(0, -300)
    wait_until(
        page, f"document.getElementById('cloth').getBoundingClientRect().width > {1.5e5 / before['upp']}"
    )
    page.wait_for_timeout(400)
    after = shown(page)
    assert after["upp"] == pytest.approx(before["upp"] * math.exp(-0.75), rel=1e-3)
    for axis, offset in (("x", 200), ("y", 100)):
        there = before[axis] + offset * before["upp"]
        assert after[axis] + offset * after["upp"] == pytest.approx(there, abs=2 * before["upp"])


def test_buttons_and_keys_change_what_is_in_sight(page):
    whole = shown(page)
    page.click("#nearer")
    nearer = shown(page)
    assert nearer["upp"] == pytest.approx(whole["upp"] / 1.4)
    page.focus("#sheet")
    page.keyboard.press("-")
    assert shown(page)["upp"] == pytest.approx(whole["upp"])
    page.keyboard.press("ArrowRight")
    assert shown(page)["x"] == pytest.approx(whole["x"] + 60 * whole["upp"], abs=whole["upp"])
    page.click("#whole")
    assert shown(page) == pytest.approx(whole, abs=whole["upp"] / 50)
    go(page, LONG)
    page.click("#this")
    sheet, step = page.locator("#sheet").bounding_box(), page.locator("#mark .sew").bounding_box()
    assert max(step["width"] / sheet["width"], step["height"] / sheet["height"]) > 0.6
    assert step["y"] > sheet["y"]
    assert step["y"] + step["height"] < sheet["y"] + sheet["height"]


def test_a_step_out_of_sight_is_brought_into_sight(page):
    go(page, LONG)
    page.click("#this")
    far = next(n for n, step in enumerate(STEPS) if step.place == "row 2 column 12")
    go(page, far)
    sheet, mark = page.locator("#sheet").bounding_box(), page.locator("#mark .needle").bounding_box()
    assert sheet["x"] < mark["x"] < sheet["x"] + sheet["width"]
    assert sheet["y"] < mark["y"] < sheet["y"] + sheet["height"]


def test_walking_on_runs_along_the_steps_and_stays_when_told(page):
    page.select_option("#speed", index=3)
    began = needle(page)
    page.click("#walk")
    assert page.inner_text("#walk") == "Stay here"
    wait_until(page, "document.querySelector('[aria-current]').dataset.step > 2")
    page.focus("#sheet")
    page.keyboard.press("w")
    assert page.inner_text("#walk") == "Walk on"
    stood, number = needle(page), current(page)
    assert stood != began
    page.wait_for_timeout(300)
    assert (needle(page), current(page)) == (stood, number)


def test_the_speed_is_what_it_says(page):
    go(page, 0)
    page.select_option("#speed", index=1)
    page.click("#walk")
    far = page.evaluate("""async () => {
      const y = () => Number(document.querySelector('#mark .needle').getAttribute('transform').split(' ')[1].slice(0, -1));
      const frame = () => new Promise(requestAnimationFrame);
      await frame(); await frame();
      const [from, began] = [y(), performance.now()];
      while (performance.now() - began < 1000) await frame();
      return (y() - from) / (performance.now() - began) * 1000;
    }""")  # noqa: E501
    assert abs(far) == pytest.approx(100 * 100, rel=0.1)


def test_it_stays_at_the_end(page):
    go(page, len(STEPS) - 2)
    page.select_option("#speed", index=3)
    page.click("#walk")
    wait_until(page, "document.getElementById('walk').textContent === 'Walk on'")
    assert current(page) == len(STEPS) - 1


def test_reduced_motion_jumps_from_step_to_step(open_page, file):
    page = open_page(file, ready=READY, reduced_motion="reduce")
    page.select_option("#speed", index=3)
    page.evaluate("() => { window.requestAnimationFrame = () => { throw new Error('motion'); }; }")
    page.click("#walk")
    places = set()
    while current(page) < 3:
        places.add(needle(page))
        page.wait_for_timeout(30)
    page.click("#walk")
    starts = {
        tuple(np.round(PLAN.paths[step.path - 1].coordinates_mm[step.first] * 100)) for step in STEPS[:5]
    }
    assert places <= starts
    number = current(page)
    page.wait_for_timeout(600)
    assert current(page) == number


@pytest.mark.parametrize("walking", [False, True])
def test_text_has_contrast_everywhere(page, walking):
    page.click("#help summary")
    if walking:
        page.select_option("#speed", index=0)
        page.click("#walk")
    colours = page.evaluate(TEXT_COLOURS)
    assert len(colours) > 3 + walking
    for pair, text in colours:
        numbers = [int(part.strip(" rgb()")) for part in pair.replace("rgb", "").split(",")]
        light, dark = sorted((luminance(numbers[:3]), luminance(numbers[3:])), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 4.5, text


def luminance(channels):
    linear = [
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (n / 255 for n in channels)
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_on_a_narrow_screen_the_list_stands_over_the_drawing(open_page, file):
    page = open_page(file, ready=READY, viewport={"width": 390, "height": 800})
    steps, sheet = page.locator("#steps").bounding_box(), page.locator("#sheet").bounding_box()
    assert steps["y"] + steps["height"] <= sheet["y"]
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.click("#next")
    assert current(page) == 1


def test_a_name_stays_a_name(open_page, tmp_path):
    drawing = PLAN.drawing
    lines = tuple(replace(line, motif=NAME) for line in drawing.lines)
    plan = replace(PLAN, drawing=replace(drawing, name=NAME, lines=lines))
    page = open_page(written(tmp_path, plan), ready=READY)
    assert page.inner_text("h1") == NAME
    assert NAME in page.inner_text("#told")
    assert page.locator("img").count() == 0
    assert page.evaluate("window.ran") is None


def test_no_other_script_runs(chromium, file):
    context = chromium.new_context()
    page = context.new_page()
    page.goto(file.as_uri())
    page.evaluate("""() => {
      const script = document.createElement('script');
      script.textContent = 'window.ran = 1';
      document.body.append(script);
      document.body.setAttribute('onclick', 'window.ran = 1');
      document.body.click();
    }""")
    assert page.evaluate("window.ran") is None
    context.close()


def test_a_plan_without_paths_says_so(open_page, tmp_path):
    page = open_page(written(tmp_path, Plan(Drawing(()), (), (), 0.0)), ready=READY)
    assert page.inner_text("#told") == "The plan has no step."
    assert page.locator("button:enabled").count() == 0


def large(points):
    """A plan of circles, 360 points each, in 40 paths of as many steps as they have circles."""
    around = np.radians(np.arange(361.0))
    circles = round(points / 40 / 361)
    lines, paths = [], []
    for row in range(40):
        rounds = [
            np.column_stack([200.0 * n + 90 * np.cos(around), 200.0 * row + 90 * np.sin(around)])
            for n in range(circles)
        ]
        for ring in rounds:
            ring[-1] = ring[0]
        spans = [Span(Move.SEW, 361 * n, 361 * n + 360, len(lines) + n + 1, "all") for n in range(circles)]
        hops = [Span(Move.TRAVEL, 361 * n - 1, 361 * n, None, "all") for n in range(1, circles)]
        lines += [
            Line(ring, Role.OUTLINE, motif="round", block=f"row {row + 1}, column {n + 1}")
            for n, ring in enumerate(rounds)
        ]
        paths.append(StitchPath(np.vstack(rounds), tuple(sorted(spans + hops, key=lambda span: span.first))))
    drawing = Drawing(tuple(lines), outline=shapely.box(-100, -100, circles * 200, 8000))
    return Plan(drawing, tuple(paths), (), 0.0)


def test_a_hundred_thousand_points_walk_and_pan_at_thirty_frames_a_second(open_page, tmp_path):
    plan = large(101_000)
    assert sum(len(path.coordinates_mm) for path in plan) >= 100_000
    page = open_page(written(tmp_path, plan), ready=READY)
    page.select_option("#speed", index=3)
    page.click("#walk")
    assert max(page.evaluate(FRAMES, 1500) for _ in range(3)) >= 30
    page.click("#walk")
    x, y = middle(page)
    page.mouse.move(x, y)
    page.mouse.down()
    page.evaluate(f"() => {{ window.frames_seen = ({FRAMES})(2000); }}")
    for n in range(60):
        page.mouse.move(x + 150 * math.sin(n / 8), y + 80 * math.cos(n / 9))
        page.wait_for_timeout(20)
    assert page.evaluate("window.frames_seen") >= 30
    page.mouse.up()
