"""A hidden folder of our own in which files are completed before they take their places.

It stands in the target folder, so that only a rename is left to do and no rename leaves the disk. A set of
files is exchanged like this: the new files are completed and checked in the hidden folder; then the old
manifest goes aside first and the other old files after it; then the new files come, their manifest last.
``new`` holds those to come, and ``old`` those that they replace. While the manifest is still in ``new``, the
exchange is not over, and can be taken back: also by the next writer, if the first was killed.

While it is in use the folder is locked, and the system gives the lock back when the process ends, however it
ends. So `sweep` knows that a folder that nobody holds is left from work that was killed; on systems without
such locks none is swept.

Signals wait for the renames by handlers of their own: a signal mask is only for one thread, and libraries
start others (2026-11-30).
"""

import os
import re
import secrets
import shutil
import signal
import stat
import sys
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from stitchpath.errors import FileError
from stitchpath.files.manifest import Manifest, manifests
from stitchpath.files.reading import StrPath, explained, read_bytes, sha256_of

if sys.platform != "win32":
    import fcntl

__all__ = ["holds", "own_folder", "sweep", "sync_folder", "take_back", "unbroken", "write_through"]

_NAME = re.compile(r"\.stitchpath-[0-9a-f]{16}\.part")
_TRIES = 10
"""How often another process may sweep a new folder away before it is locked; once is rare. Chosen."""


@contextmanager
def own_folder(parent: Path, said: StrPath) -> Iterator[Path]:
    """Yield a new hidden folder inside another one; in the end it is removed with all that is left in it.

    Parameters
    ----------
    parent
        Where to make it.
    said
        What is to be written, for the message.

    Raises
    ------
    FileError
        If it cannot be made.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as parent:
    ...     with own_folder(Path(parent), "pear.csv") as own:
    ...         inside = own.is_dir()
    ...     inside, own.exists()
    (True, False)
    """
    with explained(said):
        own, lock = _made(parent)
    try:
        yield own
    finally:
        shutil.rmtree(own, ignore_errors=True)
        if lock is not None:
            os.close(lock)


def sweep(parent: Path) -> None:
    """Take away hidden folders that ended work of ours has left, and take back what it had half exchanged.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as parent:
    ...     sweep(Path(parent))
    ...     list(Path(parent).iterdir())
    []
    """
    if sys.platform == "win32":
        return
    with suppress(OSError), os.scandir(parent) as entries:
        left = [Path(entry) for entry in entries if _NAME.fullmatch(entry.name)]
        for own in sorted(left):
            _swept(own)


def take_back(own: Path, folder: Path, said: Manifest) -> None:
    """Undo an exchange that is not over: what came goes, and what stood there before stands there again.

    Parameters
    ----------
    own
        The hidden folder, with ``new`` and ``old`` in it.
    folder
        Where the files were to take their places.
    said
        What was to come.
    """
    for name, sha in said.files:
        if not (own / "new" / name).exists() and holds(folder / name, sha):
            (folder / name).replace(own / "new" / name)
    for file in sorted((own / "old").glob("*")):
        if not os.path.lexists(folder / file.name):
            file.replace(folder / file.name)


def holds(file: Path, sha: str) -> bool:
    """Tell whether a file is there and has a SHA-256.

    Examples
    --------
    >>> holds(Path("nowhere.csv"), "")
    False
    """
    try:
        return not file.is_symlink() and sha256_of(read_bytes(file)) == sha
    except FileError:
        return False


def write_through(path: Path, content: bytes) -> None:
    """Write a new file down to the disk.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     write_through(Path(folder, "pear.csv"), b"x,y")
    ...     Path(folder, "pear.csv").read_bytes()
    b'x,y'
    """
    with path.open("xb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())


def sync_folder(folder: Path) -> None:
    """Write down to the disk which files a folder has, where the system lets one."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


@contextmanager
def unbroken() -> Iterator[None]:
    """Hold back what would end the program, but for its killing, until a short piece of work is done.

    Examples
    --------
    >>> with unbroken():
    ...     done = True
    >>> done
    True
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    came: list[int] = []
    ending = [getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)]
    before = {number: signal.getsignal(number) for number in ending}
    heard = {number: was for number, was in before.items() if was is not None and was != signal.SIG_IGN}
    for number in heard:
        signal.signal(number, lambda number, _: came.append(number))
    try:
        yield
    finally:
        _heard_again(heard)
        if came:
            signal.raise_signal(came[0])


def _heard_again(heard: Mapping[int, object]) -> None:
    for number, was in heard.items():
        signal.signal(number, was)  # type: ignore[arg-type]


def _made(parent: Path) -> tuple[Path, int | None]:
    for _ in range(_TRIES):
        own = parent / f".stitchpath-{secrets.token_hex(8)}.part"
        own.mkdir(mode=0o700)
        try:
            lock = _locked(own)
        except BlockingIOError:  # another process sweeps it away
            continue
        if own.exists():
            return own, lock
        if lock is not None:
            os.close(lock)
    problem = f"{parent} cannot be written into: another program takes away new folders there"
    raise FileError(problem, "name another folder", file=parent)


def _swept(own: Path) -> None:
    try:
        at = own.lstat()
        ours = stat.S_ISDIR(at.st_mode) and at.st_uid == os.geteuid()
        lock = _locked(own) if ours else None
    except OSError:
        return
    if lock is None:
        return
    try:
        said = [manifest for _, manifest in manifests(own / "new")]
        if said and (own / "old").is_dir():
            take_back(own, own.parent, said[0])
        shutil.rmtree(own, ignore_errors=True)
    finally:
        os.close(lock)


def _locked(own: Path) -> int | None:
    """Lock a folder until the process ends, or its handle is closed; None where there are no such locks.

    Raises
    ------
    BlockingIOError
        If another process has it.
    """
    if sys.platform == "win32":
        return None
    handle = os.open(own, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        os.close(handle)
        raise
    except OSError:
        os.close(handle)
        return None
    return handle
