"""What work that was killed has left, and who may take it away."""

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from stitchpath.errors import FileError
from stitchpath.files import staging, verify_files, write_files, write_whole
from stitchpath.files.staging import own_folder, sweep, unbroken

KILLED = """
import os, sys
from pathlib import Path
from stitchpath.files import write_files
replace, left = Path.replace, [int(sys.argv[2])]
def until(self, target):
    left[0] -= 1
    if left[0] < 0:
        os.kill(os.getpid(), 9)
    return replace(self, target)
Path.replace = until
write_files(sys.argv[1], {"a": "2", "c": "2", "d": "2"}, manifest="m-manifest.json", design="d.toml")
"""
"""Exchanges a set for {a, b, c}, and is killed after so many renames."""


def texts(folder):
    return {path.name: path.read_text() for path in folder.iterdir()}


def killed(folder, renames):
    where = {"PYTHONPATH": str(Path(__file__).parents[2])}
    argv = [sys.executable, "-c", KILLED, str(folder), str(renames)]
    assert subprocess.run(argv, env=where, check=False).returncode == -9


@pytest.mark.parametrize("renames", [0, 1, 2, 4, 5, 7])
def test_an_exchange_that_was_killed_is_taken_back_by_the_next_writer(tmp_path, renames):
    """Four go (the manifest, a, b, c), then four come, the manifest last."""
    write_files(tmp_path, dict.fromkeys("abc", "1"), manifest="m-manifest.json")
    before = texts(tmp_path)
    killed(tmp_path, renames)
    assert len(list(tmp_path.glob(".stitchpath-*"))) == 1
    assert (renames == 0) == (tmp_path / "m-manifest.json").exists()
    write_whole(tmp_path / "z", "")
    assert texts(tmp_path) == before | {"z": ""}
    assert verify_files(tmp_path / "m-manifest.json") == ()


def test_what_somebody_put_there_since_is_not_touched(tmp_path):
    write_files(tmp_path, dict.fromkeys("abc", "1"), manifest="m-manifest.json")
    killed(tmp_path, 6)
    assert not (tmp_path / "b").exists()
    (tmp_path / "b").write_text("mine")
    (tmp_path / "c").write_text("mine")
    sweep(tmp_path)
    told = texts(tmp_path)
    assert (told["a"], told["b"], told["c"]) == ("1", "mine", "mine")
    assert "d" not in told


def test_only_folders_of_ours_that_nobody_uses_are_swept(tmp_path, monkeypatch):
    for name in (".stitchpath-0123456789abcdef.part", ".stitchpath-0.part", ".0123456789abcdef.part"):
        (tmp_path / name / "new").mkdir(parents=True)
    (tmp_path / ".stitchpath-0123456789abcdee.part").write_text("a file")
    (tmp_path / "link").mkdir()
    (tmp_path / ".stitchpath-0123456789abcded.part").symlink_to("link")
    with own_folder(tmp_path, "a") as own:
        sweep(tmp_path)
        assert own.is_dir()
        left = {path.name for path in tmp_path.iterdir()} - {own.name}
    assert left == {".stitchpath-0.part", ".0123456789abcdef.part", ".stitchpath-0123456789abcdee.part",
                    ".stitchpath-0123456789abcded.part", "link"}  # fmt: skip
    (tmp_path / ".stitchpath-0123456789abcdef.part").mkdir()
    monkeypatch.setattr(os, "geteuid", lambda: -1)
    sweep(tmp_path)
    assert (tmp_path / ".stitchpath-0123456789abcdef.part").is_dir()
    sweep(tmp_path / "none")


def test_where_there_are_no_locks_files_are_written_and_none_is_swept(tmp_path, monkeypatch):
    def refuse(*_):
        raise OSError

    monkeypatch.setattr(staging.fcntl, "flock", refuse)
    (tmp_path / ".stitchpath-0123456789abcdef.part").mkdir()
    write_whole(tmp_path / "a", "a")
    assert sorted(path.name for path in tmp_path.iterdir()) == [".stitchpath-0123456789abcdef.part", "a"]


def test_a_folder_that_another_process_sweeps_at_once_is_made_anew(tmp_path, monkeypatch):
    lock, times = staging.fcntl.flock, []

    def raced(handle, how):
        times.append(how)
        if len(times) == 1:
            raise BlockingIOError
        if len(times) == 2:
            for path in tmp_path.iterdir():
                path.rmdir()
        lock(handle, how)

    monkeypatch.setattr(staging.fcntl, "flock", raced)
    with own_folder(tmp_path, "a") as own:
        assert own.is_dir()
    assert len(times) == 3

    def always(*_):
        raise BlockingIOError

    monkeypatch.setattr(staging.fcntl, "flock", always)
    with pytest.raises(FileError, match="another program takes away"), own_folder(tmp_path, "a"):
        pass


def test_beside_the_main_thread_there_is_nothing_to_hold_back():
    done = []

    def work():
        with unbroken():
            done.append(1)

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert done == [1]
