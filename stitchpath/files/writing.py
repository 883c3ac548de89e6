"""Writes a file, or a set of files with their manifest, whole or not at all."""

import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from stitchpath.errors import FileError
from stitchpath.files.manifest import (
    MachineTables,
    Manifest,
    is_plain,
    manifest_text,
    manifests,
    read_manifest,
    running_version,
)
from stitchpath.files.reading import StrPath, as_bytes, as_path, explained, refuse_strange, sha256_of
from stitchpath.files.staging import (
    holds,
    own_folder,
    sweep,
    sync_folder,
    take_back,
    unbroken,
    write_through,
)

__all__ = ["StagedFiles", "refuse_other_designs", "staged_files", "write_files", "write_whole"]

_NO_TABLES = MachineTables()


def write_whole(file: StrPath, content: bytes | str) -> None:
    r"""Write a file whole or not at all: what stood there before stays until the new content is on the disk.

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

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     write_whole(Path(folder, "pear.csv"), "x,y\n")
    ...     [file.name for file in Path(folder).iterdir()]
    ['pear.csv']
    """
    with explained(file):
        target = _target(as_path(file))
        sweep(target.parent)
        with own_folder(target.parent, file) as own:
            write_through(own / "new", as_bytes(content))
            (own / "new").replace(target)
        sync_folder(target.parent)


@dataclass(frozen=True, slots=True)
class StagedFiles:
    """A set of files and its manifest, all on the disk, and none in its place yet.

    Attributes
    ----------
    folder
        Where they are, for as long as `staged_files` is not left.
    manifest
        What they are.
    """

    folder: Path
    manifest: Manifest
    _into: Path
    _manifest_name: str

    def take_place(self) -> tuple[str, ...]:
        """Put the files in their places, the manifest last, and take away what the old manifest had more.

        Of the files that an older manifest of this name lists, those that are still as it says and do not
        come again are taken away. Anything else that is not written is not touched.

        Returns
        -------
        tuple of str
            The files of the older manifest that stay, since somebody has changed them.

        Raises
        ------
        FileError
            If one cannot be put in its place; then all stands as before.
        """
        names = [*(name for name, _ in self.manifest.files), self._manifest_name]
        with explained(self._into):
            refuse_other_designs(self._into, names, self._manifest_name, self.manifest.design)
            stale, changed = self._no_more(names)
            old = self.folder.parent / "old"
            old.mkdir()
            with unbroken():
                self._exchange([self._manifest_name, *names[:-1], *stale], names, old)
            sync_folder(self._into)
        return changed

    def _exchange(self, leaving: Iterable[str], coming: Iterable[str], old: Path) -> None:
        try:
            for name in leaving:
                if os.path.lexists(self._into / name):
                    with explained(self._into / name):
                        (self._into / name).replace(old / name)
            for name in coming:
                with explained(self._into / name):
                    (self.folder / name).replace(self._into / name)
        except BaseException:
            with suppress(OSError):
                take_back(self.folder.parent, self._into, self.manifest)
            raise

    def _no_more(self, names: Iterable[str]) -> tuple[list[str], tuple[str, ...]]:
        """Return which files of an older manifest go, and which stay as somebody has changed them."""
        try:
            before = read_manifest(self._into / self._manifest_name).files
        except FileError:
            return [], ()
        kept = {*names, self.manifest.design}
        no_more = [(name, sha) for name, sha in before if name not in kept]
        stale = [name for name, sha in no_more if holds(self._into / name, sha)]
        changed = (name for name, _ in no_more if name not in stale and (self._into / name).exists())
        return stale, tuple(changed)


@contextmanager
def staged_files(
    folder: StrPath,
    contents: Mapping[str, bytes | str],
    *,
    manifest: str,
    design_sha256: str = "",
    design: str = "",
    tables: MachineTables = _NO_TABLES,
) -> Iterator[StagedFiles]:
    r"""Write a set of files and its manifest down to the disk, to be looked at before they take their places.

    Parameters
    ----------
    folder
        Where they shall be; it is made if it does not exist, and goes again if nothing takes its place.
    contents
        What to write, by file names without folders.
    manifest
        The manifest's name, as from `manifest_name`.
    design_sha256, design, tables
        As the manifest has them.

    Yields
    ------
    StagedFiles
        The files; they are gone in the end where they were not put in their places.

    Raises
    ------
    FileError
        If anything cannot be written, or a file of another design would be replaced; then nothing is left
        behind.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     with staged_files(folder, {"pear.csv": "x,y\n"}, manifest="pear-manifest.json") as staged:
    ...         looked_at = sorted(file.name for file in staged.folder.iterdir())
    ...     looked_at, list(Path(folder).iterdir())
    (['pear-manifest.json', 'pear.csv'], [])
    """
    where = Path(folder)
    ready = {_plain_name(name): as_bytes(content) for name, content in contents.items()}
    if manifest in ready:
        problem, remedy = f'"{manifest}" is the manifest\'s own name', "give the other file another one"
        raise FileError(problem, remedy, value=manifest)
    listed = tuple((name, sha256_of(ready[name])) for name in sorted(ready))
    result = Manifest(listed, design_sha256, running_version(), design, tables)
    ready[_plain_name(manifest)] = as_bytes(manifest_text(result))
    with _folder_made(where):
        sweep(where)
        refuse_other_designs(where, ready, manifest, design)
        with own_folder(where, where) as own:
            new = own / "new"
            with explained(where):
                new.mkdir()
            for name, content in ready.items():
                with explained(where / name):
                    refuse_strange(where / name, "written")
                    write_through(new / name, content)
            sync_folder(new)
            yield StagedFiles(new, result, where, manifest)


