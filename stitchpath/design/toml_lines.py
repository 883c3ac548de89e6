"""What tomllib does not do: limits before parsing, and the line on which a key stands.

A key's line is found by trying prefixes of the text and bisecting. A prefix that ends inside an array parses
once its open brackets are closed; one that ends inside a text of several lines is skipped.
"""

import re
import tomllib
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from stitchpath.design.faults import Path
from stitchpath.errors import LimitError
from stitchpath.limits import MOST_BRACKETS, MOST_KEY_PARTS, MOST_MARKS

__all__ = ["check_limits", "line_of"]

_TOKEN = re.compile(
    r'''"""(?:\\.|[^\\])*?(?:"{3,5}|\Z) | \'\'\'.*?(?:\'{3,5}|\Z)
    | "(?:\\.|[^"\\\n])*"? | '[^'\n]*'? | \#[^\n]* | [][{}=,.\n]''',
    re.VERBOSE | re.DOTALL,
)
_CLOSED_BY = {"[": "]", "{": "}"}


@dataclass(frozen=True, slots=True)
class _Cut:
    """An end of a line where the text may be cut: how many characters, which line, what closes it."""

    length: int
    line: int
    closing: str


def _tokens(text: str) -> Iterator[tuple[str, int, int]]:
    """Yield each mark with its end and the line, counted from 1, on which it begins."""
    line = 1
    for match in _TOKEN.finditer(text):
        mark = match[0]
        yield mark, match.end(), line
        line += mark.count("\n")


def check_limits(text: str) -> None:
    """Refuse what would take a parser long: many keys, keys of many parts, and deep nesting.

    Raises
    ------
    LimitError
        With the line.

    Examples
    --------
    >>> check_limits("")
    >>> check_limits("a = " + "[" * 20 + "]" * 20)
    Traceback (most recent call last):
    stitchpath.errors.LimitError: over 16 brackets are open at once; nest less deeply
    """
    parts = depth = marks = 0
    for mark, _, line in _tokens(text):
        marks += mark == "=" or mark in _CLOSED_BY
        if marks > MOST_MARKS:
            problem = f"the design has over {MOST_MARKS:,} keys and brackets"
            raise LimitError(problem, "write fewer kinds, motifs or changes", line=line)
        depth = max(depth + (mark in _CLOSED_BY) - (mark in _CLOSED_BY.values()), 0)
        parts = parts + 1 if mark == "." else 0 if mark[0] in "\n=,#[]{}" else parts
        if depth > MOST_BRACKETS:
            raise LimitError(f"over {MOST_BRACKETS} brackets are open at once", "nest less deeply", line=line)
        if parts >= MOST_KEY_PARTS:
            raise LimitError(f"a key has over {MOST_KEY_PARTS} parts", "write fewer dots", line=line)


def _cuts(text: str) -> list[_Cut]:
    open_, cuts = [""], []
    for mark, end, line in _tokens(text):
        if mark in _CLOSED_BY:
            open_.append(_CLOSED_BY[mark])
        elif mark in _CLOSED_BY.values():
            open_.pop()
        elif mark == "\n":
            cuts.append(_Cut(end, line, "".join(reversed(open_))))
    cuts.append(_Cut(len(text), text.count("\n") + 1, ""))
    return cuts


def _has(data: Any, path: Path) -> bool:
    for part in path:
        if isinstance(data, dict):
            if part not in data:
                return False
        elif not (isinstance(data, list) and isinstance(part, int) and part < len(data)):
            return False
        data = data[part]
    return True


def _longest(data: Any, path: Path) -> Path:
    return next(path[:n] for n in range(len(path), -1, -1) if _has(data, path[:n]))


def _first_cut(text: str, cuts: Sequence[_Cut], path: Path) -> int:
    def there(cut: _Cut) -> bool:
        return _has(tomllib.loads(text[: cut.length] + cut.closing), path)

    return bisect_left(cuts, True, key=there)


def line_of(text: str, path: Path) -> int:
    r"""Return the line on which a key, or the nearest thing around it that is there, begins.

    Parameters
    ----------
    text
        TOML that parses.
    path
        Keys, and positions in lists counted from 0.

    Returns
    -------
    int
        Counted from 1; 1 for the whole text.

    Examples
    --------
    >>> text = 'a = [\n  1,\n  2,\n]\n[b]\nc.d = 3\n'
    >>> [line_of(text, path) for path in [("a",), ("a", 1), ("b", "c", "d"), ("b", "e"), ()]]
    [1, 3, 6, 5, 1]
    >>> line_of("", ("a",))
    1
    """
    text = text.replace("\r\n", "\n")
    path = _longest(tomllib.loads(text), path)
    if not path:
        return 1
    cuts = _cuts(text)
    found = _first_cut(text, cuts, path)
    return cuts[found - 1].line + 1 if found else 1
