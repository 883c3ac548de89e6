"""What a postman finds wrong: whose fault it is, and values as they stand in a sentence."""

import pickle

import pytest
from hypothesis import given
from strategies import numbers, whole

from stitchpath.postman.errors import (
    ChildError,
    NoPlanError,
    OddComponentError,
    PostmanError,
    PromiseError,
    brief,
)


@given(whole(-(10**60), 10**60), numbers())
def test_a_value_takes_one_short_line(number, other):
    told = brief({"a": number, "b": [other, "line\nbreak   "]})
    assert len(told) <= 40
    assert told == " ".join(told.split())
    assert brief(number) in (repr(number), "a huge number")


def test_what_is_long_is_cut_and_said_to_be():
    assert brief("x" * 38) == repr("x" * 38)
    assert brief("x" * 39) == "'" + "x" * 36 + "..."
    assert brief(None) == "None"
    assert brief(10**30) == repr(10**30)
    assert brief(-(10**5000)) == "a huge number"


def test_the_caller_s_faults_are_value_errors_and_ours_are_not():
    for kind in (PostmanError, NoPlanError, OddComponentError):
        assert issubclass(kind, ValueError)
    for kind in (PromiseError, ChildError):
        assert issubclass(kind, RuntimeError)
        assert not issubclass(kind, ValueError)


@pytest.mark.parametrize("kind", [NoPlanError, OddComponentError])
def test_a_vertex_goes_with_the_error_through_pickle(kind):
    error = pickle.loads(pickle.dumps(kind("no way out of vertex 3", "add one", vertex=3, place="pear")))
    assert (error.vertex, error.place, error.value) == (3, "pear", None)
    assert str(error) == "no way out of vertex 3; add one"
    assert kind("no way").vertex == -1
    assert str(kind("no way")) == "no way"
