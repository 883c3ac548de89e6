"""Files are written whole or not at all, sets of files with their manifest last; and read with care.

A manifest is JSON: ``format``, ``version`` (of stitchpath), ``design_sha256``, and ``files``, which gives
each file's SHA-256 by its name. There is no date in it: the same input gives the same bytes.
"""

import errno
import hashlib
import json
import os
import secrets
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from stitchpath.errors import FileError, Finding
from stitchpath.records import json_text

__all__ = [
    "MANIFEST_FORMAT",
    "Manifest",
    "StrPath",
    "manifest_name",
    "read_bytes",
    "read_manifest",
    "read_text",
    "sha256_of",
    "verify_files",
    "write_files",
    "write_whole",
]

StrPath = str | os.PathLike[str]

MANIFEST_FORMAT = "stitchpath manifest 1"
_MOST_BYTES = 1 << 30
_MANIFEST_BYTES = 1 << 20

_WHY = {
    errno.ENOENT: "there is no such file or folder; look at its name",
    errno.EACCES: "it is not allowed here; change the permissions, or name another place",
    errno.EPERM: "it is not allowed here; change the permissions, or name another place",
    errno.EROFS: "this disk is read-only; name another place",
    errno.ENOSPC: "the disk is full; make room, or name another place",
    errno.EDQUOT: "the disk's quota is spent; make room, or name another place",
    errno.ENAMETOOLONG: "its name is too long; give a shorter one",
    errno.EISDIR: "it is a folder; name a file",
    errno.ENOTDIR: "a part of its path is no folder; name another place",
    errno.ELOOP: "its links lead round in a circle; name another place",
}


@dataclass(frozen=True, slots=True)
class Manifest:
    """What was written together.

    Attributes
    ----------
    files
        Each file's name, without folders, and its SHA-256, in the order of the names.
    design_sha256
        The SHA-256 of the design file that they were made from; empty where there was none.
    version
        The stitchpath that wrote them.
    """

    files: tuple[tuple[str, str], ...]
    design_sha256: str = ""
    version: str = ""


def manifest_name(stem: str) -> str:
    """Return the name of the manifest beside the files that begin with `stem`.

    Examples
    --------
    >>> manifest_name("winter_orchard")
    'winter_orchard-manifest.json'
    """
    return f"{stem}-manifest.json"


def sha256_of(content: bytes | str) -> str:
    """Return the SHA-256 of bytes, or of text as UTF-8, in hexadecimal.

    Examples
    --------
    >>> sha256_of("")[:16]
    'e3b0c44298fc1c14'
    """
    return hashlib.sha256(_as_bytes(content)).hexdigest()


def write_whole(file: StrPath, content: bytes | str) -> None:
    """Write a file whole or not at all: what stood there before stays until the new content is on the disk.

    Parameters
    ----------
    file
        Where; its folder must exist. A link is followed.
    content
        Bytes, or text that is written as UTF-8 with its line ends as they are.

    Raises
    ------
    FileError
        If it cannot be written; then nothing is left behind.
    """
    _write_all([(Path(file), _as_bytes(content))])


def write_files(
    folder: StrPath, contents: Mapping[str, bytes | str], *, manifest: str, design_sha256: str = ""
) -> Manifest:
    """Write a set of files into a folder, each whole, and their manifest last.

    All of them are on the disk under other names before the first takes its place. Where the power fails in
    between, the manifest does not fit the files, and `verify_files` says so.

    Parameters
    ----------
    folder
        Where; it is made if it does not exist.
    contents
        What to write, by file names without folders.
    manifest
        The manifest's name, as from `manifest_name`.
    design_sha256
        The SHA-256 of the design file.

    Returns
    -------
    Manifest
        What was written.

    Raises
    ------
    FileError
        If anything cannot be written; then nothing is left behind.
    """
    where = Path(folder)
    ready = {_plain_name(name): _as_bytes(content) for name, content in contents.items()}
    if manifest in ready:
        raise FileError(f'"{manifest}" is the manifest\'s own name; give the other file another one')
    listed = tuple((name, sha256_of(ready[name])) for name in sorted(ready))
    result = Manifest(listed, design_sha256, _version())
    everything = [*ready.items(), (_plain_name(manifest), _as_bytes(_manifest_text(result)))]
    with _folder_made(where):
        _write_all([(where / name, content) for name, content in everything])
    return result


def read_bytes(file: StrPath, *, most: int = _MOST_BYTES) -> bytes:
    """Read an ordinary file of at most `most` bytes.

    Raises
    ------
    FileError
        If it is missing, a folder, unreadable, no ordinary file, or larger.
    """
    path = Path(file)
    with _explained(path, "read"):
        _refuse_strange(path, "read")
        with path.open("rb") as stream:
            content = stream.read(most + 1)
    if len(content) > most:
        raise FileError(f"{path} is larger than {most} bytes, so it is none of ours; name another file")
    return content


def read_text(file: StrPath, *, most: int = _MOST_BYTES) -> str:
    """Read an ordinary UTF-8 file of at most `most` bytes, line ends as they are.

    Raises
    ------
    FileError
        As `read_bytes`, and if it is not UTF-8: the message names the line.
    """
    content = read_bytes(file, most=most)
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise FileError(f"{file}:{line}: this is not UTF-8; save the file as UTF-8") from error


