"""A plan's list of what is finished too late: a true one is proven, each way to break it is found."""

from dataclasses import replace

import numpy as np
import pytest
from figure_plans import SEW, TRAVEL, path, plan_of
from hypothesis import given, settings
from plans import circle
from strategies import moves_of_paths

from stitchpath.check import check_plan
from stitchpath.check.rules.evidence import Asked, look_at
from stitchpath.check.rules.outline_order import exceptions_hold
from stitchpath.design import Design, Top
from stitchpath.design.model import Kind
from stitchpath.drawing import Drawing, draw
from stitchpath.figures import order_exceptions
from stitchpath.lines import Line, Role
from stitchpath.motifs import Ditch, Echo, Ellipse, Fill
from stitchpath.plan import OrderException
from stitchpath.planner import make_plan

PEAR = Ellipse(name="pear", height=60, ratio=1.5, applique=True)
LEAF = Ellipse(name="leaf", height=40, ratio=1.5)
TOP = Design(
    top=Top(block_width=100, block_height=100),
    layout=["PL"],
    motifs=(Ditch(),),
    kinds={
        "pear": Kind(letter="P", motifs=(PEAR, Fill(name="fill", spacing=10))),
        "leaf": Kind(letter="L", motifs=(LEAF, Echo(spacing=6, count=2), Fill(name="fill", spacing=10))),
    },
)


@pytest.fixture(scope="module")
def made():
    """A plan with exceptions of each kind, if its paths are turned round within the last stage."""
    plan = make_plan(TOP, effort="quick")
    last = [path for path in plan.paths if path.stage == "detail"]
    first = [path for path in plan.paths if path.stage != "detail"]
    turned = replace(plan, paths=(*first, *last[::-1]))
    return replace(turned, order_exceptions=order_exceptions(turned))


def orders(plan):
    return [found.message for found in check_plan(plan, plan.drawing) if found.kind == "order"]


def test_a_true_list_is_proven(made):
    assert {one.early for one in made.order_exceptions} == {"fill", "echoes"}
    assert any(one.motif == "pear: inside outline" for one in made.order_exceptions)
    assert orders(made) == []


def test_what_the_planner_states_is_true():
    plan = make_plan(TOP, effort="quick")
    assert plan.order_exceptions == order_exceptions(plan)
    assert orders(plan) == []


def test_an_exception_left_out_is_found(made):
    for at, one in enumerate(made.order_exceptions):
        rest = made.order_exceptions[:at] + made.order_exceptions[at + 1 :]
        (said,) = orders(replace(made, order_exceptions=rest))
        assert said.startswith(f"{one.block}: {one.motif}: ")
        assert said.endswith(f"before path {one.path} finishes it, and the plan does not say so")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"share": 0.5}, "the plan says that 0.5000 of its"),
        ({"path": 99}, "the plan says that path 99 finishes it; path"),
        ({"block": "row 9, column 9"}, 'the plan calls it "row 9, column 9: '),
        ({"motif": "plum"}, 'the plan calls it "row 1, column'),
    ],
)
def test_an_exception_told_falsely_is_found(made, change, words):
    for at, one in enumerate(made.order_exceptions):
        if one.share == change.get("share"):
            continue
        told = [*made.order_exceptions]
        told[at] = replace(one, **change)
        (said,) = orders(replace(made, order_exceptions=tuple(told)))
        assert words in said


def test_an_exception_that_is_none_is_found(made):
    lines = made.drawing.lines
    fine = next(
        i for i, line in enumerate(lines, 1)
        if line.role is Role.ECHO and i not in {one.line for one in made.order_exceptions}
    )  # fmt: skip
    line = lines[fine - 1]
    for early in ("fill", "echoes"):
        more = OrderException(fine, line.block, line.motif, early, 0.5, 1)
        (said,) = orders(replace(made, order_exceptions=(*made.order_exceptions, more)))
        assert "the plan says that too much of its" in said


def test_what_is_told_twice_or_of_no_line_is_found(made):
    one = made.order_exceptions[0]
    twice = replace(made, order_exceptions=(*made.order_exceptions, one))
    assert orders(twice) == ["the plan states an exception from the trade's order twice"]
    nowhere = replace(made, order_exceptions=(*made.order_exceptions, replace(one, line=999)))
    assert orders(nowhere) == ["the plan states an exception at line 999; there is no such line"]


def test_paths_that_change_places_make_the_list_untrue(made):
    seams = [path for path in made.paths if path.stage != "detail"]
    detail = [path for path in made.paths if path.stage == "detail"]
    assert orders(replace(made, paths=(*seams, *detail[::-1]))) != []


def test_the_design_alone_says_what_is_an_outline(made):
    """Roles in the plan's own drawing are no truth."""
    untrue = tuple(replace(line, role=Role.FILL) for line in made.drawing.lines)
    plan = replace(made, drawing=replace(made.drawing, lines=untrue))
    found = check_plan(plan, draw(TOP))
    assert [one for one in found if one.kind == "order"] == []
    assert [one for one in check_plan(replace(plan, order_exceptions=()), draw(TOP)) if one.kind == "order"]


def ring(radius, role=Role.OUTLINE, *, motif="pear: outside outline"):
    return Line(np.array(circle(radius=radius).coords), role, motif=motif, block="a")


LINES = (
    ring(50), ring(40, motif="pear: inside outline"), ring(60, Role.ECHO, motif="echo"),
    *(Line(points, Role.FILL, block="a") for points in ([(60, 0), (90, 0)], [(0, 50), (0, 55)])),
    Line([(90, 90), (95, 90)], Role.STRIP, block="a"),
)  # fmt: skip


def sewn(*moves):
    points, spans = [(0.0, 0.0)], []
    for at, (move, mm, line) in enumerate(moves):
        points.append((points[-1][0] + mm, 0.0))
        spans.append((move, at, at + 1, line))
    return path(points, *spans)


@settings(max_examples=60)
@given(moves_of_paths((SEW, TRAVEL), (*range(1, 7), None)))
def test_figures_and_check_agree_on_any_paths(paths):
    plan = plan_of(Drawing(LINES), *(sewn(*moves) for moves in paths))
    seen = look_at(plan.paths, Asked(plan.drawing))
    told = order_exceptions(plan)
    assert list(exceptions_hold(seen, replace(plan, order_exceptions=told))) == []
    sure = [one for one in told if one.share > 0.102 or "inside" in one.motif]
    assert len(list(exceptions_hold(seen, plan))) >= len(sure)
