"""Lengths as people write them; millimetres inside.

1 in = 25.4 mm exactly (international yard and pound agreement 1959; NIST SP 811).
"""

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationInfo, WithJsonSchema

__all__ = ["MM_PER", "Length", "PositiveLength", "Unit", "format_length", "parse_length"]

Unit = Literal["mm", "cm", "in"]

MM_PER: Mapping[str, Fraction] = {"mm": Fraction(1), "cm": Fraction(10), "in": Fraction(254, 10)}

_LEAST_TOLD_MM = 0.001
_COARSEST_MM: Mapping[str, float] = {"mm": 0.1, "cm": 0.1, "in": 25.4 / 16}

_LENGTH = re.compile(
    r"""\s*(?P<sign>-?)
    (?:(?P<whole>[0-9]{1,9})[ ]+(?=[0-9]+/))?
    (?:(?P<top>[0-9]{1,9})/(?P<bottom>[0-9]{1,9}) | (?P<decimal>[0-9]{1,12}(?:\.[0-9]{1,12})?|\.[0-9]{1,12}))
    \s*(?P<unit>mm|cm|in)?\s*""",
    re.VERBOSE | re.ASCII,
)


def parse_length(value: object, *, unit: Unit = "mm") -> float:
    """Read a length as a person writes it.

    Parameters
    ----------
    value
        A number in `unit`, or text such as ``"1/2 in"``, ``"1 1/4 in"``, ``"12.7 mm"``, ``"1.5 cm"``.
    unit
        The unit of a bare number.

    Returns
    -------
    float
        Millimetres.

    Raises
    ------
    ValueError
        If it is no length; the message says what to write.

    Examples
    --------
    >>> parse_length("1/2 in"), parse_length("1 1/4 in"), parse_length(12.7), parse_length("1.5 cm")
    (12.7, 31.75, 12.7, 15.0)
    >>> parse_length("")
    Traceback (most recent call last):
    ValueError: '' is not a length; write a number or a text like "1 1/4 in", "12.7 mm" or "1.5 cm"
    """
    if isinstance(value, int | float) and not isinstance(value, bool):
        if not -1e12 < value < 1e12:  # NaN and whole numbers beyond any float, too
            shown = f"{value}" if isinstance(value, float) else "a huge number"
            raise ValueError(f"{shown} is not a length; write a finite number")
        return float(Fraction(value) * MM_PER[unit])
    match = _LENGTH.fullmatch(value) if isinstance(value, str) else None
    if match is None or (match["bottom"] and int(match["bottom"]) == 0):
        raise ValueError(
            f"{_shown(value)} is not a length; "
            'write a number or a text like "1 1/4 in", "12.7 mm" or "1.5 cm"'
        )
    if match["decimal"]:
        size = Fraction(match["decimal"])
    else:
        size = int(match["whole"] or 0) + Fraction(int(match["top"]), int(match["bottom"]))
    return float((-size if match["sign"] else size) * MM_PER[match["unit"] or unit])


def _shown(value: object) -> str:
    """Return what was written in a length's place: short, and in no programming language's words."""
    if isinstance(value, dict | list | tuple):
        return "a table" if isinstance(value, dict) else "a list"
    text = repr(value) if isinstance(value, str) else str(value)
    text = text.lower() if isinstance(value, bool) else text
    return text if len(text) <= 40 else text[:37] + "..."


def format_length(length_mm: float, unit: Unit = "mm") -> str:
    """Write a length for people: inches as the nearest 1/16, metric to 0.1 mm; what is less, in millimetres.

    Examples
    --------
    >>> format_length(31.75, "in"), format_length(12.7), format_length(0.0, "in"), format_length(250, "cm")
    ('1 1/4 in', '12.7 mm', '0 in', '25 cm')
    >>> format_length(0.02), format_length(0.6, "in")
    ('0.02 mm', '0.6 mm')
    """
    if _LEAST_TOLD_MM <= abs(length_mm) < _COARSEST_MM[unit] / 2:
        return f"{round(length_mm, 3):g} mm"
    if unit != "in":
        return f"{round(float(length_mm / MM_PER[unit]), 2 if unit == 'cm' else 1):g} {unit}"
    sixteenths = round(abs(length_mm) / 25.4 * 16)
    whole, part = divmod(sixteenths, 16)
    sign = "-" if length_mm < 0 and sixteenths else ""
    fraction = Fraction(part, 16)
    words = [str(whole)] if whole or not part else []
    words += [str(fraction)] if part else []
    return f"{sign}{' '.join(words)} in"


def _length(value: Any, info: ValidationInfo) -> float:
    context = info.context or {}
    return parse_length(value, unit=context.get("unit", "mm"))


def _positive(value: Any, info: ValidationInfo) -> float:
    size_mm = _length(value, info)
    if size_mm <= 0:
        raise ValueError(f"{_shown(value)} is not a size; write a length above zero")
    return size_mm


_SCHEMA = {
    "anyOf": [{"type": "number"}, {"type": "string"}],
    "description": "A length: a number in the design's unit, or a text like "
    '"1 1/4 in", "12.7 mm", "1.5 cm".',
}

Length = Annotated[float, BeforeValidator(_length), WithJsonSchema(_SCHEMA)]
"""A pydantic field type: any length, in millimetres once read; bare numbers are millimetres in Python and
the design's unit in a file (validation context ``{"unit": ...}``)."""

PositiveLength = Annotated[float, Field(gt=0), BeforeValidator(_positive), WithJsonSchema(_SCHEMA)]
"""A pydantic field type: a length above zero, in millimetres once read."""
