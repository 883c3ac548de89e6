"""Lengths as people write them; millimetres inside.

1 in = 25.4 mm exactly (international yard and pound agreement 1959; NIST SP 811).

Defaults are values in millimetres and are not validated, so no default is ever read in a design's own unit.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal

from pydantic import Field, GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, core_schema

from stitchpath.errors import DesignError

__all__ = [
    "MM_PER",
    "MM_PER_INCH",
    "MM_PER_YARD",
    "LengthIn",
    "Unit",
    "format_length",
    "length_field",
    "parse_length",
    "refuse_unit",
    "shown",
]

Unit = Literal["mm", "cm", "in"]

MM_PER: Mapping[str, Fraction] = {"mm": Fraction(1), "cm": Fraction(10), "in": Fraction(254, 10)}
"""Millimetres in a unit, exactly."""

MM_PER_INCH, MM_PER_YARD = 25.4, 914.4
"""One inch, and one yard of 36 in: international yard and pound agreement 1959."""

_LARGEST = 1e12
"""No number is greater, in any unit: far over `stitchpath.limits.MOST_ACROSS_MM`, and every sum is finite."""
_LEAST_TOLD_MM = 0.001
"""What is less is told as 0: the last decimal of the files."""
_COARSEST_MM: Mapping[str, float] = {"mm": 0.1, "cm": 0.1, "in": MM_PER_INCH / 16}
"""The last decimal, or the finest mark of a quilter's ruler: what a length is rounded to for people."""

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
    ValueError: "" is not a length; write a number or a text like "1 1/4 in", "12.7 mm" or "1.5 cm"
    """
    if isinstance(value, int | float) and not isinstance(value, bool):
        if not -_LARGEST < value < _LARGEST:  # NaN and whole numbers beyond any float, too
            finite = isinstance(value, int) or abs(value) < math.inf
            remedy = "write a smaller number" if finite else "write a finite number"
            raise ValueError(f"{shown(value)} is not a length; {remedy}")
        return float(Fraction(value) * MM_PER[unit])
    match = _LENGTH.fullmatch(value) if isinstance(value, str) else None
    if match is None or (match["bottom"] and int(match["bottom"]) == 0):
        raise ValueError(
            f'{shown(value)} is not a length; write a number or a text like "1 1/4 in", "12.7 mm" or "1.5 cm"'
        )
    if match["decimal"]:
        size = Fraction(match["decimal"])
    else:
        size = int(match["whole"] or 0) + Fraction(int(match["top"]), int(match["bottom"]))
    return float((-size if match["sign"] else size) * MM_PER[match["unit"] or unit])


def refuse_unit(unit: object) -> None:
    """Refuse what is no unit of length.

    Raises
    ------
    DesignError
        If it is none.

    Examples
    --------
    >>> refuse_unit("in")
    >>> refuse_unit("")
    Traceback (most recent call last):
    stitchpath.errors.DesignError: unit: "" is no unit of length; write "mm", "cm" or "in"
    """
    if not isinstance(unit, str) or unit not in MM_PER:
        raise DesignError(f"{shown(unit)} is no unit of length", 'write "mm", "cm" or "in"', key="unit")


def shown(value: object, longest: int = 40) -> str:
    """Return a value as it may stand in a message: short, on one line, as TOML writes it.

    Examples
    --------
    >>> shown(""), shown(True), shown("a" * 50, 10), shown({})
    ('""', 'true', '"aaaaaa...', 'a table')
    """
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict | list | tuple):
        return "a table" if isinstance(value, dict) else "a list"
    text = _quoted(value[: longest + 1]) if isinstance(value, str) else _number(value)
    return text if len(text) <= longest else text[: longest - 3] + "..."


def _quoted(text: str) -> str:
    return '"' + "".join(c if c.isprintable() else "?" for c in text) + '"'


def _number(value: object) -> str:
    return "a huge number" if isinstance(value, int) and abs(value) > 10**30 else str(value)


def format_length(length_mm: float, unit: Unit = "mm") -> str:
    """Write a length for people: inches to the nearest 1/16, metric to 0.1 mm; smaller ones in millimetres.

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
    sixteenths = round(abs(length_mm) / MM_PER_INCH * 16)
    whole, part = divmod(sixteenths, 16)
    sign = "-" if length_mm < 0 and sixteenths else ""
    fraction = Fraction(part, 16)
    words = [str(whole)] if whole or not part else []
    words += [str(fraction)] if part else []
    return f"{sign}{' '.join(words)} in"


def length_field(default: str | float, *, description: str) -> Any:
    """Return a pydantic field of a length that may be left out.

    What it is then is told here in millimetres, or with its unit, and never read in the unit of a design:
    pydantic does not validate defaults (see `stitchpath.settings.Frozen`). The schema tells its unit.

    Parameters
    ----------
    default
        Millimetres, or text with a unit.
    description
        What the field is for.

    Examples
    --------
    >>> length_field("1/10 in", description="").default, length_field(0, description="").default
    (2.54, 0.0)
    """
    told = default if isinstance(default, str) else f"{default:g} mm"
    return Field(parse_length(default), description=description, json_schema_extra={"default": told})


@dataclass(frozen=True, slots=True)
class LengthIn:
    """What a pydantic field of a length may hold: ``Annotated[float, LengthIn(25, 1000, "a reach")]``.

    The field is millimetres once read; bare numbers are millimetres in Python and the design's unit in a
    file (validation context ``{"unit": ...}``). There is no length without a range, so that none can be too
    small to be drawn or too large to be reckoned with.

    Attributes
    ----------
    least_mm, most_mm
        From where to where, both included.
    what
        What it is, for messages: ``"a reach"``.
    """

    least_mm: float
    most_mm: float
    what: str

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_before_validator_function(self._read, handler(source))

    def _read(self, value: Any, info: ValidationInfo) -> float:
        unit: Unit = (info.context or {}).get("unit", "mm")
        length_mm = parse_length(value, unit=unit)
        if self.least_mm <= length_mm <= self.most_mm:
            return length_mm
        size, rest = (
            ("small", f"{_millimetres(self.least_mm)} or more")
            if length_mm < self.least_mm
            else ("large", f"{_millimetres(self.most_mm)} or less")
        )
        bare = not isinstance(value, str) or value.strip()[-1:] not in "mn"
        given = f"{shown(value)} {unit}" if bare else shown(value)
        raise ValueError(f"{given} is too {size} for {self.what}; write {rest}")

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        told = f"{_millimetres(self.least_mm)} to {_millimetres(self.most_mm)}"
        least = self.least_mm / MM_PER_INCH if self.least_mm > 0 else self.least_mm  # whatever the unit is
        bounds = {"minimum": least, "maximum": self.most_mm}
        return {
            "anyOf": [
                {"type": "number", "description": f"in the design's unit; {told}"} | bounds,
                {"type": "string", "description": f'such as "1 1/4 in", "12.7 mm", "1.5 cm"; {told}'},
            ]
        }


def _millimetres(length_mm: float) -> str:
    """Write a limit so that it can be typed as it is told: in no unit that a file does not know."""
    return f"{length_mm:.12g} mm"
