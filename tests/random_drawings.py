"""Drawings made from lines, drawn by lot: what lines by hand would never be, and lines from programs are.

Segments, polylines, rings and arcs that share points, end on each other, overlap, touch, cross at a hair's
angle, or run 1e-6 to 0.2 mm beside each other; hidden seams anywhere, through keep-outs too, and keep-outs.
"""

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from random_motifs import NEAR_MM, Lot
from shapely import LineString, Polygon

from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings

__all__ = ["drawing_text", "random_drawing"]

Points = NDArray[np.float64]

_LEAST_MM = 0.5
"""Shorter pieces are left out where a keep-out cuts a line."""


def random_drawing(number: int) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return what `Drawing.from_lines` and `make_plan` take, of a number."""
    lot = Lot(f"drawing {number}")
    size = lot.pick(8.0, 100.0, 200.0, 200.0, 200.0, 4000.0)
    keep_outs = [_keep_out(lot, size) for _ in range(lot.pick(0, 1, 1, 2, 3))]
    drawn: list[Points] = []
    for _ in range(lot.pick(2, 4, 8, 8, 12, 20)):
        drawn.append(_one(lot, size, drawn))
    hidden = []
    for _ in range(lot.pick(0, 1, 2, 4, 6)):
        hidden.append(_one(lot, size, [*drawn, *hidden]))
    lines, seams = (
        [line for line in map(LineString, chains) if line.length > 0] for chains in (drawn, hidden)
    )
    lines += [LineString(shape.exterior.coords) for shape in keep_outs if lot.chance(0.3)]
    lines = _cut(lines, keep_outs, gap=lot.pick(0.0, 0.0, size / 100))
    said: dict[str, Any] = {"lines": lines, "hidden": seams, "keep_outs": keep_outs}
    if lot.chance(0.5):
        roles = lot.pick(("fill", "outline"), ("ditch", "strip", "fill"), ("baste", "ditch", "echo", "drawn"))
        said["roles"] = [lot.pick(*roles) for _ in lines]
    if lot.chance(0.2):
        said["threads"] = [lot.pick("red", "blue") for _ in lines]
    return said, _settings(lot, size)


LEAST_REACH_MM = 25.0
"""A frame that reaches less is refused."""


def _settings(lot: Lot, size: float) -> dict[str, Any]:
    """Return the settings of a plan: mostly none."""
    said: dict[str, Any] = {}
    if lot.chance(0.3):
        reach = max(size * lot.between(0.4, 1.2), LEAST_REACH_MM)
        last = lot.maybe(0.4, last_reach=max(reach * lot.between(0.6, 1.0), LEAST_REACH_MM))
        said["machine"] = MachineSettings(reach=reach, sideways=lot.chance(0.3), **last)
    if lot.chance(0.3):
        laps = lot.pick("free", "always")
        said["schedule"] = ScheduleSettings(stages=lot.pick("default", "all in one"), laps=laps)
    if lot.chance(0.3):
        said["cost"] = CostSettings(
            open_ends=lot.chance(0.5), hidden_seams=lot.chance(0.7), path_cost_s=lot.pick(None, 0.5, 300.0)
        )
    return said


def _cut(lines: list[LineString], keep_outs: list[Polygon], *, gap: float) -> list[LineString]:
    """Return the lines without what runs into keep-outs."""
    if not keep_outs:
        return lines
    wide = [shapely.buffer(shape, gap, join_style="mitre") for shape in keep_outs] if gap else keep_outs
    around = shapely.union_all(wide)
    parts = [shapely.get_parts(shapely.difference(line, around)) for line in lines]
    edges = [
        line for line in lines if any(line.equals(LineString(shape.exterior.coords)) for shape in keep_outs)
    ]
    kept = [
        part for part in np.concatenate(parts) if part.geom_type == "LineString" and part.length > _LEAST_MM
    ]
    return kept + [edge for edge in edges if not shapely.union_all(keep_outs).buffer(-0.001).intersects(edge)]


def _keep_out(lot: Lot, size: float) -> Polygon:
    """Return a keep-out: a box, a triangle, a round or a ring."""
    middle, half = _place(lot, size), size * lot.pick(0.02, 0.1, 0.15)
    way = lot.pick("box", "triangle", "round", "ring")
    if way == "box":
        return shapely.box(*(middle - half), *(middle + half * np.array([1.0, lot.between(0.2, 1.0)])))
    if way == "triangle":
        return Polygon(middle + half * np.array([(-1, -0.7), (1, -0.5), (lot.between(-0.5, 0.5), 1)]))
    inner = [_round(middle, half * lot.between(0.5, 0.95))] if way == "ring" else []
    return Polygon(_round(middle, half), inner)


def _one(lot: Lot, size: float, drawn: list[Points]) -> Points:
    """Return a line by itself, or one that has to do with one drawn before."""
    if not drawn or lot.chance(0.4):
        return _free(lot, size)
    other = lot.pick(*drawn)
    at = int(lot.between(0, len(other) - 1))
    p, q = other[at], other[at + 1]
    along = (q - p) / max(float(np.hypot(*(q - p))), 1e-9)
    across = np.array([-along[1], along[0]])
    near = lot.pick(0.0, *NEAR_MM)
    way = lot.pick("shared", "tee", "overlap", "beside", "shallow", "tangent", "short", "again")
    if way == "shared":
        return np.array([p, _place(lot, size)])
    if way == "tee":
        return np.array([p + lot.between(0.1, 0.9) * (q - p), _place(lot, size), _place(lot, size)])
    if way == "overlap":
        first, last = lot.between(-0.3, 0.5), lot.between(0.6, 1.3)
        return np.array([p + first * (q - p), p + last * (q - p)])[:: lot.pick(1, -1)]
    if way == "beside":
        return other + near * across
    if way == "shallow":
        off = lot.pick(*NEAR_MM) * across
        return np.array([p - 0.1 * (q - p) + off, q + 0.1 * (q - p) - off])
    if way == "tangent":
        radius = size * lot.pick(0.02, 0.1, 0.2)
        return _round((p + q) / 2 + (radius + near) * across, radius)
    if way == "short":
        return np.array([(p + q) / 2 + near * across, (p + q) / 2 + size * lot.between(0.05, 0.3) * across])
    return other[:: lot.pick(1, -1)].copy()


def _free(lot: Lot, size: float) -> Points:
    """Return a segment, a polyline, a ring of corners, a round or an arc."""
    way = lot.pick("segment", "segment", "level", "polyline", "ring", "round", "arc")
    if way == "level":
        p = _place(lot, size)
        return np.array([p, p + lot.between(0.1, 0.6) * size * np.array(lot.pick((1, 0), (0, 1)))])
    if way in ("round", "arc"):
        points = _round(_place(lot, size), size * lot.between(0.03, 0.3), parts=lot.pick(3, 12))
        return points if way == "round" else points[: len(points) * lot.pick(1, 2, 3) // 4 + 1]
    points = np.array([_place(lot, size) for _ in range(2 if way == "segment" else lot.pick(3, 4, 5))])
    return np.concatenate([points, points[:1]]) if way == "ring" else points


def _place(lot: Lot, size: float) -> Points:
    """Return a place: of a grid, or anywhere."""
    if lot.chance(0.5):
        return np.array([lot.pick(0, 1, 2, 3, 4), lot.pick(0, 1, 2, 3, 4)]) * size / 4
    return np.array([lot.between(0, size), lot.between(0, size)])


def _round(middle: Points, radius: float, parts: int = 8) -> Points:
    """Return a round as a closed polygon; without sines, so that it is the same everywhere."""
    t = np.linspace(0, 1, parts, endpoint=False)
    x, y = (1 - t * t) / (1 + t * t), 2 * t / (1 + t * t)
    quarters = [(x, y), (-y, x), (-x, -y), (y, -x)]
    points = np.concatenate([np.column_stack(quarter) for quarter in quarters])
    return np.concatenate([points, points[:1]]) * radius + middle


def drawing_text(number: int) -> str:
    """Return a program that makes the drawing of a number and plans it."""
    drawn, settings = random_drawing(number)
    said = {key: [shape.wkt for shape in drawn[key]] for key in ("lines", "hidden", "keep_outs")}
    given = [f"    {key}=[shapely.from_wkt(text) for text in {texts}]," for key, texts in said.items()]
    given += [f"    {key}={drawn[key]}," for key in ("roles", "threads") if key in drawn]
    how = "".join(
        f", {key}=settings.{type(value).__name__}(**{value.model_dump(exclude_unset=True)})"
        for key, value in settings.items()
    )
    return "\n".join([
        "import shapely", "import stitchpath", "from stitchpath import settings", "",
        "drawing = stitchpath.Drawing.from_lines(", *given, ")",
        f'plan = stitchpath.make_plan(drawing, effort="quick"{how})',
        "print(*stitchpath.check_plan(plan, drawing), sep='\\n')", "",
    ])  # fmt: skip
