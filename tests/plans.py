"""Small drawings, plans of them, and a design as the text of its file; shared by several tests."""

import json
from itertools import pairwise

import numpy as np
from shapely import LineString

from stitchpath.planning.network import build_network
from stitchpath.planning.weights import weigh
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings

ALL_IN_ONE = ScheduleSettings(stages="all in one")
TRAVEL_DEAR = CostSettings(path_cost_s=0.001)
"""Ends cost next to nothing beside travel, so no line is sewn twice to save an end."""


TWO_LEAVES = """
name = "Two leaves"
unit = "mm"
layout = ["LL"]
motifs = [{ motif = "ditch" }]
[top]
block_width = 100
block_height = 100
[kinds.leaf]
letter = "L"
[[kinds.leaf.motifs]]
motif = "ellipse"
applique = true
height = 60
ratio = "3:2"
"""
"""A design file: two blocks side by side, an appliqué in each."""


def line(*points):
    return LineString(points)


def circle(x=0.0, y=0.0, radius=50.0, count=72, start=0.0):
    """A closed polygon with as many corners as said; the first one lies at the angle `start`, in degrees."""
    angles = np.radians(start) + np.linspace(0, 2 * np.pi, count + 1)
    points = np.column_stack([x + radius * np.cos(angles), y + radius * np.sin(angles)])
    points[-1] = points[0]
    return LineString(points)


def weighed(drawing, *, cost=None, machine=None, schedule=None):
    """Return a drawing's network and its weights."""
    settings = cost or CostSettings(), machine or MachineSettings(), schedule or ScheduleSettings()
    network = build_network(drawing, open_travel_mm=settings[0].open_travel)
    return network, weigh(network, **dict(zip(("cost", "machine", "schedule"), settings, strict=True)))


def edges_at(network, x, y, *, within=1e-6):
    """Return the edges whose middle lies at a place."""
    found = []
    for edge in range(len(network.tails)):
        points = network.points_mm[network.first[edge] : network.first[edge + 1]]
        middle = LineString(points).interpolate(0.5, normalized=True)
        if abs(middle.x - x) <= within and abs(middle.y - y) <= within:
            found.append(edge)
    return found


def edge_at(network, x, y):
    (edge,) = edges_at(network, x, y)
    return edge


def junction_at(network, x, y):
    (junction,) = np.flatnonzero((network.junctions_mm == (x, y)).all(axis=1))
    return int(junction)


def sew_counts(plan, network, weights):
    """Return how often each edge is sewn, told from the paths' points alone."""
    counts = np.zeros(len(network.tails), dtype=int)
    steps = {}
    for edge in range(len(network.tails)):
        a, b = network.points_mm[network.first[edge] : network.first[edge] + 2].tolist()
        steps[frozenset((tuple(a), tuple(b)))] = edge
    for path in plan:
        points = [tuple(p) for p in path.coordinates_mm.tolist()]
        for pair in pairwise(points):
            if frozenset(pair) in steps:
                counts[steps[frozenset(pair)]] += 1
    return counts


def toml_of(design):
    """Return the text of a file that says the same as a design built in Python."""
    said = design.model_dump(mode="json", exclude_none=True)
    return "".join(f"{_key(key)} = {_value(value)}\n" for key, value in said.items())


def _key(key):
    return json.dumps(key, ensure_ascii=False)


def _value(value):
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items() if v is not None) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_value, value)) + "]"
    return json.dumps(value, ensure_ascii=False)
