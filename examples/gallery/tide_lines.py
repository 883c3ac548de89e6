"""Tide Lines: any lines can be planned without a design; here are waves, and a sun that they stop at."""

import numpy as np
from shapely import LineString, Point

import stitchpath

WIDTH, HEIGHT, BETWEEN = 600.0, 400.0, 20.0


def drawing() -> stitchpath.Drawing:
    """Return the lines: 19 waves, a sun, and a frame in a seam to travel along, in millimetres."""
    sun = Point(420, 130).buffer(70, quad_segs=32)
    x = np.linspace(0, WIDTH, 121)
    waves = [
        LineString(np.column_stack([x, y + 8 * np.sin(x / 45 + y / 60)])).difference(sun)
        for y in np.arange(BETWEEN, HEIGHT, BETWEEN)
    ]
    pieces = [piece for wave in waves for piece in getattr(wave, "geoms", [wave])]
    edge = LineString([(0, 0), (WIDTH, 0), (WIDTH, HEIGHT), (0, HEIGHT), (0, 0)])
    return stitchpath.Drawing.from_lines([sun.exterior, *pieces], hidden=[edge])
