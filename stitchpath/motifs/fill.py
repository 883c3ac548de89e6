"""A fill: parallel background lines that stop at a shape and go on behind it."""

from dataclasses import replace
from typing import Annotated, Literal, Self

import numpy as np
import shapely
from pydantic import Field, model_validator

from stitchpath.errors import DesignError, Finding, LimitError
from stitchpath.geometry.clip import (
    Floats,
    Pieces,
    clipped,
    even_offsets,
    extent,
    frame,
    offset_count,
    offsets,
)
from stitchpath.limits import MOST_ACROSS_MM, MOST_FILL_LINES
from stitchpath.lines import COVERED_MM, Role
from stitchpath.motifs.base import MotifBase
from stitchpath.motifs.beside import level_seams, too_near
from stitchpath.motifs.place import Drawn, Place
from stitchpath.motifs.short import straight_lines
from stitchpath.motifs.sizes import AngleOrEdge, LeastPiece, Spacing, value_at
from stitchpath.motifs.zones import Zone, inside_zone, outside_zone, width_of
from stitchpath.units import LengthIn, format_length, length_field

__all__ = ["Fill"]

_DEFAULT_ANGLE_DEG = 45.0
"""On the bias: common practice, no source."""


class Fill(MotifBase):
    """Parallel lines, clipped by ovals, strips and keep-outs, and going on behind them."""

    motif: Literal["fill"] = "fill"
    spacing: Spacing = Field(description="from line to line")
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
    least_room: Annotated[float, LengthIn(0.01, MOST_ACROSS_MM, "a least room")] = length_field(
        "1 in", description="inside, rooms narrower than this are left empty"
    )
    even: bool = Field(
        False, description="divide the room evenly, at the even spacing nearest to the one asked for"
    )
    through_strips: bool = Field(False, description="go on between the lines of a strip")
    least_gap: Annotated[float, LengthIn(0, MOST_ACROSS_MM, "a least gap")] = length_field(
        "1/4 in", description="lines nearer to a parallel seam or strip line are left out"
    )
    least_piece: LeastPiece = length_field(
        "1/4 in",
        description="shorter pieces are left out, and listed; lines that carry on over blocks count whole",
    )

    @model_validator(mode="after")
    def _fits_together(self) -> Self:
        if self.even and self.counted_from == "top":
            raise ValueError(
                "an even spacing divides each room by itself and cannot carry on over the whole top; "
                'leave out even, or write counted_from = "middle"'
            )
        return self

    @property
    def role(self) -> Role:
        """What its lines are."""
        return Role.FILL

    def lines(self, place: Place) -> Drawn:
        """Return the fill's lines, by offset and then along each.

        Raises
        ------
        DesignError
            If it is counted from a strip that is not there or not parallel.
        LimitError
            If over `MOST_FILL_LINES` lines would come; before any is made.

        Examples
        --------
        >>> block = Place("row 1, column 1", (0, 0, 100, 100), (0, 0, 100, 100))
        >>> [line.points_mm[0].tolist() for line in Fill(spacing=30, angle=0).lines(block).lines]
        [[0.0, 20.0], [0.0, 50.0], [0.0, 80.0]]
        >>> [note.message for note in Fill(spacing=30, where="inside").lines(block).notes]
        ['fill yields no line in row 1, column 1']
        """
        self._check_budget(place)
        angle = self._angle(place)
        zones, notes = self._zones(place)
        drawn = [self._in_zone(zone, angle, place) for zone in zones]
        lines = tuple(line for part in drawn for line in part.lines)
        notes += tuple(note for part in drawn for note in part.notes)
        short = tuple(piece for part in drawn for piece in part.short)
        return Drawn(lines, notes=notes if lines or short else (*notes, self.no_line(place)), short=short)

    def predicted_lines(self, place: Place) -> int:
        """Return about how many lines it would draw in a place, without drawing."""
        across = offset_count(extent(place.room_mm, self._angle(place)), self.spacing)
        return across * (1 + len(place.shapes))

    def _check_budget(self, place: Place) -> None:
        count, where = self.predicted_lines(place), place.name or "the top"
        if count > MOST_FILL_LINES:
            raise LimitError(
                f"a spacing of {self.spacing:g} mm would draw about {count:,} lines in {where}, over the "
                f"limit of {MOST_FILL_LINES:,}",
                "write a wider spacing",
                key="spacing",
            )

    def _angle(self, place: Place) -> float:
        if self.angle is None:
            return self._strip_angle(place) if self.counted_from == "strip" else _DEFAULT_ANGLE_DEG
        if not isinstance(self.angle, str):
            return value_at(self.angle, place, key="angle")
        x0, y0, x1, y1 = place.box_mm
        along = 0.0 if x1 - x0 >= y1 - y0 else 90.0
        return along if self.angle == "along the edge" else along + 90.0

    def _strip_angle(self, place: Place) -> float:
        if not place.strips:
            return _DEFAULT_ANGLE_DEG
        (x0, y0), (x1, y1) = place.strips[0].sides[0]
        return float(np.degrees(np.arctan2(y1 - y0, x1 - x0)))

    def _zones(self, place: Place) -> tuple[list[Zone], tuple[Finding, ...]]:
        strips = () if self.through_strips else tuple(p for strip in place.strips for p in strip.cloth)
        taken = (*strips, *place.echoed)
        zones: list[Zone] = []
        notes: tuple[Finding, ...] = ()
        if self.where != "inside":
            zone = outside_zone(place)
            zones.append(Zone(zone.part, zone.within, zone.without + taken))
        if self.where != "outside":
            zone = inside_zone(place, taken)
            width = {room: width_of(room) for room in zone.within}
            wide = tuple(room for room in zone.within if width[room] >= self.least_room)
            narrow = [room for room in zone.within if width[room] < self.least_room]
            notes = tuple(self._left_empty(room, width[room], place) for room in narrow)
            zones.append(Zone(zone.part, wide, zone.without))
        return zones, notes

    def _left_empty(self, room: shapely.Polygon, width: float, place: Place) -> Finding:
        sizes = [format_length(size, place.unit) for size in (width, self.least_room)]
        middle = room.representative_point()
        return Finding(
            "left out",
            f"{self.title}: a room {sizes[0]} wide is left empty in {place.name or 'the top'}, narrower than "
            f"{sizes[1]}",
            (float(middle.x), float(middle.y)),
        )

    def _in_zone(self, zone: Zone, angle: float, place: Place) -> Drawn:
        if not zone.within:
            return Drawn()
        at = self._offsets(zone, angle, place)
        pieces = clipped(at, angle, within=zone.within, without=zone.without)
        near = too_near(pieces, level_seams(place, angle), least_gap=self.least_gap)
        whole_top = self.counted_from == "top"
        drawn = straight_lines(self, pieces.where(~near), place, least=self.least_piece, goes_on=whole_top)
        return replace(drawn, notes=drawn.notes + self._near_notes(pieces.where(near), place))

    def _near_notes(self, pieces: Pieces, place: Place) -> tuple[Finding, ...]:
        limit = format_length(self.least_gap, place.unit)
        where = place.name or "the top"
        message = (
            f"{self.title}: a line is left out in {where}, nearer than {limit} to a parallel seam or line"
        )
        return tuple(
            Finding("left out", message, (float(x), float(y))) for x, y in pieces.ends_mm.mean(axis=1)
        )

    def _offsets(self, zone: Zone, angle: float, place: Place) -> Floats:
        """Return the offsets of its lines that may meet a zone, rising."""
        finished, reach = extent(place.box_mm, angle), extent(place.room_mm, angle)
        if self.where == "inside":
            across = frame(shapely.get_coordinates(zone.within), angle)[:, 1]
            finished = float(across.min()), float(across.max())
        if self.counted_from == "strip":
            return self._from_strip(finished, reach, angle, place)
        if self.even:
            return even_offsets(finished, spacing=self.spacing)
        return offsets(reach, spacing=self.spacing, start=self._start(angle, place))

    def _start(self, angle: float, place: Place) -> float:
        middle = float(frame([place.middle_mm], angle)[0, 1])
        if self.counted_from == "top":
            return float(frame([place.top_middle_mm], angle)[0, 1])
        if self.counted_from != "seam":
            return middle
        seams = [seam.offset for seam in level_seams(place, angle, edges=False)]
        corner = float(frame([place.box_mm[:2]], angle)[0, 1])
        return min(seams, key=lambda offset: (abs(offset - middle), offset), default=corner)

    def _from_strip(
        self, finished: tuple[float, float], reach: tuple[float, float], angle: float, place: Place
    ) -> Floats:
        """Return offsets counted outwards from a strip's lines on either side, and between them."""
        low, high = self._strip_sides(angle, place)
        if self.even:
            rooms = [(finished[0], low), (low, high), (high, finished[1])]
            return np.concatenate(
                [even_offsets(room, spacing=self.spacing) for room in rooms if room[0] < room[1]]
            )
        start, stop = reach
        return np.concatenate(
            [
                offsets((start, min(low, stop)), spacing=self.spacing, start=low),
                offsets((max(low, start), min(high, stop)), spacing=self.spacing, start=low),
                offsets((max(high, start), stop), spacing=self.spacing, start=high),
            ]
        )

    def _strip_sides(self, angle: float, place: Place) -> tuple[float, float]:
        if not place.strips:
            raise DesignError(
                f"no strip is sewn in {place.name or 'the top'}, from which to count",
                'add a strip, or write "middle", "top" or "seam"',
                key="counted_from",
            )
        sides = [frame(side, angle)[:, 1] for side in place.strips[0].sides]
        if max(float(np.ptp(side)) for side in sides) > COVERED_MM:
            raise DesignError(
                "the strip from which it is counted is not parallel to its lines",
                "leave out the angle, or count from something else",
                key="counted_from",
            )
        low, high = sorted(float(side.mean()) for side in sides)
        return low, high
