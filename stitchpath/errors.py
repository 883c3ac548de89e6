"""Whose fault an error is: the design's, a limit's, a file's, or ours; and what a check finds wrong."""

from dataclasses import dataclass
from typing import Self

__all__ = ["DesignError", "FileError", "Finding", "InternalError", "LimitError", "StitchpathError"]


class StitchpathError(Exception):
    """Base of every error that stitchpath raises on purpose."""


class DesignError(StitchpathError, ValueError):
    """A design asks for something that cannot be drawn.

    Parameters
    ----------
    problem
        What is wrong, with the value.
    remedy
        What to write instead; may be empty.
    key
        The dotted key in the design, such as ``kinds.pear.motifs[0].height``; may be empty.
    file
        The design file, where there is one.
    line
        The line in that file, counted from 1; 0 where unknown.

    Examples
    --------
    >>> print(DesignError("0 is no size", "write a positive length", key="top.width", file="a.toml", line=3))
    a.toml:3: top.width: 0 is no size; write a positive length
    >>> print(DesignError("nothing to draw"))
    nothing to draw
    """

    def __init__(
        self, problem: str, remedy: str = "", *, key: str = "", file: str = "", line: int = 0
    ) -> None:
        self.problem, self.remedy, self.key, self.file, self.line = problem, remedy, key, file, line
        place = f"{file}:{line}" if file and line else file
        text = f"{problem}; {remedy}" if remedy else problem
        super().__init__(": ".join(part for part in (place, key, text) if part))

    def at(self, *, key: str = "", file: str = "", line: int = 0) -> Self:
        """Return the same error with what was unknown about its place filled in."""
        return type(self)(
            self.problem, self.remedy, key=self.key or key, file=self.file or file, line=self.line or line
        )


class LimitError(DesignError):
    """A design is over a budget: it names the field, the count and the limit."""


class FileError(StitchpathError, OSError):
    """A file or folder cannot be read or written as asked, or is not what it should be."""


class InternalError(StitchpathError, RuntimeError):
    """A promise that the code makes itself does not hold: ours to mend, please report it."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing worth saying about a place: found wrong by a check, or left out while drawing.

    Attributes
    ----------
    kind
        A short name of the rule, such as ``"keep-out"``.
    message
        One sentence in the quilter's words, numbers included.
    place_mm
        Where, as (x, y) in millimetres; None where it is about the whole.
    """

    kind: str
    message: str
    place_mm: tuple[float, float] | None = None
