"""What holds for all tests."""

import signal

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
