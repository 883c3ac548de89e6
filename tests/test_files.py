import errno
import hashlib
import json
import os
import stat

import pytest

from stitchpath import files
from stitchpath.errors import FileError
from stitchpath.files import (
    manifest_name,
    read_bytes,
    read_manifest,
    read_text,
    sha256_of,
    verify_files,
    write_files,
    write_whole,
)


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_sha256_of_the_published_example():
    # FIPS 180-4 example: SHA-256("abc").
    assert sha256_of("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert sha256_of(b"abc") == sha256_of("abc")


def test_writes_bytes_as_they_are(tmp_path):
    write_whole(tmp_path / "a.csv", "x\r\ny\n\u00e4")
    assert (tmp_path / "a.csv").read_bytes() == b"x\r\ny\n\xc3\xa4"
    write_whole(str(tmp_path / "a.csv"), b"new")
    assert (tmp_path / "a.csv").read_bytes() == b"new"
    assert names(tmp_path) == ["a.csv"]


def test_a_new_file_has_the_permissions_that_any_file_gets(tmp_path):
    (tmp_path / "plain").write_bytes(b"")
    write_whole(tmp_path / "ours", b"")
    assert stat.S_IMODE((tmp_path / "ours").stat().st_mode) == stat.S_IMODE(
        (tmp_path / "plain").stat().st_mode
    )


def test_follows_a_link(tmp_path):
    (tmp_path / "real").write_text("old")
    (tmp_path / "link").symlink_to("real")
    write_whole(tmp_path / "link", "new")
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "real").read_text() == "new"


@pytest.mark.parametrize("step", ["fsync", "replace"])
@pytest.mark.parametrize(("code", "words"), [(errno.ENOSPC, "the disk is full"), (errno.EIO, "Input/output")])
def test_a_failing_write_leaves_the_old_file_and_nothing_else(tmp_path, monkeypatch, step, code, words):
    (tmp_path / "a.svg").write_text("old")

    def fail(*_):
        raise OSError(code, os.strerror(code))

    owner = os if step == "fsync" else files.Path
    monkeypatch.setattr(owner, step, fail)
    with pytest.raises(FileError, match=words):
        write_whole(tmp_path / "a.svg", "new")
    assert names(tmp_path) == ["a.svg"]
    assert (tmp_path / "a.svg").read_text() == "old"


