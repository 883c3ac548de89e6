"""Basting: one line around the top, in the binding allowance."""

from typing import Literal

from stitchpath.lines import Role
from stitchpath.motifs.base import MotifBase
from stitchpath.motifs.place import Drawn, Place

__all__ = ["Basting"]


class Basting(MotifBase):
    """The edge line: once around the room of the place (the whole top, as a rule)."""

    motif: Literal["basting"] = "basting"

    @property
    def role(self) -> Role:
        """What its lines are."""
        return Role.BASTE

    def lines(self, place: Place) -> Drawn:
        """Return the edge line, closed, clockwise from the upper left corner.

        Examples
        --------
        >>> Basting().lines(Place("", (0, 0, 9, 9), (-3, -3, 12, 12))).lines[0].length_mm
        60.0
        """
        x0, y0, x1, y1 = place.room_mm
        round_mm = ((x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0))
        return Drawn(lines=(self.line(round_mm, place),))

    def predicted_lines(self, place: Place) -> int:  # noqa: ARG002
        """Return how many lines it would draw in a place, without drawing."""
        return 1
