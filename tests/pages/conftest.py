"""The walk-through's page, opened."""

import pytest
from walk_page import PLAN, READY, written


@pytest.fixture(scope="module")
def file(tmp_path_factory):
    return written(tmp_path_factory.mktemp("walk"), PLAN)


@pytest.fixture
def page(open_page, file):
    return open_page(file, ready=READY)
