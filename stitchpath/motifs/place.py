"""Where a motif is drawn (a place), and what it hands back (what was drawn)."""

from dataclasses import dataclass, field, replace

from shapely import Polygon

from stitchpath.errors import Finding
from stitchpath.geometry.curves import EllipseCurve
from stitchpath.lines import KeepOut, Line
from stitchpath.units import Unit

__all__ = ["Drawn", "Place", "Shape", "ShortPiece", "Straight", "StripDrawn"]

Straight = tuple[tuple[float, float], tuple[float, float]]
"""A straight piece: its two ends, in millimetres."""


@dataclass(frozen=True)
class Shape:
    """A shape drawn in a place, as later motifs need it.

    Attributes
    ----------
    name
        The motif's name in the design.
    curve
        The ellipse that was typed (of the appliqué's edge, or of the outermost sewn line).
    stop
        What a line from outside stops at: the polygon inside the outside outline (or the keep-out's outer
        edge, or the outermost oval). It holds the keep-out.
    core
        What a line inside stays in: the polygon inside the inside outline (or inside the innermost oval);
        None where nothing inside may be sewn.
    keep_out
        The keep-out, or None.
    stop_mm, core_mm
        How far `stop` and `core` lie outside the curve (inside it: below zero).
    """

    name: str
    curve: EllipseCurve
    stop: Polygon
    core: Polygon | None
    keep_out: Polygon | None
    stop_mm: float = 0.0
    core_mm: float = 0.0


@dataclass(frozen=True)
class StripDrawn:
    """A strip drawn in a place, as later motifs need it.

    Attributes
    ----------
    sides
        Its two whole lines, each across the room; the second lies clockwise of the first.
    sewn
        The pieces of them that are sewn.
    cloth
        The cloth between the lines, where they are sewn.
    """

    sides: tuple[Straight, Straight]
    sewn: tuple[Straight, ...]
    cloth: tuple[Polygon, ...]


@dataclass(frozen=True)
class Place:
    """A block (or a piece of sashing or border) on the top, ready to be drawn in.

    Attributes
    ----------
    name
        ``"row 2, column 3"``, ``"top border"``, ...
    box_mm
        The finished outline: x0, y0, x1, y1.
    room_mm
        Where fill and strips may run: the box, drawn out to the edge line on the quilt's outer sides.
    seams
        Every seam that bounds or crosses it.
    row, column, rows, columns
        Where it stands among the blocks, counted from 1; 0 for sashing and borders.
    thread
        The thread of its lines unless a motif names another.
    clearance_mm, tolerance_mm
        The default clearance and the chord tolerance.
    top_middle_mm
        The middle of the whole top, for spacing that carries on over blocks.
    unit
        In which unit to tell people lengths.
    shapes, strips
        What was drawn here so far.
    echoed
        Cloth that echoes cover already: fills stop at its edge.
    """

    name: str
    box_mm: tuple[float, float, float, float]
    room_mm: tuple[float, float, float, float]
    seams: tuple[Straight, ...] = ()
    row: int = 0
    column: int = 0
    rows: int = 0
    columns: int = 0
    thread: str = ""
    clearance_mm: float = 3.175
    tolerance_mm: float = 0.02
    top_middle_mm: tuple[float, float] = (0.0, 0.0)
    unit: Unit = "mm"
    shapes: tuple[Shape, ...] = ()
    strips: tuple[StripDrawn, ...] = ()
    echoed: tuple[Polygon, ...] = ()

    @property
    def middle_mm(self) -> tuple[float, float]:
        """The middle of the finished outline."""
        x0, y0, x1, y1 = self.box_mm
        return (x0 + x1) / 2, (y0 + y1) / 2

    def after(self, drawn: "Drawn") -> "Place":
        """Return the place with what was drawn added."""
        return replace(
            self,
            shapes=self.shapes + drawn.shapes,
            strips=self.strips + drawn.strips,
            echoed=self.echoed + drawn.echoed,
        )


@dataclass(frozen=True)
class ShortPiece:
    """A piece too short to be sewn by itself, which may go on in the places around.

    Attributes
    ----------
    line
        The piece.
    least_mm
        How long it must be, with all that goes on from it.
    note
        What to say if it is left out.
    """

    line: Line
    least_mm: float
    note: Finding


@dataclass(frozen=True)
class Drawn:
    """What a motif hands back: lines and keep-outs, what later motifs must know, and what to say.

    Whether its short pieces are sewn is settled when all places are drawn (`stitchpath.motifs.carried_on`).
    """

    lines: tuple[Line, ...] = ()
    keep_outs: tuple[KeepOut, ...] = ()
    shapes: tuple[Shape, ...] = ()
    strips: tuple[StripDrawn, ...] = ()
    echoed: tuple[Polygon, ...] = ()
    notes: tuple[Finding, ...] = field(default=())
    short: tuple[ShortPiece, ...] = ()
