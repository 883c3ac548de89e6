"""Small uneven tops of blocks, drawn by lot, whose seams are there or not, and stitched or hidden."""

from dataclasses import replace

import numpy as np
from plans import circle, line, weighed

from stitchpath.drawing import Drawing
from stitchpath.lines import Block
from stitchpath.planning.faces import find_faces
from stitchpath.planning.sides import split_sides, whole_sides
from stitchpath.settings import CostSettings

__all__ = ["Grid", "sided", "sided_top"]


class Grid:
    """Where seams may run: columns and rows of 60 to 140 mm; a wall is a seam's piece beside one cell."""

    def __init__(self, rng, rows, columns):
        self.x = np.cumsum([0, *rng.integers(60, 140, columns)]).astype(float)
        self.y = np.cumsum([0, *rng.integers(60, 140, rows)]).astype(float)
        self.cells = [(r, c) for r in range(rows) for c in range(columns)]

    def box(self, r, c):
        return self.x[c], self.y[r], self.x[c + 1], self.y[r + 1]

    def walls(self):
        """Return each wall's ends and the two cells beside it; None is what lies outside."""
        rows, columns = len(self.y) - 1, len(self.x) - 1

        def cell(r, c):
            return (r, c) if 0 <= r < rows and 0 <= c < columns else None

        x, y = self.x, self.y
        level = [((x[c], y[r]), (x[c + 1], y[r]), cell(r - 1, c), cell(r, c))
                 for r in range(rows + 1) for c in range(columns)]  # fmt: skip
        upright = [((x[c], y[r]), (x[c], y[r + 1]), cell(r, c - 1), cell(r, c))
                   for c in range(columns + 1) for r in range(rows)]  # fmt: skip
        return level + upright

    def across(self, rng, r, c):
        """Return a line from one side of a cell to another."""
        x0, y0, x1, y1 = self.box(r, c)
        t = rng.uniform(0.1, 0.9, 4)
        on = [(x0 + t[0] * (x1 - x0), y0), (x1, y0 + t[1] * (y1 - y0)),
              (x0 + t[2] * (x1 - x0), y1), (x0, y0 + t[3] * (y1 - y0))]  # fmt: skip
        one, other = rng.choice(4, 2, replace=False)
        return line(on[one], on[other])


def sided_top(seed, *, rows=2, columns=2, ditch=0.5, lines=(1, 3), ovals=False):
    """Return a top of blocks; seams are stitched in the ditch as often as `ditch` says, else hidden."""
    rng = np.random.default_rng(seed)
    grid = Grid(rng, rows, columns)
    shapes, roles, hidden = [], [], []
    for a, b, *_ in grid.walls():
        if rng.random() < ditch:
            shapes.append(line(a, b))
            roles.append("ditch")
        else:
            hidden.append(line(a, b))
    for r, c in grid.cells:
        for _ in range(rng.integers(*lines, endpoint=True)):
            shapes.append(grid.across(rng, r, c))
            roles.append("fill")
        if ovals:
            x0, y0, x1, y1 = grid.box(r, c)
            shapes.append(circle((x0 + x1) / 2, (y0 + y1) / 2, 8, count=12))
            roles.append("outline")
    drawing = Drawing.from_lines(shapes, roles=roles, hidden=hidden)
    blocks = [Block(f"row {r + 1}, column {c + 1}", grid.box(r, c), r + 1, c + 1) for r, c in grid.cells]
    return replace(drawing, blocks=tuple(blocks))


def sided(drawing, price, *, cost=None, schedule=None):
    """Return a drawing's network, weights with a price, faces, and its sides: whole and split."""
    settings = (cost or CostSettings()).model_copy(update={"leaving_block_s": price})
    network, weights = weighed(drawing, cost=settings, schedule=schedule)
    faces = find_faces(network, weights.seam_edge)
    return network, weights, faces, whole_sides(network), split_sides(network, faces, weights.seam_edge)
