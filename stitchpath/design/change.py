"""What is different in one block from the others of its kind."""

import re
from typing import Annotated, Any, Self

from pydantic import AfterValidator, Field, PrivateAttr, ValidationInfo, model_validator

from stitchpath.design.faults import shown
from stitchpath.motifs.names import Name
from stitchpath.settings import Frozen
from stitchpath.units import Unit

__all__ = ["Change"]

_BLOCK = r"^row [1-9][0-9]{0,3}, column [1-9][0-9]{0,3}$"


def _block(name: str) -> str:
    if not re.fullmatch(_BLOCK, name):
        raise ValueError(f'{shown(name)} is no block; write one such as "row 2, column 3"')
    return name


def _has_number(value: object) -> bool:
    if isinstance(value, dict):
        return any(map(_has_number, value.values()))
    if isinstance(value, list | tuple):
        return any(map(_has_number, value))
    return isinstance(value, int | float) and not isinstance(value, bool)


class Change(Frozen):  # noqa: PLW1641  (it holds a dictionary, so it has no hash)
    """What one block has otherwise than the others of its kind."""

    block: Annotated[str, AfterValidator(_block)] = Field(
        json_schema_extra={"pattern": _BLOCK},
        description='which block, such as "row 2, column 3", counted from the top left',
    )
    motif: Name | None = Field(
        None,
        description="which motif, by its name, or by its kind where it has none; left out where the whole "
        "block gets a thread",
    )
    to: dict[str, Any] = Field(min_length=1, description="the motif's keys that change, and their new values")
    _unit: Unit = PrivateAttr("mm")

    def __eq__(self, other: object) -> bool:
        """Whether both change the same; where a number stands bare, its unit counts."""
        if not isinstance(other, Change):
            return NotImplemented
        one, two = (change._unit if _has_number(change.to) else None for change in (self, other))  # noqa: SLF001
        return (self.block, self.motif, self.to, one) == (other.block, other.motif, other.to, two)

    @model_validator(mode="after")
    def _keep_unit(self, info: ValidationInfo) -> Self:
        self._unit = (info.context or {}).get("unit", "mm")
        return self

    @model_validator(mode="after")
    def _whole_block(self) -> Self:
        """Take nothing but a thread where no motif is named."""
        thread = self.to.get("thread")
        if self.motif is None and (set(self.to) != {"thread"} or not isinstance(thread, str)):
            raise ValueError(
                "no motif is named; name one, or write nothing but a thread for the whole block, such as "
                'to = { thread = "red" }'
            )
        return self

    @property
    def block_thread(self) -> str | None:
        """The thread of the whole block's motifs that name none; None where a motif changes."""
        return None if self.motif else self.to["thread"]

    @property
    def unit(self) -> Unit:
        """The unit of its bare numbers."""
        return self._unit

    @property
    def row_column(self) -> tuple[int, int]:
        """Where its block stands, counted from 1."""
        row, column = self.block.removeprefix("row ").split(", column ")
        return int(row), int(column)
