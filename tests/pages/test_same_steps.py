"""Directions and walk-through tell one list of steps, and it leaves out nothing of any path."""

import json
import re
from itertools import pairwise
from pathlib import Path

import pytest
from directions.directions_parser import read
from hypothesis import given, settings
from strategies import plans

import stitchpath
from stitchpath.directions.teller import steps_of
from stitchpath.directions.written import directions_text
from stitchpath.drawing import Drawing
from stitchpath.lines import Line
from stitchpath.pages.walkthrough import walkthrough_html
from stitchpath.plan import Move, Plan, Span, StitchPath
from stitchpath.settings import MachineSettings

EXAMPLES = Path(__file__).parents[2] / "examples"
SMALL_STITCHES = MachineSettings(secured="small stitches")


@pytest.fixture(
    scope="module",
    params=[("winter_orchard", None), ("gallery/low_hedge", None), ("gallery/first_pear", SMALL_STITCHES)],
    ids=lambda asked: asked[0],
)
def plan(request):
    name, machine = request.param
    design = stitchpath.read_design(EXAMPLES / f"{name}.toml")
    return stitchpath.make_plan(design, machine=machine, effort="quick")


def in_directions(plan, unit):
    blocks = {line.block for line in plan.drawing.lines} | {block.name for block in plan.drawing.blocks}
    told = read(directions_text(plan, unit=unit), blocks).steps
    return [(step.number, step.path, heading(step.block), step.text) for step in told]


def heading(block):
    return f"{block[0].upper()}{block[1:]}" if block else "The whole top"


def in_walkthrough(plan, unit):
    """What the page lists: each step with the number that its script gives it."""
    text = walkthrough_html(plan, unit=unit)
    data = json.loads(re.search(r'id="plan">(.*?)</script>', text, re.DOTALL)[1])
    told, path = [], 0
    for at, (words, above) in enumerate(zip(data["words"], data["under"], strict=True)):
        path += at in data["starts"]
        said = " ".join(data["clauses"][clause] for clause in words)
        told.append((at + 1, path, data["headings"][above], said))
    return told


def test_the_same_numbers_and_words_everywhere(plan):
    unit = {"Winter Orchard": "in", "Low Hedge": "cm"}.get(plan.drawing.name, "mm")
    steps = [(step.number, step.path, step.heading, step.text) for step in steps_of(plan, unit=unit)]
    assert [step[0] for step in steps] == list(range(1, len(steps) + 1))
    assert in_directions(plan, unit) == steps
    assert in_walkthrough(plan, unit) == steps


def lie_end_to_end(plan):
    """Whether the steps of each path go from its first point to its last, so that each span is told once."""
    steps = steps_of(plan)
    assert [step.path for step in steps] == sorted(step.path for step in steps)
    for number, path in enumerate(plan, 1):
        own = [step for step in steps if step.path == number]
        assert (own[0].verb, own[-1].verb) == ("bring up", "tie off")
        assert (own[0].first, own[-1].last) == (0, len(path.coordinates_mm) - 1)
        assert all(a.last == b.first for a, b in pairwise(own))
        assert all(step.first <= step.last for step in own)
        for step in own:
            assert step.start_mm == tuple(path.coordinates_mm[step.first].tolist())
            assert step.end_mm == tuple(path.coordinates_mm[step.last].tolist())
    return steps


def test_every_span_of_every_path_is_told_once(plan):
    moves = {"travel": {"travel"}, "hop": {"travel"}, "resume": {"resume"}, "step": {"step"}, "lap": {"sew"}}
    small = {"bring up": {"secure"}, "tie off": {"secure"}}
    anything = {"sew", "travel", "step", "resume"}
    for step in lie_end_to_end(plan):
        spans = plan.paths[step.path - 1].spans
        within = {span.move.value for span in spans if span.first < step.last and span.last > step.first}
        assert within <= (moves | small).get(step.verb, anything)
        assert not within if step.first == step.last else within


def test_a_step_that_is_done_again_covers_every_time_of_it():
    design = stitchpath.read_design(EXAMPLES / "gallery" / "low_hedge.toml")
    plan = stitchpath.make_plan(design, effort="quick")
    steps = steps_of(plan)
    again = [step for step in steps if step.verb == "again"]
    assert again
    for step in again:
        first, last = re.search(r"steps? (\d+)(?: to (\d+))? again", step.text).groups()
        meant = steps[int(first) - 1 : int(last or first)]
        along = plan.paths[step.path - 1].along_mm
        once = along[meant[-1].last] - along[meant[0].first]
        assert along[step.last] - along[step.first] == pytest.approx(step.count * once, rel=1e-3)


def test_small_stitches_and_what_has_no_length_belong_to_a_step():
    points = [(0, 0), (3, 0), (0, 0), (0, 0), (50, 0), (50, 0), (50, 40), (50, 37), (50, 40)]
    moves = [
        (Move.SECURE, 2),
        (Move.TRAVEL, 3),
        (Move.SEW, 4),
        (Move.TRAVEL, 5),
        (Move.SEW, 6),
        (Move.SECURE, 8),
    ]
    firsts = [0, *(last for _, last in moves)]
    spans = [Span(move, first, last, 1) for first, (move, last) in zip(firsts, moves, strict=False)]
    drawing = Drawing((Line([(0, 0), (50, 0), (50, 40)]),))
    plan = Plan(drawing, (StitchPath(points, tuple(spans)),), (), 0.0)
    told = [(step.verb, step.first, step.last) for step in lie_end_to_end(plan)]
    assert told == [("bring up", 0, 3), ("sew", 3, 6), ("tie off", 6, 8)]


def test_a_path_without_length_is_told():
    path = StitchPath([(7, 7), (7, 7)], (Span(Move.SEW, 0, 1, 1, "detail"),))
    plan = Plan(Drawing((Line([(0, 0), (9, 0)]),)), (path,), (), 0.0)
    assert [(step.verb, step.first, step.last) for step in lie_end_to_end(plan)] == [
        ("bring up", 0, 0), ("tie off", 0, 1),
    ]  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(plans())
def test_any_plan_is_told_end_to_end(plan):
    lie_end_to_end(plan)
