"""Data as JSON for programs to read: the only place that writes it."""

import json
import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any

__all__ = ["json_text", "record"]


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


def _names(kind: Any) -> tuple[str, ...]:
    own = (name for name, held in vars(kind).items() if isinstance(held, property))
    return (*(field.name for field in fields(kind)), *own)
