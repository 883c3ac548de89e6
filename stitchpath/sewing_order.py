"""What a schedule can say of the order in which a top is sewn: stages, groups and turns of blocks."""

from enum import IntEnum
from typing import Annotated, Any

from pydantic import Field, Strict

from stitchpath.frozen import Frozen
from stitchpath.limits import MOST_BLOCKS
from stitchpath.lines import ROLES, UNASKED_ROLES, Role

__all__ = [
    "BORDERS",
    "DEFAULT_STAGES",
    "NAME_PATTERN",
    "BlockGroup",
    "BlockNames",
    "Groups",
    "RoleName",
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
