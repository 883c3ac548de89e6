"""A fill: parallel background lines that stop at a shape and go on behind it."""

from typing import Literal, Self

from pydantic import Field, model_validator

from stitchpath.motifs.base import Asked
from stitchpath.motifs.place import Drawn, Place
from stitchpath.motifs.sizes import AngleOrEdge
from stitchpath.units import Length, PositiveLength

__all__ = ["Fill"]


class Fill(Asked):
    """Parallel lines, clipped by ovals, strips and keep-outs, and going on behind them."""

    motif: Literal["fill"] = "fill"
    spacing: PositiveLength = Field(description="from line to line")
    angle: AngleOrEdge | None = Field(
        None,
        description="degrees clockwise from level, or square to or along the longer edge of a border; left "
        "out: 45, or along the strip that it is counted from",
    )
    counted_from: Literal["middle", "top", "strip", "seam"] = Field(
        "middle",
        description="where the spacing starts: the middle of the block, the middle of the whole top (so that "
        "it carries on over blocks), a strip's lines, or a seam (the nearest parallel one, else the block's "
        "upper left corner)",
    )
    where: Literal["outside", "inside", "everywhere"] = Field(
        "outside", description="outside the ovals, inside them, or both"
    )
    least_room: PositiveLength = Field(
        "1 in", validate_default=True, description="inside, rooms narrower than this are left empty"
    )
    even: bool = Field(
        False, description="divide the room evenly, at the even spacing nearest to the one asked for"
    )
    through_strips: bool = Field(False, description="go on between the lines of a strip")
    least_gap: Length = Field(
        "1/4 in",
        validate_default=True,
        ge=0,
        description="lines nearer to a parallel seam or strip line are left out",
    )
    least_piece: PositiveLength = Field(
        "1/4 in", validate_default=True, description="shorter pieces are left out, and listed"
    )

    @model_validator(mode="after")
    def _fits_together(self) -> Self:
        if self.even and self.counted_from == "top":
            raise ValueError(
                "an even spacing divides each room by itself and cannot carry on over the whole top; "
                'leave out even, or write counted_from = "middle"'
            )
        return self

    def lines(self, place: Place) -> Drawn:
        """Return the fill's lines."""
        raise NotImplementedError

    def predicted_lines(self, place: Place) -> int:
        """Return about how many lines it would draw in a place, without drawing."""
        raise NotImplementedError
