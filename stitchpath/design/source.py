"""The file that a design was read from, kept to say where in it something stands."""

import re
from dataclasses import dataclass, field
from typing import TypeVar

from stitchpath.design.faults import Path, dotted
from stitchpath.design.toml_lines import line_of
from stitchpath.errors import DesignError

__all__ = ["Source", "located", "parts_of"]

_PARTS = re.compile(r"[^.\[\]]+")

E = TypeVar("E", bound=DesignError)


@dataclass(frozen=True)
class Source:
    """A design file as it was read.

    Attributes
    ----------
    file
        Its name as given.
    text
        What is in it.
    sha256
        The SHA-256 of its bytes, in hexadecimal.
    """

    file: str
    text: str = field(repr=False)
    sha256: str = ""

    def line(self, path: Path) -> int:
        """Return the line, counted from 1, of a key or of the nearest thing around it."""
        return line_of(self.text, path)


def located(error: E, path: Path, source: Source | None) -> E:
    """Return the same error with its key, and its file and line where there is a file.

    Parameters
    ----------
    error
        What is wrong.
    path
        The keys that lead to it in the design.
    source
        The file that the design was read from; None: it was made in Python.

    Returns
    -------
    DesignError
        Of the same class.

    Examples
    --------
    >>> print(located(DesignError("0 is no size", "write more"), ("top", "width"), None))
    top.width: 0 is no size; write more
    """
    told = type(error)(error.problem, error.remedy, key=dotted(path))
    return told if source is None else told.at(file=source.file, line=source.line(path))


def parts_of(key: str) -> tuple[str | int, ...]:
    """Return the parts of a key as an error tells it.

    Examples
    --------
    >>> parts_of("schedule.groups[0].blocks"), parts_of("")
    (('schedule', 'groups', 0, 'blocks'), ())
    """
    return tuple(int(part) if part.isdigit() else part for part in _PARTS.findall(key))
