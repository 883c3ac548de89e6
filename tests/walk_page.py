"""A walk-through's plan, and what its page shows, for the tests in a browser.

The page draws paths in pieces of at most 1,000 points, and its list in parts of 200; `wait_until` waits for
what a test is to look at.
"""

from dataclasses import replace

from export_plans import orchard

from stitchpath.directions.teller import steps_of
from stitchpath.lines import Block
from stitchpath.pages.walkthrough import write_walkthrough
from stitchpath.settings import MachineSettings

READY = "html[data-ready]"


def with_blocks(plan, rows, columns, size=254.0):
    blocks = tuple(
        Block(f"row {r}, column {c}", (c * size - size, r * size - size, c * size, r * size), r, c)
        for r in range(1, rows + 1)
        for c in range(1, columns + 1)
    )
    return replace(plan, drawing=replace(plan.drawing, blocks=blocks))


PLAN = replace(with_blocks(orchard(rows=2, columns=12), 2, 12), machine=MachineSettings(bobbin_m=1000))
"""Of two rows of blocks, in one band, one thread and one bobbin: there is nothing to pause for."""

STEPS = steps_of(PLAN, unit="mm")
LIFTS = [n for n, step in enumerate(STEPS[:-1]) if STEPS[n + 1].path != step.path]
LONG = next(n for n, step in enumerate(STEPS) if step.verb == "lines")


def written(folder, plan, name="walk.html"):
    write_walkthrough(plan, folder / name)
    return folder / name


def current(page, steps=STEPS):
    """The number of the step that is marked as the present one."""
    (number,), told = page.evaluate("""() => [
      [...document.querySelectorAll('[aria-current="step"]')].map((one) => Number(one.dataset.step)),
      document.getElementById('told').textContent]""")
    assert told == f"Step {number + 1} of {len(steps)}: {steps[number].text}"
    return number


def go(page, number):
    page.fill("#wanted", str(number + 1))
    page.press("#wanted", "Enter")


def speed(page, index):
    page.click("#more-opens")
    page.select_option("#speed", index=index)
    page.click("#more-opens")


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