def write_files(
    folder: StrPath,
    contents: Mapping[str, bytes | str],
    *,
    manifest: str,
    design_sha256: str = "",
    design: str = "",
    tables: MachineTables = _NO_TABLES,
) -> Manifest:
    r"""Write a set of files into a folder, each whole, and their manifest last.

    All of them are on the disk under other names before the first takes its place. Where the work is killed
    in between, there is no manifest, and whoever writes into the folder next takes back what was half done.

    Parameters
    ----------
    folder, contents, manifest, design_sha256, design, tables
        As `staged_files` has them.

    Returns
    -------
    Manifest
        What was written.

    Raises
    ------
    FileError
        If anything cannot be written; then nothing is left behind.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     said = write_files(folder, {"pear.csv": "x,y\n"}, manifest="pear-manifest.json")
    ...     [name for name, _ in said.files], sorted(file.name for file in Path(folder).iterdir())
    (['pear.csv'], ['pear-manifest.json', 'pear.csv'])
    """
    more = {"manifest": manifest, "design_sha256": design_sha256, "design": design}
    with staged_files(folder, contents, tables=tables, **more) as staged:
        staged.take_place()
    return staged.manifest


def refuse_other_designs(folder: Path, names: Iterable[str], manifest: str, design: str) -> None:
    """Refuse to write over the files of another design's plan.

    Parameters
    ----------
    folder
        Where to write.
    names
        What to write.
    manifest
        The manifest's name.
    design
        The design file's name; where it is not known, only other manifests are heeded.

    Raises
    ------
    FileError
        If a manifest there is of another design, or lists one of the names.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     _ = write_files(folder, {"pear.csv": ""}, manifest="pear-manifest.json", design="pear.toml")
    ...     refuse_other_designs(Path(folder), ["pear.csv"], "pear-manifest.json", "pear.toml")
    ...     refuse_other_designs(Path(folder), ["pear.csv"], "pear-manifest.json", "plum.toml")
    Traceback (most recent call last):
    stitchpath.errors.FileError: ...pear.toml...
    """
    wanted = {*names}
    for name, said in manifests(folder):
        other = f'of the plan of "{said.design}"' if said.design else "of another plan"
        if name == manifest:
            if design and said.design and said.design != design:
                remedy = "name another folder, or give this design another name"
                problem = f"{folder / name} is {other} and would be overwritten"
                raise FileError(problem, remedy, file=folder / name, value=said.design)
            continue
        taken = [own for own, _ in said.files if own in wanted and (folder / own).exists()]
        if taken and not (design and said.design == design):
            problem = f"{folder / taken[0]} is {other} and would be overwritten"
            remedy = "name another folder, or give this design another name"
            raise FileError(problem, remedy, file=folder / taken[0], value=said.design)


def _plain_name(name: str) -> str:
    if not is_plain(name):
        remedy = "leave out folders and unprintable characters"
        raise FileError(f"{name!r} is no plain file name", remedy, value=name)
    return name


def _target(file: Path) -> Path:
    with explained(file), suppress(FileNotFoundError, NotADirectoryError):
        file.stat()  # says where links lead round in a circle
    target = Path(os.path.realpath(file))
    refuse_strange(file, "written")
    if not target.parent.exists():
        problem = f"{file} cannot be written: there is no folder {file.parent}"
        raise FileError(problem, "make it first", file=file, value=file.parent)
    if not target.parent.is_dir():
        problem = f"{file} cannot be written: {file.parent} is no folder"
        raise FileError(problem, "name another place", file=file, value=file.parent)
    return target


@contextmanager
def _folder_made(folder: Path) -> Iterator[None]:
    missing = [path for path in (folder, *folder.parents) if not os.path.lexists(path)]
    try:
        with explained(folder):
            if os.path.lexists(folder):
                folder.stat()
            folder.mkdir(parents=True, exist_ok=True)
        yield
    finally:
        for path in missing:
            with suppress(OSError):  # it holds what was written
                path.rmdir()
