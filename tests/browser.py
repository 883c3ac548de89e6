"""Debian's Chromium, started through Playwright; tests of pages are skipped where either is missing."""

import shutil

import pytest

TIMEOUT_MS = 10_000  # a page that has not done by then what it is waited for fails: chosen


@pytest.fixture(scope="session")
def chromium():
    """A running browser."""
    sync_api = pytest.importorskip(
        "playwright.sync_api", reason='Playwright is missing: pip install "stitchpath[browser]"'
    )
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    if program is None:
        pytest.skip("Chromium is missing: apt-get install chromium")
    with sync_api.sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture
def open_page(chromium):
    """Open a file in a page of its own; whatever it complains of, or asks a network for, fails the test."""
    contexts, complaints = [], []

    def open_file(file, *, ready=None, **options):
        context = chromium.new_context(**{"viewport": {"width": 1360, "height": 860}, **options})
        contexts.append(context)
        context.set_default_timeout(TIMEOUT_MS)
        page = context.new_page()
        page.on("console", lambda message: complaints.append(message.text))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("request", lambda asked: asked.url.startswith("file:") or complaints.append(asked.url))
        page.goto(file.as_uri())
        if ready:
            page.wait_for_selector(ready)
        return page

    yield open_file
    for context in contexts:
        context.close()
    assert complaints == []
