"""How fast a walk-through opens and moves, in Debian's Chromium without a window.

    python benchmarks/walkthrough.py PLAN.json

PLAN.json is a plan as `stitchpath plan` writes it. Told are: points and steps; seconds from asking for the
page until it has been painted; frames a second, and the longest one in milliseconds, while walking on at the
second and at the fastest speed and while dragging, with the whole top in sight and at a step.
"""

import argparse
import math
import shutil
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, sync_playwright

import stitchpath

SECONDS = 4
PAINTED = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"
FRAMES = """(ms) => new Promise((done) => {
  const from = performance.now();
  let count = 0, longest = 0, last = from;
  const frame = (time) => {
    count += 1; longest = Math.max(longest, time - last); last = time;
    if (time - from < ms) requestAnimationFrame(frame); else done([count * 1000 / (time - from), longest]);
  };
  requestAnimationFrame(frame);
})"""


def opened(page: Page, file: Path) -> float:
    """Open a page; return the seconds until it was painted."""
    began = time.perf_counter()
    page.goto(file.as_uri())
    page.evaluate(PAINTED)
    page.screenshot()
    return time.perf_counter() - began


def walked(page: Page, speed: int) -> Any:
    page.click("#more-opens")
    page.select_option("#speed", index=speed)
    page.click("#more-opens")
    page.click("#walk")
    told = page.evaluate(FRAMES, SECONDS * 1000)
    page.click("#walk")
    return told


def dragged(page: Page) -> Any:
    box = page.locator("#sheet").bounding_box() or {}
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.evaluate(f"() => {{ window.told = ({FRAMES})({SECONDS * 1000}); }}")
    began, n = time.perf_counter(), 0
    while time.perf_counter() - began < SECONDS:
        n += 1
        page.mouse.move(x + 200 * math.sin(n / 8), y + 100 * math.cos(n / 9))
    page.mouse.up()
    return page.evaluate("window.told")


def main() -> None:
    """Write a plan's walk-through, open it, and tell how it moves."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("plan", help="a plan as JSON")
    plan = stitchpath.read_plan(parser.parse_args().plan)
    program = shutil.which("chromium")
    if program is None:
        sys.exit("Chromium is missing: apt-get install chromium")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        file = Path(folder) / "walk.html"
        stitchpath.write_walkthrough(plan, file, unit="in")
        browser = playwright.chromium.launch(executable_path=program, args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1360, "height": 860})
        seconds = opened(page, file)
        steps = int(page.inner_text("#told").split(" of ")[1].split(":")[0])
        points = sum(len(path.coordinates_mm) for path in plan)
        print(
            f"{points:,} points, {steps:,} steps, {file.stat().st_size / 1e6:.1f} MB; open in {seconds:.1f} s"
        )
        page.fill("#wanted", str(steps // 2))
        page.press("#wanted", "Enter")
        for sight in ("whole", "this"):
            page.click(f"#{sight}")
            page.wait_for_timeout(1500)
            for what, told in (
                ("drag", dragged(page)),
                ("walk", walked(page, 1)),
                ("walk fast", walked(page, 3)),
            ):
                print(f"{sight}, {what}: {told[0]:.0f} frames a second, longest {told[1]:.0f} ms", flush=True)
        browser.close()


if __name__ == "__main__":
    main()
