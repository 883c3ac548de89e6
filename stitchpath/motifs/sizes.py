"""Sizes and angles: one number, or numbers that vary over the top by a rule."""

from typing import Annotated, Any, Generic, Literal, Self, TypeVar

from pydantic import BeforeValidator, Discriminator, Field, Tag, model_validator

from stitchpath.errors import DesignError
from stitchpath.limits import LEAST_SIZE_MM, MOST_ACROSS_MM, MOST_BLOCKS
from stitchpath.motifs.place import Place
from stitchpath.settings import Frozen
from stitchpath.units import LengthIn, shown

__all__ = [
    "Angle",
    "AngleOrEdge",
    "AngleRule",
    "Clearance",
    "Degrees",
    "EdgeWords",
    "LeastPiece",
    "Offset",
    "Rule",
    "Size",
    "SizeRule",
    "Spacing",
    "value_at",
]

Number = TypeVar("Number", bound=float)

_WAYS = (("rows",), ("columns",), ("top", "bottom"), ("left", "right"), ("middle", "edge"), ("like",))
_WAYS_IN_WORDS = "write rows, columns, top and bottom, left and right, middle and edge, or like"


class Rule(Frozen, Generic[Number]):
    """A value that varies over the layout, in exactly one of six ways."""

    rows: tuple[Number, ...] | None = Field(
        None, min_length=1, max_length=MOST_BLOCKS, description="one for each row, from the top"
    )
    columns: tuple[Number, ...] | None = Field(
        None, min_length=1, max_length=MOST_BLOCKS, description="one for each column, from the left"
    )
    top: Number | None = Field(None, description="in the top row; graded evenly to `bottom`")
    bottom: Number | None = Field(None, description="in the bottom row")
    left: Number | None = Field(None, description="in the left column; graded evenly to `right`")
    right: Number | None = Field(None, description="in the right column")
    middle: Number | None = Field(None, description="in the middle of the layout; graded evenly to `edge`")
    edge: Number | None = Field(None, description="in the outermost rows and columns")
    like: str | None = Field(
        None, min_length=1, description="the same as the motif of this kind of block would have in this place"
    )

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        given = tuple(name for name in type(self).model_fields if getattr(self, name) is not None)
        if given not in _WAYS:
            said = " and ".join(given) or "nothing"
            raise ValueError(f"{said} is no rule for a size that varies; {_WAYS_IN_WORDS}")
        return self

    def at(self, *, row: int, column: int, rows: int, columns: int) -> float:
        """Return the value in one block.

        Parameters
        ----------
        row, column
            Where the block stands, counted from 1.
        rows, columns
            How many there are.

        Raises
        ------
        DesignError
            If a list does not fit the layout, the place stands in no row or column, or `like` is still to
            be looked up.

        Examples
        --------
        >>> SizeRule(top=50, bottom="8 cm").at(row=2, column=1, rows=3, columns=9)
        65.0
        >>> SizeRule(middle=50, edge=30).at(row=1, column=1, rows=5, columns=5)
        30.0
        """
        if self.like is not None:
            raise DesignError(f'like "{self.like}" was not looked up', "draw the whole design")
        if not (1 <= row <= rows and 1 <= column <= columns):
            raise DesignError("a size by row or column has no meaning outside the blocks", "write one size")
        if self.rows is not None:
            return _listed(self.rows, row, rows, "row")
        if self.columns is not None:
            return _listed(self.columns, column, columns, "column")
        if self.top is not None and self.bottom is not None:
            return _graded(self.top, self.bottom, _share(row, rows))
        if self.left is not None and self.right is not None:
            return _graded(self.left, self.right, _share(column, columns))
        outwards = max(abs(2 * _share(row, rows) - 1), abs(2 * _share(column, columns) - 1))
        return _graded(self.middle or 0.0, self.edge or 0.0, outwards)


def _share(place: int, count: int) -> float:
    return (place - 1) / (count - 1) if count > 1 else 0.5


