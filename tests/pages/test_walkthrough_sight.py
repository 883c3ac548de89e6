"""The walk-through in a browser: dragged, zoomed, walked along, and what it must withstand."""

import math
import re
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
import shapely
from printed import size_mm
from walk_page import LONG, PLAN, READY, STEPS, current, go, middle, needle, shown, speed, wait_until, written

from stitchpath.directions.teller import steps_of
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.plan import Move, Plan, Span, StitchPath

NAME = "a</script><script>window.ran = 1</script><img src=x onerror='window.ran = 1'>"
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
        found[[drawn ? style.fill : style.color, drawn ? ground(document.body) : ground(one)]] = one.textContent.slice(0, 30);
      }
      return Object.entries(found);
    }"""  # noqa: E501


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
    assert after["upp"] == pytest.approx(before["upp"], rel=1e-4)
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
    assert nearer["upp"] == pytest.approx(whole["upp"] / 1.4, rel=1e-4)
    page.keyboard.press("-")
    assert shown(page)["upp"] == pytest.approx(whole["upp"], rel=1e-4)
    page.keyboard.press("Shift+ArrowRight")
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
    far = next(n for n, step in enumerate(STEPS) if step.block == "row 2, column 12" and step.verb == "lap")
    go(page, far)
    sheet, mark = page.locator("#sheet").bounding_box(), page.locator("#mark .needle").bounding_box()
    assert sheet["x"] < mark["x"] < sheet["x"] + sheet["width"]
    assert sheet["y"] < mark["y"] < sheet["y"] + sheet["height"]


def test_labels_lie_in_sight_and_over_no_other(page):
    for number in range(len(STEPS)):
        sheet, labels = page.evaluate("""() => {
          const box = (one) => { const b = one.getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom]; };
          return [box(document.getElementById('sheet')), [...document.querySelectorAll('#mark text, #cloth text')].map(box)];
        }""")  # noqa: E501
        for box in labels[-2:]:
            assert box[0] >= sheet[0]
            assert box[2] <= sheet[2]
        for one, other in combinations(labels, 2):
            wide, high = (min(one[i + 2], other[i + 2]) - max(one[i], other[i]) for i in (0, 1))
            assert wide <= 1 or high <= 3, (number, one, other, labels)
        page.keyboard.press("n")


def test_printed_it_shows_the_step_and_no_buttons(page, tmp_path):
    pypdf = pytest.importorskip("pypdf", reason='pypdf is missing: pip install "stitchpath[browser]"')
    go(page, LONG)
    page.click("#this")
    before = shown(page)
    for paper, width in (("A4", 210), ("Letter", 215.9)):
        page.pdf(path=tmp_path / "walk.pdf", format=paper)
        pages = pypdf.PdfReader(tmp_path / "walk.pdf").pages
        words = [one.extract_text() for one in pages]
        assert all(words)
        assert f"Step {LONG + 1} of {len(STEPS)}" in words[0]
        assert "still to come" in words[0]
        assert not [
            told
            for told in ("Nearer", "Next step", "I stopped", "Go to a step", "Keys", "hide")
            if told in "".join(words)
        ]
        assert size_mm(pages[0])[0] == pytest.approx(width, abs=0.4)
    assert shown(page) == pytest.approx(before, rel=1e-3)


def test_the_keyboard_passes_the_list_and_names_say_what_things_do(page):
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.id") == "past"
    assert page.locator("#past").bounding_box()["width"] > 100
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('#seen') !== null")
    told = page.locator("body").aria_snapshot()
    assert 'button "More"' in told
    assert f'heading "Path 1 of {len(PLAN)}' in told
    assert not re.search(r'"Path [^"]*(show|hide)"', told)


def test_walking_on_runs_along_the_steps_and_stays_when_told(page):
    speed(page, 3)
    began = needle(page)
    page.click("#walk")
    assert page.inner_text("#walk") == "Stay"
    wait_until(page, "document.querySelector('[aria-current]').dataset.step > 2")
    page.keyboard.press("w")
    assert page.inner_text("#walk") == "Walk on"
    stood, number = needle(page), current(page)
    assert stood != began
    page.wait_for_timeout(300)
    assert (needle(page), current(page)) == (stood, number)


def test_the_speed_is_what_it_says(page):
    go(page, 0)
    speed(page, 1)
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
    speed(page, 3)
    page.click("#walk")
    wait_until(page, "document.getElementById('walk').textContent === 'Walk on'")
    assert current(page) == len(STEPS) - 1


def test_reduced_motion_jumps_from_step_to_step(open_page, file):
    page = open_page(file, ready=READY, reduced_motion="reduce")
    speed(page, 3)
    page.evaluate("() => { window.requestAnimationFrame = () => { throw new Error('motion'); }; }")
    page.click("#walk")
    places = set()
    for _ in range(300):
        places.add(needle(page))
        page.wait_for_timeout(30)
        if current(page) == 3:
            break
    else:
        pytest.fail("it does not walk on")
    page.click("#walk")
    starts = {
        tuple(np.round(PLAN.paths[step.path - 1].coordinates_mm[step.first] * 100)) for step in STEPS[:5]
    }
    assert places <= starts
    number = current(page)
    page.wait_for_timeout(600)
    assert current(page) == number


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_has_contrast_everywhere(open_page, file, scheme):
    page = open_page(file, ready=READY, color_scheme=scheme)
    speed(page, 0)
    page.click("#walk")
    page.click("#more-opens")
    colours = page.evaluate(TEXT_COLOURS)
    assert len(colours) > 3
    for pair, text in colours:
        numbers = [int(part.strip(" rgb()")) for part in pair.replace("rgb", "").split(",")]
        light, dark = sorted((luminance(numbers[:3]), luminance(numbers[3:])), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 4.5, text


def luminance(channels):
    linear = [
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (n / 255 for n in channels)
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_a_name_stays_a_name(open_page, tmp_path):
    drawing = PLAN.drawing
    lines = tuple(replace(line, motif=NAME) for line in drawing.lines)
    plan = replace(PLAN, drawing=replace(drawing, name=NAME, lines=lines))
    page = open_page(written(tmp_path, plan), ready=READY)
    assert page.inner_text("h1") == NAME
    go(page, next(n for n, step in enumerate(STEPS) if step.verb == "lap"))
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


def circles_of(points, *, apart=200.0, rows=40):
    """A plan of rows of circles, 360 points each, a path a row."""
    around = np.radians(np.arange(361.0))
    circles = round(points / rows / 361)
    lines, paths = [], []
    for row in range(rows):
        rounds = [
            np.column_stack([apart * (n + 0.45 * np.cos(around)), apart * (row + 0.45 * np.sin(around))])
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
    drawing = Drawing(tuple(lines), outline=shapely.box(-apart, -apart, circles * apart, rows * apart))
    return Plan(drawing, tuple(paths), (), 0.0)


def test_the_list_is_where_the_needle_is_once_it_stays(open_page, tmp_path):
    """Steps of 57 mm, so that many of them pass between two times that the list is brought up to date.

    One path, since a needle in the air is nowhere in the list.
    """
    plan = circles_of(40_000, apart=20.0, rows=1)
    steps = steps_of(plan, unit="mm")
    page = open_page(written(tmp_path, plan), ready=READY)
    speed(page, 3)
    for _ in range(5):
        page.click("#walk")
        page.wait_for_timeout(330)
        page.click("#walk")
        step = steps[current(page, steps)]
        points = plan.paths[0].coordinates_mm[step.first : step.last + 1]
        assert (points.min(axis=0) - 0.1 <= np.array(needle(page)) / 100).all()
        assert (np.array(needle(page)) / 100 <= points.max(axis=0) + 0.1).all()
