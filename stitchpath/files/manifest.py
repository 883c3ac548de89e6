"""What was written together, and whether it is still as it was written.

A manifest is JSON: ``format``, ``version`` (of stitchpath), ``design`` (the design file's name),
``design_sha256``, ``tables`` (which tables for a machine were asked for, and how), and ``files``, which gives
the SHA-256 of each file by its name. It holds no date: the same input gives the same bytes.
"""

import os
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError, model_validator

from stitchpath.errors import FileError, Finding
from stitchpath.files.reading import StrPath, read_bytes, read_text, sha256_of
from stitchpath.limits import MOST_MANIFEST_BYTES
from stitchpath.records import json_text

__all__ = [
    "MANIFEST_ENDING",
    "MANIFEST_FORMAT",
    "MachineTables",
    "Manifest",
    "design_name",
    "is_plain",
    "manifest_name",
    "manifest_text",
    "manifests",
    "read_manifest",
    "running_version",
    "verify_files",
]

MANIFEST_FORMAT: Literal["stitchpath manifest 1"] = "stitchpath manifest 1"
MANIFEST_ENDING = "-manifest.json"
_StitchLength = Annotated[float, Field(gt=0)]


@dataclass(frozen=True, slots=True)
class MachineTables:
    """Which tables for a machine were asked for beside the plan's own; all lengths in millimetres.

    Attributes
    ----------
    thin
        Whether there are tables of x and y only.
    stitch_length_mm
        The longest stitch, if there are tables with a point for each stitch; otherwise None.
    basting_length_mm
        The longest stitch of basting; None where there is no stitch length.
    """

    thin: bool = False
    stitch_length_mm: _StitchLength | None = None
    basting_length_mm: _StitchLength | None = None


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
    design
        The design file's name, as `design_name` gives it; empty where it is not known.
    tables
        The tables for a machine among them.
    """

    files: tuple[tuple[str, str], ...]
    design_sha256: str = ""
    version: str = ""
    design: str = ""
    tables: MachineTables = MachineTables()


def is_plain(name: str) -> bool:
    r"""Tell whether a name is one of a file in the folder at hand, and can be printed.

    Examples
    --------
    >>> is_plain("leaf.svg"), is_plain("../leaf.svg"), is_plain("a\nb"), is_plain("")
    (True, False, False, False)
    """
    return name not in {"", ".", ".."} and name.isprintable() and not set(name) & set("/\\:")


def _plain(name: str) -> str:
    if not is_plain(name):
        raise ValueError("this is no name of a file in the folder at hand")
    return name


class _Document(BaseModel):
    """A manifest as its JSON has it."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, strict=True)

    format: Literal["stitchpath manifest 1"]
    version: str
    design: str = ""
    design_sha256: str
    tables: MachineTables = MachineTables()
    files: dict[Annotated[str, AfterValidator(_plain)], str]

    @model_validator(mode="after")
    def _both_lengths(self) -> Self:
        if (self.tables.stitch_length_mm is None) != (self.tables.basting_length_mm is None):
            raise ValueError("one of the two stitch lengths is missing")
        return self

    def manifest(self) -> Manifest:
        """Return what was written together."""
        files = tuple(sorted(self.files.items()))
        return Manifest(files, self.design_sha256, self.version, self.design, self.tables)


def manifest_name(stem: str) -> str:
    """Return the name of the manifest beside the files that begin with `stem`.

    Examples
    --------
    >>> manifest_name("winter_orchard")
    'winter_orchard-manifest.json'
    """
    return f"{stem}{MANIFEST_ENDING}"


def design_name(design: StrPath) -> str:
    """Return a design file's name as manifests have it: without folders, the same whatever the locale.

    Examples
    --------
    >>> design_name("quilts/winter orchard.toml"), design_name("u\u0308.toml") == "\u00fc.toml"
    ('winter orchard.toml', True)
    """
    name = os.fsencode(Path(design).name).decode("utf-8", "backslashreplace")
    return unicodedata.normalize("NFC", name)


def read_manifest(file: StrPath) -> Manifest:
    """Read a manifest.

    Raises
    ------
    FileError
        If it cannot be read, or is no manifest of ours.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     file = Path(folder, "pear-manifest.json")
    ...     _ = file.write_text(manifest_text(Manifest((), "", "1")))
    ...     read_manifest(file) == Manifest((), "", "1")
    True
    """
    try:
        return _Document.model_validate_json(read_text(file, most=MOST_MANIFEST_BYTES)).manifest()
    except ValidationError as error:
        no_json = error.errors()[0]["type"] == "json_invalid"
        what = "not JSON" if no_json else f'not of the format "{MANIFEST_FORMAT}"'
        raise FileError(f"this is no manifest: it is {what}", "write the files again", file=file) from error


def manifests(folder: Path) -> Iterator[tuple[str, Manifest]]:
    """Yield the name and content of each manifest in a folder that can be read.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     none = list(manifests(Path(folder)))
    ...     _ = Path(folder, "pear-manifest.json").write_text(manifest_text(Manifest((), "", "1")))
    ...     none, [name for name, _ in manifests(Path(folder))]
    ([], ['pear-manifest.json'])
    """
    for file in sorted(folder.glob(f"*{MANIFEST_ENDING}")):
        try:
            yield file.name, read_manifest(file)
        except FileError:
            continue


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

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     file = Path(folder, "pear-manifest.json")
    ...     _ = file.write_text(manifest_text(Manifest((("pear.csv", "0"),), "", "1")))
    ...     found = verify_files(file)
    >>> [finding.kind for finding in found]
    ['manifest']
    """
    said = read_manifest(manifest)
    findings = [_verified(Path(manifest).parent / name, sha) for name, sha in said.files]
    if design is not None and sha256_of(read_bytes(design)) != said.design_sha256:
        findings.append(
            Finding("manifest", f"{design} is not the design that the files were made from; make them again.")
        )
    return tuple(finding for finding in findings if finding is not None)


def manifest_text(manifest: Manifest) -> str:
    """Return a manifest as its file has it.

    Examples
    --------
    >>> print(manifest_text(Manifest((), "", "1")).splitlines()[1])
      "format": "stitchpath manifest 1",
    """
    document = _Document(
        format=MANIFEST_FORMAT,
        version=manifest.version,
        design=manifest.design,
        design_sha256=manifest.design_sha256,
        tables=manifest.tables,
        files=dict(manifest.files),
    )
    return json_text(document.model_dump())


def running_version() -> str:
    """Return the version of the stitchpath that runs.

    Examples
    --------
    >>> running_version() == version("stitchpath")
    True
    """
    try:
        return version("stitchpath")
    except PackageNotFoundError:
        return "not installed"


def _verified(path: Path, sha: str) -> Finding | None:
    try:
        same = sha256_of(read_bytes(path)) == sha
    except FileError as error:
        return Finding("manifest", f"{error}.")
    return None if same else Finding("manifest", f"{path.name} was changed since it was written.")
