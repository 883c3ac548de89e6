"""Echoes: true parallel curves around an oval, or in it."""

from typing import Literal

from pydantic import Field

from stitchpath.motifs.base import Asked
from stitchpath.motifs.names import Name
from stitchpath.motifs.place import Drawn, Place
from stitchpath.units import PositiveLength

__all__ = ["Echo"]


class Echo(Asked):
    """Lines that follow the ovals' outermost lines outwards, or their innermost ones inwards.

    Echoes of ovals that lie close to one another run together into one line around all of them.
    """

    motif: Literal["echo"] = "echo"
    spacing: PositiveLength = Field(description="from line to line")
    count: int | None = Field(
        None, ge=1, le=1000, description="how many; left out: as many as there is room for"
    )
    direction: Literal["outwards", "inwards"] = Field("outwards", description="around the oval, or in it")
    of: Name | None = Field(None, description="the name of the oval that is echoed; left out: every one")
    through_strips: bool = Field(False, description="go on between the lines of a strip")
    least_piece: PositiveLength = Field(
        "1/4 in", validate_default=True, description="shorter pieces are left out, and listed"
    )

    def lines(self, place: Place) -> Drawn:
        """Return the echoes."""
        raise NotImplementedError

    def predicted_lines(self, place: Place) -> int:
        """Return about how many lines it would draw in a place, without drawing."""
        raise NotImplementedError
