"""Plans laid by hand for the tests of files and formats."""

import numpy as np
import shapely

from stitchpath.drawing import Drawing
from stitchpath.errors import Finding
from stitchpath.lines import KeepOut, Line, Role, Thread
from stitchpath.plan import Laps, Move, Plan, RoutedJob, Span, StitchPath

BLOCK_MM = 254.0
FILL_MM = 12.7


def orchard(*, rows=2, columns=2, name="Winter Orchard"):
    """A top of blocks with a pear in each, seams sewn first, then each block in two paths."""
    box = shapely.box(0, 0, columns * BLOCK_MM, rows * BLOCK_MM)
    drawn, hidden, keep_outs, paths = [], [], [], []

    def sew(points, role, block="", *, travel=(), stage="detail"):
        drawn.append(Line(points, role, "cream", role.value, block))
        line = len(drawn)
        spans = [Span(Move.SEW, 0, len(points) - 1, line, stage)]
        if len(travel):
            spans.append(Span(Move.TRAVEL, len(points) - 1, len(points) + len(travel) - 2, None, stage))
        return np.vstack([points, travel[1:]]) if len(travel) else np.asarray(points), spans

    for column in range(1, columns):
        x = column * BLOCK_MM
        points, spans = sew([(x, y * BLOCK_MM) for y in range(rows + 1)], Role.DITCH, stage="seams")
        paths.append(StitchPath(points, spans, "cream"))
    ends = np.array([(0, 0), (columns * BLOCK_MM, 0)])
    hidden.extend(Line(ends + np.array([0, row * BLOCK_MM]), Role.HIDDEN) for row in range(1, rows))
    for row in range(rows):
        for column in range(columns):
            block = f"row {row + 1}, column {column + 1}"
            middle = np.array([column + 0.5, row + 0.5]) * BLOCK_MM
            pear = oval(middle, 60.0 + 8 * row, 90.0, 0.3 if column % 2 else -0.3)
            points, spans = sew(pear, Role.OUTLINE, block)
            paths.append(StitchPath(points, spans, "cream"))
            keep_outs.append(
                KeepOut(
                    shapely.Polygon(pear).buffer(-3).difference(shapely.Polygon(pear).buffer(-8)),
                    "pear",
                    block,
                )
            )
            paths.append(serpentine(sew, middle, shapely.Polygon(pear), block))
    return Plan(
        Drawing(
            tuple(drawn), tuple(hidden), tuple(keep_outs), box, (Thread("cream", 27.0),),
            (Finding("short", "a piece of fill under 1/4 in was left out", (3.0, 4.5)),), name, "ab" * 32,
        ),
        tuple(StitchPath(p.coordinates_mm, tuple(p.spans), p.thread) for p in paths),
        (RoutedJob(1, "seams", 60.0, 60.0, 60.0, columns - 1, False, 0.25),
         RoutedJob(1, "detail", 480.5, 470.25, 60.0, 2 * rows * columns, True, 0.25)),
        530.25, seed=3, laps=Laps(4, 3), notes=("laid by hand",),
    )  # fmt: skip


def oval(middle, a, b, tilt, count=72):
    around = np.linspace(0, 2 * np.pi, count + 1)
    x, y = a * np.cos(around), b * np.sin(around)
    turned = np.column_stack([x * np.cos(tilt) - y * np.sin(tilt), x * np.sin(tilt) + y * np.cos(tilt)])
    points = middle + turned
    points[-1] = points[0]
    return points


def serpentine(sew, middle, pear, block):
    """Lines across a block, outside the pear on its left side, joined by travel along the left seam."""
    x0, y0 = middle - BLOCK_MM / 2
    pieces, spans, count = [np.empty((0, 2))], [], 0
    levels = np.arange(y0 + FILL_MM, y0 + BLOCK_MM - 1, FILL_MM)
    for index, y in enumerate(levels):
        across = shapely.LineString([(x0, y), (x0 + BLOCK_MM, y)]).difference(pear)
        inner = shapely.get_coordinates(shapely.get_parts(across)[0])
        there, stop = inner if index % 2 == 0 else inner[::-1]
        points = [there, stop]
        if count:
            pieces.append(points[:1])
            spans.append(Span(Move.TRAVEL, count - 1, count, None, "detail"))
            count += 1
            points = points[1:]
        _, (span,) = sew([there, stop], Role.FILL, block)
        start = count - 1 if count else 0
        count += len(points)
        pieces.append(np.array(points))
        spans.append(Span(Move.SEW, start, count - 1, span.line, "detail"))
    return StitchPath(np.vstack(pieces), tuple(spans), "cream")
