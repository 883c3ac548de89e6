"""The letters of a layout that is written as one sees it: a row of letters for each row of blocks."""

import unicodedata
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field

from stitchpath.design.faults import shown

__all__ = ["Letter", "Rows"]


def _letter(letter: str) -> str:
    letter = unicodedata.normalize("NFC", letter)
    if len(letter) != 1 or not letter.isprintable() or letter in " .":
        raise ValueError(f'{shown(letter)} is no letter for a layout; write one letter such as "P"')
    return letter


def _rows(layout: Any) -> Any:
    """Take a text of several lines for a list of rows, and leave blanks out."""
    lines = [line for line in layout.splitlines() if line.strip()] if isinstance(layout, str) else layout
    if isinstance(lines, list | tuple):
        return tuple(_joined(row) if isinstance(row, str) else row for row in lines)
    return lines


def _joined(row: str) -> str:
    return "".join(unicodedata.normalize("NFC", row).split())


def _or_text(schema: dict[str, Any]) -> None:
    listed = {key: schema.pop(key) for key in ("type", "items") if key in schema}
    schema["anyOf"] = [{"type": "string"}, listed | {"minItems": 1}]


Letter = Annotated[str, AfterValidator(_letter)]
"""A pydantic field type: one printable letter, NFC."""

Rows = Annotated[tuple[str, ...], BeforeValidator(_rows), Field(json_schema_extra=_or_text)]
"""A pydantic field type: rows of letters, NFC, from a list or a text of several lines, blanks left out."""
