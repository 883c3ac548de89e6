"""Whose fault an error is: the design's, a limit's, a file's, or ours; and what a check finds wrong."""

from collections.abc import Iterable
from dataclasses import dataclass
from os import PathLike
from typing import Self, TypeVar

__all__ = [
    "DesignError",
    "FileError",
    "Finding",
    "InternalError",
    "LimitError",
    "StitchpathError",
    "all_of",
    "refuse_other",
]

T = TypeVar("T")


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
    """A file or folder cannot be read or written as asked, or is not what it should be.

    Parameters
    ----------
    problem
        What is wrong, with the value. Where it begins with the file's own name, that is not told again.
    remedy
        What to do instead; may be empty.
    file
        The file or folder; may be empty.
    line
        The line in it, counted from 1; 0 where it is about the whole.
    key
        The place in a document, such as ``paths[0].band``; may be empty.
    value
        What was found there; None where nothing was.

    Examples
    --------
    >>> print(FileError('x is "a"', "write a number", file="b.csv", line=3, value="a"))
    b.csv:3: x is "a"; write a number
    >>> print(FileError("b.csv cannot be read: it is a folder", "name a file", file="b.csv"))
    b.csv cannot be read: it is a folder; name a file
    """

    def __init__(
        self,
        problem: str,
        remedy: str = "",
        *,
        file: str | PathLike[str] = "",
        line: int = 0,
        key: str = "",
        value: object = None,
    ) -> None:
        self.problem, self.remedy, self.file, self.line = problem, remedy, str(file), line
        self.key, self.value = key, value
        named = not line and problem.startswith(f"{file} ")
        place = "" if named else f"{file}:{line}" if self.file and line else self.file
        text = f"{problem}; {remedy}" if remedy else problem
        super().__init__(": ".join(part for part in (place, key, text) if part))


class InternalError(StitchpathError, RuntimeError):
    """A promise that the code makes itself does not hold: ours to mend, please report it."""


def refuse_other(key: str, value: object, wanted: type | tuple[type, ...], noun: str, remedy: str) -> None:
    """Refuse an argument of another kind than wanted.

    Parameters
    ----------
    key
        The argument's name.
    value
        What was given for it.
    wanted
        The kinds that will do; a truth value is no number.
    noun
        What it should be, in a word or two.
    remedy
        What to give instead.

    Raises
    ------
    DesignError
        If it is none of them.

    Examples
    --------
    >>> refuse_other("band", 3, int, "band", "give its number")
    >>> refuse_other("band", "3", int, "band", "give its number")
    Traceback (most recent call last):
    stitchpath.errors.DesignError: band: '3' is no band; give its number
    >>> refuse_other("plan", [], Exception, "plan", "give one")
    Traceback (most recent call last):
    stitchpath.errors.DesignError: plan: a value of type list is no plan; give one
    """
    if isinstance(value, wanted) and not isinstance(value, bool):
        return
    plain = value is None or isinstance(value, str | bytes | bool | float)
    said = f"{value!r:.40}" if plain else f"a value of type {type(value).__name__}"
    raise DesignError(f"{said} is no {noun}", remedy, key=key)


def all_of(key: str, values: Iterable[T], wanted: type[T], noun: str, remedy: str) -> tuple[T, ...]:
    """Return a list's items, refusing a list that is none, and an item of another kind than wanted.

    Parameters
    ----------
    key
        What the list is called where it is given.
    values
        The list.
    wanted
        The kind of its items.
    noun, remedy
        What an item is, in a word, and what to give.

    Raises
    ------
    DesignError
        If it is no list, or an item will not do; it names the item's place.

    Examples
    --------
    >>> all_of("names", ["a", "b"], str, "name", "give texts"), all_of("names", [], str, "name", "give texts")
    (('a', 'b'), ())
    >>> all_of("names", ["a", None], str, "name", "give texts")
    Traceback (most recent call last):
    stitchpath.errors.DesignError: names[1]: None is no name; give texts
    """
    refuse_other(key, None if isinstance(values, str | bytes | dict) else values, Iterable, "list", remedy)
    items = tuple(values)
    for place, item in enumerate(items):
        refuse_other(f"{key}[{place}]", item, wanted, noun, remedy)
    return items


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
