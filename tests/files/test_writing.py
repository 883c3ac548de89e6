import errno
import hashlib
import os
import signal
import stat
from pathlib import Path

import pytest

from stitchpath.errors import FileError
from stitchpath.files import (
    MachineTables,
    manifest_name,
    read_manifest,
    staged_files,
    verify_files,
    write_files,
    write_whole,
)


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def texts(folder):
    return {path.name: path.read_text() for path in folder.iterdir()}


def failing_at(name, code=errno.EIO):
    """A rename as ever, but for a file of this name coming into its place."""
    replace = Path.replace

    def until(self, target):
        if self.parent.name == "new" and self.name == name:
            raise OSError(code, os.strerror(code))
        return replace(self, target)

    return until


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

    owner = os if step == "fsync" else Path
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
    (tmp_path / "loop").symlink_to("loop")
    for write in (write_whole, lambda file, _: write_files(file, {"a": ""}, manifest="m")):
        for file in (tmp_path / "loop", tmp_path / "loop" / "deep"):
            with pytest.raises(FileError, match="its links lead round in a circle"):
                write(file, "")
    with pytest.raises(FileError, match="is no folder, or a link to none"):
        write_files(tmp_path / "file", {"a": ""}, manifest="m")
    (tmp_path / "loop").unlink()
    assert names(tmp_path) == ["file", "pipe"]


def test_a_folder_without_permission(tmp_path, monkeypatch):
    # The tests may run as root, whom no permission stops: the system's answer is put in its place.
    def refuse(*_, **__):
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
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


def test_the_old_manifest_goes_first_and_the_new_one_comes_last(tmp_path, monkeypatch):
    """Whatever stops the exchange in between, no manifest says that all is well."""
    write_files(tmp_path, {"z": "", "old": ""}, manifest="m")
    order = []
    replace = Path.replace

    def noted(self, target):
        order.append((self.name, target.parent.name))
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", noted)
    write_files(tmp_path, {"z": "", "a": ""}, manifest="m")
    here = tmp_path.name
    assert order == [("m", "old"), ("z", "old"), ("old", "old"), ("a", here), ("z", here), ("m", here)]


def test_when_one_file_of_a_set_fails_none_is_written(tmp_path):
    (tmp_path / "b").mkdir()
    with pytest.raises(FileError, match="it is a folder"):
        write_files(tmp_path, {"a": "a", "b": "b"}, manifest="m")
    assert names(tmp_path) == ["b"]


def test_a_folder_made_for_a_set_that_fails_is_taken_away(tmp_path, monkeypatch):
    monkeypatch.setattr(Path, "replace", lambda *_: (_ for _ in ()).throw(OSError(errno.EROFS, "")))
    with pytest.raises(FileError, match="read-only"):
        write_files(tmp_path / "new" / "deep", {"a": "a"}, manifest="m")
    assert names(tmp_path) == []


@pytest.mark.parametrize("name", ["a", "b", "m"])
def test_where_one_rename_fails_all_stands_as_before(tmp_path, monkeypatch, name):
    write_files(tmp_path, {"a": "1", "gone": "1"}, manifest="m")
    (tmp_path / "b").write_text("of nobody's plan")
    before = texts(tmp_path)
    monkeypatch.setattr(Path, "replace", failing_at(name))
    with pytest.raises(FileError, match=f"{name} cannot be written"):
        write_files(tmp_path, {"a": "2", "b": "2"}, manifest="m")
    assert texts(tmp_path) == before
    assert verify_files(tmp_path / "m") == ()


