"""What holds for all tests."""

import signal
from collections import Counter

import pytest
from browser import chromium, open_page  # noqa: F401
from printed import printed  # noqa: F401


def pytest_xdist_auto_num_workers(config):
    """Stay in one process where files or single tests are named; else a process for each core."""
    return 0 if any(".py" in asked for asked in config.args) else None


def pytest_collection_modifyitems(items):
    for item in items:
        if "open_page" in getattr(item, "fixturenames", ()):
            item.add_marker("browser")


@pytest.fixture(autouse=True, scope="session")
def _heard_interrupts():
    """Hear interrupts, which a shell makes deaf what it starts in the background."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


def pytest_terminal_summary(terminalreporter):
    """Say in one line how many tests were skipped, and why: pytest alone gives only the number."""
    why = Counter(
        report.longrepr[2].removeprefix("Skipped: ")
        for report in terminalreporter.stats.get("skipped", ())
        if isinstance(report.longrepr, tuple)
    )
    if why:
        said = [f"{n} {'test' if n == 1 else 'tests'}: {reason}" for reason, n in why.most_common()]
        terminalreporter.write_line(f"Skipped {'; '.join(said)}", yellow=True)
