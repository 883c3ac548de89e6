"""Where in a file something stands, and an error that says so."""

import pytest

from stitchpath.design.source import Source, located, parts_of
from stitchpath.errors import DesignError, LimitError

SOURCE = Source("pear.toml", 'name = "Pears"\n\n[top]\nwidth = [\n  3,\n  4,\n]\n', "ab" * 32)


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("name",), 1),
        (("top",), 3),
        (("top", "width"), 4),
        (("top", "width", 1), 6),
        (("top", "height"), 3),
        ((), 1),
    ],
)
def test_the_line_of_a_key_or_of_what_is_around_it(path, line):
    assert SOURCE.line(path) == line


@pytest.mark.parametrize("kind", [DesignError, LimitError])
def test_an_error_says_key_file_and_line_and_stays_what_it_is(kind):
    fault = kind("0 is no width", "write more", key="lost")
    told = located(fault, ("top", "width", 1), SOURCE)
    assert type(told) is kind
    assert (told.key, told.file, told.line) == ("top.width[1]", "pear.toml", 6)
    assert str(told) == "pear.toml:6: top.width[1]: 0 is no width; write more"
    bare = located(fault, ("top", "width"), None)
    assert (bare.key, bare.file, bare.line) == ("top.width", "", 0)


def test_a_source_does_not_show_its_text():
    assert "Pears" not in repr(SOURCE)


@pytest.mark.parametrize(
    ("key", "parts"),
    [
        ("top.borders[2].width", ("top", "borders", 2, "width")),
        ("layout[0][11]", ("layout", 0, 11)),
        ("height", ("height",)),
        ("", ()),
    ],
)
def test_the_parts_of_a_key(key, parts):
    assert parts_of(key) == parts
