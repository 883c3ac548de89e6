"""Which files belong to a plan, by name: those that its manifest must list, and those that it must not."""

import re
from collections.abc import Collection, Iterator, Sequence
from pathlib import Path

from stitchpath.errors import Finding
from stitchpath.files import MachineTables, manifest_name, manifests
from stitchpath.outputs import OUTPUTS, ending_pattern, file_names
from stitchpath.plan import StitchPath

__all__ = ["left_over", "listing_fits", "tables_of"]

_FOLLOWING = re.compile(
    ending_pattern(each for each in OUTPUTS if each.of_bands != "no" or (each.of_hand and not each.option))
)
"""What is added to the stem of files that follow from the plan and from the tables asked for."""
_PAGES = re.compile(ending_pattern(each for each in OUTPUTS if each.option and each.of_bands == "no"))


def tables_of(tables: MachineTables) -> frozenset[str]:
    """Return the names of the tables for a machine that were asked for.

    Examples
    --------
    >>> sorted(tables_of(MachineTables(True, 2.5, 5.0))), tables_of(MachineTables())
    (['stitches', 'thin'], frozenset())
    """
    asked = {"thin": tables.thin, "stitches": tables.stitch_length_mm is not None}
    return frozenset(name for name, is_asked in asked.items() if is_asked)


def listing_fits(
    folder: Path,
    stem: str,
    listed: Collection[str],
    tables: MachineTables,
    paths: Sequence[StitchPath],
    *,
    banded: bool,
    by_hand: bool = False,
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
    by_hand
        Whether what is left to the hand has some.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     found = list(listing_fits(Path(folder), "pear", ["pear.csv"], MachineTables(), [], banded=False))
    >>> found[0].message
    'pear-manifest.json does not list pear.svg; write the files again'
    """
    manifest = manifest_name(stem)
    own = _names(stem, tables, paths, banded=banded, by_hand=by_hand)
    for name in own:
        if name not in listed:
            yield Finding("manifest", f"{manifest} does not list {name}; write the files again")
    for name in sorted({*listed} - {*own}):
        if name.startswith(stem) and _FOLLOWING.fullmatch(name.removeprefix(stem)):
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

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     Path(folder, "pear-band-1.csv").touch()
    ...     found, none = (list(left_over(Path(folder), stem, [])) for stem in ("pear", "plum"))
    >>> found[0].message, none
    ('pear-band-1.csv is not of this plan: the manifest does not list it; take it away', [])
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
    return name.startswith(stem) and bool(_FOLLOWING.fullmatch(ending) or _PAGES.fullmatch(ending))


def _names(
    stem: str, tables: MachineTables, paths: Sequence[StitchPath], *, banded: bool, by_hand: bool
) -> list[str]:
    bands = list(dict.fromkeys(path.band for path in paths)) if banded else []
    names = file_names(stem, tables_of(tables), bands=bands, by_hand=by_hand)
    return names if bands or not banded else [*names, f"{stem}-bands.csv"]
