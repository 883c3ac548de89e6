"""Reads a design file. Nothing in it is trusted, and every fault names its line and what to write."""

import hashlib
import os
import re
import stat
import tomllib
from pathlib import Path as FilePath
from typing import Any, get_args

from pydantic import ValidationError

from stitchpath.design.faults import explain
from stitchpath.design.listed import refuse_lists
from stitchpath.design.model import Design
from stitchpath.design.source import Source, located
from stitchpath.design.toml_lines import check_limits
from stitchpath.design.wanted import wanted_in_blocks
from stitchpath.errors import DesignError, LimitError
from stitchpath.units import Unit

__all__ = ["LARGEST_FILE", "design_schema", "read_design"]

LARGEST_FILE = 1_000_000
"""The most bytes that a design file may have."""

_PLACE = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)$")
_LONG = re.compile(r"[0-9_]{4300,}")
_ENDS = {
    "Cannot overwrite a value": ("this key stands twice", "write it once"),
    "Cannot declare": ("this header stands twice", "put both parts under one"),
    "Cannot mutate": ("this was written in one piece before", "put all of it in one place"),
}


def read_design(file: str | os.PathLike[str]) -> Design:
    """Read a design file.

    Parameters
    ----------
    file
        A TOML file, UTF-8, of at most 1 MB; `design_schema` says what may stand in it.

    Returns
    -------
    Design
        Frozen; its `source` has the file's text and SHA-256.

    Raises
    ------
    DesignError
        If it cannot be read, is not TOML, or asks for what cannot be; with file, line, key and remedy.
    LimitError
        If it is too large or too deeply nested.

    Examples
    --------
    >>> read_design("no such file.toml")
    Traceback (most recent call last):
    stitchpath.errors.DesignError: no such file.toml: there is no such file; give the name of a design file
    """
    if not isinstance(file, str | os.PathLike):
        problem = f"a value of type {type(file).__name__} is no file name"
        raise DesignError(problem, "give a text or a path", key="file")
    name = os.fspath(file)
    raw = _bytes(name)
    source = Source(name, _text(raw, name), hashlib.sha256(raw).hexdigest())
    data = _parsed(source)
    if not data:
        raise DesignError("the design is empty", "write at least a [top] and a layout", file=name)
    design = _validated(data, source)
    wanted_in_blocks(design)
    refuse_lists(design)
    return design


def _bytes(name: str) -> bytes:
    try:
        plain = stat.S_ISREG(FilePath(name).stat().st_mode)
        raw = _first_bytes(FilePath(name)) if plain else b""
    except FileNotFoundError:
        raise DesignError("there is no such file", "give the name of a design file", file=name) from None
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) else "no file can have that name"
        raise DesignError(f"it cannot be read ({why})", "give a file that you may read", file=name) from None
    if not plain:
        raise DesignError("this is a folder or no plain file", "give a design file", file=name)
    if len(raw) > LARGEST_FILE:
        raise LimitError(
            f"it is larger than {LARGEST_FILE} bytes", "a design needs a few thousand", file=name
        )
    return raw


def _first_bytes(file: FilePath) -> bytes:
    with file.open("rb") as stream:
        return stream.read(LARGEST_FILE + 1)


def _text(raw: bytes, name: str) -> str:
    try:
        return raw.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise DesignError("this is not UTF-8", "save the file as UTF-8", file=name, line=line) from None


def _parsed(source: Source) -> dict[str, Any]:
    try:
        check_limits(source.text)
        return tomllib.loads(source.text)
    except LimitError as error:
        raise error.at(file=source.file) from None
    except RecursionError:
        raise LimitError("it is nested too deeply", "nest less deeply", file=source.file) from None
    except ValueError as error:
        raise _not_toml(str(error), source) from None


def _not_toml(message: str, source: Source) -> DesignError:
    """Put what tomllib says into our words."""
    long = _LONG.search(source.text)
    if long is not None and "digits" in message:
        line = source.text.count("\n", 0, long.start()) + 1
        problem = f"a number of {len(long[0])} digits is no size"
        return DesignError(problem, "write a shorter one", file=source.file, line=line)
    place = _PLACE.search(message)
    line = source.text.count("\n") + 1 if place is None or not place[1] else int(place[1])
    said = _PLACE.sub("", message)
    problem, remedy = next(
        (told for start, told in _ENDS.items() if said.startswith(start)),
        (f"this is not TOML ({said[:1].lower()}{said[1:]})", 'write KEY = VALUE, with texts in "quotes"'),
    )
    return DesignError(problem, remedy, file=source.file, line=line)


def _validated(data: dict[str, Any], source: Source) -> Design:
    unit = data.get("unit") if data.get("unit") in get_args(Unit) else "mm"
    try:
        return Design.model_validate(data, context={"unit": unit}).read_from(source)
    except ValidationError as error:
        path, fault = explain(error, data)
        raise located(fault, path, source) from None


def design_schema() -> dict[str, Any]:
    """Return the JSON Schema of a design file, for an editor's completion.

    Examples
    --------
    >>> design_schema()["$schema"]
    'https://json-schema.org/draft/2020-12/schema'
    """
    schema = Design.model_json_schema()
    about = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "stitchpath design"}
    return about | {key: value for key, value in schema.items() if key != "title"}
