"""Files are written whole or not at all, sets of files with their manifest last; and read with care.

`staged_files` writes a set where it can be checked first, and puts it in the place of an older set as a
whole.
"""

from stitchpath.files.manifest import (
    MANIFEST_ENDING,
    MANIFEST_FORMAT,
    MachineTables,
    Manifest,
    design_name,
    manifest_name,
    manifests,
    read_manifest,
    verify_files,
)
from stitchpath.files.reading import StrPath, explained, read_bytes, read_text, sha256_of
from stitchpath.files.writing import (
    StagedFiles,
    refuse_other_designs,
    staged_files,
    write_files,
    write_whole,
)

__all__ = [
    "MANIFEST_ENDING",
    "MANIFEST_FORMAT",
    "MachineTables",
    "Manifest",
    "StagedFiles",
    "StrPath",
    "design_name",
    "explained",
    "manifest_name",
    "manifests",
    "read_bytes",
    "read_manifest",
    "read_text",
    "refuse_other_designs",
    "sha256_of",
    "staged_files",
    "verify_files",
    "write_files",
    "write_whole",
]
