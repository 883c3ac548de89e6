"""Ellipses as closed lines, for the tests of shapes."""

from stitchpath.geometry.curves import parallel


def flatten(ellipse, tolerance):
    """The ellipse itself: its parallel curve at distance 0."""
    return parallel(ellipse, 0.0, tolerance)
