"""Data as JSON for programs to read: the only place that writes it.

pydantic would leave out what dataclasses tell by properties, and has no layout with a line for each entry.
"""

import json
import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any

__all__ = ["json_text", "record", "rows_text"]


def json_text(document: Any) -> str:
    r"""Return data as JSON text that any program and any locale takes; see `record` for what may be in it.

    Examples
    --------
    >>> json_text({"name": "½", "gap": float("inf")})
    '{\n  "name": "\\u00bd",\n  "gap": null\n}\n'
    >>> json_text({})
    '{}\n'
    """
    return json.dumps(record(document), indent=2, allow_nan=False) + "\n"


def rows_text(
    document: Mapping[str, Any],
    *,
    unbroken: frozenset[str] = frozenset(),
    unfolded: frozenset[str] = frozenset(),
) -> str:
    r"""Return plain data as JSON text with a line for each key, and for each entry of an array.

    Parameters
    ----------
    document
        Mappings, lists, texts and finite numbers.
    unbroken
        The keys of arrays that stand in one line all the same.
    unfolded
        The keys of mappings that are laid out like the document itself.

    Examples
    --------
    >>> document = {"name": "½", "points": [[0, 0], [1, 0]], "reach": [1, 2], "notes": []}
    >>> print(rows_text(document, unbroken=frozenset({"reach"})), end="")
    {
    "name": "½",
    "points": [
    [0,0],
    [1,0]
    ],
    "reach": [1,2],
    "notes": []
    }
    """

    def rows(key: str, value: Any) -> str:
        if key in unfolded and isinstance(value, Mapping):
            return rows_text(value, unbroken=unbroken, unfolded=unfolded).rstrip("\n")
        broken = isinstance(value, list) and value and key not in unbroken
        return "[\n" + ",\n".join(map(_compact, value)) + "\n]" if broken else _compact(value)

    lines = (f"{_compact(key)}: {rows(key, value)}" for key, value in document.items())
    return "{\n" + ",\n".join(lines) + "\n}\n"


def record(value: Any) -> Any:
    """Return data as JSON can hold it: numbers that are not finite become None, tuples lists.

    Parameters
    ----------
    value
        Mappings, lists, tuples, texts, numbers, and dataclasses: these by the names of their fields, and then
        of their properties, which follow from them.

    Examples
    --------
    >>> from stitchpath.errors import Finding
    >>> record(Finding("totals", "they differ", (1.0, float("nan"))))
    {'kind': 'totals', 'message': 'they differ', 'place_mm': [1.0, None]}
    >>> record(())
    []
    """
    if is_dataclass(value):
        return {name: record(getattr(value, name)) for name in _names(type(value))}
    if isinstance(value, Mapping):
        return {key: record(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [record(inner) for inner in value]
    return None if isinstance(value, float) and not math.isfinite(value) else value


def _compact(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def _names(kind: Any) -> tuple[str, ...]:
    own = (name for name, held in vars(kind).items() if isinstance(held, property))
    return (*(field.name for field in fields(kind)), *own)
