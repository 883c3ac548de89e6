"""Names that people give: kept as they are, composed, or refused with what to write."""

import unicodedata

import pytest
from pydantic import TypeAdapter, ValidationError
from strategies.text import HOSTILE

from stitchpath.motifs.names import LONGEST_NAME, Name, check_name


@pytest.mark.parametrize("name", ["=1+1", "+a", "-a", "@a", "", "a" * 61, "a\nb", "a\x00", " a", "\u202ea"])
def test_names_are_short_and_printable(name):
    with pytest.raises(ValidationError):
        TypeAdapter(Name).validate_python(name)


def test_names_are_composed():
    assert TypeAdapter(Name).validate_python("a\u0301") == "\u00e1"


@pytest.mark.parametrize(
    "name", ["pear", "pear 2", "1st", "\u00e9", "\U0001f9f5", "a=b", "</script>", "a" * LONGEST_NAME]
)
def test_other_names_are_kept_as_they_are(name):
    assert TypeAdapter(Name).validate_python(name) == check_name(name) == name


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_is_kept_or_refused_in_a_sentence(name):
    harmless = name.isprintable() and name == name.strip() and name[0] not in "=+-@"
    if harmless:
        assert check_name(name) == unicodedata.normalize("NFC", name)
    else:
        with pytest.raises(ValueError, match=r"; (write|begin)") as caught:
            check_name(name)
        assert "\n" not in str(caught.value)
