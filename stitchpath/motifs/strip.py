"""A strip: two straight lines side by side through a block."""

from typing import Literal

import numpy as np
import shapely
from pydantic import Field
from shapely import Polygon

from stitchpath.errors import DesignError
from stitchpath.geometry.clip import Floats, Pieces, clipped, direction, frame
from stitchpath.geometry.curves import half_extent
from stitchpath.lines import Role
from stitchpath.motifs.base import MotifBase
from stitchpath.motifs.place import Drawn, Place, Straight, StripDrawn
from stitchpath.motifs.short import straight_lines
from stitchpath.motifs.sizes import Angle, LeastPiece, Offset, Size, value_at
from stitchpath.motifs.zones import Zone, inside_zone, outside_zone, polygons_of
from stitchpath.units import format_length, length_field

__all__ = ["Strip"]


class Strip(MotifBase):
    """Two straight lines: inside the oval, outside it, or both, going on behind it."""

    motif: Literal["strip"] = "strip"
    width: Size = Field(description="from line to line")
    angle: Angle = Field(0.0, description="degrees clockwise from level: 0 lies, 90 stands")
    offset: Offset = length_field(
        0,
        description="how far the strip's middle lies from the block's, below a level strip (left of an "
        "upright one); minus: above",
    )
    where: Literal["inside", "outside", "both"] = Field(
        "both", description="inside the oval, outside it, or both"
    )
    pieced: bool = Field(
        False, description="its lines lie in the seams of a pieced strip and are stitched in the ditch"
    )
    least_piece: LeastPiece = length_field("1/4 in", description="shorter pieces are left out, and listed")

    @property
    def role(self) -> Role:
        """What its lines are."""
        return Role.DITCH if self.pieced else Role.STRIP

    def lines(self, place: Place) -> Drawn:
        """Return the strip's lines, outside first.

        Raises
        ------
        DesignError
            If it is wider than its oval.

        Examples
        --------
        >>> block = Place("row 1, column 1", (0, 0, 100, 100), (0, 0, 100, 100))
        >>> [line.points_mm.tolist() for line in Strip(width=20).lines(block).lines]
        [[[0.0, 40.0], [100.0, 40.0]], [[0.0, 60.0], [100.0, 60.0]]]
        """
        width, angle = value_at(self.width, place, key="width"), value_at(self.angle, place, key="angle")
        self._check_width(width, angle, place)
        middle = float(frame([place.middle_mm], angle)[0, 1]) + self.offset
        at = np.array([middle - width / 2, middle + width / 2])
        drawn = [
            straight_lines(self, pieces, place, part, least=self.least_piece)
            for part, pieces in self._pieces(at, angle, place)
        ]
        lines = tuple(line for part in drawn for line in part.lines)
        notes = tuple(note for part in drawn for note in part.notes)
        if not lines:
            return Drawn(notes=(*notes, self.no_line(place)))
        sides = _across_room(at, angle, place)
        sewn = tuple(_straight(line.points_mm) for line in lines)
        return Drawn(lines, notes=notes, strips=(StripDrawn(sides, sewn, self._cloth(sides, place)),))

    def predicted_lines(self, place: Place) -> int:
        """Return how many lines it would draw in a place at most, without drawing."""
        return 2 * (1 + 2 * len(place.shapes))

    def _check_width(self, width: float, angle: float, place: Place) -> None:
        widest = max((2 * half_extent(shape.curve, angle + 90) for shape in place.shapes), default=width + 1)
        if width >= widest:
            raise DesignError(
                f"the strip is {format_length(width, place.unit)} wide, its oval only "
                f"{format_length(widest, place.unit)} across",
                "write a narrower strip",
                key="width",
            )

    def _zones(self, place: Place) -> list[Zone]:
        zones = (outside_zone(place), inside_zone(place))
        return [zone for zone in zones if self.where in {zone.part, "both"}]

    def _pieces(self, at: Floats, angle: float, place: Place) -> list[tuple[str, Pieces]]:
        return [
            (zone.part, clipped(at, angle, within=zone.within, without=zone.without))
            for zone in self._zones(place)
        ]

    def _cloth(self, sides: tuple[Straight, Straight], place: Place) -> tuple[Polygon, ...]:
        between = Polygon([*sides[0], *sides[1][::-1]])
        left = [
            between.intersection(shapely.union_all(zone.within)).difference(shapely.union_all(zone.without))
            for zone in self._zones(place)
        ]
        return polygons_of(left)


def _across_room(offset_mm: Floats, angle: float, place: Place) -> tuple[Straight, Straight]:
    """Return lines at two offsets from end to end of the place's room."""
    x0, y0, x1, y1 = place.room_mm
    along = frame([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], angle)[:, 0]
    (cos, sin), ends = direction(angle), (float(along.min()), float(along.max()))
    first, second = (
        _straight(np.array([(u * cos - v * sin, u * sin + v * cos) for u in ends])) for v in offset_mm
    )
    return first, second


def _straight(points: Floats) -> Straight:
    first, last = points.tolist()
    return (first[0], first[1]), (last[0], last[1])
