import json
from dataclasses import replace

import numpy as np
import pytest
import shapely
from export_plans import orchard
from hypothesis import given, settings
from strategies import plans

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.formats.document import plan_document, write_json
from stitchpath.formats.read_document import read_plan
from stitchpath.lines import KeepOut
from stitchpath.plan import Move, Plan, RoutedJob, Span, StitchPath


def test_keys():
    document = json.loads(plan_document(orchard()))
    assert document["format"] == "stitchpath plan 1"
    assert set(document) >= {
        "design_sha256", "settings", "lines", "hidden", "keep_outs", "outline", "paths", "jobs", "totals",
        "bound",
    }  # fmt: skip
    assert list(document["lines"][0]) == ["id", "role", "thread", "motif", "block", "points_mm"]
    assert set(document["paths"][0]) == {"band", "stage", "thread", "points_mm", "spans"}
    assert set(document["paths"][0]["spans"][0]) == {"move", "first", "last", "line", "stage"}


def test_totals_against_lengths_of_another_library():
    plan = orchard()
    said = json.loads(plan_document(plan))["totals"]
    lengths = [shapely.LineString(path.coordinates_mm).length for path in plan]
    assert said["length_mm"] == pytest.approx(sum(lengths))
    assert (said["paths"], said["tie_offs"]) == (9, 18)
    assert said["cost"] == 540.5


def test_a_line_of_the_file_for_each_key_and_each_entry_of_an_array():
    plan = orchard(rows=1, columns=1)
    text = plan_document(replace(plan, windows=((0.0, 9.5), (8.0, 20.25)), notes=("a", "½")))
    assert text.startswith('{\n"format": "stitchpath plan 1",\n"design_sha256": ')
    assert '\n"windows_mm": [[0.0,9.5],[8.0,20.25]],\n' in text
    assert text.endswith('\n"notes": ["a","½"]\n}\n')
    arrays = ("threads", "lines", "hidden", "keep_outs", "blocks", "drawing_notes", "paths", "jobs")
    document = json.loads(text)
    entries = sum(len(document[key]) + 1 for key in arrays if document[key])
    assert text.count("\n") == len(document) + entries + 2


def test_what_takes_a_line_up_again_is_length_and_stands_apart():
    """So that sewn, travelled and taken up again come to the length; small stitches do not count."""
    moves = (Move.SECURE, Move.RESUME, Move.SEW, Move.TRAVEL)
    points = [(0, 0), (3, 0), (10, 0), (40, 0), (40, 20)]
    path = StitchPath(points, tuple(Span(move, at, at + 1, 1) for at, move in enumerate(moves)))
    drawing = Drawing.from_lines([shapely.LineString(points)])
    said = json.loads(plan_document(Plan(drawing, (path, path), (), 0.0)))["totals"]
    assert (said["length_mm"], said["sewn_mm"], said["travel_mm"], said["resume_mm"]) == (114, 60, 40, 14)


def test_a_step_is_a_span_and_a_part_of_the_travel():
    spans = Span(Move.SEW, 0, 1, 1), Span(Move.STEP, 1, 2), Span(Move.SEW, 2, 3, 1)
    path = StitchPath([(0, 0), (30, 0), (30, 10), (0, 10)], spans)
    text = plan_document(Plan(Drawing.from_lines([shapely.LineString([(0, 0), (9, 0)])]), (path,), (), 0.0))
    said = json.loads(text)
    assert (said["totals"]["travel_mm"], said["totals"]["step_mm"]) == (10, 10)
    step = said["paths"][0]["spans"][1]
    assert step == {"move": "step", "first": 1, "last": 2, "line": None, "stage": ""}


def test_every_number_in_full():
    third = StitchPath([(1 / 3, 0.1 + 0.2), (1e-17, 5e15 / 1e10)], (Span(Move.SEW, 0, 1),))
    points = json.loads(plan_document(Plan(Drawing(()), (third,), (), 0.0)))["paths"][0]["points_mm"]
    assert points == third.coordinates_mm.tolist()


@settings(deadline=None, derandomize=True, max_examples=80)
@given(plans())
def test_read_back_equal(tmp_path_factory, plan):
    file = tmp_path_factory.mktemp("d") / "a.json"
    write_json(plan, file)
    back = read_plan(file)
    assert back == plan
    assert plan_document(back) == plan_document(plan)


def test_read_back_equal_by_hand(tmp_path):
    plan = orchard()
    write_json(plan, tmp_path / "a.json")
    back = read_plan(tmp_path / "a.json")
    assert back == plan
    assert not back.paths[0].coordinates_mm.flags.writeable
    assert back.drawing.keep_outs[0].polygon.equals(plan.drawing.keep_outs[0].polygon)


def test_numbers_of_numpy_are_numbers(tmp_path):
    job = RoutedJob(1, "a", np.float64(1.5), np.float64(1.5), 0.0, np.int64(0), np.bool_(False), 0.5)
    write_json(Plan(Drawing(()), (), (job,), np.float64(1.5)), tmp_path / "a.json")
    assert read_plan(tmp_path / "a.json").optimal


@pytest.mark.parametrize(
    "plan",
    [
        Plan(Drawing(()), (), (), float("nan")),
        Plan(Drawing(()), (), (), float("inf")),
        Plan(Drawing((), keep_outs=(KeepOut(shapely.Point(0, 0)),)), (), (), 0.0),
        Plan(Drawing((), outline=shapely.Polygon()), (), (), 0.0),
        Plan(Drawing(()), (StitchPath([(0, 0)], ()),), (), 0.0),
        Plan(Drawing(()), (StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),), band=0),), (), 0.0),
        Plan(Drawing((), name=3), (), (), 0.0),
    ],
)
def test_what_cannot_be_written(tmp_path, plan):
    """Nor could it be read again."""
    with pytest.raises(DesignError):
        write_json(plan, tmp_path / "a.json")
    assert list(tmp_path.iterdir()) == []


def test_a_large_plan_comes_back_equal(tmp_path):
    # As many points as 30 x 30 blocks come to.
    points = np.random.default_rng(1).uniform(0, 9000, (300_000, 2))
    paths = tuple(
        StitchPath(part, (Span(Move.SEW, 0, 999, None, "a"),)) for part in points.reshape(300, 1000, 2)
    )
    plan = Plan(Drawing(()), paths, (), 0.0)
    write_json(plan, tmp_path / "a.json")
    assert read_plan(tmp_path / "a.json") == plan
