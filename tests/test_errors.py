"""Whose fault it is, and what is said of it."""

import pickle
from pathlib import Path

import pytest

from stitchpath.errors import DesignError, FileError, Finding, InternalError, LimitError, StitchpathError


@pytest.mark.parametrize(
    ("about", "said"),
    [
        ({}, "0 is no size; write more"),
        ({"key": "top.width"}, "top.width: 0 is no size; write more"),
        ({"file": "a.toml"}, "a.toml: 0 is no size; write more"),
        ({"file": "a.toml", "line": 3}, "a.toml:3: 0 is no size; write more"),
        ({"file": "a.toml", "line": 3, "key": "top"}, "a.toml:3: top: 0 is no size; write more"),
        ({"line": 3, "key": "top"}, "top: 0 is no size; write more"),
    ],
)
@pytest.mark.parametrize("kind", [DesignError, LimitError])
def test_a_design_error_names_place_value_and_remedy_in_one_line(kind, about, said):
    error = kind("0 is no size", "write more", **about)
    assert str(error) == said
    assert (error.problem, error.remedy) == ("0 is no size", "write more")
    assert (error.key, error.file, error.line) == tuple(
        about.get(name, empty) for name, empty in (("key", ""), ("file", ""), ("line", 0))
    )


@pytest.mark.parametrize(
    ("about", "said"),
    [
        ({}, "a is no number; write one"),
        ({"file": "a"}, "a is no number; write one"),
        ({"file": "a.csv"}, "a.csv: a is no number; write one"),
        ({"file": Path("a"), "line": 3}, "a:3: a is no number; write one"),
        ({"file": "a.csv", "line": 3, "key": "x"}, "a.csv:3: x: a is no number; write one"),
        ({"file": "a.json", "key": "paths[0]", "value": "a"}, "a.json: paths[0]: a is no number; write one"),
        ({"line": 3, "key": "x"}, "x: a is no number; write one"),
    ],
)
def test_a_file_error_carries_place_value_and_remedy(about, said):
    error = FileError("a is no number", "write one", **about)
    for told in (error, pickle.loads(pickle.dumps(error))):
        assert str(told) == said
        assert (told.problem, told.remedy) == ("a is no number", "write one")
        assert (told.file, told.line) == (str(about.get("file", "")), about.get("line", 0))
        assert (told.key, told.value) == (about.get("key", ""), about.get("value"))
    assert str(FileError("a is no number")) == "a is no number"


def test_a_place_found_later_is_filled_in_and_what_is_known_is_kept():
    bare = LimitError("too many lines", "widen the spacing", key="spacing")
    placed = bare.at(key="other", file="a.toml", line=9)
    assert str(placed) == "a.toml:9: spacing: too many lines; widen the spacing"
    assert type(placed) is LimitError
    assert str(bare) == "spacing: too many lines; widen the spacing"
    assert str(placed.at(file="b.toml", line=1)) == str(placed)


def test_everything_raised_on_purpose_has_one_base_and_a_kind_that_python_knows():
    for kind, known in ((DesignError, ValueError), (FileError, OSError), (InternalError, RuntimeError)):
        assert issubclass(kind, StitchpathError)
        assert issubclass(kind, known)
    assert issubclass(LimitError, DesignError)


def test_a_finding_cannot_be_changed():
    finding = Finding("keep-out", "the needle goes in")
    assert finding.place_mm is None
    with pytest.raises(AttributeError):
        finding.kind = "other"