def test_where_nothing_can_be_written(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(FileError, match=r"there is no folder .*none; make it first"):
        write_whole(tmp_path / "none" / "a", "")
    with pytest.raises(FileError, match="it is a folder; name a file"):
        write_whole(tmp_path, "")
    with pytest.raises(FileError, match="is no folder; name another place"):
        write_whole(tmp_path / "file" / "a", "")
    with pytest.raises(FileError, match="its name is too long"):
        write_whole(tmp_path / ("n" * 300), "")
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(FileError, match="no ordinary file"):
        write_whole(tmp_path / "pipe", "")
    with pytest.raises(FileError, match="null"):
        write_whole("a\0b", "")
    assert names(tmp_path) == ["file", "pipe"]


def test_a_folder_without_permission(tmp_path, monkeypatch):
    # The tests may run as root, whom no permission stops: the system's answer is put in its place.
    def refuse(*_, **__):
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(files.Path, "open", refuse)
    with pytest.raises(
        FileError, match=r"a cannot be written: it is not allowed here; change the permissions"
    ):
        write_whole(tmp_path / "a", "")


def test_a_set_of_files_and_its_manifest(tmp_path):
    folder = tmp_path / "out" / "deep"
    manifest = write_files(folder, {"b.csv": "b", "a.svg": b"a"}, manifest="m.json", design_sha256="d")
    assert names(folder) == ["a.svg", "b.csv", "m.json"]
    assert manifest.files == (
        ("a.svg", hashlib.sha256(b"a").hexdigest()),
        ("b.csv", hashlib.sha256(b"b").hexdigest()),
    )
    assert read_manifest(folder / "m.json") == manifest
    assert verify_files(folder / "m.json") == ()
    before = (folder / "m.json").read_bytes()
    write_files(folder, {"a.svg": "a", "b.csv": "b"}, manifest="m.json", design_sha256="d")
    assert (folder / "m.json").read_bytes() == before


def test_the_manifest_comes_last(tmp_path, monkeypatch):
    order = []
    replace = files.Path.replace

    def noted(self, target):
        order.append(target.name)
        return replace(self, target)

    monkeypatch.setattr(files.Path, "replace", noted)
    write_files(tmp_path, {"z": "", "a": ""}, manifest="m")
    assert order == ["z", "a", "m"]


def test_when_one_file_of_a_set_fails_none_is_written(tmp_path):
    (tmp_path / "b").mkdir()
    with pytest.raises(FileError, match="it is a folder"):
        write_files(tmp_path, {"a": "a", "b": "b"}, manifest="m")
    assert names(tmp_path) == ["b"]


def test_a_folder_made_for_a_set_that_fails_is_taken_away(tmp_path, monkeypatch):
    monkeypatch.setattr(files.Path, "replace", lambda *_: (_ for _ in ()).throw(OSError(errno.EROFS, "")))
    with pytest.raises(FileError, match="read-only"):
        write_files(tmp_path / "new" / "deep", {"a": "a"}, manifest="m")
    assert names(tmp_path) == []


def test_an_interrupted_set_does_not_verify(tmp_path, monkeypatch):
    write_files(tmp_path, {"a": "1", "b": "1"}, manifest="m")
    replace = files.Path.replace

    def until_b(self, target):
        if target.name == "b":
            raise OSError(errno.EIO, "gone")
        return replace(self, target)

    monkeypatch.setattr(files.Path, "replace", until_b)
    with pytest.raises(FileError, match="b cannot be written"):
        write_files(tmp_path, {"a": "2", "b": "2"}, manifest="m")
    assert [finding.message for finding in verify_files(tmp_path / "m")] == [
        "a was changed since it was written."
    ]


@pytest.mark.parametrize("name", ["", "..", "a/b", "a\\b", "a\nb", "c:d"])
def test_names_are_plain(tmp_path, name):
    with pytest.raises(FileError, match="no plain file name"):
        write_files(tmp_path, {name: ""}, manifest="m")


def test_the_manifest_keeps_its_name(tmp_path):
    with pytest.raises(FileError, match="the manifest's own name"):
        write_files(tmp_path, {"m": ""}, manifest="m")
    assert manifest_name("a") == "a-manifest.json"


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


GOOD = {"format": files.MANIFEST_FORMAT, "version": "1", "design_sha256": "", "files": {}}


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", "[" * 100_000, *(json.dumps(GOOD | bad) for bad in (
        {"format": "other"}, {"version": 1}, {"design_sha256": None}, {"files": []}, {"files": {"../a": "x"}},
        {"files": {"a": 1}}, {"more": 1},
    ))],
)  # fmt: skip
def test_what_is_no_manifest(tmp_path, text):
    (tmp_path / "m").write_text(text)
    with pytest.raises(FileError, match="this is no manifest"):
        read_manifest(tmp_path / "m")


def test_reading_says_what_is_wrong(tmp_path):
    with pytest.raises(FileError, match="there is no such file"):
        read_bytes(tmp_path / "none")
    with pytest.raises(FileError, match="it is a folder"):
        read_bytes(tmp_path)
    (tmp_path / "latin").write_bytes(b"one\ntwo \xe9\n")
    with pytest.raises(FileError, match=r"latin:2: this is not UTF-8"):
        read_text(tmp_path / "latin")
    with pytest.raises(FileError, match="larger than 3 bytes"):
        read_bytes(tmp_path / "latin", most=3)
