"""A run of the tests tells what it skips, and why."""

import os
import subprocess
import sys
from pathlib import Path
from shutil import copy

import pytest

HERE = Path(__file__).parent
SKIPS = """
import pytest

@pytest.mark.parametrize("number", range(3))
def test_page(chromium, number):
    pass

def test_other():
    pytest.skip("it rains")

def test_good():
    pass
"""


@pytest.mark.parametrize("workers", ["0", "2"])
def test_what_is_skipped_is_told_with_its_reason_in_one_line(tmp_path, workers):
    """Without Playwright, and without Chromium: in one process and in several."""
    copy(HERE / "conftest.py", tmp_path)
    (tmp_path / "test_skips.py").write_text(SKIPS, encoding="utf-8")
    ran = subprocess.run(
        [sys.executable, "-m", "pytest", "-n", workers, "-p", "no:cacheprovider", "--rootdir", ".", "."],
        cwd=tmp_path,
        env={**os.environ, "PATH": "", "PYTHONPATH": os.pathsep.join([str(HERE), str(HERE.parent)])},
        capture_output=True,
        text=True,
        check=True,
    )
    (said,) = (line for line in ran.stdout.splitlines() if line.startswith("Skipped"))
    assert said.startswith("Skipped 3 tests: ")
    assert "is missing: " in said
    assert said.endswith("; 1 test: it rains")
