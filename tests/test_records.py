"""Data as JSON, read back."""

import json
from dataclasses import dataclass

from stitchpath.records import json_text, record


@dataclass(frozen=True, slots=True)
class Part:
    name: str
    ratio: float

    @property
    def twice(self):
        return 2 * self.ratio


@dataclass(frozen=True)
class Whole:
    parts: tuple[Part, ...]
    note: str | None = None


def test_dataclasses_are_their_fields_and_then_what_follows_from_them():
    told = record(Whole((Part("½", 1.5), Part("b", float("inf")))))
    assert told == {
        "parts": [
            {"name": "½", "ratio": 1.5, "twice": 3.0},
            {"name": "b", "ratio": None, "twice": None},
        ],
        "note": None,
    }
    assert list(told["parts"][0]) == ["name", "ratio", "twice"]


def test_what_is_not_finite_is_null_however_deep():
    assert json.loads(json_text({"a": [{"b": (1, float("nan"), -float("inf"))}]})) == {
        "a": [{"b": [1, None, None]}]
    }


def test_text_is_plain_whatever_a_name_holds():
    text = json_text({"file": "o\udcff/½.json", "whole": 3, "yes": True})
    assert text.isascii()
    assert text.endswith("}\n")
    assert json.loads(text) == {"file": "o\udcff/½.json", "whole": 3, "yes": True}
