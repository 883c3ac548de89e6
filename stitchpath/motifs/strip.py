"""A strip: two straight lines side by side through a block."""

from typing import Literal

from pydantic import Field

from stitchpath.motifs.base import Asked
from stitchpath.motifs.place import Drawn, Place
from stitchpath.motifs.sizes import Angle, Size
from stitchpath.units import Length, PositiveLength

__all__ = ["Strip"]


class Strip(Asked):
    """Two straight lines at a width and an angle: inside the oval, outside it, or both, going on behind it."""

    motif: Literal["strip"] = "strip"
    width: Size = Field(description="from line to line")
    angle: Angle = Field(0.0, description="degrees clockwise from level: 0 lies, 90 stands")
    offset: Length = Field(
        0.0,
        description="how far the strip's middle lies from the block's, below a level strip (left of an "
        "upright one); minus: above",
    )
    where: Literal["inside", "outside", "both"] = Field(
        "both", description="inside the oval, outside it, or both"
    )
    pieced: bool = Field(
        False, description="its lines lie in the seams of a pieced strip and are stitched in the ditch"
    )
    least_piece: PositiveLength = Field(
        "1/4 in", validate_default=True, description="shorter pieces are left out, and listed"
    )

    def lines(self, place: Place) -> Drawn:
        """Return the strip's lines."""
        raise NotImplementedError

    def predicted_lines(self, place: Place) -> int:
        """Return how many lines it would draw in a place at most, without drawing."""
        return 2 * (1 + 2 * len(place.shapes))
