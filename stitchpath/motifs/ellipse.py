"""An oval: around an appliqué, or quilted as it is."""

import re
from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator
from shapely import Polygon

from stitchpath.errors import DesignError
from stitchpath.geometry.curves import EllipseCurve as Curve
from stitchpath.geometry.curves import half_extent, parallel
from stitchpath.limits import LEAST_SIZE_MM, MOST_ACROSS_MM
from stitchpath.lines import KeepOut, Line, Role
from stitchpath.motifs.base import MotifBase
from stitchpath.motifs.names import Name
from stitchpath.motifs.place import Drawn, Place, Shape
from stitchpath.motifs.sizes import Angle, Clearance, Offset, Size, value_at
from stitchpath.units import LengthIn, format_length, shown

__all__ = ["Ellipse", "Ratio"]

_RATIO = re.compile(r"\s*([0-9]{1,4}(?:\.[0-9]{1,6})?)\s*:\s*([0-9]{1,4}(?:\.[0-9]{1,6})?)\s*", re.ASCII)

_LEAST_RATIO, _MOST_RATIO = 0.01, 100.0
"""Width over height; what is slimmer is a line, and its ends are sharper than any stitch. Chosen."""


def _ratio(value: object) -> float:
    if (
        isinstance(value, int | float)
        and not isinstance(value, bool)
        and _LEAST_RATIO <= value <= _MOST_RATIO
    ):
        return float(value)
    match = _RATIO.fullmatch(value) if isinstance(value, str) else None
    parts = (float(match[1]), float(match[2])) if match else (0.0, 0.0)
    if min(parts) <= 0 or not _LEAST_RATIO <= parts[0] / parts[1] <= _MOST_RATIO:
        raise ValueError(f'{shown(value)} is not a ratio; write height to width, such as "3:2" or 1.5')
    return parts[0] / parts[1]


Ratio = Annotated[
    float,
    Field(ge=_LEAST_RATIO, le=_MOST_RATIO),
    BeforeValidator(_ratio),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "number", "minimum": _LEAST_RATIO, "maximum": _MOST_RATIO},
                {"type": "string"},
            ],
            "description": '"3:2" or 1.5',
        }
    ),
]
"""A pydantic field type: height to width, 0.01 to 100."""