def test_what_the_old_manifest_lists_goes_and_nothing_else(tmp_path):
    """A file that somebody changed is somebody's, and so is one that no manifest lists."""
    write_files(tmp_path, {name: name for name in ("a", "thin", "page", "lost", "q.toml")}, manifest="m")
    (tmp_path / "page").write_text("with a note in pencil")
    (tmp_path / "mine").write_text("mine")
    (tmp_path / "lost").unlink()
    (tmp_path / "m.txt").symlink_to("mine")
    with staged_files(tmp_path, {"a": "2"}, manifest="m", design="q.toml") as staged:
        assert texts(staged.folder)["a"] == "2"
        assert (tmp_path / "a").read_text() == "a"
        assert staged.take_place() == ("page",)
    assert names(tmp_path) == ["a", "m", "m.txt", "mine", "page", "q.toml"]
    assert (tmp_path / "a").read_text() == "2"
    assert read_manifest(tmp_path / "m") == staged.manifest


def test_a_link_in_a_files_place_gives_way_and_its_goal_is_not_touched(tmp_path):
    (tmp_path / "mine").write_text("mine")
    (tmp_path / "a").symlink_to("mine")
    write_files(tmp_path, {"a": "new"}, manifest="m")
    assert (tmp_path / "mine").read_text() == "mine"
    assert (tmp_path / "a").read_text() == "new"
    assert not (tmp_path / "a").is_symlink()


def test_a_set_that_takes_no_place_leaves_nothing(tmp_path):
    with staged_files(tmp_path / "new" / "deep", {"a": "a"}, manifest="m") as staged:
        assert names(staged.folder) == ["a", "m"]
    assert names(tmp_path) == []
    write_files(tmp_path, {"a": "1"}, manifest="m")
    before = texts(tmp_path)
    with pytest.raises(KeyError), staged_files(tmp_path, {"a": "2"}, manifest="m"):
        raise KeyError
    assert texts(tmp_path) == before


def test_an_interrupt_waits_until_the_exchange_is_over(tmp_path, monkeypatch):
    write_files(tmp_path, {"a": "1", "b": "1"}, manifest="m")
    replace = Path.replace

    def interrupted(self, target):
        os.kill(os.getpid(), signal.SIGINT)
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_files(tmp_path, {"a": "2", "b": "2"}, manifest="m")
    assert (tmp_path / "a").read_text() == (tmp_path / "b").read_text() == "2"
    assert verify_files(tmp_path / "m") == ()
    assert names(tmp_path) == ["a", "b", "m"]


def test_files_of_another_design_are_not_overwritten(tmp_path):
    """Two names may come to the same stem, and one stem with an ending may be another one."""
    write_files(tmp_path, {"q.csv": "1"}, manifest=manifest_name("q"), design="q?.toml")
    before = texts(tmp_path)
    with pytest.raises(FileError, match=r'q-manifest.json is of the plan of "q\?.toml" and would be over'):
        write_files(tmp_path, {"q.csv": "2"}, manifest=manifest_name("q"), design="q!.toml")
    with pytest.raises(FileError, match=r"q.csv is of the plan of"):
        write_files(tmp_path, {"q.csv": "2"}, manifest=manifest_name("other"), design="other.toml")
    assert texts(tmp_path) == before
    write_files(tmp_path, {"q.csv": "3"}, manifest=manifest_name("q"), design="q?.toml")
    write_files(tmp_path, {"q.csv": "4"}, manifest=manifest_name("other"), design="q?.toml")
    assert (tmp_path / "q.csv").read_text() == "4"


def test_a_manifest_says_which_tables_there_are(tmp_path):
    tables = MachineTables(True, 2.54, 5.08)
    write_files(tmp_path, {}, manifest="m", design="q.toml", tables=tables)
    said = read_manifest(tmp_path / "m")
    assert (said.design, said.tables) == ("q.toml", tables)


@pytest.mark.parametrize("name", ["", "..", "a/b", "a\\b", "a\nb", "c:d"])
def test_names_are_plain(tmp_path, name):
    with pytest.raises(FileError, match="no plain file name"):
        write_files(tmp_path, {name: ""}, manifest="m")


def test_the_manifest_keeps_its_name(tmp_path):
    with pytest.raises(FileError, match="the manifest's own name"):
        write_files(tmp_path, {"m": ""}, manifest="m")
    assert manifest_name("a") == "a-manifest.json"
