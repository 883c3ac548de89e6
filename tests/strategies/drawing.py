"""Places and lines on a grid, where much meets, coincides and turns back; and lines a hair beside."""

import math

import numpy as np
import shapely
from hypothesis import strategies as st

from stitchpath.drawing import Drawing
from stitchpath.lines import UNASKED_ROLES, KeepOut, Line, Role
from stitchpath.sewable import sewable

SEAMS = (Role.HIDDEN, Role.ALLOWANCE)
ASKED = tuple(role for role in Role if role not in UNASKED_ROLES)
RINGS = (Role.OUTLINE, Role.ECHO)
HAIRS_MM = (0.0, 1e-12, 1e-6, 1e-4, 3e-4, 0.001, 0.002, 0.003, 0.004, 0.0079)
"""Less than a needle can tell."""


def grid_places(columns, rows, *, step_mm=1.0, off_mm=0.0):
    """Places (x, y) of a grid from its first to its last column and row; `step_mm` is one step, or (x, y)."""
    across, down = np.broadcast_to(step_mm, 2).tolist()
    return st.tuples(st.integers(*columns), st.integers(*rows)).map(
        lambda cell: (across * cell[0] + off_mm, down * cell[1] + off_mm)
    )


def places_apart(columns, rows, *, up_to):
    """Lists of places of a grid, no two of them alike."""
    return st.lists(grid_places(columns, rows), max_size=up_to, unique=True)


def polylines(columns, rows, *, up_to, **grid):
    """Lists of two to `up_to` places of a grid, none like the one before; some cross or turn back."""
    some = st.lists(grid_places(columns, rows, **grid), min_size=2, max_size=up_to)
    return some.map(_without_stops).filter(lambda points: len(points) > 1)


def _without_stops(points):
    return [point for at, point in enumerate(points) if at == 0 or point != points[at - 1]]


def segments(columns, rows, *, fewest=0, up_to, points_too=False, **grid):
    """Lists of pairs of places of a grid; with `points_too` both ends may be one place."""
    place = grid_places(columns, rows, **grid)
    pair = st.tuples(place, place)
    pair = pair if points_too else pair.filter(lambda ends: ends[0] != ends[1])
    return st.lists(pair, min_size=fewest, max_size=up_to)


def roles():
    """Roles of lines, those of hidden seams as well."""
    return st.sampled_from(Role)


def lists_of_roles(*, fewest=0, up_to):
    """Lists of any roles: what meets in a place."""
    return st.lists(roles(), min_size=fewest, max_size=up_to)


def lines(columns=(0, 4), rows=(0, 4), *, of=ASKED, points=2, fewest=0, up_to, **grid):
    """Tuples of lines of `points` points at most, each of one of the roles `of`."""
    way = polylines(columns, rows, up_to=points, **grid)
    line = st.builds(lambda points, role: Line(points, role, motif=role.value), way, st.sampled_from(of))
    return st.lists(line, min_size=fewest, max_size=up_to).map(tuple)


def scattered_segments(most_mm, *, fewest=0, up_to):
    """Lists of pairs of places anywhere, over a hundredth of a millimetre apart, to 12 decimals."""
    number = st.floats(-most_mm, most_mm, allow_subnormal=False).map(lambda x: round(x, 12))
    pair = st.tuples(st.tuples(number, number), st.tuples(number, number))
    return st.lists(pair.filter(lambda ends: math.dist(*ends) > 0.01), min_size=fewest, max_size=up_to)


@st.composite
def near_lines(draw, *, points, up_to, step_mm):
    """Two to `up_to` arrays of places of a grid, each place off by a hair."""
    hairs = st.sampled_from(HAIRS_MM)
    off = st.tuples(hairs, hairs, st.sampled_from([1, -1]), st.sampled_from([1, -1]))
    drawn = []
    for way in draw(
        st.lists(polylines((0, 6), (0, 6), step_mm=step_mm, up_to=points), min_size=2, max_size=up_to)
    ):
        beside = [(right * across, down * along) for across, along, right, down in (draw(off) for _ in way)]
        drawn.append(np.array(way) + np.array(beside))
    return drawn


@st.composite
def ringed_drawings(draw):
    """Ovals in one another, echoes around and below them, lines across, now and then a keep-out."""
    apart = draw(st.sampled_from([4.0, 8.0, 12.7, 20.0]))
    x, y = draw(st.tuples(st.integers(-5, 5), st.integers(-5, 5)))
    ratio = draw(st.sampled_from([1.0, 1.5]))
    rings = [
        Line(_circle(x, y, 20 + at * apart, ratio), role, motif=f"{role}: {at}")
        for at, role in enumerate(draw(st.lists(st.sampled_from(RINGS), min_size=1, max_size=4)))
    ]
    below = y + 25 + apart * len(rings)
    bars = [
        Line([(-90, below + at * apart), (90, below + at * apart)], Role.ECHO, motif=f"echo: {at}")
        for at in range(draw(st.integers(0, 3)))
    ]
    others = draw(lines((-4, 4), (-4, 4), of=(Role.FILL, Role.DITCH, Role.OUTLINE), up_to=3, step_mm=25.0))
    keep_outs = ()
    if len(rings) > 1 and draw(st.booleans()):
        between = shapely.Polygon(rings[1].points_mm, [rings[0].points_mm])
        keep_outs = (KeepOut(between, "pear"),)
    drawn, _ = sewable((*rings, *bars, *others), keep_outs)
    return Drawing(drawn, keep_outs=keep_outs)


def _circle(x, y, radius, ratio):
    turns = np.linspace(0, 2 * np.pi, 97)
    points = np.column_stack([x + radius * np.cos(turns), y + radius * ratio * np.sin(turns)])
    points[-1] = points[0]
    return points
