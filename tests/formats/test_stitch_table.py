import csv
import io
from dataclasses import replace

import numpy as np
import pytest
from export_plans import orchard
from hypothesis import given, settings
from strategies import plans, stage_names

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.formats.csv_text import cell, csv_text
from stitchpath.formats.read_table import read_csv
from stitchpath.formats.stitch_table import stitch_table, write_csv
from stitchpath.plan import Move, Plan, Span, StitchPath
from stitchpath.planning.paths.securing import secure
from stitchpath.settings import MachineSettings

RUN_ON = StitchPath(
    [(0, 0), (10, 0), (10, 25.4), (10, 0)],
    (
        Span(Move.SEW, 0, 1, 1, "seams"),
        Span(Move.SEW, 1, 2, 2, "detail"),
        Span(Move.TRAVEL, 2, 3, 2, "detail"),
    ),
    "cream",
)
SMALL = Plan(
    Drawing(()), (RUN_ON, replace(RUN_ON, spans=(Span(Move.SEW, 0, 3, None, "x"),), band=2)), (), 0.0
)


def rows(text):
    return list(csv.reader(io.StringIO(text, newline="")))


def joined(path):
    """The path as a table holds it: no thread, no lines, neighbours with one move and stage as one span."""
    spans = []
    for span in path.spans:
        if spans and (spans[-1].move, spans[-1].stage) == (span.move, span.stage):
            spans[-1] = replace(spans[-1], last=span.last)
        else:
            spans.append(replace(span, line=None))
    return spans


def test_the_whole_of_a_small_one():
    assert stitch_table(SMALL) == (
        "band,stage,path,move,x_mm,y_mm\r\n"
        "1,seams,1,lift,0.000,0.000\r\n"
        "1,seams,1,sew,10.000,0.000\r\n"
        "1,detail,1,sew,10.000,25.400\r\n"
        "1,detail,1,travel,10.000,0.000\r\n"
        "2,x,2,lift,0.000,0.000\r\n"
        "2,x,2,sew,10.000,0.000\r\n"
        "2,x,2,sew,10.000,25.400\r\n"
        "2,x,2,sew,10.000,0.000\r\n"
    )


def test_small_stitches_at_ends_have_a_move_of_their_own(tmp_path):
    path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1, None, "seams"),))
    plan = Plan(Drawing(()), secure([path], MachineSettings(secured="small stitches")), (), 0.0)
    moves = [(row[3], row[4]) for row in rows(stitch_table(plan))[1:]]
    assert moves == [
        ("lift", "0.000"), ("secure", "1.500"), ("secure", "3.000"), ("secure", "1.500"), ("secure", "0.000"),
        ("sew", "9.000"), ("secure", "7.500"), ("secure", "6.000"), ("secure", "7.500"), ("secure", "9.000"),
    ]  # fmt: skip
    write_csv(plan, tmp_path / "a.csv")
    assert read_csv(tmp_path / "a.csv") == plan.paths


def test_inches_are_exact():
    # 1 in = 25.4 mm exactly: international yard and pound agreement 1959; NIST SP 811.
    text = stitch_table(SMALL, unit="in")
    assert rows(text)[0][-2:] == ["x_in", "y_in"]
    assert rows(text)[3][-2:] == ["0.39370", "1.00000"]


def test_thin_is_only_points_with_a_blank_line_between_paths():
    text = stitch_table(SMALL, thin=True)
    blocks = text.split("\r\n\r\n")
    assert len(blocks) == 2
    assert rows(text)[0] == ["x_mm", "y_mm"]
    assert blocks[1].split("\r\n") == ["0.000,0.000", "10.000,0.000", "10.000,25.400", "10.000,0.000", ""]


def test_rfc_4180():
    text = stitch_table(orchard())
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert {len(row) for row in rows(text)} == {6}
    assert len(rows(text)) == 1 + sum(len(path.coordinates_mm) for path in orchard())


@pytest.mark.parametrize("name", ["=1+1", "+1", "-1", "@a", "a\tb", "a\nb", "\x1b[0m"])
def test_names_that_a_table_program_would_misread_are_refused(name):
    with pytest.raises(DesignError, match="name"):
        cell(name)


def test_quotes_are_doubled():
    assert next(csv.reader([csv_text([[cell('the "best", cream')]])])) == ['the "best", cream']


@settings(deadline=None, derandomize=True, max_examples=60)
@given(plans())
def test_read_back_as_written(tmp_path_factory, plan):
    file = tmp_path_factory.mktemp("t") / "a.csv"
    write_csv(plan, file)
    back = read_csv(file)
    assert len(back) == len(plan)
    for ours, theirs in zip(plan, back, strict=True):
        assert list(theirs.spans) == joined(ours)
        assert theirs.band == ours.band
        np.testing.assert_allclose(theirs.coordinates_mm, ours.coordinates_mm, rtol=0, atol=0.0005 + 1e-9)
    write_csv(plan, file, unit="in")
    for ours, theirs in zip(plan, read_csv(file), strict=True):
        np.testing.assert_allclose(theirs.coordinates_mm, ours.coordinates_mm, rtol=0, atol=0.00013)


@settings(deadline=None, derandomize=True, max_examples=30)
@given(plans())
def test_no_cell_is_a_formula_and_no_number_minus_zero(plan):
    for row in rows(stitch_table(plan))[1:]:
        assert not any(text[:1] in set("=+-@") for text in row[:4])
        for number in row[4:]:
            assert number != "-0.000"
            float(number)


@settings(deadline=None, derandomize=True, max_examples=30)
@given(stage_names())
def test_every_name_that_a_stage_may_have_can_be_written(name):
    assert next(csv.reader([csv_text([[cell(name)]])])) == [name]


def test_no_such_unit():
    with pytest.raises(DesignError, match='unit: \'cm\' is no unit of a table; write "mm" or "in"'):
        stitch_table(SMALL, unit="cm")


def test_same_plan_same_bytes_and_nothing_left_behind(tmp_path):
    write_csv(orchard(), tmp_path / "a.csv")
    write_csv(orchard(), tmp_path / "b.csv")
    assert (tmp_path / "a.csv").read_bytes() == (tmp_path / "b.csv").read_bytes()
    with pytest.raises(DesignError):
        write_csv(orchard(), tmp_path / "c.csv", stitch_length_mm=0.0)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.csv", "b.csv"]
