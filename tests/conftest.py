"""What holds for all tests."""

import signal

import pytest
from browser import chromium, open_page  # noqa: F401
from printed import printed  # noqa: F401


@pytest.fixture(autouse=True, scope="session")
def _heard_interrupts():
    """Hear interrupts, which a shell makes deaf what it starts in the background."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)
