"""The stem: what the names of a plan's files begin with."""

import os
import unicodedata
from hashlib import sha256
from pathlib import Path

__all__ = ["safe_stem"]

_MOST_LETTERS, _MOST_BYTES = 60, 150
"""With every ending it stays a name that any disk takes."""


def safe_stem(design: str | os.PathLike[str]) -> str:
    """Return the stem of a design file's name as written files begin with it: no blanks, nothing strange.

    Letters and numbers of any script stay. Of a name that is cut, or that has none of them, a few letters of
    its SHA-256 are added, so that two such designs do not come to the same.

    Examples
    --------
    >>> safe_stem("quilts/winter orchard (2).toml"), safe_stem("冬の果樹園.toml")
    ('winter_orchard_2', '冬の果樹園')
    >>> safe_stem("..")
    'design-5ec1f7e7'
    """
    from stitchpath.files import design_name

    name = Path(design_name(design)).stem
    whole = "_".join("".join(letter if _is_safe(letter) else " " for letter in name).split()).strip("._-")
    short = whole.encode()[:_MOST_BYTES].decode("utf-8", "ignore")[:_MOST_LETTERS]
    if short and short == whole and _is_writable(short):
        return short
    beginning = short.strip("._-") if _is_writable(short) else ""
    return f"{beginning or 'design'}-{sha256(name.encode()).hexdigest()[:8]}"


def _is_safe(letter: str) -> bool:
    return letter in ".-" or unicodedata.category(letter)[0] in "LMN"


def _is_writable(text: str) -> bool:
    """Tell whether the system's own encoding has all letters: a bare locale has few."""
    try:
        os.fsencode(text)
    except UnicodeEncodeError:
        return False
    return True
