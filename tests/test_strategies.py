"""What the strategies promise is in what they draw; and no test makes a strategy of its own."""

import ast
from collections import Counter
from itertools import combinations, pairwise
from pathlib import Path

import numpy as np
import pytest
import shapely
import strategies
from hypothesis import HealthCheck, Phase, find, given, seed, settings
from strategies import designs, lines, near_lines, polylines, segments
from strategies.text import HOSTILE, names

from stitchpath.drawing import draw
from stitchpath.errors import DesignError
from stitchpath.lines import Role

TESTS = Path(__file__).parent
FEW = settings(database=None, derandomize=True, deadline=None, phases=[Phase.generate], max_examples=2000)


def fits(oval, block):
    """Whether an outline touches all four sides of its block."""
    return np.allclose(oval.bounds, block, atol=1e-3 * (block[3] - block[1]))


def tangent(one, other):
    """Whether two outlines touch and neither enters the other."""
    within = shapely.intersection(shapely.Polygon(one.coords), shapely.Polygon(other.coords))
    return one.distance(other) < 0.05 and within.area < 1e-6 * one.length**2


def kinds_of(design):
    """What there is of touching, tangent, coincident, tiny and huge in a design, as it is drawn."""
    size = min(design.top.block_width, design.top.block_height)
    kinds = {"tiny"} if size <= 20 else {"huge"} if size >= 2000 else set()
    try:
        drawing = draw(design)
    except DesignError:
        return kinds
    boxes = {block.name: block.box_mm for block in drawing.blocks}
    drawn = [(line, shapely.LineString(line.points_mm)) for line in (*drawing.lines, *drawing.hidden)]
    outlines = [(line.block, way) for line, way in drawn if line.role is Role.OUTLINE and way.is_closed]
    if any(fits(oval, boxes[block]) for block, oval in outlines):
        kinds.add("touching")
    if any(one[0] == other[0] and tangent(one[1], other[1]) for one, other in combinations(outlines, 2)):
        kinds.add("tangent")
    ways = np.array([way for _, way in drawn], dtype=object)
    one, other = shapely.STRtree(ways).query(ways, predicate="intersects")
    both = shapely.intersection(ways[one[one < other]], ways[other[one < other]])
    if (shapely.length(both) > 0.01 * size).any():
        kinds.add("coincident")
    return kinds


def test_designs_touch_are_tangent_coincide_and_are_tiny_and_huge():
    tally = Counter()

    @seed(3)
    @settings(FEW, max_examples=80, derandomize=False, suppress_health_check=list(HealthCheck))
    @given(designs())
    def count(design):
        tally.update(["designs", *kinds_of(design)])

    count()
    few = {kind: tally[kind] for kind in ("touching", "tangent", "coincident", "tiny", "huge")}
    assert min(few.values()) >= 0.04 * tally["designs"], (few, tally["designs"])


@pytest.mark.parametrize(
    ("strategy", "there"),
    [
        pytest.param(polylines((0, 6), (0, 6), up_to=4), lambda way: way[0] in way[2:], id="comes back"),
        pytest.param(polylines((0, 6), (0, 6), up_to=8), lambda way: len(way) == 8, id="long"),
        pytest.param(
            segments((0, 4), (0, 4), up_to=9),
            lambda ends: len({frozenset(pair) for pair in ends}) < len(ends),
            id="one on the other",
        ),
        pytest.param(
            lines(up_to=9), lambda drawn: {line.role for line in drawn} >= {Role.DITCH, Role.FILL}, id="roles"
        ),
        pytest.param(
            near_lines(points=2, up_to=7, step_mm=20.0),
            lambda drawn: any(
                0 < np.abs(a - b).max() < 0.01 for a, b in combinations(drawn, 2) if len(a) == len(b)
            ),
            id="a hair beside",
        ),
        pytest.param(names(), lambda name: name in HOSTILE, id="hostile"),
        pytest.param(names(), lambda name: name.isalpha() and not name.isascii(), id="any letters"),
    ],
)
def test_what_is_promised_is_drawn(strategy, there):
    find(strategy, there, settings=FEW)


def test_polylines_do_not_stay_where_they_are():
    @settings(FEW, max_examples=200)
    @given(polylines((0, 1), (0, 1), up_to=9))
    def moves(way):
        assert 2 <= len(way) <= 9
        assert all(a != b for a, b in pairwise(way))

    moves()


# No strategy but in tests/strategies/.


def strategies_made(source):
    """Name the lines in which a test file imports hypothesis' own strategies or makes one out of ours."""
    tree = ast.parse(source)
    ours, found = set(), set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "strategies":
            ours |= {alias.asname or alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "hypothesis":
            whole = f"{node.module}." + ".".join(alias.name for alias in node.names)
            found |= {node.lineno} if {"strategies", "extra"} & set(whole.split(".")) else set()
        elif isinstance(node, ast.Import):
            names = {alias.name.split(".")[0] for alias in node.names}
            found |= {node.lineno} if names & {"hypothesis", "strategies"} else set()
    given_to = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "given":
            for asked in (*node.args, *(keyword.value for keyword in node.keywords)):
                if isinstance(asked, ast.Call) and isinstance(asked.func, ast.Name) and asked.func.id in ours:
                    given_to.add(asked.func)
                else:
                    found.add(asked.lineno)
    calls = (node.func for node in ast.walk(tree) if isinstance(node, ast.Call))
    called = {func for func in calls if isinstance(func, ast.Name) and func.id in ours}
    return sorted(found | {func.lineno for func in called - given_to})


@pytest.mark.parametrize(
    ("source", "made"),
    [
        ("from strategies import seeds\n@given(seeds(), n=seeds(3))\ndef t(): 0", []),
        ("from hypothesis import given, strategies as st", [1]),
        ("from hypothesis.strategies import integers", [1]),
        ("import hypothesis.strategies", [1]),
        ("import hypothesis as h", [1]),
        ("import strategies", [1]),
        ("from hypothesis.extra.numpy import arrays", [1]),
        ("from strategies import seeds\n\nNUMBERS = seeds(3)", [3]),
        ("from strategies import seeds\n@given(seeds().map(abs))\ndef t(): 0", [2]),
        ("from strategies import seeds\n@given(\n    seeds() | seeds(),\n)\ndef t(): 0", [3]),
        ("from strategies import picked, seeds\n@given(\n    picked(seeds()),\n)\ndef t(): 0", [3]),
        ("from strategies import seeds\n@given(\n    NUMBERS,\n)\ndef t(): 0", [3]),
    ],
)
def test_strategies_made_are_found(source, made):
    assert strategies_made(source) == made


def test_no_other_file_makes_a_strategy_and_every_strategy_is_used():
    made, used, files = {}, set(), 0
    for file in sorted(TESTS.rglob("*.py")):
        name, source = str(file.relative_to(TESTS)), file.read_text(encoding="utf-8")
        files += 1
        if not name.startswith(("strategies", "test_strategies")) and (
            "hypothesis" in source or "strategies" in source
        ):
            made[name] = strategies_made(source)
            tree = ast.parse(source)
            imports = (node for node in ast.walk(tree) if isinstance(node, ast.ImportFrom))
            used |= {alias.name for node in imports if node.module == "strategies" for alias in node.names}
    assert files > 100
    assert len(made) > 40
    assert {name: lines for name, lines in made.items() if lines} == {}
    assert used == set(strategies.__all__)