class Ellipse(MotifBase):
    """An oval.

    The height is upright and the width level while the tilt is 0. Around an appliqué (`applique`), its
    inside and outside outlines are sewn at their clearances, or one of them; otherwise the oval itself is
    quilted, and `nested` ones in it, which are true parallel curves at distances inwards.
    """

    motif: Literal["ellipse"] = "ellipse"
    height: Size | None = Field(None, description="from top to bottom, before it is tilted")
    width: Size | None = Field(None, description="from side to side, before it is tilted")
    ratio: Ratio | None = Field(None, description='height to width, such as "3:2", with one of the two')
    centre: tuple[Offset, Offset] = Field(
        (0.0, 0.0), description="how far right of and below the block's middle; minus: left, above"
    )
    tilt: Angle = Field(0.0, description="degrees clockwise")
    applique: bool = Field(False, description="it lies around an appliqué; otherwise it is quilted only")
    size_is: Literal["edge", "line"] | None = Field(
        None,
        description="the size is that of the appliqué's edge (the default), or of its outermost sewn line",
    )
    outlines: Literal["both", "inside", "outside"] | None = Field(
        None,
        description="which outlines of an appliqué are sewn; by default both, or the outside one if "
        "the whole appliqué is kept out of",
    )
    inside_clearance: Clearance | None = Field(
        None, description="from an appliqué's edge to its inside outline; by default the design's clearance"
    )
    outside_clearance: Clearance | None = Field(
        None, description="from an appliqué's edge to its outside outline; by default the design's clearance"
    )
    inside_thread: Name | None = Field(
        None, description="the thread of the inside outline; by default the motif's"
    )
    outside_thread: Name | None = Field(
        None, description="the thread of the outside outline; by default the motif's"
    )
    keep_out: Literal["edge", "whole"] | None = Field(
        None,
        description="where no stitch may go: the strip along the appliqué's edge between the "
        "clearances (the default), or the whole appliqué",
    )
    nested: tuple[Annotated[float, LengthIn(0.1, MOST_ACROSS_MM, "a distance inwards")], ...] = Field(
        (), max_length=200, description="further ovals at these distances inwards from a quilted one's line"
    )

    @model_validator(mode="after")
    def _fits_together(self) -> Self:
        given = [name for name in ("height", "width", "ratio") if getattr(self, name) is not None]
        if len(given) != 2:
            said = {0: "none is given", 3: "all three are given"}.get(
                len(given), f"only {''.join(given)} is given"
            )
            raise ValueError(
                f"of height, width and ratio {said}; write two of them, such as height and ratio"
            )
        self._check_applique()
        return self

    def _check_applique(self) -> None:
        only = (
            *("size_is", "outlines", "inside_clearance", "outside_clearance", "keep_out"),
            *("inside_thread", "outside_thread"),
        )
        said = next((name for name in only if getattr(self, name) is not None), None)
        if said and not self.applique:
            raise ValueError(f"{said} belongs to an appliqué; write applique = true, or leave it out")
        if self.nested and self.applique:
            raise ValueError("nested ovals belong to a quilted one; leave out nested, or applique")
        if self.keep_out == "whole" and self.outlines in {"both", "inside"}:
            raise ValueError(
                'no outline can be sewn inside an appliqué that is kept out of; write outlines = "outside"'
            )
        for side in ("inside", "outside") if self.applique else ():
            if side not in self._sewn and self._thread_of(side) is not None:
                raise ValueError(f"the {side} outline is not sewn; leave out {side}_thread")

    @property
    def role(self) -> Role:
        """What its lines are."""
        return Role.OUTLINE

    @property
    def named_threads(self) -> dict[str, str]:
        """The threads that it names, by their keys."""
        named = {f"{side}_thread": self._thread_of(side) for side in ("inside", "outside")}
        return super().named_threads | {key: name for key, name in named.items() if name is not None}

    def threads(self, place: Place) -> tuple[str, ...]:
        """Return the threads of the lines that it draws in a place."""
        own = super().threads(place)
        return tuple(self._thread_of(side) or own[0] for side in self._sewn) if self.applique else own

    def _thread_of(self, side: str) -> str | None:
        """Return the thread of one outline of an appliqué, if it names its own."""
        return self.inside_thread if side == "inside" else self.outside_thread

    def lines(self, place: Place) -> Drawn:
        """Return the oval's lines, its keep-out and its shape.

        Raises
        ------
        DesignError
            If it is larger than its block, a clearance or a distance swallows it, or a keep-out would lie
            on another oval's lines.

        Examples
        --------
        >>> block = Place("row 1, column 1", (0, 0, 100, 100), (0, 0, 100, 100))
        >>> [line.motif for line in Ellipse(height=60, ratio=1.5, applique=True).lines(block).lines]
        ['ellipse: outside outline', 'ellipse: inside outline']
        """
        curve = self.curve(place)
        self._check_room(curve, place)
        drawn = self._applique(curve, place) if self.applique else self._quilted(curve, place)
        self._check_overlap(drawn.shapes[0], place)
        return drawn

    def predicted_lines(self, place: Place) -> int:  # noqa: ARG002
        """Return how many lines it would draw in a place, without drawing."""
        return 2 if self.applique else 1 + len(self.nested)

    def curve(self, place: Place) -> Curve:
        """Return the oval that was typed, where it lies in a place."""
        height = None if self.height is None else value_at(self.height, place, key="height")
        width = None if self.width is None else value_at(self.width, place, key="width")
        ratio = self.ratio or 1.0
        height, width = height or (width or 0.0) * ratio, width or (height or 0.0) / ratio
        self._check_size(height, width)
        x, y = place.middle_mm
        tilt = value_at(self.tilt, place, key="tilt")
        return Curve((x + self.centre[0], y + self.centre[1]), (width / 2, height / 2), tilt)

    def _check_size(self, *sizes_mm: float) -> None:
        """Refuse what a ratio makes of a size that is one."""
        for size_mm in sizes_mm:
            if not LEAST_SIZE_MM <= size_mm <= MOST_ACROSS_MM:
                said = "narrow" if size_mm < LEAST_SIZE_MM else "large"
                raise DesignError(
                    f"the ratio makes the oval {size_mm:g} mm across, too {said} for one",
                    f"write a ratio nearer to 1, for {LEAST_SIZE_MM:g} mm to {MOST_ACROSS_MM:g} mm",
                    key="ratio",
                )

    @property
    def _size_key(self) -> str:
        return "width" if self.height is None else "height"

    @property
    def _sewn(self) -> tuple[str, ...]:
        """Which outlines of an appliqué are sewn."""
        chosen = self.outlines or ("outside" if self.keep_out == "whole" else "both")
        return ("outside", "inside") if chosen == "both" else (chosen,)

    def _offsets(self, place: Place) -> tuple[float, float, float]:
        """Return how far the outside outline, the edge and the inside one lie outside the typed oval."""
        outside = self.outside_clearance or place.clearance_mm
        inside = self.inside_clearance or place.clearance_mm
        edge = 0.0
        if self.size_is == "line":
            edge = -outside if "outside" in self._sewn else inside
        return edge + outside, edge, edge - inside

    def _check_room(self, curve: Curve, place: Place) -> None:
        outside, edge, _ = self._offsets(place) if self.applique else (0.0, 0.0, 0.0)
        reach = outside if not self.applique or "outside" in self._sewn else edge
        halves = [half_extent(curve, angle) + reach for angle in (0.0, 90.0)]
        x0, y0, x1, y1 = place.box_mm
        for word, half, low, high, at in zip(
            ("wide", "tall"), halves, (x0, y0), (x1, y1), curve.centre, strict=True
        ):
            if at - half < low - 1e-9 or at + half > high + 1e-9:
                fits = 2 * half <= high - low + 1e-9
                sizes = [format_length(size, place.unit) for size in (2 * half, high - low)]
                raise DesignError(
                    f"with its sewn lines the oval is {sizes[0]} {word}, its block {sizes[1]}"
                    + (", and its centre puts it over the edge" if fits else ""),
                    "move it towards the middle" if fits else "write a smaller oval",
                    key="centre" if fits else self._size_key,
                )

    def _applique(self, curve: Curve, place: Place) -> Drawn:
        outside, edge, inside = self._offsets(place)
        whole = self.keep_out == "whole"
        self._check_swallowed(curve, edge if whole else inside, place)
        at = {"outside": outside, "inside": inside}
        rings = {side: parallel(curve, off, place.tolerance_mm) for side, off in at.items()}
        stop = Polygon(rings["outside"])
        core = None if whole else Polygon(rings["inside"])
        keep_out = stop if whole else Polygon(rings["outside"], [rings["inside"]])
        return Drawn(
            tuple(
                self.line(rings[side], place, part=f"{side} outline", thread=self._thread_of(side))
                for side in self._sewn
            ),
            (KeepOut(keep_out, self.title, place.name),),
            (Shape(self.title, curve, stop, core, keep_out, outside, inside),),
        )

    def _check_swallowed(self, curve: Curve, innermost: float, place: Place) -> None:
        if min(curve.semi_axes) + innermost >= LEAST_SIZE_MM / 2:
            return
        given = "outside" if self.size_is == "line" and self.keep_out == "whole" else "inside"
        key = f"{given}_clearance"
        raise DesignError(
            f"the clearance swallows the oval, which is only {_across(curve, place)} across",
            "write a smaller clearance or a larger oval",
            key=key if getattr(self, key) else self._size_key,
        )

    def _quilted(self, curve: Curve, place: Place) -> Drawn:
        deepest = max(self.nested, default=0.0)
        if deepest > min(curve.semi_axes) - LEAST_SIZE_MM / 2:
            raise DesignError(
                f"nothing is left of the oval {format_length(deepest, place.unit)} inwards, which is only "
                f"{_across(curve, place)} across",
                "write smaller distances or a larger oval",
                key="nested",
            )
        lines = [self._oval(curve, 0.0, place, "oval")]
        lines += [self._oval(curve, -d, place, f"oval {n}") for n, d in enumerate(self.nested, start=2)]
        stop = Polygon(lines[0].points_mm)
        core = Polygon(parallel(curve, -deepest, place.tolerance_mm)) if deepest else stop
        return Drawn(tuple(lines), (), (Shape(self.title, curve, stop, core, None, 0.0, 0.0 - deepest),))

    def _oval(self, curve: Curve, distance: float, place: Place, part: str) -> Line:
        ring = parallel(curve, distance, place.tolerance_mm)
        return self.line(ring, place, part=part)

    def _check_overlap(self, shape: Shape, place: Place) -> None:
        other = next((s for s in place.shapes if _lies_on(shape, s) or _lies_on(s, shape)), None)
        if other is not None:
            raise DesignError(
                f'its lines and those of "{other.name}" run into the edge of an appliqué',
                "move one of them, or make one smaller",
                key="centre",
            )


def _across(curve: Curve, place: Place) -> str:
    return format_length(2 * min(curve.semi_axes), place.unit)


def _lies_on(shape: Shape, other: Shape) -> bool:
    """Tell whether a shape's keep-out lies on the other's lines, which all run between `core` and `stop`."""
    if shape.keep_out is None or not shape.keep_out.intersects(other.stop):
        return False
    ring = other.stop if other.core is None else other.stop.difference(other.core)
    return bool(
        shape.keep_out.intersection(ring).area > 0
        or shape.keep_out.intersection(other.stop.exterior).length > 0
    )