def _graded(first: float, last: float, share: float) -> float:
    return first * (1 - share) + last * share


def _listed(values: tuple[float, ...], place: int, count: int, word: str) -> float:
    if len(values) != count:
        raise DesignError(
            f"{len(values)} sizes stand in the list for {count} {word}s", f"write one for each {word}"
        )
    return values[place - 1]


def _degrees(value: Any) -> Any:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{shown(value)} is not an angle; write degrees as a number, such as 45")  # noqa: TRY004  (pydantic wants it)
    return value


Degrees = Annotated[float, Field(ge=-360, le=360), BeforeValidator(_degrees)]
"""A pydantic field type: degrees, counted clockwise."""


_OneSize = Annotated[float, LengthIn(LEAST_SIZE_MM, MOST_ACROSS_MM, "a size")]


class SizeRule(Rule[_OneSize]):
    """A size that varies over the top, in exactly one of six ways."""


class AngleRule(Rule[Degrees]):
    """An angle that varies over the top, in exactly one of six ways."""


def _one_or_rule(value: Any) -> str:
    return "rule" if isinstance(value, dict | Rule) else "one"


def _words_or_not(value: Any) -> str:
    return "words" if isinstance(value, str) else _one_or_rule(value)


Size = Annotated[
    Annotated[_OneSize, Tag("one")] | Annotated[SizeRule, Tag("rule")], Discriminator(_one_or_rule)
]
"""A pydantic field type: a length, or a rule (`SizeRule`)."""

Spacing = Annotated[float, LengthIn(0.1, MOST_ACROSS_MM, "a spacing")]
"""A pydantic field type: from line to line. No thread lies closer than the least."""

LeastPiece = Annotated[float, LengthIn(0.01, MOST_ACROSS_MM, "a least piece")]
"""A pydantic field type: which pieces are long enough to be sewn; what is shorter than the least vanishes."""

Clearance = Annotated[float, LengthIn(0.1, MOST_ACROSS_MM, "a clearance")]
"""A pydantic field type: how far an outline keeps from an appliqué's edge."""

Offset = Annotated[float, LengthIn(-MOST_ACROSS_MM, MOST_ACROSS_MM, "a place on the top")]
"""A pydantic field type: how far something lies from something else, to either side."""

Angle = Annotated[
    Annotated[Degrees, Tag("one")] | Annotated[AngleRule, Tag("rule")], Discriminator(_one_or_rule)
]
"""A pydantic field type: degrees, or a rule (`AngleRule`)."""

EdgeWords = Literal["square to the edge", "along the edge"]

AngleOrEdge = Annotated[
    Annotated[Degrees, Tag("one")] | Annotated[AngleRule, Tag("rule")] | Annotated[EdgeWords, Tag("words")],
    Discriminator(_words_or_not),
]
"""A pydantic field type: degrees, a rule, or an angle told by the longer edge of the place."""


def value_at(value: float | Rule[float], place: Place, *, key: str) -> float:
    """Return a size (mm) or an angle (degrees) as it is in a place.

    Parameters
    ----------
    value
        One for all places, or a rule.
    place
        Where.
    key
        The motif's key that it stands at, for the message.

    Returns
    -------
    float
        Millimetres, or degrees clockwise.

    Raises
    ------
    DesignError
        With `key`, as `Rule.at`.

    Examples
    --------
    >>> here = Place("row 1, column 1", (0, 0, 9, 9), (0, 0, 9, 9), row=1, column=1, rows=2, columns=1)
    >>> value_at(12.5, here, key="width"), value_at(AngleRule(rows=(20, -20)), here, key="tilt")
    (12.5, 20.0)
    """
    if not isinstance(value, Rule):
        return value
    try:
        return value.at(row=place.row, column=place.column, rows=place.rows, columns=place.columns)
    except DesignError as error:
        raise error.at(key=key) from None
