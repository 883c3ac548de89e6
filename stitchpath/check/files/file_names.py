"""Which files a plan has, by name: those that its manifest must list, and those that are none of it."""

import re
from collections.abc import Collection, Iterator, Sequence
from pathlib import Path

from stitchpath.errors import Finding
from stitchpath.files import MachineTables, manifest_name, manifests
from stitchpath.outputs import FORMATS
from stitchpath.plan import StitchPath

__all__ = ["left_over", "listing_fits", "table_endings"]

_OF_BANDS = r"-bands\.csv|-band-[1-9][0-9]*(?:-[a-z]+)?\.(?:svg|csv)"
_OF_KIND = re.compile(rf"{_OF_BANDS}|-thin\.csv|-stitches\.csv")
"""What is added to the stem of files whose names follow from the plan and the tables asked for."""
_PAGES = re.compile(r"-(?:proof|tiles|templates|walkthrough)\.html|-directions\.txt")


def table_endings(tables: MachineTables) -> tuple[str, ...]:
    """Return what is added to the stem of the tables for a machine that were asked for.

    Examples
    --------
    >>> table_endings(MachineTables(True, 2.5, 5.0)), table_endings(MachineTables())
    (('-thin.csv', '-stitches.csv'), ())
    """
    stitches = ("-stitches.csv",) if tables.stitch_length_mm is not None else ()
    return (("-thin.csv",) if tables.thin else ()) + stitches


def listing_fits(
    folder: Path,
    stem: str,
    listed: Collection[str],
    tables: MachineTables,
    paths: Sequence[StitchPath],
    *,
    banded: bool,
) -> Iterator[Finding]:
    """Tell which files of a plan its manifest leaves out, and which it lists though the plan has none.

    Parameters
    ----------
    folder, stem
        Where the files are, and what their names begin with.
    listed
        The names that the manifest has.
    tables
        The tables for a machine that it says were asked for.
    paths
        Those of the plan.
    banded
        Whether each band has files of its own.
    """
    manifest = manifest_name(stem)
    own = _names(stem, tables, paths, banded=banded)
    for name in own:
        if name not in listed:
            yield Finding("manifest", f"{manifest} does not list {name}; write the files again")
    for name in sorted({*listed} - {*own}):
        if name.startswith(stem) and _OF_KIND.fullmatch(name.removeprefix(stem)):
            said = f"{manifest} lists {name}, which this plan does not have; write the files again"
            yield Finding("manifest", said)
    yield from left_over(folder, stem, {*listed, *own})


def left_over(folder: Path, stem: str, own: Collection[str]) -> Iterator[Finding]:
    """Tell of files that look like the plan's and are not: they must not be sewn by.

    Parameters
    ----------
    folder, stem
        Where the files are, and what their names begin with.
    own
        The plan's own. What another plan's manifest lists is that plan's.
    """
    alike = [file.name for file in sorted(folder.glob("*")) if _is_alike(file.name, stem)]
    strange = [name for name in alike if name not in own]
    if not strange:
        return
    others = [said for name, said in manifests(folder) if name != manifest_name(stem)]
    of_others = {name for said in others for name, _ in said.files}
    for name in strange:
        if name not in of_others:
            yield Finding(
                "manifest", f"{name} is not of this plan: the manifest does not list it; take it away"
            )


def _is_alike(name: str, stem: str) -> bool:
    ending = name.removeprefix(stem)
    return name.startswith(stem) and bool(_OF_KIND.fullmatch(ending) or _PAGES.fullmatch(ending))


def _names(stem: str, tables: MachineTables, paths: Sequence[StitchPath], *, banded: bool) -> list[str]:
    extra = table_endings(tables)
    bands = dict.fromkeys(path.band for path in paths) if banded else ()
    return [
        *(f"{stem}{ending}" for ending in (*FORMATS, *extra)),
        *([f"{stem}-bands.csv"] if banded else []),
        *(f"{stem}-band-{band}{ending}" for band in bands for ending in (".svg", ".csv", *extra)),
    ]
