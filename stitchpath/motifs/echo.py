"""Echoes: true parallel curves around an oval, or in it."""

import math
from typing import Any, Literal

import shapely
from pydantic import Field
from shapely import Polygon

from stitchpath.errors import DesignError, LimitError
from stitchpath.geometry.curves import parallel
from stitchpath.limits import MOST_ECHOES
from stitchpath.lines import Role
from stitchpath.motifs.base import MotifBase
from stitchpath.motifs.names import Name
from stitchpath.motifs.place import Drawn, Place, Shape
from stitchpath.motifs.short import curved_lines
from stitchpath.motifs.sizes import LeastPiece, Spacing
from stitchpath.motifs.zones import container, holds, polygons_of
from stitchpath.units import length_field

__all__ = ["Echo"]


class Echo(MotifBase):
    """Lines that follow the ovals' outermost lines outwards, or their innermost ones inwards.

    Echoes of ovals that lie close to one another run together into one line around all of them.
    """

    motif: Literal["echo"] = "echo"
    spacing: Spacing = Field(description="from line to line")
    count: int | None = Field(
        None, ge=1, le=1000, description="how many; by default as many as there is room for"
    )
    direction: Literal["outwards", "inwards"] = Field("outwards", description="around the oval, or in it")
    of: Name | None = Field(None, description="the name of the oval that is echoed; by default every oval")
    through_strips: bool = Field(False, description="go on between the lines of a strip")
    least_piece: LeastPiece = length_field("1/4 in", description="shorter pieces are left out, and listed")

    @property
    def role(self) -> Role:
        """What its lines are."""
        return Role.ECHO

    def lines(self, place: Place) -> Drawn:
        """Return the echoes, one round after the other, and the cloth that they cover.

        Raises
        ------
        DesignError
            If no oval here has the name that it is to be of.
        LimitError
            If over `MOST_ECHOES` curves would come; before any is made.

        Examples
        --------
        >>> block = Place("row 1, column 1", (0, 0, 100, 100), (0, 0, 100, 100))
        >>> [note.message for note in Echo(spacing=5).lines(block).notes]
        ['echo yields no line in row 1, column 1']
        """
        self._check_budget(place)
        rounds = [drawn for group in self._groups(place) for drawn in self._rounds(group, place)]
        lines = tuple(line for drawn in rounds for line in drawn.lines)
        notes = tuple(note for drawn in rounds for note in drawn.notes)
        echoed = tuple(polygon for drawn in rounds for polygon in drawn.echoed)
        return Drawn(lines, notes=notes if lines else (*notes, self.no_line(place)), echoed=echoed)

    def predicted_lines(self, place: Place) -> int:
        """Return about how many curves it would draw in a place, without drawing."""
        return self._most_rounds(place) * len(place.shapes)

    def _most_rounds(self, place: Place) -> int:
        x0, y0, x1, y1 = place.room_mm
        room = math.hypot(x1 - x0, y1 - y0) / self.spacing
        most = math.ceil(room) if room < 10**12 else 10**12
        return most if self.count is None else min(self.count, most)

    def _check_budget(self, place: Place) -> None:
        count = self.predicted_lines(place)
        if count > MOST_ECHOES:
            raise LimitError(
                f"a spacing of {self.spacing:g} mm would draw about {count:,} echoes in "
                f"{place.name or 'the top'}, over the limit of {MOST_ECHOES:,}",
                "write a wider spacing, or fewer of them",
                key="spacing",
            )

    def _chosen(self, place: Place) -> tuple[Shape, ...]:
        chosen = tuple(shape for shape in place.shapes if self.of in {None, shape.name})
        if not chosen and self.of is not None:
            names = ", ".join(f'"{shape.name}"' for shape in place.shapes) or "none"
            raise DesignError(
                f'no oval in {place.name or "the top"} is called "{self.of}"',
                f"write the name of one of its ovals ({names}), or leave it out",
                key="of",
            )
        return chosen

    def _groups(self, place: Place) -> list[list[Shape]]:
        """Return the ovals whose echoes run together: inwards each alone, outwards all on one cloth."""
        chosen = self._chosen(place)
        if self.direction == "inwards":
            return [[shape] for shape in chosen if shape.core is not None]
        groups: dict[bytes, list[Shape]] = {}
        for shape in chosen:
            around = container(shape, place.shapes)
            groups.setdefault(around.wkb if around else b"", []).append(shape)
        return list(groups.values())

    def _rounds(self, group: list[Shape], place: Place) -> list[Drawn]:
        """Return a group's rounds, and what they cover."""
        cloth = self._cloth(group, place)
        rounds, last = [], None
        for number in range(1, self._most_rounds(place) + 1):
            region = self._region(group, number, place)
            curves = shapely.intersection(region.boundary, cloth)
            if region.is_empty or (self.direction == "outwards" and curves.is_empty):
                break
            part = f"round {number}"
            rounds.append(curved_lines(self, curves, place, part, least=self.least_piece))
            last = region
        return [*rounds, self._covered(cloth, last)]

    def _covered(self, cloth: Any, last: Any) -> Drawn:
        if last is None:
            return Drawn()
        covered = cloth.intersection(last) if self.direction == "outwards" else cloth.difference(last)
        return Drawn(echoed=polygons_of(covered))

    def _cloth(self, group: list[Shape], place: Place) -> Any:
        """Return where a group's echoes may run: clear of strips and other ovals."""
        outwards = self.direction == "outwards"
        around = container(group[0], place.shapes) or shapely.box(*place.room_mm)
        room = around if outwards else group[0].core or Polygon()
        stops = [shape.stop for shape in place.shapes if self._stops_at(shape, group)]
        strips = [] if self.through_strips else [p for strip in place.strips for p in strip.cloth]
        return room.difference(shapely.union_all([*stops, *strips]))

    def _stops_at(self, shape: Shape, group: list[Shape]) -> bool:
        if any(shape is one for one in group):
            return self.direction == "outwards"
        return not any(holds(shape, one) for one in group)

    def _region(self, group: list[Shape], number: int, place: Place) -> Any:
        """Return the polygon that a round is the edge of; empty where nothing is left."""
        off = number * self.spacing
        outwards = self.direction == "outwards"
        distances = [shape.stop_mm + off if outwards else shape.core_mm - off for shape in group]
        return shapely.union_all(
            [
                Polygon(parallel(shape.curve, distance, place.tolerance_mm))
                for shape, distance in zip(group, distances, strict=True)
            ]
        )
