"""Rows of text laid out as tables by rich: without lines, and with the same letters on every terminal."""

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import RenderableType

__all__ = ["beside_each_other", "laid_out"]

_GAP = 2  # blanks between columns: chosen
_LEAST_WORDS = 30  # columns for a column of words, which breaks into lines: chosen
_ANY_WIDTH = 10_000  # more than any table has


def laid_out(
    rows: Sequence[Sequence[str]], *, left: int = 1, words_last: bool = False, columns: int = _ANY_WIDTH
) -> str:
    """Lay a head and its rows out in columns.

    Parameters
    ----------
    rows
        The head first; all as long as it.
    left
        How many columns stand to the left; the others are figures, to the right.
    words_last
        Whether the last column holds words: to the left, broken between them where they do not fit.
    columns
        How many letters a line should have at most. Heads are broken between words for it, figures are not.

    Examples
    --------
    >>> print(laid_out([("", "plan"), ("paths", "51"), ("tie-offs", "102")]))
              plan
    paths       51
    tie-offs   102
    >>> laid_out([])
    ''
    """
    from rich.cells import cell_len
    from rich.table import Table
    from rich.text import Text

    table = Table(box=None, padding=(0, _GAP, 0, 0))
    for at, (head, *cells) in enumerate(zip(*rows, strict=True)):
        words = words_last and at == len(rows[0]) - 1
        least = max(map(cell_len, (*head.split(), *cells)), default=0)
        table.add_column(
            Text(head),
            justify="left" if at < left or words else "right",
            overflow="fold",
            no_wrap=not words and least >= cell_len(head),
            min_width=_LEAST_WORDS if words else least,
        )
    for row in rows[1:]:
        table.add_row(*map(Text, row))
    needed = sum((column.min_width or 0) + _GAP for column in table.columns)
    return _printed(table, max(columns + _GAP, needed))  # in less room rich would leave letters out


def beside_each_other(blocks: Sequence[str], *, gap: int, columns: int) -> str:
    r"""Lay blocks of text beside each other, as many as fit, and the others below, after a blank line.

    Parameters
    ----------
    blocks
        Texts of some lines each.
    gap
        Blanks between two.
    columns
        How wide they may be together.

    Examples
    --------
    >>> print(beside_each_other(["one\n..", "two\n..", "three"], gap=2, columns=12))
    one    two
    ..     ..
    <BLANKLINE>
    three
    >>> beside_each_other([], gap=2, columns=12)
    ''
    """
    from rich.columns import Columns
    from rich.text import Text

    ended = [Text(f"{block}\n") for block in blocks]
    return _printed(Columns(ended, padding=(0, gap, 0, 0), equal=True), columns)


def _printed(shown: "RenderableType", columns: int) -> str:
    from rich.console import Console

    out = io.StringIO()
    console = Console(file=out, width=columns, color_system=None, emoji=False, highlight=False, markup=False)
    console.print(shown, crop=False)
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines()).rstrip("\n")
