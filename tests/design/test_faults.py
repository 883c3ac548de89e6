"""What is wrong, where, and what to write: from pydantic's errors to one sentence."""

from typing import Annotated, Literal

import pytest
from hypothesis import given, settings
from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator
from strategies import toml_values

from stitchpath.design.faults import dotted, explain, fault, fold, nearest


class Oval(BaseModel):
    model_config = ConfigDict(extra="forbid")
    motif: Literal["oval"]
    height: float = Field(ge=0.5, lt=100)
    ends: tuple[int, ...] = Field((), max_length=2)


class Row(BaseModel):
    motif: Literal["row"]
    length: int


class Sheet(BaseModel):
    title: str = Field("", max_length=5)
    motifs: tuple[Annotated[Oval | Row, Field(discriminator="motif")], ...] = ()

    @model_validator(mode="after")
    def _titled(self):
        if self.title == "fault":
            raise fault("that title is taken", "write another", "title")
        if self.title == "value":
            raise ValueError("no such title; write another one")
        return self


def explained(**data):
    with pytest.raises(ValidationError) as caught:
        Sheet.model_validate(data)
    path, error = explain(caught.value, data)
    return path, error.key, f"{error.problem}; {error.remedy}"


def oval(**about):
    return {"motifs": [{"motif": "row", "length": 3}, {"motif": "oval", "height": 9} | about]}


@pytest.mark.parametrize(
    ("data", "key", "said"),
    [
        ({"title": 3}, "title", "3 is not a text; write it in quotes"),
        ({"title": "too long"}, "title", '"too long" is too long; write at most 5 signs'),
        ({"title": "fault"}, "title", "that title is taken; write another"),
        ({"title": "value"}, "", "no such title; write another one"),
        ({"motifs": 3}, "motifs", "3 is not a list; write values between [ and ]"),
        (oval(height=0.25), "motifs[1].height", "0.25 is too small; write 0.5 or more"),
        (oval(height=100), "motifs[1].height", "100 is too large; write a number below 100"),
        (oval(height="a"), "motifs[1].height", '"a" is not a number; write a number without quotes'),
        (oval(height=10**400), "motifs[1].height", "is too large; write a smaller number"),
        (oval(ends=[1, 2, 3]), "motifs[1].ends", "there are 3 values; write at most 2"),
        (oval(ends=[1, 2.5]), "motifs[1].ends[1]", "2.5 is not a whole number; write one without"),
        (oval(motif="oval", height=None), "motifs[1].height", "is not a number"),
        ({"motifs": [{"motif": "oval"}]}, "motifs[0].height", '"height" is missing; add it'),
        ({"motifs": [{"height": 3}]}, "motifs[0].motif", "a motif without its kind; write motif ="),
        ({"motifs": [{"motif": "star"}]}, "motifs[0].motif", '"star" is no kind of motif; write one of'),
    ],
)  # fmt: skip
def test_each_fault_is_told_at_its_key(data, key, said):
    path, told, sentence = explained(**data)
    assert told == key == dotted(path)
    assert said in sentence
    assert "\n" not in sentence


def test_the_fault_that_is_deepest_is_told():
    """Where a value may be one of two things, what is wrong inside one tells the most."""

    class Either(BaseModel):
        size: float | tuple[float, ...]

    data = {"size": [1.0, "a"]}
    with pytest.raises(ValidationError) as caught:
        Either.model_validate(data)
    assert explain(caught.value, data)[0] == ("size", 1)


def test_a_path_as_a_person_reads_it():
    assert dotted(("top", "borders", 0, "width")) == "top.borders[0].width"
    assert dotted((2,)) == "[2]"
    assert dotted(("kinds", "big-pear_2", "a.b", "")) == 'kinds.big-pear_2."a.b".""'
    assert dotted(()) == ""


def test_what_to_write_instead():
    assert nearest("rato", ["ratio", "radius"]) == 'write "ratio"'
    assert nearest("zzz", ["ratio", "radius"]) == 'write one of "ratio", "radius"'
    assert nearest("zzz", []) == "leave it out"


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("Pear", "PEAR ", True),
        ("\ufb01g", "fig", True),
        ("stra\u00dfe", "STRASSE", True),
        ("pear", "peer", False),
    ],
)
def test_names_that_a_reader_takes_for_the_same(one, other, same):
    assert (fold(one) == fold(other)) == same


@settings(deadline=None, max_examples=40)
@given(toml_values())
def test_whatever_stands_there_is_told_in_one_sentence(value):
    try:
        Sheet.model_validate({"motifs": value})
    except ValidationError as error:
        path, told = explain(error, {"motifs": value})
        assert path[0] == "motifs"
        assert "\n" not in str(told)
        assert told.remedy
    else:
        assert value == []
