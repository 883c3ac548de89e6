import json

import pytest

from stitchpath.errors import FileError
from stitchpath.files import (
    MANIFEST_FORMAT,
    MachineTables,
    manifest_name,
    manifests,
    read_manifest,
    sha256_of,
    verify_files,
    write_files,
)


def test_what_was_changed_since(tmp_path):
    design = tmp_path / "d.toml"
    design.write_text("x")
    write_files(tmp_path, {"a": "a", "b": "b"}, manifest="m", design_sha256=sha256_of("x"))
    assert verify_files(tmp_path / "m", design=design) == ()
    design.write_text("y")
    (tmp_path / "a").write_text("other")
    (tmp_path / "b").unlink()
    said = [finding.message for finding in verify_files(tmp_path / "m", design=design)]
    assert said[0] == "a was changed since it was written."
    assert "there is no such file" in said[1]
    assert "is not the design" in said[2]


GOOD = {"format": MANIFEST_FORMAT, "version": "1", "design_sha256": "", "files": {}}


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", "[" * 100_000, *(json.dumps(GOOD | bad) for bad in (
        {"format": "other"}, {"version": 1}, {"design_sha256": None}, {"files": []}, {"files": {"../a": "x"}},
        {"files": {"a": 1}}, {"more": 1}, {"design": 1}, {"tables": []}, {"tables": {"more": 1}},
        {"tables": {"thin": 1}}, {"tables": {"stitch_length_mm": 2.5}}, *(
            {"tables": {"stitch_length_mm": length, "basting_length_mm": 5.0}}
            for length in (0, "2", True, float("inf"))
        ),
    ))],
)  # fmt: skip
def test_what_is_no_manifest(tmp_path, text):
    (tmp_path / "m").write_text(text)
    with pytest.raises(FileError, match="this is no manifest"):
        read_manifest(tmp_path / "m")


def test_a_manifest_of_an_earlier_version_is_read(tmp_path):
    (tmp_path / "m").write_text(json.dumps(GOOD))
    said = read_manifest(tmp_path / "m")
    assert (said.design, said.tables) == ("", MachineTables())


def test_manifests_of_a_folder_are_those_that_can_be_read(tmp_path):
    write_files(tmp_path, {"a": ""}, manifest=manifest_name("a"))
    (tmp_path / manifest_name("b")).write_text("{")
    assert [name for name, _ in manifests(tmp_path)] == ["a-manifest.json"]
    assert list(manifests(tmp_path / "none")) == []
