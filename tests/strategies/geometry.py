"""Ellipses and polygons."""

import numpy as np
import shapely
from hypothesis import assume
from hypothesis import strategies as st

from stitchpath.geometry.curves import EllipseCurve
from strategies.number import angles_deg, lengths_mm, numbers


def ellipses():
    """Ellipses anywhere on a top, with semi-axes of 1 to 400 mm; now and then circles."""
    size = lengths_mm(1.0, 400.0)
    return st.builds(
        EllipseCurve, st.tuples(numbers(3000), numbers(3000)), st.tuples(size, size), angles_deg()
    )


def polygons(*, fewest=0):
    """Lists of `fewest` to three polygons, which may overlap."""
    return st.lists(_polygons(), min_size=fewest, max_size=3)


@st.composite
def _polygons(draw):
    """Stars on a grid that GEOS digests, not convex as a rule, some with a hole."""
    turns = np.sort(draw(st.lists(st.integers(0, 62), min_size=3, max_size=9, unique=True))) / 10
    radii = np.array(draw(st.lists(st.integers(10, 60), min_size=len(turns), max_size=len(turns))))
    centre = np.array(draw(st.tuples(st.integers(-50, 50), st.integers(-50, 50))))
    ring = centre + np.column_stack([radii * np.cos(turns), radii * np.sin(turns)])
    whole = shapely.Polygon(np.round(ring, 3))
    assume(whole.is_valid)
    if draw(st.booleans()):
        whole = whole.difference(shapely.box(*(centre - 4), *(centre + 3)))
    return max(shapely.get_parts(whole), key=lambda part: part.area)
