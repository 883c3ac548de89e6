"""Ovals and background lines, for the tests of templates and rulers."""

import numpy as np
from curve_lines import flatten

from stitchpath.geometry.curves import EllipseCurve
from stitchpath.lines import Line, Role


def oval(long, short, tilt, block, *, motif="pear: outside outline"):
    return Line(flatten(EllipseCurve((7, 9), (short, long), tilt), 0.02), Role.OUTLINE, "", motif, block)


def fill(spacing, *, angle=0.0, name="background", count=6, block="row 1, column 1"):
    cos, sin = np.cos(np.radians(angle)), np.sin(np.radians(angle))
    turn = np.array([[cos, sin], [-sin, cos]])
    levels = [np.array([(0, n * spacing), (90, n * spacing)]) @ turn for n in range(count)]
    return [Line(points, Role.FILL, "", name, block) for points in levels]
