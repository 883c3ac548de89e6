"""Reads ordinary files with care, and says in a sentence why one cannot be read or written."""

import errno
import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from stitchpath.errors import FileError
from stitchpath.limits import MOST_BYTES

__all__ = [
    "StrPath",
    "as_bytes",
    "as_path",
    "explained",
    "read_bytes",
    "read_text",
    "refuse_strange",
    "sha256_of",
]

StrPath = str | os.PathLike[str]

_WHY = {
    errno.ENOENT: "there is no such file or folder; look at its name",
    errno.EEXIST: "what stands there is no folder, or a link to none; name another place",
    errno.EACCES: "it is not allowed here; change the permissions, or name another place",
    errno.EPERM: "it is not allowed here; change the permissions, or name another place",
    errno.EROFS: "this disk is read-only; name another place",
    errno.ENOSPC: "the disk is full; make room, or name another place",
    errno.EDQUOT: "the disk's quota is spent; make room, or name another place",
    errno.ENAMETOOLONG: "its name is too long; give a shorter one",
    errno.EISDIR: "it is a folder; name a file",
    errno.ENOTDIR: "a part of its path is no folder; name another place",
    errno.ELOOP: "its links lead round in a circle; name another place",
    errno.EBADF: "it is not open for that; name another place",
}


def sha256_of(content: bytes | str) -> str:
    """Return the SHA-256 of bytes, or of text as UTF-8, in hexadecimal.

    Examples
    --------
    >>> sha256_of("")[:16]
    'e3b0c44298fc1c14'
    """
    return hashlib.sha256(as_bytes(content)).hexdigest()


def as_bytes(content: bytes | str) -> bytes:
    r"""Return text as UTF-8, and bytes as they are.

    Examples
    --------
    >>> as_bytes("½"), as_bytes(b"")
    (b'\xc2\xbd', b'')
    """
    return content.encode("utf-8") if isinstance(content, str) else content


def as_path(file: StrPath) -> Path:
    """Return a file's name as a path.

    Raises
    ------
    FileError
        If it is neither a text nor a path.

    Examples
    --------
    >>> as_path("a.csv").name
    'a.csv'
    >>> as_path(3)
    Traceback (most recent call last):
    stitchpath.errors.FileError: 3 is no file name; give a text or a path
    """
    try:
        return Path(file)
    except TypeError as error:
        raise FileError(f"{file!r:.40} is no file name", "give a text or a path", value=file) from error


def read_bytes(file: StrPath, *, most: int = MOST_BYTES) -> bytes:
    """Read an ordinary file of at most `most` bytes.

    Raises
    ------
    FileError
        If it is missing, a folder, unreadable, no ordinary file, or larger.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     file = Path(folder, "pear.csv")
    ...     _ = file.write_bytes(b"x,y")
    ...     read_bytes(file)
    b'x,y'
    """
    path = as_path(file)
    with explained(path, "read"):
        refuse_strange(path, "read")
        with path.open("rb") as stream:
            content = stream.read(most + 1)
    if len(content) > most:
        problem = f"{path} is larger than {most} bytes, so it is none of ours"
        raise FileError(problem, "name another file", file=path, value=most)
    return content


def read_text(file: StrPath, *, most: int = MOST_BYTES) -> str:
    """Read an ordinary UTF-8 file of at most `most` bytes, line ends as they are.

    Raises
    ------
    FileError
        As `read_bytes`, and if it is not UTF-8: the message names the line.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     file = Path(folder, "pear.csv")
    ...     _ = file.write_bytes(b"")
    ...     read_text(file)
    ''
    """
    content = read_bytes(file, most=most)
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise FileError("this is not UTF-8", "save the file as UTF-8", file=file, line=line) from error


def refuse_strange(file: Path, done: str) -> None:
    """Refuse a folder, a pipe or a device in a file's place.

    A pipe would make its reader wait for ever, and a device must not be replaced by a file.

    Raises
    ------
    FileError
        If something stands there that is no ordinary file.

    Examples
    --------
    >>> refuse_strange(Path(), "read")
    Traceback (most recent call last):
    stitchpath.errors.FileError: . cannot be read: it is a folder; name a file
    """
    if file.exists() and not file.is_file():
        what = "a folder" if file.is_dir() else "no ordinary file"
        raise FileError(f"{file} cannot be {done}: it is {what}", "name a file", file=file)


@contextmanager
def explained(file: StrPath, done: str = "written") -> Iterator[None]:
    """Turn what the system says of a file into a `FileError` of one sentence.

    Examples
    --------
    >>> with explained("a.svg"):
    ...     raise OSError(errno.ENOSPC, "No space left on device")
    Traceback (most recent call last):
    stitchpath.errors.FileError: a.svg cannot be written: the disk is full; make room, or name another place
    """
    try:
        yield
    except FileError:
        raise
    except (OSError, ValueError) as error:
        why, _, remedy = _why(error).rpartition("; ")
        raise FileError(f"{file} cannot be {done}: {why}", remedy, file=file) from error


def _why(error: OSError | ValueError) -> str:
    if isinstance(error, OSError):
        return _WHY.get(error.errno or 0, f"{error.strerror or error}; name another place")
    return f"{error}; give another name"
