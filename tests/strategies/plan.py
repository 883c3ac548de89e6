"""Plans and paths as no planner makes them, and what they are counted from."""

from dataclasses import replace

import numpy as np
import shapely
from hypothesis import strategies as st

from stitchpath.drawing import Drawing
from stitchpath.errors import Finding
from stitchpath.lines import KeepOut, Line, Role, Thread
from stitchpath.plan import Laps, Move, Plan, RoutedJob, Span, StitchPath
from stitchpath.planning.reach import Reach
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings
from strategies.graph import seeds
from strategies.number import numbers
from strategies.text import names, stage_names

WAYS = ((1, 0), (0, 1), (-1, 0), (0, -1))


def _ways():
    return st.lists(st.tuples(numbers(), numbers()), min_size=2, max_size=6)


@st.composite
def stitch_paths(draw, *, lines, band=1):
    """Draw a path of spans of any move, on any of so many lines or on none."""
    points = draw(_ways())
    ends = sorted({*draw(st.lists(st.integers(1, len(points) - 1), max_size=3)), len(points) - 1})
    line = st.none() | st.integers(1, lines)
    spans = [
        Span(draw(st.sampled_from(Move)), first, last, draw(line), draw(stage_names()))
        for first, last in zip([0, *ends], ends, strict=False)
    ]
    return StitchPath(points, tuple(spans), draw(names()), band)


@st.composite
def plans(draw):
    """Draw a plan that can be written, though nobody would sew it: places at random, hostile names.

    Some leave a part to the hand, and some are such a part.
    """
    drawn = st.builds(Line, _ways(), st.sampled_from(Role), names(), names(), names())
    lines = tuple(draw(st.lists(drawn, min_size=1, max_size=4)))
    bands = sorted(draw(st.lists(st.integers(1, 3), min_size=1, max_size=5)))
    paths = tuple(draw(stitch_paths(lines=len(lines), band=band)) for band in bands)
    cost = draw(st.floats(0, 1e9))
    low, wide = draw(st.tuples(st.floats(-1e3, 1e3), st.floats(0.1, 1e4)))
    outline = shapely.box(low, low, low + wide, low + wide)
    hole = shapely.box(low + wide / 4, low + wide / 4, low + wide / 2, low + wide / 2)
    plan = Plan(
        Drawing(
            lines, lines[:1], (KeepOut(outline.difference(hole), draw(names()), draw(names())),),
            draw(st.none() | st.just(outline)), (Thread(draw(names()), draw(st.floats(1, 100))),),
            (Finding("note", draw(names()), draw(st.none() | st.tuples(numbers(), numbers()))),),
            draw(names()), "0" * 64,
        ),
        paths,
        (RoutedJob(1, "all", cost, draw(st.floats(0, 1e9)), 0.0, len(paths), draw(st.booleans()), 0.125),),
        draw(st.floats(0, 1e9)),
        CostSettings(path_cost_s=draw(st.none() | st.floats(0.1, 1e5)), roles={Role.FILL: {"shows": 7.5}}),
        MachineSettings(sewn_by=draw(st.sampled_from(["frame", "hand"]))),
        ScheduleSettings(stages=draw(st.sampled_from(["default", "all in one"]))),
        draw(st.sampled_from(["quick", "standard", "proof"])), draw(seeds(2**31)),
        Laps(draw(st.integers(0, 9)), draw(st.integers(0, 9))), tuple(draw(st.lists(names(), max_size=2))),
    )  # fmt: skip
    hand = replace(plan, of_hand=True, paths=paths[: draw(st.integers(0, len(paths)))])
    return draw(st.sampled_from([plan, hand, replace(plan, by_hand=hand)]))


def _walks():
    """Places one after the other on a lattice of whole units."""
    start = st.tuples(st.integers(0, 3), st.integers(0, 3))
    ways = st.lists(st.sampled_from(WAYS), min_size=1, max_size=6)
    return st.tuples(start, ways).map(lambda walk: np.cumsum([walk[0], *walk[1]], axis=0).tolist())


def lattice_lines(*roles):
    """Lists of one to six lines on a lattice, as (role, places)."""
    return st.lists(st.tuples(st.sampled_from(roles), _walks()), min_size=1, max_size=6)


def lattice_paths():
    """Lists of up to six paths on a lattice, as (places, whether each step is sewn, whether it is detail)."""
    steps = st.lists(st.booleans(), min_size=6, max_size=6)
    return st.lists(st.tuples(_walks(), steps, st.booleans()), max_size=6)


def moves_of_paths(moves, lines):
    """Lists of up to four paths, each a list of (move, whole millimetres, line)."""
    move = st.tuples(st.sampled_from(moves), st.integers(1, 9), st.sampled_from(lines))
    return st.lists(st.lists(move, min_size=1, max_size=8), max_size=4)


def bobbin_stretches():
    """Lists of one to nine (millimetres of thread, cost of a change after them, whether within a path)."""
    return st.lists(st.tuples(st.integers(1, 9), st.integers(0, 5), st.booleans()), min_size=1, max_size=9)


def seams_across():
    """Lists of up to eight (place from 1 to 99, whether an edge line), no two at one place."""
    return st.lists(st.tuples(st.integers(1, 99), st.booleans()), max_size=8, unique_by=lambda seam: seam[0])


def intervals():
    """Lists of (first, length) in whole numbers; some are empty, some the wrong way round."""
    return st.lists(st.tuples(st.integers(0, 40), st.integers(-2, 9)))


def groupings(count):
    """Lists of groups of the numbers below `count`; a number may be in several groups, or in none."""
    return st.lists(st.lists(st.integers(0, count - 1), min_size=1), max_size=4)


def rows_of_sets(choices, *, up_to):
    """Lists of sets of one or more of the choices: which lines lie on each place of a row."""
    return st.lists(st.sets(st.sampled_from(choices), min_size=1), min_size=1, max_size=up_to)


@st.composite
def units_to_band(draw):
    """Draw units in floats, all of which fit, links between them and groups, with costs in decimals."""
    count = draw(st.integers(1, 25))
    length = st.floats(0, 900, allow_subnormal=False)
    top = draw(st.lists(length, min_size=count, max_size=count))
    first = draw(st.floats(100, 1100))
    last = draw(st.floats(100, first))
    height = st.one_of(st.just(0.0), st.floats(0, 100))
    bottom = [y + draw(height) for y in top]
    unit = st.integers(0, count - 1)
    cost = st.integers(0, 999).map(lambda c: c / 10)
    lines = draw(st.lists(st.tuples(unit, unit, cost), max_size=40))
    groups = draw(st.lists(st.integers(-1, 5), min_size=count, max_size=count))
    units = list(zip(top, bottom, strict=True))
    return units, Reach(first, last, 0, 1000), lines, groups, draw(cost), draw(cost)
