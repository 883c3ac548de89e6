"""Stitching in the ditch: every seam of the top."""

from typing import Literal

from stitchpath.lines import Role
from stitchpath.motifs.base import MotifBase
from stitchpath.motifs.place import Drawn, Place

__all__ = ["Ditch"]


class Ditch(MotifBase):
    """Every seam of the place (the whole top, as a rule), stitched in the ditch."""

    motif: Literal["ditch"] = "ditch"

    @property
    def role(self) -> Role:
        """What its lines are."""
        return Role.DITCH

    def lines(self, place: Place) -> Drawn:
        """Return a line for each of the place's seams.

        Examples
        --------
        >>> Ditch().lines(Place("", (0, 0, 9, 9), (0, 0, 9, 9))).notes[0].message
        'ditch yields no line in the top'
        """
        lines = tuple(self.line(seam, place) for seam in place.seams)
        return Drawn(lines=lines, notes=() if lines else (self.no_line(place),))

    def predicted_lines(self, place: Place) -> int:
        """Return how many lines it would draw in a place, without drawing."""
        return len(place.seams)
