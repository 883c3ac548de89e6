"""The plan's JSON against plans laid by hand and lengths of another library."""

import json
from dataclasses import asdict, replace

import pytest
import shapely
from banded_plans import banded
from export_plans import orchard
from pydantic import ValidationError

from stitchpath.drawing import Drawing
from stitchpath.figures import plan_figures
from stitchpath.formats.plan_models import (
    FORMAT,
    Fault,
    LinesDocument,
    PathPart,
    PlanDocument,
    Totals,
    document_of,
    lines_document_of,
    plan_of,
    totals,
)
from stitchpath.lines import Line, Role
from stitchpath.plan import Move, OrderException, Plan, Span, StitchPath

SEAM = Line([(0, 0), (30, 40), (30, 0)], Role.DITCH, "cream", "ditch", "row 1, column 1")
SPANS = Span(Move.SEW, 0, 1, 1, "seams"), Span(Move.TRAVEL, 1, 2, None, "seams")
PLAN = Plan(Drawing((SEAM,)), (StitchPath(SEAM.points_mm, SPANS, "cream", 2),), (), 0.0)


@pytest.mark.parametrize("plan", [PLAN, orchard(), banded(rows=2, columns=2, sideways=True)])
def test_a_plan_comes_back_from_its_json(plan):
    document = document_of(plan)
    assert PlanDocument.model_validate_json(document.model_dump_json()) == document
    assert plan_of(document) == plan


def test_a_plan_as_its_json_has_it():
    document = json.loads(document_of(PLAN).model_dump_json())
    assert document["format"] == FORMAT == "stitchpath plan 1"
    assert document["lines"] == [
        {"id": 1, "role": "ditch", "thread": "cream", "motif": "ditch", "block": "row 1, column 1",
         "points_mm": [[0, 0], [30, 40], [30, 0]]}
    ]  # fmt: skip
    (path,) = document["paths"]
    assert path["spans"] == [
        {"move": "sew", "first": 0, "last": 1, "line": 1, "stage": "seams"},
        {"move": "travel", "first": 1, "last": 2, "line": None, "stage": "seams"},
    ]
    assert (path["band"], path["stage"], path["thread"]) == (2, "seams", "cream")
    assert PathPart.model_validate_json(json.dumps(path)).points_mm == ((0, 0), (30, 40), (30, 0))


def test_totals_by_hand_and_of_nothing():
    """3, 4, 5: 50 mm sewn, 40 mm of travel."""
    assert totals(PLAN) == Totals(
        paths=1, tie_offs=2, length_mm=90, sewn_mm=50, travel_mm=40, step_mm=0, resume_mm=0, cost=0,
        visits_median=None, visits_mean=None, visits_most=0, visits_most_in=(),
    )  # fmt: skip
    told, plan = totals(orchard()), orchard()
    assert told.length_mm == pytest.approx(sum(shapely.LineString(p.coordinates_mm).length for p in plan))
    assert (told.paths, told.tie_offs, told.cost) == (9, 18, 540.5)
    empty = Plan(Drawing(()), (), (), 0.0)
    assert set(totals(empty).model_dump().values()) == {0, None, ()}
    assert plan_of(document_of(empty)) == empty


def test_visits_are_those_of_the_figures():
    visits, told = plan_figures(orchard()).visits, totals(orchard())
    assert told.visits_most > 0
    assert (told.visits_median, told.visits_mean) == (visits.median, visits.mean)
    assert (told.visits_most, told.visits_most_in) == (visits.most, visits.most_in)


def test_exceptions_from_the_order_come_back():
    late = OrderException(1, "row 1, column 1", "pear: outside outline", "fill", 0.25, 1)
    plan = replace(PLAN, order_exceptions=(late,))
    document = document_of(plan)
    assert json.loads(document.model_dump_json())["order_exceptions"] == [asdict(late)]
    assert plan_of(PlanDocument.model_validate_json(document.model_dump_json())) == plan


def test_a_drawing_s_lines_alone():
    told = lines_document_of(Drawing((SEAM, SEAM), name="Two seams", design_sha256="ab"))
    assert isinstance(told, LinesDocument)
    assert (told.format, told.name, told.design_sha256) == ("stitchpath lines 1", "Two seams", "ab")
    assert [(line.id, line.points_mm) for line in told.lines] == [
        (number, tuple(map(tuple, SEAM.points_mm.tolist()))) for number in (1, 2)
    ]
    assert lines_document_of(Drawing(())).lines == ()


@pytest.mark.parametrize(
    ("part", "name", "value", "place", "shown"),
    [
        ("paths", "band", 0, "paths[0].band", "0"),
        ("paths", "points_mm", [[0, 0]], "paths[0].points_mm", "[[0, 0]]"),
        ("lines", "role", "z" * 60, "lines[0].role", "'" + "z" * 36 + "..."),
        ("lines", "colour", 1, "lines[0].colour", "1"),
    ],
)
def test_the_first_of_what_is_wrong_has_its_place_and_its_value(part, name, value, place, shown):
    document = json.loads(document_of(PLAN).model_dump_json())
    document[part][0][name] = value
    with pytest.raises(ValidationError) as caught:
        PlanDocument.model_validate_json(json.dumps(document))
    problem = Fault.first(caught.value)
    assert (problem.place, problem.shown, problem.value) == (place, shown, value)


def test_a_number_that_is_not_finite_is_not_written():
    broken = Plan(Drawing((SEAM,)), PLAN.paths, (), float("nan"))
    with pytest.raises(ValidationError, match="finite"):
        document_of(broken)
