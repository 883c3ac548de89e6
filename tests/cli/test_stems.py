import os

import pytest

from stitchpath.cli.stems import safe_stem


@pytest.mark.parametrize(
    ("file", "stem"),
    [
        ("a/b/Winter Orchard.toml", "Winter_Orchard"),
        ("-rf.toml", "rf"),
        ("ü.toml", "ü"),
        ("u\u0308.toml", "ü"),
        ("\u0915\u0940.toml", "\u0915\u0940"),
        ("果樹園 2.toml", "果樹園_2"),
        ("a\u202e\u200db.toml", "a_b"),
        ("a" * 60, "a" * 60),
    ],
)
def test_stems_keep_letters_of_any_script_and_are_safe(file, stem):
    assert safe_stem(file) == stem


@pytest.mark.parametrize(
    "file", ["..", "", "!.toml", "?.toml", "\U0001f98a.toml", "a" * 99, "a" * 98, "園" * 55]
)
def test_what_is_cut_or_has_no_letters_is_told_apart_by_its_hash(file):
    others = ["!!.toml", "a" * 97, "園" * 56]
    assert safe_stem(file) not in map(safe_stem, others)
    assert safe_stem(file)[-9] == "-"
    assert len(f"{safe_stem(file)}-band-999-stitches.csv".encode()) < 200


def test_a_locale_without_the_letters_takes_the_hash(monkeypatch):
    encode = os.fsencode

    def bare(name):
        return name.encode("ascii") if isinstance(name, str) and "ü" in name else encode(name)

    monkeypatch.setattr("stitchpath.cli.stems.os.fsencode", bare)
    monkeypatch.setattr("stitchpath.files.design_name", lambda name: name)
    assert safe_stem("ü.toml").startswith("design-")


def test_names_that_are_no_utf_8_differ():
    stems = [safe_stem(os.fsdecode(name)) for name in (b"a\xff.toml", b"a\xfe.toml")]
    assert stems == ["a_xff", "a_xfe"]
