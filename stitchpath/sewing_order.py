"""What a schedule can say of the order in which a top is sewn: stages, groups and turns of blocks, places."""

import re
from enum import IntEnum
from typing import Annotated, Any, Literal, get_args

from pydantic import BeforeValidator, Field, Strict

from stitchpath.frozen import Frozen
from stitchpath.limits import MOST_ACROSS_MM, MOST_BLOCKS
from stitchpath.lines import ROLES, UNASKED_ROLES, Role
from stitchpath.units import LengthIn, shown

__all__ = [
    "BORDERS",
    "DEFAULT_STAGES",
    "NAME_PATTERN",
    "BlockGroup",
    "BlockNames",
    "Corner",
    "Groups",
    "RoleName",
    "SewingPlace",
    "Stage",
    "Turn",
    "group_name",
    "or_named",
    "staged",
]

RoleName = Annotated[Role, Strict(strict=False)]

NAME_PATTERN = r"^[A-Za-z0-9][A-Za-z0-9 _-]*$"
"""Names of stages and groups: they begin cells of tables."""


class Stage(Frozen):
    """Lines, by their roles, that are finished before the next stage starts."""

    name: str = Field(min_length=1, max_length=40, pattern=NAME_PATTERN)
    roles: tuple[RoleName, ...] = Field(min_length=1, max_length=len(ROLES))


DEFAULT_STAGES = tuple(
    Stage(name=name, roles=tuple(r for r in ROLES if ROLES[r].stage == name and r not in UNASKED_ROLES))
    for name in ("baste", "seams", "detail")
)
_ONE_STAGE = (Stage(name="all", roles=tuple(r for r in ROLES if r not in UNASKED_ROLES)),)


def staged(value: Any) -> Any:
    """Return the stages that a word stands for; anything else as it is.

    Examples
    --------
    >>> [stage.name for stage in staged("default")], staged(())
    (['baste', 'seams', 'detail'], ())
    """
    if value == "default":
        return DEFAULT_STAGES
    if value == "all in one":
        return _ONE_STAGE
    return value


def or_named(schema: dict[str, Any]) -> None:
    """Let a JSON schema of a list of stages take the words that stand for some.

    Examples
    --------
    >>> schema = {"type": "array"}
    >>> or_named(schema)
    >>> schema["anyOf"]
    [{'enum': ['default', 'all in one']}, {'type': 'array'}]
    """
    listed = {key: schema.pop(key) for key in ("type", "items", "minItems", "maxItems") if key in schema}
    schema["anyOf"] = [{"enum": ["default", "all in one"]}, listed]
    schema["default"] = "default"


class BlockGroup(Frozen):
    """Blocks that are finished together."""

    name: str = Field(min_length=1, max_length=40, pattern=NAME_PATTERN)
    blocks: tuple[str, ...] = Field(
        min_length=1, max_length=MOST_BLOCKS, description='such as "row 1, column 2"'
    )


Groups = Annotated[tuple[BlockGroup, ...], Field(max_length=MOST_BLOCKS)]

BlockNames = Annotated[tuple[str, ...], Field(max_length=MOST_BLOCKS)]
"""Blocks by their names, or kinds of block."""

BORDERS = "borders"
"""The group of what lies outside the outer blocks."""


class Turn(IntEnum):
    """When groups of blocks are sewn: all of a lower turn before any of a higher one."""

    FIRST = 0
    OTHER = 1
    BORDERS = 2
    LAST = 3


def group_name(group: str, turn: Turn) -> str:
    """Return what the part of a group is called whose blocks have a turn.

    Examples
    --------
    >>> group_name("row 1", Turn.FIRST), group_name("row 1", Turn.OTHER), group_name("", Turn.OTHER)
    ('row 1, first blocks', 'row 1', 'other blocks')
    """
    if turn is Turn.OTHER:
        return group or "other blocks"
    return ", ".join(filter(None, (group, f"{turn.name.lower()} blocks")))


Corner = Literal["upper left", "upper right", "lower left", "lower right"]

_BLOCK = re.compile(r"row [1-9][0-9]{0,3}, column [1-9][0-9]{0,3}")


def _known_place(said: Any) -> Any:
    """Refuse what is neither a corner, nor named like a block, nor two numbers."""
    named = isinstance(said, str) and (said in get_args(Corner) or _BLOCK.fullmatch(said))
    if not named and not (isinstance(said, tuple | list) and len(said) == len(("x", "y"))):
        corners = ", ".join(f'"{corner}"' for corner in get_args(Corner))
        remedy = f'write {corners}, a block such as "row 2, column 3", or a point [x, y]'
        raise ValueError(f"{shown(said)} is no place on a top; {remedy}")
    return said


_Coordinate = Annotated[float, LengthIn(-MOST_ACROSS_MM, MOST_ACROSS_MM, "a place on the top")]

SewingPlace = Annotated[str | tuple[_Coordinate, _Coordinate], BeforeValidator(_known_place)]
"""A corner, a block by its name, or a point from the finished top's upper left corner, right and down."""
