"""Visits counted by the check agree with the figures, and a figure that is off is found."""

from dataclasses import replace

import pytest
import shapely
from export_plans import orchard
from figure_plans import SEW, path, plan_of
from hypothesis import given, settings
from strategies import moves_of_paths

from stitchpath.check import check_plan
from stitchpath.check.rules import visits
from stitchpath.check.rules.evidence import Asked, look_at
from stitchpath.check.rules.visits import visits_hold
from stitchpath.drawing import Drawing
from stitchpath.figures import Visits, visits_of
from stitchpath.lines import Block, Line, Role
from stitchpath.plan import Move
from stitchpath.planner import make_plan

SEAMS = [Line([(x, 0), (x, 100)], Role.DITCH) for x in (0, 100, 200, 300)]
EDGES = [Line([(0, y), (300, y)], Role.HIDDEN) for y in (0, 100)]
ACROSS = Line([(0, 50), (400, 50)], Role.FILL)
NAMED = Line([(120, 20), (180, 20)], Role.FILL, block="left border")
RING = Line([(220, 70), (240, 70), (240, 90), (220, 70)], Role.OUTLINE, block="row 1, column 1")
TOP = Drawing(
    (ACROSS, NAMED, *SEAMS, RING),
    tuple(EDGES),
    outline=shapely.box(0, 0, 300, 100),
    blocks=(Block("row 1, column 1", (0, 0, 100, 100), 1, 1),),
)


def found(plan):
    return list(visits_hold(look_at(plan.paths, Asked(plan.drawing)), plan))


def along(*xs, line=1, y=50.0):
    points = [(x, y) for x in xs]
    return path(points, (SEW, 0, len(points) - 1, line))


PLAN = plan_of(
    TOP, along(0, 100, 200), along(120, 180, line=2, y=20.0), along(300, 200, line=1), along(300, 400)
)


def test_what_is_true_is_proven():
    told = {one.block: one.visits for one in visits_of(PLAN).blocks}
    assert told == {"row 1, column 1": 1, "left border": 1, "piece 3": 1, "outside the seams": 1}
    assert found(PLAN) == []


@pytest.mark.parametrize("at", range(4))
def test_a_figure_that_is_off_is_found(monkeypatch, at):
    true = visits_of(PLAN)
    off = tuple(replace(one, visits=one.visits + (row == at)) for row, one in enumerate(true.blocks))
    monkeypatch.setattr(visits, "visits_of", lambda _: Visits(off))
    (one,) = found(PLAN)
    assert one.kind == "visits"
    monkeypatch.setattr(visits, "visits_of", lambda _: Visits(true.blocks[:at] + true.blocks[at + 1 :]))
    assert found(PLAN)


def test_it_is_among_the_rules_of_a_plan(monkeypatch):
    plan = make_plan(Drawing((NAMED, Line([(120, 20), (120, 80)], Role.FILL, block="b"))), effort="quick")
    assert check_plan(plan, plan.drawing) == ()
    monkeypatch.setattr(visits, "visits_of", lambda _: Visits(()))
    assert {one.kind for one in check_plan(plan, plan.drawing)} == {"visits"}


def test_a_plan_of_a_whole_top():
    assert found(orchard()) == []


def test_lines_that_do_not_exist_are_told_by_another_rule():
    assert found(replace(PLAN, paths=(along(0, 100, line=99),))) == []


@settings(max_examples=60)
@given(moves_of_paths((SEW, Move.TRAVEL), (*range(1, 8), None)))
def test_figures_and_check_agree_on_any_paths(paths):
    made = []
    for moves in paths:
        xs = [0.0]
        for _, mm, _ in moves:
            xs.append(xs[-1] + 40.0 * mm)
        spans = [(move, at, at + 1, line) for at, (move, _, line) in enumerate(moves)]
        made.append(path([(x % 390.0, 50.0) for x in xs], *spans))
    assert found(plan_of(TOP, *made)) == []
