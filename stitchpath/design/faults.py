"""What is wrong with a design: where it is, and what to write instead."""

import unicodedata
from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails, PydanticCustomError

from stitchpath.errors import DesignError
from stitchpath.units import shown

__all__ = ["Path", "dotted", "explain", "fault", "fold", "nearest", "shown"]

Path = tuple[str | int, ...]
"""Where something stands in a design: keys and positions, such as ``("kinds", "pear", "motifs", 0)``."""


def dotted(path: Path) -> str:
    """Return a path as a person reads it; a key that holds more than letters stands in quotes.

    Examples
    --------
    >>> dotted(("kinds", "pear", "motifs", 0, "height")), dotted(("kinds", "a b")), dotted(())
    ('kinds.pear.motifs[0].height', 'kinds."a b"', '')
    """
    return "".join(f"[{p}]" if isinstance(p, int) else f".{_bare(p)}" for p in path).removeprefix(".")


def _bare(key: str) -> str:
    return key if key and key.replace("_", "a").replace("-", "a").isalnum() else shown(key)


def fault(problem: str, remedy: str, *path: str | int) -> PydanticCustomError:
    """Return the error that a validator raises about something further down than its own place.

    Examples
    --------
    >>> print(fault("the layout has no row", "draw one letter a block", "layout"))
    the layout has no row; draw one letter a block
    """
    told = {"problem": problem, "remedy": remedy, "path": path}
    return PydanticCustomError("fault", "{problem}; {remedy}", told)


def nearest(word: str, known: Iterable[str]) -> str:
    """Return what to write instead of an unknown word.

    Examples
    --------
    >>> nearest("hieght", ["height", "width"]), nearest("x", ["height", "width"]), nearest("x", [])
    ('write "height"', 'write one of "height", "width"', 'leave it out')
    """
    words = list(known)
    close = get_close_matches(word[:60], words, n=1, cutoff=0.6)
    if close:
        return f'write "{close[0]}"'
    return "write one of " + ", ".join(f'"{w}"' for w in words) if words else "leave it out"


def fold(name: str) -> str:
    """Return what two names share that a reader would take for the same.

    Examples
    --------
    >>> fold("Pear") == fold("pear "), fold("")
    (True, '')
    """
    return unicodedata.normalize("NFKC", name).casefold().strip()


def explain(error: ValidationError, data: Any) -> tuple[Path, DesignError]:
    """Return the most telling of a validation's errors: where it stands, and what to write instead.

    Parameters
    ----------
    error
        From pydantic.
    data
        What was validated, to tell the keys in an error's place from pydantic's own marks.

    Examples
    --------
    >>> from stitchpath.design import Top
    >>> try:
    ...     Top(block_width=-1, block_height=9)
    ... except ValidationError as error:
    ...     print(explain(error, {"block_width": -1, "block_height": 9})[1])
    block_width: -1 mm is too small for a piece of cloth; write 1 mm or more
    """
    told = [_told(details, data) for details in error.errors(include_url=False)]
    first = told[0][0]
    path, problem, remedy = max(
        (one for one in told if one[0][: len(first)] == first), key=lambda one: len(one[0])
    )
    return path, DesignError(problem, remedy, key=dotted(path))


def _told(details: ErrorDetails, data: Any) -> tuple[Path, str, str]:
    path = _path(details, data)
    given, context = details["input"], details.get("ctx", {})
    if details["type"] == "fault":
        return (*path, *context["path"]), context["problem"], context["remedy"]
    if details["type"] == "unknown_key":
        key = context["key"]
        return (*path, key), "this key is not known here", nearest(key, context["known"])
    if details["type"] == "float_type" and isinstance(given, int) and not isinstance(given, bool):
        return path, f"{shown(given)} is too large", "write a smaller number"
    if details["type"] == "value_error":
        problem, _, remedy = str(context["error"]).rpartition("; ")
        return path, problem or remedy, remedy if problem else ""
    problem, remedy = _WORDS.get(details["type"], ("{given} is not allowed here", "write another value"))
    words = {"given": shown(given), "key": shown(path[-1]) if path else "it", **_flat(context)}
    if details["type"] not in _WORDS:
        remedy = details["msg"].lower()
    return path, problem.format_map(words), remedy.format_map(words)


def _flat(context: Mapping[str, Any]) -> dict[str, str]:
    return {key: str(value) for key, value in context.items()}


def _path(details: ErrorDetails, data: Any) -> Path:
    """Keep the parts of an error's place that are keys, not the marks of a union's members."""
    path: list[str | int] = []
    tag_seen = False
    for part in details["loc"]:
        if isinstance(data, dict) and part == data.get("motif") and not tag_seen:
            tag_seen = True
        elif (isinstance(data, dict) and part in data) or _is_item(data, part):
            data, tag_seen = data[part], False
            path.append(part)
    if details["type"] == "missing":
        path.append(details["loc"][-1])
    if details["type"].startswith("union_tag"):
        path.append(str(details["ctx"]["discriminator"]).strip("'"))
    return tuple(path)


def _is_item(data: Any, part: str | int) -> bool:
    return isinstance(data, list | tuple) and isinstance(part, int) and part < len(data)


_TEXT = ("{given} is not a text", "write it in quotes")
_TABLE = ("{given} is not a table", "write keys under a header in brackets, or between braces")
_NUMBER = ("{given} is not a number", "write a number without quotes")
_WHOLE = ("{given} is not a whole number", "write one without quotes or point")
_YES_NO = ("{given} is neither true nor false", "write true or false, without quotes")
_LIST = ("{given} is not a list", "write values between [ and ]")
_WORDS = {
    "missing": ("{key} is missing", "add it"),
    "string_type": _TEXT,
    "string_too_short": ("the text is empty", "write at least {min_length} sign"),
    "string_too_long": ("{given} is too long", "write at most {max_length} signs"),
    "string_pattern_mismatch": ("{given} has signs that may not stand here", "write letters and digits"),
    "model_type": _TABLE,
    "model_attributes_type": _TABLE,
    "dict_type": _TABLE,
    "float_type": _NUMBER,
    "float_parsing": _NUMBER,
    "int_type": _WHOLE,
    "int_parsing": _WHOLE,
    "int_from_float": _WHOLE,
    "int_parsing_size": ("{given} is too large", "write a smaller number"),
    "bool_type": _YES_NO,
    "bool_parsing": _YES_NO,
    "tuple_type": _LIST,
    "list_type": _LIST,
    "too_short": ("there are {actual_length} values", "write at least {min_length}"),
    "too_long": ("there are {actual_length} values", "write at most {max_length}"),
    "finite_number": ("{given} is not finite", "write a finite number"),
    "greater_than": ("{given} is too small", "write a number above {gt}"),
    "greater_than_equal": ("{given} is too small", "write {ge} or more"),
    "less_than": ("{given} is too large", "write a number below {lt}"),
    "less_than_equal": ("{given} is too large", "write {le} or less"),
    "literal_error": ("{given} is not known here", "write {expected}"),
    "enum": ("{given} is not known here", "write {expected}"),
    "union_tag_not_found": ("a motif without its kind", 'write motif = "fill" or another kind of motif'),
    "union_tag_invalid": ('"{tag}" is no kind of motif', "write one of {expected_tags}"),
}
