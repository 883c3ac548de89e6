"""Prints text that any terminal, pipe or locale can take."""

import sys
import textwrap
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import TextIO

from stitchpath.errors import FileError

__all__ = ["CAUTION", "complain", "flush", "put", "say", "wrapped"]

CAUTION = (
    "Before a file is sewn: keep hands and clamps clear of the head, make a first run with the needle up, "
    "and follow the machine's own manual first; where it differs from anything here, the manual is right."
)
"""In the help, and after each plan."""


def say(text: str) -> None:
    """Print to standard output; what its encoding lacks is written as an escape.

    Raises
    ------
    FileError
        If standard output is closed, or takes no more; likewise in `put` and `flush`.
    BrokenPipeError
        If nobody reads it any more.
    """
    with _output() as stream:
        stream.write(_fit(f"{text}\n", stream))


def complain(text: str) -> None:
    """Print one sentence to standard error, with the program's name before it, if that is open."""
    if sys.stderr is not None:
        with suppress(OSError):
            sys.stderr.write(_fit(f"stitchpath: {text}\n", sys.stderr))


def put(content: str) -> None:
    """Write a file's content to standard output as it is: UTF-8, line ends untouched."""
    with _output() as stream:
        stream.flush()
        stream.buffer.write(content.encode("utf-8"))
        stream.buffer.flush()


def flush() -> None:
    """See that all that was printed is on its way."""
    if sys.stdout is not None:
        with _output() as stream:
            stream.flush()


def wrapped(text: str, *, indent: str = "") -> str:
    """Break text into lines that a terminal shows whole; words are never cut.

    Examples
    --------
    >>> print(wrapped("left out " * 12, indent="  "))
      left out left out left out left out left out left out left out left out left out left out left
        out left out
    >>> wrapped("")
    ''
    """
    return textwrap.fill(
        text,
        100,
        initial_indent=indent,
        subsequent_indent=indent * 2,
        break_long_words=False,
        break_on_hyphens=False,
    )


@contextmanager
def _output() -> Iterator[TextIO]:
    """Yield standard output; what goes wrong with it is told in a sentence."""
    if sys.stdout is None:
        raise FileError("standard output is closed", "open it, or send it to a file")
    try:
        yield sys.stdout
    except BrokenPipeError:
        raise
    except OSError as error:
        from stitchpath.files import explained

        with explained("standard output"):
            raise error from None


def _fit(text: str, stream: TextIO) -> str:
    encoding = stream.encoding or "ascii"
    return text.encode(encoding, "backslashreplace").decode(encoding)
