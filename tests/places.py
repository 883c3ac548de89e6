"""Places to draw motifs in, and a drawer of motifs in their order."""

from collections.abc import Sequence
from typing import Any

from stitchpath.motifs import MOTIFS, Drawn, Place

BLOCK_MM = 254.0


def block(size: float = BLOCK_MM, **changes: Any) -> Place:
    """Return a square block bounded by its four seams, its corner at (100, 50)."""
    x0, y0, x1, y1 = 100.0, 50.0, 100.0 + size, 50.0 + size
    corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    seams = tuple(zip(corners, corners[1:] + corners[:1], strict=True))
    plain: dict[str, Any] = {
        "name": "row 2, column 3",
        "box_mm": (x0, y0, x1, y1),
        "room_mm": (x0, y0, x1, y1),
        "seams": seams,
        "row": 2,
        "column": 3,
        "rows": 5,
        "columns": 4,
        "thread": "grey",
    }
    return Place(**(plain | changes))


def drawn_in(place: Place, motifs: Sequence[Any]) -> tuple[Drawn, Place]:
    """Draw motifs in their order; return all that was drawn, and the place after it."""
    parts = []
    for kind in MOTIFS:
        for motif in motifs:
            if type(motif) is kind:
                parts.append(motif.lines(place))
                place = place.after(parts[-1])
    fields = ("lines", "keep_outs", "shapes", "strips", "echoed", "notes", "short")
    return Drawn(**{f: tuple(x for part in parts for x in getattr(part, f)) for f in fields}), place