def read_manifest(file: StrPath) -> Manifest:
    """Read a manifest.

    Raises
    ------
    FileError
        If it cannot be read, or is no manifest of ours.
    """
    try:
        document = json.loads(read_text(file, most=_MANIFEST_BYTES))
    except (ValueError, RecursionError) as error:
        raise FileError(f"{file}: this is no manifest: it is not JSON; write the files again") from error
    if not _is_manifest(document):
        raise FileError(
            f'{file}: this is no manifest: it is not of the format "{MANIFEST_FORMAT}"; write the files again'
        )
    files = tuple(sorted(document["files"].items()))
    return Manifest(files, document["design_sha256"], document["version"])


def verify_files(manifest: StrPath, *, design: StrPath | None = None) -> tuple[Finding, ...]:
    """Compare the files beside a manifest, and the design file if named, with what the manifest says.

    Returns
    -------
    tuple of Finding
        What is missing or was changed since; empty: all is as written.

    Raises
    ------
    FileError
        If the manifest or the design file cannot be read.
    """
    said = read_manifest(manifest)
    findings = [_verified(Path(manifest).parent / name, sha) for name, sha in said.files]
    if design is not None and sha256_of(read_bytes(design)) != said.design_sha256:
        findings.append(
            Finding("manifest", f"{design} is not the design that the files were made from; make them again.")
        )
    return tuple(finding for finding in findings if finding is not None)


def _verified(path: Path, sha: str) -> Finding | None:
    try:
        same = sha256_of(read_bytes(path)) == sha
    except FileError as error:
        return Finding("manifest", f"{error}.")
    return None if same else Finding("manifest", f"{path.name} was changed since it was written.")


def _is_manifest(document: Any) -> bool:
    return (
        isinstance(document, dict)
        and set(document) == {"format", "version", "design_sha256", "files"}
        and document["format"] == MANIFEST_FORMAT
        and isinstance(document["version"], str)
        and isinstance(document["design_sha256"], str)
        and isinstance(document["files"], dict)
        and all(isinstance(sha, str) and _is_plain(name) for name, sha in document["files"].items())
    )


def _manifest_text(manifest: Manifest) -> str:
    document = {
        "format": MANIFEST_FORMAT,
        "version": manifest.version,
        "design_sha256": manifest.design_sha256,
        "files": dict(manifest.files),
    }
    return json_text(document)


def _version() -> str:
    try:
        return version("stitchpath")
    except PackageNotFoundError:
        return "not installed"


def _as_bytes(content: bytes | str) -> bytes:
    return content.encode("utf-8") if isinstance(content, str) else content


def _is_plain(name: str) -> bool:
    return name not in {"", ".", ".."} and name.isprintable() and not set(name) & set("/\\:")


def _plain_name(name: str) -> str:
    if not _is_plain(name):
        raise FileError(f"{name!r} is no plain file name; leave out folders and unprintable characters")
    return name


def _write_all(contents: Sequence[tuple[Path, bytes]]) -> None:
    staged: list[tuple[Path, Path]] = []
    try:
        for file, content in contents:
            with _explained(file):
                target = _target(file)
                temporary = target.with_name(f".{secrets.token_hex(8)}.part")
                staged.append((temporary, target))
                _write_through(temporary, content)
        for temporary, target in staged:
            with _explained(target):
                temporary.replace(target)
    finally:
        for temporary, _ in staged:
            with suppress(OSError):
                temporary.unlink(missing_ok=True)
    for parent in dict.fromkeys(target.parent for _, target in staged):
        _sync_folder(parent)


def _target(file: Path) -> Path:
    target = Path(os.path.realpath(file))
    _refuse_strange(file, "written")
    if not target.parent.exists():
        raise FileError(f"{file} cannot be written: there is no folder {file.parent}; make it first")
    if not target.parent.is_dir():
        raise FileError(f"{file} cannot be written: {file.parent} is no folder; name another place")
    return target


def _refuse_strange(file: Path, done: str) -> None:
    # Before opening: a pipe would wait for ever, and a device must not be replaced by a file.
    if file.exists() and not file.is_file():
        what = "a folder" if file.is_dir() else "no ordinary file"
        raise FileError(f"{file} cannot be {done}: it is {what}; name a file")


def _write_through(path: Path, content: bytes) -> None:
    with path.open("xb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())


def _sync_folder(folder: Path) -> None:
    # Not every system lets a folder be opened; the files themselves are safe by now.
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


@contextmanager
def _explained(file: Path, done: str = "written") -> Iterator[None]:
    try:
        yield
    except FileError:
        raise
    except (OSError, ValueError) as error:
        raise FileError(f"{file} cannot be {done}: {_why(error)}") from error


def _why(error: OSError | ValueError) -> str:
    if isinstance(error, OSError):
        return _WHY.get(error.errno or 0, f"{error.strerror or error}; name another place")
    return f"{error}; give another name"


@contextmanager
def _folder_made(folder: Path) -> Iterator[None]:
    missing = [path for path in (folder, *folder.parents) if not path.exists()]
    try:
        with _explained(folder):
            folder.mkdir(parents=True, exist_ok=True)
        yield
    except FileError:
        for path in missing:
            with suppress(OSError):
                path.rmdir()
        raise
