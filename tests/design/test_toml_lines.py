"""The line at which a key stands, in TOML that is hard to read."""

import tomllib
from contextlib import suppress

import pytest
from hypothesis import given, settings
from strategies import broken_toml, toml_values

from stitchpath.design.toml_lines import check_limits, line_of
from stitchpath.errors import LimitError

TRICKY = '''\
# a = "not this one" [[[
title = """
a = 1
[b]
"""
a.b."c.d" = 1
"e#f" = 'g"""h'
list = [ # with ] a comment
    1,
    { x = 1, y = [
        2, "]", 3,
    ] },
    """
    three lines
    """,
    [4,
     5],
]
empty = """"""
quotes = """"a""""
after = '\\'

[table]
k = { m = { n = 1 } }
  [table.inner]   # indented
  k = 2
[[rows]]
v = 1
[[rows]]
v = 2
  [[rows.parts]]
  w = 3
  [[rows.parts]]
  w = 4
[other]
rows.v = 9
last = true'''

WHERE = [
    (("title",), 2), (("a",), 6), (("a", "b", "c.d"), 6), (("e#f",), 7), (("list",), 8), (("list", 0), 9),
    (("list", 1), 10), (("list", 1, "x"), 10), (("list", 1, "y"), 10), (("list", 1, "y", 0), 11),
    (("list", 1, "y", 2), 11), (("list", 2), 13), (("list", 3), 16), (("list", 3, 1), 17), (("empty",), 19),
    (("quotes",), 20), (("after",), 21), (("table",), 23), (("table", "k", "m", "n"), 24),
    (("table", "inner"), 25), (("table", "inner", "k"), 26), (("rows",), 27), (("rows", 0, "v"), 28),
    (("rows", 1), 29), (("rows", 1, "v"), 30), (("rows", 1, "parts", 0, "w"), 32),
    (("rows", 1, "parts", 1), 33), (("rows", 1, "parts", 1, "w"), 34), (("other", "rows", "v"), 36),
    (("other", "last"), 37),
]  # fmt: skip


@pytest.mark.parametrize(("path", "line"), WHERE, ids=[str(path) for path, _ in WHERE])
def test_the_line_of_each_key(path, line):
    assert line_of(TRICKY, path) == line


def test_what_is_not_there_is_told_at_what_is_around_it():
    assert line_of(TRICKY, ("table", "missing", "deeper")) == 23
    assert line_of(TRICKY, ("rows", 1, "missing")) == 29
    assert line_of(TRICKY, ("rows", 7)) == 27
    assert line_of(TRICKY, ("missing",)) == 1
    assert line_of("", ("missing",)) == 1


def test_crlf_counts_lines_alike():
    assert line_of(TRICKY.replace("\n", "\r\n"), ("rows", 1, "v")) == 30


def written(value):
    """Write a value as TOML on as many lines as may be, apart from the library's own reading."""
    if isinstance(value, list):
        return "[\n" + "".join(f"{written(v)},\n" for v in value) + "]"
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    return str(value)


@settings(deadline=None, derandomize=True, max_examples=60)
@given(toml_values())
def test_any_list_over_any_lines(values):
    text = ""
    for n, value in enumerate(values):
        start = text.count("\n") + 1
        text += f"k{n} = {written(value)}\n"
        assert line_of(text, (f"k{n}",)) == start
    assert tomllib.loads(text) == {f"k{n}": value for n, value in enumerate(values)}
    for n in range(len(values)):
        assert text.splitlines()[line_of(text, (f"k{n}",)) - 1].startswith(f"k{n} = ")


@pytest.mark.parametrize(
    "text", ["a = " + "[" * 17, "\n\na" + ".a" * 16 + " = 1", "[a" + " . 'a'" * 16 + "]"]
)
def test_limits(text):
    with pytest.raises(LimitError) as caught:
        check_limits(text)
    assert caught.value.line == text.count("\n") + 1


def test_many_keys_are_counted_before_they_are_parsed():
    few = "a = 1\n" * 20_000
    check_limits(few + "# b = [" * 9 + '\n"=[" # no key, no bracket\n')
    for text in (few + "b = 1", "[[a]]\n" * 10_001, "a = [" + "{b=1}," * 10_001):
        with pytest.raises(LimitError, match="over 20,000 keys and brackets; write fewer"):
            check_limits(text)


@settings(deadline=None, derandomize=True, max_examples=200)
@given(broken_toml())
def test_limits_take_any_text(text):
    with suppress(LimitError):
        check_limits(text)
