"""Names that people give, checked so that they fit pictures, tables and messages."""

import unicodedata
from typing import Annotated

from pydantic import AfterValidator, Field

from stitchpath.limits import LONGEST_NAME

__all__ = ["Name", "check_name"]


def check_name(name: str) -> str:
    """Return a name in NFC, one character or more.

    Raises
    ------
    ValueError
        If it does not print, has blanks around it, or begins like a formula; the message says what to write.

    Examples
    --------
    >>> check_name("grey")
    'grey'
    """
    if not name.isprintable() or name != name.strip():
        raise ValueError(f"{name!r} is not a name; write printable characters without blanks around them")
    if name[0] in "=+-@":
        raise ValueError(f"{name!r} begins like a formula; begin a name with a letter or a figure")
    return unicodedata.normalize("NFC", name)


Name = Annotated[str, Field(min_length=1, max_length=LONGEST_NAME), AfterValidator(check_name)]
"""A pydantic field type: 1 to 60 printable characters, NFC, never beginning like a formula of a table."""
