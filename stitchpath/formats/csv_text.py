"""CSV as all tables have it (RFC 4180), without cells that a table program takes for formulas."""

import csv
import io
from collections.abc import Iterable

from stitchpath.errors import DesignError

__all__ = ["cell", "csv_text"]


def csv_text(rows: Iterable[Iterable[object]]) -> str:
    r"""Return rows as text; what needs quotes is given them, and an empty row is a blank line.

    Examples
    --------
    >>> csv_text([("name", "x_mm"), ('a "b", c', 1), ()])
    'name,x_mm\r\n"a ""b"", c",1\r\n\r\n'
    >>> csv_text([])
    ''
    """
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\r\n").writerows(rows)
    return out.getvalue()


def cell(text: str) -> str:
    """Return a name as it is, if it may stand in a table.

    Raises
    ------
    DesignError
        If a table program could take it for a formula, or it holds what cannot be printed.

    Examples
    --------
    >>> cell("pale grey"), cell("")
    ('pale grey', '')
    """
    if text[:1] in {"=", "+", "-", "@"}:
        raise DesignError(
            f"a table program takes the name {text[:40]!r} for a formula", "begin with a letter"
        )
    if not text.isprintable():
        raise DesignError(f"the name {text[:40]!r} cannot be printed", "leave out its control characters")
    return text
