"""Basting: one line around the top, in the binding allowance."""

import numpy as np
import shapely
from places import block

from stitchpath.lines import Role
from stitchpath.motifs import Basting

TOP = block(name="", room_mm=(90, 40, 364, 314))


def test_basting_goes_once_around_the_edge_line():
    (line,) = Basting().lines(TOP).lines
    assert (line.role, line.closed, line.length_mm) == (Role.BASTE, True, 4 * 274)
    assert Basting().predicted_lines(TOP) == 1


def test_it_goes_clockwise_as_seen_from_the_upper_left_corner():
    (line,) = Basting(name="hem", thread="red").lines(TOP).lines
    assert line.points_mm[0].tolist() == [90, 40]
    assert np.ptp(line.points_mm, axis=0).tolist() == [274, 274]
    # With y down, clockwise as seen is counter-clockwise as counted.
    assert shapely.LinearRing(line.points_mm).is_ccw
    assert (line.motif, line.thread, line.block) == ("hem", "red", "")
