"""An oval: around an appliqué, or quilted by itself."""

import re
from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator

from stitchpath.motifs.base import Asked
from stitchpath.motifs.place import Drawn, Place
from stitchpath.motifs.sizes import Angle, Size
from stitchpath.units import Length, PositiveLength

__all__ = ["Ellipse", "Ratio"]

_RATIO = re.compile(r"\s*([0-9]{1,4}(?:\.[0-9]{1,6})?)\s*:\s*([0-9]{1,4}(?:\.[0-9]{1,6})?)\s*", re.ASCII)


def _ratio(value: object) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool) and 0.01 <= value <= 100:
        return float(value)
    match = _RATIO.fullmatch(value) if isinstance(value, str) else None
    parts = (float(match[1]), float(match[2])) if match else (0.0, 0.0)
    if min(parts) <= 0 or not 0.01 <= parts[0] / parts[1] <= 100:
        raise ValueError(f'{value!r} is not a ratio; write height to width, such as "3:2" or 1.5')
    return parts[0] / parts[1]


Ratio = Annotated[
    float,
    BeforeValidator(_ratio),
    WithJsonSchema({"anyOf": [{"type": "number"}, {"type": "string"}], "description": '"3:2" or 1.5'}),
]
"""A pydantic field type: height to width, 0.01 to 100."""


class Ellipse(Asked):
    """An oval.

    The height is upright and the width level while the tilt is 0. Around an appliqué (`applique`), its
    inside and outside outlines are sewn at their clearances, or one of them; otherwise the oval itself is
    quilted, and `nested` ones in it, which are true parallel curves at distances inwards.
    """

    motif: Literal["ellipse"] = "ellipse"
    height: Size | None = Field(None, description="from top to bottom, before it is tilted")
    width: Size | None = Field(None, description="from side to side, before it is tilted")
    ratio: Ratio | None = Field(None, description='height to width, such as "3:2", with one of the two')
    centre: tuple[Length, Length] = Field(
        (0.0, 0.0), description="how far right of and below the block's middle; minus: left, above"
    )
    tilt: Angle = Field(0.0, description="degrees clockwise")
    applique: bool = Field(False, description="it lies around an appliqué; otherwise it is quilted only")
    size_is: Literal["edge", "line"] | None = Field(
        None,
        description="the size is that of the appliqué's edge (left out: so), or of its outermost sewn line",
    )
    outlines: Literal["both", "inside", "outside"] | None = Field(
        None,
        description="which outlines of an appliqué are sewn; left out: both, or the outside one if "
        "the whole appliqué is kept out of",
    )
    inside_clearance: PositiveLength | None = Field(
        None, description="from an appliqué's edge to its inside outline; left out: the machine's"
    )
    outside_clearance: PositiveLength | None = Field(
        None, description="from an appliqué's edge to its outside outline; left out: the machine's"
    )
    keep_out: Literal["edge", "whole"] | None = Field(
        None,
        description="where no stitch may go: the strip along the appliqué's edge between the "
        "clearances (left out: so), or the whole appliqué",
    )
    nested: tuple[PositiveLength, ...] = Field(
        (), max_length=200, description="further ovals at these distances inwards from a quilted one's line"
    )

    @model_validator(mode="after")
    def _fits_together(self) -> Self:
        given = [name for name in ("height", "width", "ratio") if getattr(self, name) is not None]
        if len(given) != 2:
            said = ", ".join(given) or "nothing"
            raise ValueError(
                f"{said} is given of height, width and ratio; write two of them (or ratio with one)"
            )
        self._check_applique()
        return self

    def _check_applique(self) -> None:
        only = ("size_is", "outlines", "inside_clearance", "outside_clearance", "keep_out")
        said = next((name for name in only if getattr(self, name) is not None), None)
        if said and not self.applique:
            raise ValueError(f"{said} belongs to an appliqué; write applique = true, or leave it out")
        if self.nested and self.applique:
            raise ValueError("nested ovals belong to a quilted one; leave out nested, or applique")
        if self.keep_out == "whole" and self.outlines in {"both", "inside"}:
            raise ValueError(
                'no outline can be sewn inside an appliqué that is kept out of; write outlines = "outside"'
            )

    def lines(self, place: Place) -> Drawn:
        """Return the oval's lines, its keep-out and its shape."""
        raise NotImplementedError

    def predicted_lines(self, place: Place) -> int:  # noqa: ARG002
        """Return how many lines it would draw in a place, without drawing."""
        return 2 if self.applique else 1 + len(self.nested)
